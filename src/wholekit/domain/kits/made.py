"""The one place that makes a Kit: from a mount, a size, a body and counted pieces.

A kit found on the shelf and one made by hand go through here alike, so that both are told the same.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from wholekit.domain.catalog import Body, Role, Template
from wholekit.domain.catalog.words import FASTENER_ROLES
from wholekit.domain.findings import Finding, Hint, Severity, in_order
from wholekit.domain.kits.concerns import concerns
from wholekit.domain.kits.demand import hand_told
from wholekit.domain.kits.kit import Kit, KitLine, Missing, Unused
from wholekit.domain.kits.mounts import MountChoice
from wholekit.domain.kits.proof import Proof
from wholekit.domain.kits.search import Found
from wholekit.domain.kits.shelf import OVER_LIMIT_TIER, Shelf, SizeAsked
from wholekit.domain.kits.written import cost_of, lines_of, list_price_of
from wholekit.domain.openings import Facts, unclear_findings
from wholekit.domain.reasons import Reason
from wholekit.domain.rules import RuleBook
from wholekit.domain.sizing import LARGEST_SIZE, Sizing

_MISSING_CODE = {
    **dict.fromkeys(FASTENER_ROLES, "fastener-missing"),
    Role.SOFFIT_BRACKET: "bracket-missing",
    Role.COVER: "cover-missing",
}

_MISSING = "piece-missing"
# The codes of missing pieces.
MISSING_CODES = frozenset({_MISSING, *_MISSING_CODE.values()})

# What a site finding has said already need not be said again as a piece nobody sells.
_TELLING = {
    Role.PLATE: {"top-rail-short", "head-face-short"},
    Role.FOREARM: {"reveal-too-deep"},
    Role.PLATE_FASTENER: {"through-bolt-length"},
    Role.BODY_FASTENER: {"through-bolt-length"},
    Role.SHOE_FASTENER: {"through-bolt-length"},
}


@dataclass(frozen=True, slots=True)
class Basis:
    """What a kit rests on before its pieces are counted: mount, size and finish.

    asked: the size its body must have, None where no size serves. findings: those so far.
    """

    choice: MountChoice
    sizing: Sizing
    asked: SizeAsked | None
    finish: str
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class BodyChoice:
    """A kit's body: its template, None where it has none for the mount, and setting [class].

    tier: how well the size suits (see bodies.fit_of).
    """

    body: Body
    template: Template | None
    setting: int
    tier: int = 0


@dataclass(frozen=True, slots=True)
class Counted:
    """Lines with what each supplies, pieces left over and lacking, and what is told of them."""

    lines: tuple[KitLine, ...] = ()
    unused: tuple[Unused, ...] = ()
    missing: tuple[Missing, ...] = ()
    findings: tuple[Finding, ...] = ()


def make_kit(
    facts: Facts,
    basis: Basis,
    chosen: BodyChoice | None,
    counted: Counted,
    proof: Proof | None,
    shelf: Shelf,
    rules: RuleBook,
) -> Kit:
    """The kit, with every finding in order and every default that stood in. Raises RuleError."""
    why = [basis.sizing.reason, basis.choice.reason]
    if chosen is not None:
        why.append(body_reason(chosen, basis.sizing))
        if chosen.template is not None:
            why.append(_template_reason(chosen.template, facts))
    kit = Kit(
        type=facts.type,
        mount=basis.choice.mount,
        body_side=basis.choice.side,
        size_required=basis.sizing.required,
        spring_size=None if chosen is None else chosen.setting,
        body=None if chosen is None else chosen.body,
        template=None if chosen is None else chosen.template,
        finish=basis.finish,
        weight=basis.sizing.weight,
        assumed=(),
        lines=counted.lines,
        unused=counted.unused,
        missing=counted.missing,
        findings=(),
        why=tuple(why),
        proof=proof,
        list_price=list_price_of(counted.lines, shelf.currency),
        cost=cost_of(counted.lines, shelf.currency),
    )
    over = chosen is not None and chosen.tier >= OVER_LIMIT_TIER
    # Concerns look at the whole kit, so it is made first without its findings and completed below.
    findings = [
        *basis.findings,
        *counted.findings,
        *unclear_findings(facts.type),
        *concerns(kit, facts, basis.asked, over, shelf, rules),
    ]
    # Read last: only now has everything that may need a default asked for it.
    assumed = facts.assumed
    if assumed:
        fields = tuple(assumption.field for assumption in assumed)
        findings.append(
            Finding("assumed", Severity.NOTE, {"fields": fields}, None, Hint("confirm-assumed"))
        )
    return replace(kit, assumed=assumed, findings=in_order(findings))


def counted_from_cover(found: Found | None, basis: Basis, facts: Facts, shelf: Shelf) -> Counted:
    """The pieces of a cover found on the shelf; with none, a body is what is missing."""
    if found is None:
        missing: tuple[Missing, ...] = (
            Missing(Role.BODY, facts.type.leaves, (), need_body(basis.choice)),
        )
        return Counted(missing=missing, findings=_unsold(missing, True, basis.findings))
    chosen = BodyChoice(found.body, found.template, found.setting, found.tier)
    lines, unused = lines_of(found, body_reason(chosen, basis.sizing), facts, shelf)
    missing = tuple(
        Missing(need.role, need.quantity, need.kinds, need.reason)
        for index, need in enumerate(found.demand.needs)
        if index in found.cover.missing
    )
    findings = [*found.demand.findings, *hand_told(found.body.handed, facts)]
    return Counted(
        lines, unused, missing, (*findings, *_unsold(missing, False, (*basis.findings, *findings)))
    )


def missing_finding(missing: Missing, hint: Hint) -> Finding:
    """What is told of a missing piece: the code of its role."""
    return Finding(
        _MISSING_CODE.get(missing.role, _MISSING),
        Severity.STOP,
        {"role": missing.role, "quantity": missing.quantity, "kinds": missing.kinds},
        None,
        hint,
    )


def told_on_site(role: Role, findings: Sequence[Finding]) -> bool:
    """Whether a finding of the site has said already that no piece of a role fits."""
    stops = {finding.code for finding in findings if finding.severity is Severity.STOP}
    return bool(_TELLING.get(role, set()) & stops)


def need_body(choice: MountChoice) -> Reason:
    """Why a kit needs a body at all."""
    return Reason("need-body", {"mount": choice.mount}, ("joints-by-mount",))


def body_reason(chosen: BodyChoice, sizing: Sizing) -> Reason:
    """Why this body, by its sizes."""
    return Reason(
        "body-chosen",
        {
            "body": chosen.body.title,
            "size_from": chosen.body.size_from,
            "size_to": chosen.body.size_to,
            "adjustable": chosen.body.adjustable,
            "setting": chosen.setting,
        },
        # Weakness, delayed action and limits count in multiples of it: the rest is how the size
        # fits.
        ("fixed-size-next",) if chosen.body.size_from > (sizing.required or LARGEST_SIZE) else (),
        (sizing.reason,),
    )


def _unsold(
    missing: Sequence[Missing], no_body: bool, findings: Sequence[Finding]
) -> tuple[Finding, ...]:
    """Missing pieces nobody sells; without a body, any stop told has said why."""
    stopped = any(finding.severity is Severity.STOP for finding in findings)
    return tuple(
        missing_finding(piece, Hint("add-to-catalog", {"role": piece.role}))
        for piece in missing
        if not (stopped if no_body else told_on_site(piece.role, findings))
    )


def _template_reason(template: Template, facts: Facts) -> Reason:
    return Reason(
        "template-chosen",
        {
            "template": template.id,
            "reached": template.greatest_angle,
            "wanted": facts.opening_degrees,
        },
        (),
        (facts.why("opening_degrees"),),
    )
