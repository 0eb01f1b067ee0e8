"""Leaf weights: pounds and kilograms, exact to the microgram."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants

from wholekit.domain.quantities import Mass, QuantityError, parse_mass


def test_a_pound_is_what_the_reference_library_holds():
    # scipy.constants: pound of the 1959 agreement, 0.45359237 kg.
    assert Mass.lb(1).in_kg == pytest.approx(constants.lb, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "ug"),
    [
        ("100 lb", 45_359_237_000),
        ("100lbs", 45_359_237_000),
        ("100 LBS.", 45_359_237_000),
        ("100 pounds", 45_359_237_000),
        ("1 pound", 453_592_370),
        ("45 kg", 45_000_000_000),
        ("45.5kg", 45_500_000_000),
        ("45 kgs", 45_000_000_000),
        ("45 kilograms", 45_000_000_000),
        (".5 kg", 500_000_000),
    ],
)
def test_every_usual_spelling_of_a_weight_is_read_exactly(text, ug):
    assert parse_mass(text).ug == ug


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "mass-unreadable"),
        ("heavy", "mass-unreadable"),
        ("1O0 lb", "mass-unreadable"),
        ("100 stone", "mass-unreadable"),
        ("1.2.3 kg", "mass-unreadable"),
        ("1" * 50 + " lb", "mass-unreadable"),
        ("100", "mass-without-unit"),
        ("0 lb", "mass-not-positive"),
        ("-5 kg", "mass-not-positive"),
        ("−5 kg", "mass-not-positive"),
    ],
)
def test_what_is_no_weight_is_refused(text, code):
    with pytest.raises(QuantityError) as caught:
        parse_mass(text)
    assert (caught.value.code, caught.value.given) == (code, text)


@given(st.decimals("0.001", 2_000, places=3), st.sampled_from(["lb", "kg"]))
def test_the_printed_text_of_a_weight_reads_back_as_the_same_weight(value, unit):
    mass = parse_mass(f"{value:f} {unit}")
    assert parse_mass(str(mass)) == mass
    assert str(mass).endswith(f" {unit}")


def test_weights_are_equal_whatever_unit_they_were_written_in():
    assert parse_mass("1 lb") == parse_mass("0.45359237 kg")
    assert len({parse_mass("1 lb"), parse_mass("0.45359237 kg")}) == 1
