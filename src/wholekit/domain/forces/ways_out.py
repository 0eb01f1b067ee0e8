"""Findings of a force verdict, each with its way out."""

import math
from dataclasses import replace

from wholekit.domain.findings import Finding, Hint, Severity, in_order
from wholekit.domain.forces.case import DoorCase, ForceVerdict, LimitResult
from wholekit.domain.forces.figures import EN_TABLE, figures
from wholekit.domain.forces.formulas import efficiency_for_force
from wholekit.domain.forces.power import CloserPower, band
from wholekit.domain.quantities.physical import N_PER_LBF
from wholekit.domain.rules import RuleBook

TENTH = 1


def findings_of(
    verdict: ForceVerdict, case: DoorCase, closer: CloserPower, en: bool, rules: RuleBook
) -> tuple[Finding, ...]:
    """What a verdict says that somebody must know, with the way out of each.

    A limit passed is a stop; a warning where a closer of better efficiency would keep it and the
    maker states none; a note where it is for exits and nobody said that the opening is one. A
    closer that does not latch is a stop on a fire door, else a warning, since the pressure may act
    the other way. en: EN 1154 is the basis.
    """
    findings: list[Finding] = []
    accessible = [
        result for result in verdict.limits if result.binding and result.limit.scope == "accessible"
    ]
    for result in verdict.limits:
        # On an interior door in the US both are the same 5 lbf; told twice it would look like two
        # faults.
        told_already = result.limit.scope == "egress" and accessible
        if result.binding and result.within is False and not told_already:
            findings.append(_over(result, verdict, case, closer, en, rules))
    findings += _undecided(verdict, accessible)
    if not verdict.latches:
        findings.append(_short(verdict, case))
    if round(closer.closing_nm, TENTH) < verdict.fire_least_nm:
        findings.append(_fire_short(verdict, closer, case, rules))
    # Only where something is short or over is it worth asking whether any closer could do both.
    if not verdict.latches or any(result.within is False for result in accessible):
        findings.extend(_excluded(verdict, case, accessible, rules))
    if en:
        findings += _unchecked(verdict, accessible, rules)
    elif _least_of_authority(verdict, case, accessible):
        # In newtons too: from tenths of a pound the table's tenth of a newton does not follow.
        fields = {"force": f"{verdict.opening_lbf:.1f}", "force_n": f"{verdict.opening_n:.1f}"}
        findings.append(Finding("fire-door-least-force", Severity.NOTE, fields, "limit-fire-least"))
    return in_order(findings)


def _least_of_authority(
    verdict: ForceVerdict, case: DoorCase, accessible: list[LimitResult]
) -> bool:
    """ADA 404.2.9 sets no figure for fire doors; only where the profile holds accessible limits."""
    held = any(result.limit.scope == "accessible" for result in verdict.limits)
    undecided = any(result.undecided for result in verdict.limits)
    return case.accessible and case.fire and held and not accessible and not undecided


def _undecided(verdict: ForceVerdict, accessible: list[LimitResult]) -> list[Finding]:
    """Limits of which the authority, or the customer, must say whether they hold here."""
    broken = any(result.within is False for result in accessible)
    found = []
    for result in verdict.limits:
        if not result.undecided:
            continue
        fields = {
            "limit": result.limit.title,
            "allowed": f"{result.allowed:g}",
            "unit": result.limit.unit,
            "force": f"{result.force or 0.0:.1f}",
            **_in_newtons(result.limit.unit, force=result.force or 0.0),
        }
        if result.limit.scope == "asked":
            if broken and result.within:
                found.append(
                    Finding(
                        "limit-on-condition",
                        Severity.NOTE,
                        fields,
                        result.limit.rule,
                        Hint("ask-powered-leaf"),
                    )
                )
            continue
        severity = Severity.NOTE if result.within else Severity.WARN
        found.append(
            Finding(
                "limit-unread-for-fire",
                severity,
                fields,
                result.limit.rule,
                Hint("ask-authority-on-limit"),
            )
        )
    return found


