"""The inch and the pound of the international yard and pound agreement, 1959.

Source: the agreement of the national laboratories of 1 July 1959: 1 yd = 0.9144 m and
1 lb = 0.45359237 kg, both exactly (also NIST SP 811 appendix B). From memory, not read; the same
figures stand in scipy.constants, a reference library, where they are compared too.
"""

import pytest
from scipy import constants

from wholekit.domain.quantities import Length, Mass, parse_length, parse_mass


def test_a_yard_is_914_4_millimetres_exactly():
    assert parse_length("3 ft") == Length.mm(914.4)
    assert parse_length("36 in").nm == 914_400_000


def test_an_inch_is_25_4_millimetres_exactly():
    assert parse_length("1 in").nm == 25_400_000
    assert Length.inches(1).in_metres == constants.inch


def test_a_sixty_fourth_of_an_inch_is_396_875_nanometres_exactly():
    assert parse_length("1/64").nm == 396_875


@pytest.mark.parametrize(
    ("inches", "millimetres"),
    [
        ("8-1/4 in", "209.55 mm"),  # the two spacings of a usual size 3 hole pattern
        ("3-1/4 in", "82.55 mm"),
        ("1-3/4 in", "44.45 mm"),
        ("1-3/8 in", "34.925 mm"),
        ("1-15/16 in", "49.2125 mm"),
    ],
)
def test_usual_dimensions_of_the_trade_convert_exactly(inches, millimetres):
    assert parse_length(inches) == parse_length(millimetres)
    assert parse_length(inches).nm == parse_length(millimetres).nm


def test_a_pound_is_0_45359237_kilograms_exactly():
    assert Mass.lb(1).ug == 453_592_370
    assert parse_mass("1 lb") == parse_mass("0.45359237 kg")
    assert Mass.lb(1).in_kg == pytest.approx(constants.pound, rel=1e-15)
