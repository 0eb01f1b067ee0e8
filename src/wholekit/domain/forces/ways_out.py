"""Findings of a force verdict, each with its way out."""

from wholekit.domain.findings import Finding, Hint, Severity, in_order
from wholekit.domain.forces.case import DoorCase, ForceVerdict, LimitResult
from wholekit.domain.forces.figures import EN_TABLE, figures
from wholekit.domain.forces.formulas import efficiency_for_force
from wholekit.domain.forces.power import CloserPower, largest_size_within
from wholekit.domain.rules import RuleBook

OPERATOR = Hint("vestibule-or-operator")


def findings_of(
    verdict: ForceVerdict, case: DoorCase, closer: CloserPower, rules: RuleBook
) -> tuple[Finding, ...]:
    """`force-over-limit`, `latch-power-short`, `limit-excludes-latching`, `fire-door-least-force`.

    A limit passed is a stop; a warning where a closer of better efficiency would keep it; a note
    where it is for egress doors and the opening is not said to be one. A closer that does not
    latch is a stop on a fire door, else a warning, since the pressure may act the other way.
    """
    findings: list[Finding] = []
    accessible = [
        result for result in verdict.limits if result.binding and result.limit.scope == "accessible"
    ]
    for result in verdict.limits:
        told_already = result.limit.scope == "egress" and accessible
        if result.binding and result.within is False and not told_already:
            findings.append(_over(result, verdict, case, closer, rules))
    if not verdict.latches:
        findings.append(_short(verdict, case))
    if not verdict.latches or any(result.within is False for result in accessible):
        findings.extend(_excluded(verdict, case, accessible, rules))
    if case.accessible and case.fire and not accessible:
        fields = {"force": f"{verdict.opening_lbf:.1f}"}
        findings.append(Finding("fire-door-least-force", Severity.NOTE, fields, "limit-fire-least"))
    return in_order(findings)


def _over(
    result: LimitResult,
    verdict: ForceVerdict,
    case: DoorCase,
    closer: CloserPower,
    rules: RuleBook,
) -> Finding:
    severity, hint = _way_out(result, verdict, case, closer, rules)
    if result.limit.scope == "egress":
        severity = Severity.NOTE
    return Finding(
        "force-over-limit",
        severity,
        {
            "limit": result.limit.title,
            "allowed": f"{result.allowed:g}",
            "unit": result.limit.unit,
            "force": f"{result.force or 0.0:.1f}",
            "closer_force": f"{result.closer or 0.0:.1f}",
            "pressure_force": f"{result.pressure:.1f}",
        },
        result.limit.rule,
        hint,
    )


def _way_out(
    result: LimitResult,
    verdict: ForceVerdict,
    case: DoorCase,
    closer: CloserPower,
    rules: RuleBook,
) -> tuple[Severity, Hint]:
    """A more efficient closer, a smaller setting that still latches, less pressure, or neither."""
    lever = case.lever_m(result.limit)
    left_n = (result.allowed - result.pressure) * result.in_newtons
    if result.limit.value is None or result.closer is None or left_n * lever <= 0:
        return Severity.STOP, OPERATOR
    moment = result.closer * result.in_newtons * lever * closer.efficiency
    needs = efficiency_for_force(moment, max(left_n, 1e-3), lever)
    if not closer.measured and needs <= figures(rules).best:
        fields = {"efficiency_needed": f"{needs * 100:.0f}"}
        return Severity.WARN, Hint("efficient-closer", fields)
    allowed = largest_size_within(left_n, lever, rules, case.share)
    latching = verdict.size_latching
    if allowed is not None and latching is not None and latching <= allowed:
        return Severity.STOP, Hint("set-to-size", {"set_size": allowed})
    if verdict.opens_to_pa and result.closer <= result.allowed:
        fields = {"pressure_most_pa": f"{verdict.opens_to_pa:.0f}"}
        return Severity.STOP, Hint("lower-pressure", fields)
    return Severity.STOP, OPERATOR


def _short(verdict: ForceVerdict, case: DoorCase) -> Finding:
    if verdict.size_latching is not None:
        hint = Hint("larger-size", {"larger_size": verdict.size_latching})
    else:
        hint = Hint("lower-pressure", {"pressure_most_pa": f"{verdict.latches_to_pa:.0f}"})
    return Finding(
        "latch-power-short",
        Severity.STOP if case.fire else Severity.WARN,
        {
            "pressure_pa": f"{case.pressure_pa:.1f}",
            "needed_nm": f"{verdict.needed_nm:.1f}",
            "given_nm": f"{verdict.closing_nm:.1f}",
            "pressure_most_pa": f"{verdict.latches_to_pa:.1f}",
        },
        EN_TABLE,
        hint,
    )


def _excluded(
    verdict: ForceVerdict, case: DoorCase, accessible: list[LimitResult], rules: RuleBook
) -> list[Finding]:
    """Where an accessible limit leaves less closing moment than latching needs, say so.

    The most any closer can do is limit × lever × the best efficiency. The pressure is counted
    once, as what the closer must beat: it is not also added to the opening force.
    """
    best = figures(rules).best
    allowed_nm = [
        (result.allowed * result.in_newtons * case.lever_m(result.limit) * best, result)
        for result in accessible
        if result.limit.value is not None and result.limit.phase != "beyond-30"
    ]
    if not allowed_nm:
        return []
    most, result = min(allowed_nm, key=lambda pair: pair[0])
    if round(verdict.needed_nm, 1) <= round(most, 1):
        return []
    return [
        Finding(
            "limit-excludes-latching",
            Severity.STOP,
            {
                "pressure_pa": f"{case.pressure_pa:.1f}",
                "needed_nm": f"{verdict.needed_nm:.1f}",
                "limit": result.limit.title,
                "allowed": f"{result.allowed:g}",
                "unit": result.limit.unit,
                "allowed_nm": f"{most:.1f}",
                "best": f"{best * 100:g}",
            },
            result.limit.rule,
            OPERATOR,
        )
    ]
