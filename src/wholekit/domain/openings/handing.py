"""What a hand says: swing, pull side, and on which side the hinges are from the pull side."""

from wholekit.domain.openings.words import Hand, HingeSide, Swing


def swing_of_hand(hand: Hand) -> Swing:
    """The swing a hand implies, read from the outside.

    LH and RH swing away from the outside, so in; LHR and RHR swing toward it, so out.
    Source: published handing guides.

    >>> swing_of_hand(Hand.LHR).value
    'out'
    """
    return Swing.OUT if hand in (Hand.LHR, Hand.RHR) else Swing.IN


def pull_side(swing: Swing) -> str:
    """Which side of the opening the pull side is: `inside` or `outside`.

    A leaf that swings in is pulled from the inside; one that swings out, from the outside
    (computed from the definitions of pull side and hand).
    """
    return "inside" if swing is Swing.IN else "outside"


def hinge_side_from_pull(hand: Hand) -> HingeSide:
    """The hinge side seen from the pull side, `left` or `right`: what a handed body must match.

    LH (hinges left, seen from outside, swinging away) shows its hinges at the right from the
    inside, its pull side; RHR shows them at the right from the outside, its pull side. So LH and
    RHR take the same handed body, and RH and LHR the other (computed).

    >>> hinge_side_from_pull(Hand.LH).value, hinge_side_from_pull(Hand.RHR).value
    ('right', 'right')
    """
    return HingeSide.RIGHT if hand in (Hand.LH, Hand.RHR) else HingeSide.LEFT


def hand_of(hinge_side: HingeSide, swing: Swing) -> Hand:
    """The hand of a leaf by its hinge side seen from the pull side (`left`, `right`) and its swing.

    The two functions above turned round; so a pair's leaves get a hand each (computed).

    >>> hand_of(HingeSide.RIGHT, Swing.IN).value, hand_of(HingeSide.RIGHT, Swing.OUT).value
    ('LH', 'RHR')
    """
    if hinge_side is HingeSide.RIGHT:
        return Hand.LH if swing is Swing.IN else Hand.RHR
    return Hand.RH if swing is Swing.IN else Hand.LHR