def _unchecked(
    verdict: ForceVerdict, accessible: list[LimitResult], rules: RuleBook
) -> list[Finding]:
    """What a force held against an accessible limit does not contain, and what is not known."""
    found = []
    if accessible and verdict.unchecked:
        more = rules.mapping("seal-force-usual")
        found.append(
            Finding(
                "force-unchecked",
                Severity.NOTE,
                {
                    "without": verdict.unchecked,
                    "smoke": f"{float(str(more['smoke'])):g}",
                    "acoustic": f"{float(str(more['acoustic'])):g}",
                },
                "seal-force-usual",
                Hint("measure-with-seals"),
            )
        )
    found += [
        Finding(
            "force-not-known",
            Severity.NOTE,
            {
                "limit": result.limit.title,
                "allowed": f"{result.allowed:g}",
                "unit": result.limit.unit,
            },
            result.limit.rule,
            Hint("ask-moment-beyond"),
        )
        for result in accessible
        if result.force is None
    ]
    return found


def _over(
    result: LimitResult,
    verdict: ForceVerdict,
    case: DoorCase,
    closer: CloserPower,
    en: bool,
    rules: RuleBook,
) -> Finding:
    severity, hint = _way_out(result, verdict, case, closer, en, rules)
    if result.limit.scope == "egress" and not case.egress:
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
            **_in_newtons(
                result.limit.unit,
                force=result.force or 0.0,
                closer_force=result.closer or 0.0,
                pressure_force=result.pressure,
            ),
            "without": verdict.unchecked,
        },
        result.limit.rule,
        hint,
    )


def _in_newtons(unit: str, **forces: float) -> dict[str, object]:
    """Fields of forces in a limit's pounds, in newtons beside them: from tenths of a pound the
    tenth of a newton that a limit is said to does not follow."""
    if unit != "lbf":
        return {}
    return {f"{name}_n": f"{force * N_PER_LBF:.1f}" for name, force in forces.items()}


def _way_out(
    result: LimitResult,
    verdict: ForceVerdict,
    case: DoorCase,
    closer: CloserPower,
    en: bool,
    rules: RuleBook,
) -> tuple[Severity, Hint]:
    """A more efficient closer, a smaller setting that still latches, less pressure, or neither."""
    lever = case.lever_m(result.limit)
    left_n = (result.allowed - result.pressure) * result.in_newtons
    last = _last_resort(case, en)
    if result.limit.value is None or result.closer is None or left_n * lever <= 0:
        return Severity.STOP, last
    moment = result.closer * result.in_newtons * lever * closer.efficiency
    # The formula refuses a limit under a thousandth; with so little left no closer is efficient
    # enough.
    needs = efficiency_for_force(moment, max(left_n, 1e-3), lever)
    # Of a measured closer only the force is known. Its efficiency was assumed, so nothing can be
    # told of a better one.
    if not closer.measured and needs <= figures(rules).best:
        # Up to the next whole percent, since less would not do; rounded first, or 63.0000001 would
        # become 64.
        fields = {"efficiency_needed": f"{math.ceil(round(needs * 100, 6))}"}
        # BS 8300 leaves a fire door its limit: better efficiency is one way of several.
        code = "efficient-closer-or-release" if case.fire and en else "efficient-closer"
        return Severity.STOP if closer.stated else Severity.WARN, Hint(code, fields)
    smaller = _smaller_setting(result, verdict.size_latching, case, closer, rules)
    if smaller is not None:
        return Severity.STOP, smaller
    # Less pressure helps only where the closer alone keeps the limit.
    if verdict.opens_to_pa and result.closer <= result.allowed and not case.wind:
        fields = {"pressure_most_pa": f"{verdict.opens_to_pa:.0f}"}
        return Severity.STOP, Hint("lower-pressure", fields)
    return Severity.STOP, last


