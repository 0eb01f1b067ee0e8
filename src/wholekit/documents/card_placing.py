"""Where a kit's holes, pinion and pivot lie on leaf and head, as the fitter sees them.

The same for a setting card, whose drawings are small, and for a drilling sheet in true size.
"""

from dataclasses import dataclass, replace

from wholekit.documents.drawings import Dimensions, DrawnLeaf, Placing
from wholekit.domain.catalog import CORNERS, Holes, Template
from wholekit.domain.kits import body_drilling, rows_of
from wholekit.domain.openings import (
    BodySide,
    HingeSide,
    Mount,
    Swing,
    hand_of,
    hinge_side_from_pull,
    swing_of_hand,
)
from wholekit.domain.quantities import Length
from wholekit.domain.quotes.offer import OfferKit
from wholekit.domain.rules import RuleBook
from wholekit.wording import drilling as words
from wholekit.wording.hands import leaf_asides, leaf_names
from wholekit.wording.speech import tr

# Drawn where nothing is known [m]: the head's face, and the gap over the leaf.
SHOWN_FACE, GAP = 0.05, 0.003
# A rail that goes so far past its holes is not drawn.
FAR_RAIL = Length.mm(40)


@dataclass(frozen=True, slots=True)
class Drilled:
    """Holes that may be drilled by: columns from the hinge line, rows from the edge [Length]."""

    holes: Holes
    columns: tuple[Length, Length]
    rows: tuple[Length, Length]


def drilled_of(kit: OfferKit) -> tuple[bool, Drilled | None, str]:
    """Whether a plate carries the body, the holes to drill, and else why none may be given.

    The last is a code of `NO_DRILLING`, empty where holes are given.
    """
    drilling = body_drilling(kit)
    on_plate = drilling is not None and drilling.on_plate
    if drilling is None or drilling.holes is None:
        return on_plate, None, "on-plate" if on_plate else "row-not-stated"
    holes = drilling.holes
    along = holes.pattern[0]
    rows = rows_of(drilling, kit.mount)
    # A fitter drills what a card says. A pattern that it cannot show truly, or a hole off the leaf
    # or frame, gets no figure at all.
    if rows is None:
        why = "not-four-holes" if holes.count != CORNERS else "off-host"
        return on_plate, None, "on-plate" if on_plate else why
    return on_plate, Drilled(holes, (holes.from_hinge, holes.from_hinge + along), rows), ""


def placing_of(
    kit: OfferKit, template: Template, leaves: tuple[DrawnLeaf, ...], rules: RuleBook
) -> Placing:
    """Where everything of the kit sits, with its dimensions in the schedule's units."""
    on_plate, drilled, _ = drilled_of(kit)
    metric = is_metric(kit)
    arms = kit.proof.arms if kit.proof is not None else None
    face = kit.type.head_face or assumed_value(kit, "head_face")
    rail = kit.type.top_rail or assumed_value(kit, "top_rail")
    # The rule's figure is in inches.
    stop = arms.stop if arms is not None else rules.number("stop-height") * 0.0254
    return Placing(
        mount=kit.mount,
        pull_side=kit.body_side is BodySide.PULL,
        leaves=leaves,
        pinion=template.pinion_from_hinge.in_metres,
        anchor=template.anchor_from_hinge.in_metres,
        head_face=face.in_metres if isinstance(face, Length) else SHOWN_FACE,
        stop=stop,
        gap=GAP,
        words=replace(
            _dimensions(kit.mount, template, drilled, on_plate=on_plate, metric=metric),
            rail=words.on_drawing(kit.type.top_rail, metric)
            if kit.type.top_rail
            else tr("not stated"),
        ),
        columns=_metres(drilled.columns) if drilled else None,
        rows=_metres(drilled.rows) if drilled else None,
        located=drilled.holes.down.in_metres if drilled else 0.0,
        on_plate=on_plate,
        rail=rail.in_metres
        if isinstance(rail, Length) and _shown(rail, drilled, on_plate)
        else None,
        unit=tr("; dimensions in mm") if metric else "",
        arms=arms,
    )


