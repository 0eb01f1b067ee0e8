"""Hands and leaves as a fitter stands before them, in words.

Left and right are those of the drawing, seen from the side the closer is on. Hands, schedules and
most notes are told from the outside; where the fitter stands inside, that is said with each leaf.
"""

from collections.abc import Sequence

from wholekit.wording.speech import tr

HAND_UNKNOWN = (
    "HAND NOT STATED: drawn with the hinges at the left. For hinges at the right, mirror the "
    "drawings; every distance from the hinge center line stays as it is."
)
# By whether the hinges are at the right, and whether that is seen from the pull side.
HINGES = {
    (False, True): "{hand}, hinges at the left seen from the pull side",
    (False, False): "{hand}, hinges at the left seen from the push side",
    (True, True): "{hand}, hinges at the right seen from the pull side",
    (True, False): "{hand}, hinges at the right seen from the push side",
}
SHEET_SEEN = {
    (False, True): "Hinges at the left. Seen from the pull side: lay it on that side.",
    (False, False): "Hinges at the left. Seen from the push side: lay it on that side.",
    (True, True): "Hinges at the right. Seen from the pull side: lay it on that side.",
    (True, False): "Hinges at the right. Seen from the push side: lay it on that side.",
}
HINGES_HIDDEN = "Not seen there: the hinge center line; carry it over."
EITHER_HAND = (
    "HAND NOT STATED: there is a sheet for hinges at the left and one for hinges at the right. "
    "Look at the leaf and take the one that fits it; throw the other away."
)
REVERSE = ("LHR", "RHR")
# On which side a leaf's hinges are from the outside, by the first letter of its hand.
SIDE_OF = {"L": "left", "R": "right"}
LEAF_SIDES = {"left": "left leaf", "right": "right leaf"}
ACTIVE_UNMARKED = (
    "WHICH LEAF IS ACTIVE? The note names the {side}; the schedule gives no hand of an active "
    "leaf, so none is marked on the drawing."
)
ACTIVE_NOWHERE = (
    "WHICH LEAF IS ACTIVE? Neither a note nor the schedule says it, so none is marked on the "
    "drawing."
)
ACTIVE_MEANT = "Told from the outside, as is usual, it would be {hand}."
ACTIVE_DIFFERS = (
    "WHICH LEAF IS ACTIVE? The note names the {side}, told from the outside as is usual; by the "
    "hand in the schedule it is {hand}."
)
ACTIVE_ASK = "Ask the office before you set which leaf closes first."


def outside(hands: Sequence[str], pull_side: bool) -> bool | None:
    """Whether a pair is seen from the outside, whence hands are read; None where nobody knows.

    >>> outside(("RHR", "LHR"), pull_side=False), outside(("LH", "RH"), pull_side=False)
    (False, True)
    """
    if len(hands) != 2 or not hands[0]:
        return None
    # The pull side of reverse hands is the outside.
    return pull_side is (hands[0] in REVERSE)


def leaf_names(hands: Sequence[str], pull_side: bool) -> tuple[str, str]:
    """The leaves of a pair as they stand on paper, the left one first. From the inside, where the
    left one is the right one of the schedule, they go by their hands alone.

    >>> leaf_names(("LHR", "RHR"), pull_side=True), leaf_names(("RHR", "LHR"), pull_side=False)
    (('; left leaf LHR', '; right leaf RHR'), ('; leaf RHR', '; leaf LHR'))
    """
    names = (
        (tr("; leaf {hand}"), tr("; leaf {hand}"))
        if outside(hands, pull_side) is False
        else (tr("; left leaf {hand}"), tr("; right leaf {hand}"))
    )
    left, right = (name.format(hand=hand).rstrip() for name, hand in zip(names, hands, strict=True))
    return left, right


def leaf_asides(hands: Sequence[str], pull_side: bool) -> tuple[str, str]:
    """Which leaf each is from the outside, the left one on paper first; empty where it is drawn so.

    >>> leaf_asides(("RHR", "LHR"), pull_side=False)
    (', right leaf from outside', ', left leaf from outside')
    """
    if outside(hands, pull_side) is not False:
        return "", ""
    return tr(", right leaf from outside"), tr(", left leaf from outside")


def sides_text(hands: Sequence[str], pull_side: bool) -> str:
    """From where left and right of a pair are told on a card; empty where it is no pair.

    >>> sides_text(("RHR", "LHR"), pull_side=False)
    'Drawn from the inside: the leaf at the left here is the right one of schedule and notes.'
    >>> sides_text(("LH", "RH"), pull_side=False)
    'Left leaf and right leaf here: as seen from the outside.'
    """
    if len(hands) != 2:
        return ""
    match outside(hands, pull_side):
        case True:
            return tr("Left leaf and right leaf here: as seen from the outside.")
        case False:
            return tr(
                "Drawn from the inside: the leaf at the left here is the right one of schedule and "
                "notes."
            )
        case _:
            return tr("Left leaf and right leaf here: as drawn, from the side the closer is on.")


def hand_text(
    hands: Sequence[str], pull_side: bool, hinge_right: bool, active: Sequence[bool] = ()
) -> str:
    """A leaf's hand for a fitter: `LH, hinges at the right seen from the pull side`.

    active: which leaf of a pair is, where that is known.
    """
    if len(hands) == 2:
        if not hands[0]:
            return tr("pair, hinges left and right; swing not stated")
        said = (
            tr("pair seen from the pull side: at the left {left}, at the right {right}")
            if pull_side
            else tr("pair seen from the push side: at the left {left}, at the right {right}")
        )
        left, right = (
            tr("{hand} (active)").format(hand=hand) if opened_first else hand
            for hand, opened_first in zip(hands, active or (False, False), strict=True)
        )
        return said.format(left=left, right=right)
    if not hands:
        return tr("hand not stated")
    return tr(HINGES[hinge_right, pull_side]).format(hand=hands[0])


def active_text(noted: str, hand: str, leaves: Sequence[str]) -> str:
    """That nothing says which leaf is active, or a note's word on it that the drawing does not bear
    out; empty where it does.

    noted: `left` or `right` as the note has it, empty for none; hand: the active leaf's by the
    schedule, empty where it does not say; leaves: hands as drawn.

    >>> active_text("right", "RHR", ("RHR", "LHR")), active_text("", "RHR", ())
    ('', '')
    """
    if not noted:
        return "" if hand else f"{tr(ACTIVE_NOWHERE)} {tr(ACTIVE_ASK)}"
    side = tr(LEAF_SIDES[noted])
    if not hand:
        meant = next((one for one in leaves if one and SIDE_OF[one[0]] == noted), "")
        here = tr(ACTIVE_MEANT).format(hand=meant) if meant else ""
        return " ".join(filter(None, (tr(ACTIVE_UNMARKED).format(side=side), here, tr(ACTIVE_ASK))))
    if SIDE_OF[hand[0]] == noted:
        return ""
    return f"{tr(ACTIVE_DIFFERS).format(side=side, hand=hand)} {tr(ACTIVE_ASK)}"