def _smaller_setting(
    result: LimitResult,
    latching: int | None,
    case: DoorCase,
    closer: CloserPower,
    rules: RuleBook,
) -> Hint | None:
    """The largest setting that keeps a limit at its least efficiency and latches.

    Where none does, the least that latches with the efficiency it would need; None where even the
    best is not enough.
    """
    if latching is None or not closer.closing_nm or result.closer is None:
        return None
    per_nm = result.closer / closer.closing_nm * closer.efficiency
    known = figures(rules)
    sure = [
        row.size
        for row in known.sizes.values()
        if row.size >= latching
        and replace(result, closer=per_nm * row.least * case.share / row.efficiency).within
    ]
    if sure:
        return Hint("set-to-size", {"set_size": sure[-1]})
    moment = known.of_size(latching).least * case.share
    needed = math.ceil(
        round(per_nm * moment / max(result.allowed - result.pressure, 1e-3) * 100, 6)
    )
    if needed > known.best * 100:
        return None
    fields = {"set_size": latching, "efficiency_needed": f"{needed}"}
    return Hint("set-to-efficient-size", fields)


def _last_resort(case: DoorCase, en: bool) -> Hint:
    """What is left where no closer does it: it depends on what works against the door."""
    # The closer cannot be set lower, since a fire door keeps its least: the leaf is held open by a
    # device that releases, or powered.
    if case.fire and case.accessible and en:
        return Hint("release-or-power")
    if case.wind:
        return Hint("screen-wind")
    return Hint("vestibule-or-operator" if case.pressure_pa else "power-operator")


def _short(verdict: ForceVerdict, case: DoorCase) -> Finding:
    if verdict.size_latching is not None:
        hint = Hint("larger-size", {"larger_size": verdict.size_latching})
    elif case.wind:
        hint = Hint("screen-wind")
    elif verdict.latches_to_pa:
        hint = Hint("lower-pressure", {"pressure_most_pa": f"{verdict.latches_to_pa:.0f}"})
    else:
        # Seals and latch alone are too much, whatever the air does.
        hint = Hint("ease-seals")
    return Finding(
        "latch-power-short",
        Severity.STOP if case.fire else Severity.WARN,
        {
            "pressure_pa": f"{case.pressure_pa:.1f}",
            "needed_nm": f"{verdict.needed_nm:.1f}",
            "given_nm": f"{verdict.closing_nm:.1f}",
            "pressure_most_pa": f"{verdict.latches_to_pa:.1f}",
            "beaten": case.beaten,
            "without": verdict.unchecked,
        },
        EN_TABLE,
        hint,
    )


def _fire_short(
    verdict: ForceVerdict, closer: CloserPower, case: DoorCase, rules: RuleBook
) -> Finding:
    """A warning where the upper part of the size's band still gives it, else a stop."""
    # A size is a band: its maker may set the body in the upper part of it, which no table
    # promises.
    reach = band(closer.size, rules)[1] * case.share if closer.size is not None else 0.0
    within = not closer.measured and reach > verdict.fire_least_nm
    hint = (
        Hint("power-operator")
        if verdict.size_latching is None
        else Hint("fire-moment-larger", {"larger_size": verdict.size_latching})
    )
    return Finding(
        "fire-moment-short",
        Severity.WARN if within else Severity.STOP,
        {"given_nm": f"{verdict.closing_nm:.1f}", "least_nm": f"{verdict.fire_least_nm:g}"},
        "fire-moment-least",
        hint,
    )


def _excluded(
    verdict: ForceVerdict, case: DoorCase, accessible: list[LimitResult], rules: RuleBook
) -> list[Finding]:
    """Where an accessible limit leaves less closing moment than latching needs, say so.

    The most any closer can do is limit × lever × the best efficiency. The pressure is counted
    once, as what the closer must beat: it is not also added to the opening force.
    """
    # A bound over all closers: none has a better efficiency, and none may be harder to open than
    # the limit.
    best = figures(rules).best
    allowed_nm = [
        (result.allowed * result.in_newtons * case.lever_m(result.limit) * best, result)
        for result in accessible
        # A limit from 30° on says nothing of the moment at 0 to 4°, where the leaf latches.
        if result.limit.value is not None and result.limit.phase != "beyond-30"
    ]
    if not allowed_nm:
        return []
    most, result = min(allowed_nm, key=lambda pair: pair[0])
    if round(verdict.needed_nm, TENTH) <= round(most, TENTH):
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
                "beaten": case.beaten,
            },
            result.limit.rule,
            _last_resort(case, en=False),
        )
    ]
