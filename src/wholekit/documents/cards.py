"""Setting cards: how the fitter places, sets and checks each kind of opening of a job."""

from wholekit.documents.drawings import draw_plan
from wholekit.documents.fill import Terms, estimates_of
from wholekit.documents.papers import Position, SettingCard, SettingCardPaper
from wholekit.domain.catalog import Body, Template
from wholekit.domain.catalog.screws import wood_screw_diameter
from wholekit.domain.forces import en_basis
from wholekit.domain.kits import Kit, Use
from wholekit.domain.openings import Mount
from wholekit.domain.rules import RuleBook
from wholekit.services.expand import KittedJob, KittedOpening
from wholekit.wording.cautions import cautions_for_fitters
from wholekit.wording.closing import gauge_point, latch_text, sweep_text
from wholekit.wording.openings import piece_text, size_text, summary
from wholekit.wording.words import MOUNTS, field_name, value_text

PLAN_ANGLE = 90.0
# What the fitter sees on site and the office could only assume.
_ON_SITE = frozenset(
    {"door_reinforced", "frame_reinforced", "thickness", "head_face", "top_rail", "reveal", "stop"}
)


def cards_paper(job: KittedJob, terms: Terms, rules: RuleBook) -> SettingCardPaper:
    """A card for each kind of opening that has a body; openings alike share one."""
    alike: dict[int, list[KittedOpening]] = {}
    for one in job.openings:
        alike.setdefault(id(one.kit), []).append(one)
    return SettingCardPaper(
        terms.head,
        tuple(
            _card(openings, openings[0].kit.body, openings[0].kit.template, rules)
            for openings in alike.values()
            if openings[0].kit.body is not None and openings[0].kit.template is not None
        ),
    )


def _card(
    openings: list[KittedOpening], body: Body | None, template: Template | None, rules: RuleBook
) -> SettingCard:
    assert body is not None  # noqa: S101  # chosen so above
    assert template is not None  # noqa: S101
    kit = openings[0].kit
    top_jamb = kit.mount is Mount.TOP_JAMB
    return SettingCard(
        title=f"{MOUNTS[kit.mount].capitalize()}, {size_text(kit.type)}",
        marks=tuple(one.opening.mark for one in openings),
        quantity=sum(one.opening.quantity for one in openings),
        summary=summary(kit.type),
        body=body.title,
        mount=MOUNTS[kit.mount],
        hand=_hand(kit),
        size_set=kit.spring_size,
        opening_degrees=int(template.greatest_angle),
        vertical=Position(
            "upper holes of the body",
            str(template.holes_down),
            "bottom edge of the frame head, upward" if top_jamb else "top of the leaf, downward",
        ),
        horizontal=Position(
            "nearest holes of the body", str(template.holes_from_hinge), "hinge centre line"
        ),
        positions=(
            Position("pinion", str(template.pinion_from_hinge), "hinge centre line"),
            Position(
                "bracket pivot" if kit.mount is Mount.PARALLEL else "shoe pivot",
                str(template.anchor_from_hinge),
                "hinge centre line",
            ),
            Position(
                "body holes, along × across",
                f"{body.hole_pattern[0]} × {body.hole_pattern[1]}",
                "between centres",
            ),
        ),
        fasteners=tuple(
            _fastener(use, rules) for line in kit.lines for use in line.uses if use.kind is not None
        ),
        adjustable=body.adjustable,
        backcheck=body.backcheck,
        delayed_action=body.delayed_action,
        fire=bool(kit.type.fire_minutes),
        accessible=bool(kit.type.accessible),
        estimates=estimates_of(kit),
        stop_needed=any(finding.code == "stop-needed" for finding in kit.findings),
        questions=tuple(
            f"{field_name(one.field)} assumed: {value_text(one.field, one.value)}"
            for one in kit.assumed
            if one.field in _ON_SITE
        ),
        gauge_limit=_limit(kit),
        gauge_point=_gauge_point(kit, rules),
        sweep=sweep_text(rules),
        latch=latch_text(rules),
        cautions=cautions_for_fitters(kit),
        drawing=_drawing(kit, template),
    )


def _fastener(use: Use, rules: RuleBook) -> str:
    """`4 wood screws for the body, No. 14 (.242 in)`."""
    text = piece_text(use.role, use.kind, use.quantity)
    if use.screw_number is None:
        return text
    diameter = f"{wood_screw_diameter(use.screw_number, rules):.3f}".lstrip("0")
    return f"{text}, No. {use.screw_number} ({diameter} in)"


def _gauge_point(kit: Kit, rules: RuleBook) -> str:
    """Where the profile's code reads the force."""
    if kit.proof is None:
        return ""
    en = en_basis(kit.proof.jurisdiction, rules)
    return gauge_point(rules, kit.proof.verdict.read_at, en)


def _limit(kit: Kit) -> str:
    """The force a gauge must not pass, as text; empty where no limit binds."""
    if kit.proof is None:
        return ""
    binding = [
        one
        for one in kit.proof.verdict.limits
        if one.binding and one.limit.scope == "accessible" and one.limit.unit in ("lbf", "N")
    ]
    return ", ".join(f"{one.allowed:g} {one.limit.unit}" for one in binding)


def _drawing(kit: Kit, template: Template) -> str:
    """A plan of leaf, frame and arms, the leaf open at a right angle or as far as it goes."""
    if kit.proof is None or kit.proof.arms is None:
        return ""
    angle = min(PLAN_ANGLE, template.greatest_angle)
    return draw_plan(
        kit.proof.arms,
        angle,
        kit.type.width.in_metres,
        f"{MOUNTS[kit.mount]}, leaf open {angle:g}°",
        "plan, seen from above; calculated from the template",
    )


def _hand(kit: Kit) -> str:
    if kit.type.leaves == 2:
        return "pair"
    return kit.type.hand.value if kit.type.hand else "not stated"