def _shown(rail: Length, drilled: Drilled | None, on_plate: bool) -> bool:
    """Whether the rail's lower edge is near enough to what is drilled to be drawn."""
    return on_plate or (drilled is not None and (rail - drilled.rows[1]).nm < FAR_RAIL.nm)


def _dimensions(
    mount: Mount, template: Template, drilled: Drilled | None, *, on_plate: bool, metric: bool
) -> Dimensions:
    """Numbers for the drawings, each led by its letter in the card's table; none at all where the
    card gives no position."""
    if drilled is None and not on_plate:
        return Dimensions()

    def short(letter: str, length: Length) -> str:
        return f"{letter} {words.on_drawing(length, metric)}"

    pinion, anchor = template.pinion_from_hinge, template.anchor_from_hinge
    parallel, face = mount is Mount.PARALLEL, template.anchor_from_face
    if drilled is None:
        return Dimensions(
            pinion=short("a", pinion),
            anchor=short("b", anchor),
            from_face=short("c", face) if parallel else "",
        )
    holes = drilled.holes
    return Dimensions(
        first=short("b", holes.from_hinge),
        along=short("c", holes.pattern[0]),
        vertical=short("a", holes.down),
        across=short("c", holes.pattern[1]),
        pinion=short("d", pinion),
        anchor=short("e", anchor),
        from_face=short("f", face) if parallel else "",
    )


def is_metric(kit: OfferKit) -> bool:
    """Whether the schedule wrote the opening's size in metric units."""
    return kit.type.width.unit not in ("in", "ft")


def assumed_value(kit: OfferKit, field: str) -> object:
    """What was assumed of a field, None where nothing was."""
    return next((assumption.value for assumption in kit.assumed if assumption.field == field), None)


def leaves_of(kit: OfferKit) -> tuple[tuple[DrawnLeaf, ...], tuple[str, ...]]:
    """The leaves as the fitter sees them from the closer's side, left first, and their hands.

    No hand stated: one leaf drawn with its hinges at the left, and no hand; a pair whose swing is
    not known either has empty ones.
    """
    opening, pull = kit.type, kit.body_side is BodySide.PULL
    if opening.leaves == 2:
        swing = _swing(kit)
        hands = tuple(
            "" if swing is None else hand_of(_from_pull(right, pull), swing).value
            for right in (False, True)
        )
        names, asides = leaf_names(hands, pull), leaf_asides(hands, pull)
        # A pair's hand is that of its active leaf; unless it contradicts the swing.
        active = "" if opening.hand is None else opening.hand.value
        left, right = (bool(hand) and hand == active for hand in hands)
        return (
            DrawnLeaf(names[0], False, left, asides[0]),
            DrawnLeaf(names[1], True, right, asides[1]),
        ), hands
    if opening.hand is None:
        return (DrawnLeaf(tr("; hand not stated"), False),), ()
    right = hinge_side_from_pull(opening.hand) is HingeSide.RIGHT
    return (DrawnLeaf(f"; {opening.hand.value}", right if pull else not right),), (
        opening.hand.value,
    )


def _from_pull(hinge_right: bool, pull: bool) -> HingeSide:
    """The hinge side from the pull side, of a leaf seen from either."""
    return HingeSide.RIGHT if hinge_right is pull else HingeSide.LEFT


def _swing(kit: OfferKit) -> Swing | None:
    if kit.type.swing is not None:
        return kit.type.swing
    if kit.type.hand is not None:
        return swing_of_hand(kit.type.hand)
    assumed = assumed_value(kit, "swing")
    return assumed if isinstance(assumed, Swing) else None


def _metres(pair: tuple[Length, Length]) -> tuple[float, float]:
    return pair[0].in_metres, pair[1].in_metres
