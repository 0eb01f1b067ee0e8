"""What a finished kit must be told about: fire, accessibility, size, discontinued items."""

from dataclasses import replace

from wholekit.domain.findings import SEVERITY_ORDER, Finding, Hint, Severity
from wholekit.domain.kits.kit import Kit
from wholekit.domain.kits.proof import Proof
from wholekit.domain.kits.shelf import SizeAsked
from wholekit.domain.openings import Facts, HoldOpen
from wholekit.domain.rules import RuleBook

# A closer set to this size or less may not latch reliably (rule accessible-may-not-latch).
LIGHT = 2


def concerns(
    kit: Kit, facts: Facts, asked: SizeAsked | None, over_limit: bool, rules: RuleBook
) -> list[Finding]:
    """Findings that follow from the opening and the chosen kit together."""
    found: list[Finding] = []
    if facts.fire_minutes:
        found += _fire(kit, facts)
    elif facts.hold_open is HoldOpen.RELEASE:
        found.append(Finding("release-device-apart", Severity.NOTE, {}, None))
    if asked is not None and asked.setting_most is not None:
        found += _accessible(kit, asked, over_limit)
    found += _size(kit, asked, rules.whole("fixed-size-next"))
    found = _with_forces(found, kit)
    found += [
        Finding(
            "discontinued",
            Severity.WARN,
            {
                "sku": line.item.sku,
                "replaced_by": line.item.replaced_by,
                "on_hand": line.item.on_hand,
            },
            None,
            Hint("replace-item", {"replaced_by": line.item.replaced_by}),
        )
        for line in kit.lines
        if line.item.discontinued
    ]
    return found


def binding_findings(proof: Proof) -> list[Finding]:
    """What the calculation found, as far as it binds an opening nobody has called an exit."""
    excluded = any(one.code == "limit-excludes-latching" for one in proof.verdict.findings)
    return [_as_binding(one, proof, excluded) for one in proof.verdict.findings]


def _as_binding(finding: Finding, proof: Proof, excluded: bool) -> Finding:
    """Limits of exits are told as such; a way out must be one that is open here.

    The 5 lbf of an interior exit is a note, since most doors would pass it; the 30 and 15 lbf are
    warnings. A larger size is no way out where it was not taken: no body of it is sold, it brings
    a stop with it, or an accessible limit forbids it.
    """
    if finding.code == "force-over-limit" and str(finding.rule).startswith("limit-ibc"):
        interior = str(finding.rule).endswith("-interior")
        return replace(
            finding,
            code="egress-force-limit",
            severity=Severity.NOTE if interior else Severity.WARN,
            hint=Hint("ask-egress"),
        )
    if finding.hint is not None and finding.hint.code == "larger-size":
        pressure = f"{proof.verdict.latches_to_pa:.0f}"
        return replace(
            finding,
            hint=Hint("vestibule-or-operator")
            if excluded
            else Hint("lower-pressure", {"pressure_most_pa": pressure}),
        )
    return finding


def _with_forces(found: list[Finding], kit: Kit) -> list[Finding]:
    """What the force calculation found, each concern told once: the stronger of two stands."""
    if kit.proof is None:
        return found
    calculated = binding_findings(kit.proof)
    for code in ("force-over-limit", "latch-power-short"):
        tabled = [one for one in found if one.code == code]
        proven = [one for one in calculated if one.code == code]
        if not tabled or not proven:
            continue
        weaker = found if _strongest(proven) <= _strongest(tabled) else calculated
        for one in [one for one in weaker if one.code == code]:
            weaker.remove(one)
    return [*found, *calculated]


def _strongest(findings: list[Finding]) -> int:
    return min(SEVERITY_ORDER[one.severity] for one in findings)


def _fire(kit: Kit, facts: Facts) -> list[Finding]:
    found = [
        Finding(
            "fire-door-needs-latching",
            Severity.WARN,
            {"minutes": facts.fire_minutes, "leaves": kit.type.leaves},
            "fire-self-closing-latching",
            Hint("check-latching"),
        )
    ]
    if kit.type.leaves == 2:
        found.append(
            Finding(
                "pair-needs-coordinator", Severity.WARN, {}, "pair-coordinator", Hint("coordinator")
            )
        )
    if facts.hold_open is HoldOpen.ARM:
        found.append(
            Finding(
                "hold-open-on-fire-door",
                Severity.STOP,
                {"minutes": facts.fire_minutes},
                "fire-hold-open",
                Hint("use-release"),
            )
        )
    if facts.hold_open is HoldOpen.RELEASE:
        found.append(
            Finding("release-device-apart", Severity.WARN, {}, "fire-hold-open", Hint("release"))
        )
    if kit.type.delayed_action:
        automatic = facts.hold_open is HoldOpen.RELEASE
        found.append(
            Finding(
                "delayed-action-on-fire-door",
                Severity.STOP if automatic else Severity.WARN,
                {"automatic": automatic},
                "fire-delayed-action",
                Hint("no-delayed-action" if automatic else "ask-authority"),
            )
        )
    return found


def _accessible(kit: Kit, asked: SizeAsked, over_limit: bool) -> list[Finding]:
    if over_limit:
        return [
            Finding(
                "force-over-limit",
                Severity.STOP,
                {"size": kit.spring_size, "most": asked.setting_most},
                "accessible-size-most",
                Hint("adjustable-body", {"most": asked.setting_most}),
            )
        ]
    if kit.spring_size is None:
        return []
    short = asked.target > kit.spring_size
    if not short and kit.spring_size > LIGHT:
        return []
    return [
        Finding(
            "latch-power-short" if short else "accessible-may-not-latch",
            Severity.WARN if short else Severity.NOTE,
            {"size": kit.spring_size, "required": asked.target},
            "accessible-may-not-latch",
            Hint("check-latching-gauge"),
        )
    ]


def _size(kit: Kit, asked: SizeAsked | None, next_allowed: int) -> list[Finding]:
    if kit.spring_size is None or asked is None or kit.body is None:
        return []
    if 0 < kit.spring_size - asked.target <= next_allowed:
        return [
            Finding(
                "size-next-used",
                Severity.NOTE,
                {"size": kit.spring_size, "required": asked.target},
                "fixed-size-next",
            )
        ]
    return []
