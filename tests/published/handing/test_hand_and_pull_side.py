"""Hand, swing and pull side.

Source: published handing guides of the door trade, read: seen from the outside (the secure, key
or corridor side), hinges left and swinging away is LH, hinges right and swinging away RH, hinges
left and swinging toward LHR, hinges right and swinging toward RHR. The rest is computed from it
here by turning the drawing round, another way than the program's.
"""

import pytest

from wholekit.domain.openings import Facts, Hand, OpeningType, Swing
from wholekit.domain.openings.handing import hinge_side_from_pull, pull_side, swing_of_hand
from wholekit.domain.quantities import Length
from wholekit.intake.dialect import translate
from wholekit.intake.rulebook import load_rulebook

# Hinges as seen from the outside, and whether the leaf swings toward whoever stands there.
GUIDE = {
    Hand.LH: ("left", "away"),
    Hand.RH: ("right", "away"),
    Hand.LHR: ("left", "toward"),
    Hand.RHR: ("right", "toward"),
}
OTHER_SIDE = {"left": "right", "right": "left"}


@pytest.mark.parametrize("hand", list(Hand))
def test_a_leaf_that_swings_away_from_the_outside_swings_in(hand):
    expected = Swing.IN if GUIDE[hand][1] == "away" else Swing.OUT
    assert swing_of_hand(hand) is expected


@pytest.mark.parametrize("hand", list(Hand))
def test_the_pull_side_is_where_the_leaf_comes_toward_you(hand):
    expected = "outside" if GUIDE[hand][1] == "toward" else "inside"
    assert pull_side(swing_of_hand(hand)) == expected


@pytest.mark.parametrize("hand", list(Hand))
def test_seen_from_the_pull_side_hinges_change_sides_if_that_is_the_inside(hand):
    seen_outside, swings = GUIDE[hand]
    expected = seen_outside if swings == "toward" else OTHER_SIDE[seen_outside]
    assert hinge_side_from_pull(hand) == expected


def test_the_hand_of_an_opening_tells_its_swing_without_an_assumption():
    rules = load_rulebook()
    for hand, (_, swings) in GUIDE.items():
        facts = Facts(OpeningType(Length.inches(36), Length.inches(84), hand=hand), rules)
        assert facts.swing is (Swing.OUT if swings == "toward" else Swing.IN)
        assert not facts.assumed


@pytest.mark.parametrize(
    ("side", "hinges", "words"),
    [
        ("pull", "left", ("gauche tirant", "tirant gauche", "izquierda jalar", "DIN L")),
        ("pull", "right", ("droite tirant", "tirant droit", "derecha tirar", "DIN R")),
        ("push", "left", ("gauche poussant", "poussant gauche", "izquierda empujar")),
        ("push", "right", ("droite poussant", "poussant droit", "derecha empujar")),
    ],
)
def test_hinges_seen_from_the_pull_or_push_side_leave_two_hands_which_are_asked(
    side, hinges, words
):
    def seen(hand):
        outside, swings = GUIDE[hand]
        from_outside = (swings == "toward") == (side == "pull")
        return outside if from_outside else OTHER_SIDE[outside]

    expected = {str(hand) for hand in Hand if seen(hand) == hinges}
    for word in words:
        reading = translate("hand", word)
        assert reading is not None
        assert set(reading.asked) == expected
        assert not reading.cells
