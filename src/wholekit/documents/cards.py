"""Setting cards: how the fitter places, sets and checks each kind of opening of a job."""

from wholekit.documents.fill import Terms, estimates_of
from wholekit.documents.papers import Position, SettingCard, SettingCardPaper
from wholekit.domain.catalog import Body, Template
from wholekit.domain.kits import Kit
from wholekit.domain.openings import Mount
from wholekit.domain.rules import RuleBook
from wholekit.services.expand import KittedJob, KittedOpening
from wholekit.wording.cautions import cautions_for
from wholekit.wording.openings import serves, size_text, summary
from wholekit.wording.words import MOUNTS


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
    del rules
    kit = openings[0].kit
    top_jamb = kit.mount is Mount.TOP_JAMB
    return SettingCard(
        title=f"{MOUNTS[kit.mount]}, {size_text(kit.type)}",
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
            serves(line) for line in kit.lines if any(use.kind is not None for use in line.uses)
        ),
        adjustable=body.adjustable,
        backcheck=body.backcheck,
        delayed_action=body.delayed_action,
        fire=bool(kit.type.fire_minutes),
        accessible=bool(kit.type.accessible),
        estimates=estimates_of(kit),
        stop_needed=any(finding.code == "stop-needed" for finding in kit.findings),
        cautions=cautions_for([kit]),
    )


def _hand(kit: Kit) -> str:
    if kit.type.leaves == 2:
        return "pair"
    return kit.type.hand.value if kit.type.hand else "not stated"
