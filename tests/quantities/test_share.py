"""Shares and multipliers: plain numbers, exactly, and nothing that only a computer would write."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wholekit.domain.pricing import parse_multiplier
from wholekit.domain.quantities import QuantityError, parse_share


@given(st.decimals(-1_000, 1_000, places=6))
def test_a_decimal_is_read_exactly(value):
    assert parse_share(f"{value:f}") == Fraction(str(value))
    assert parse_share(f" {value:f} % ") == Fraction(str(value)) / 100


@pytest.mark.parametrize(
    "text",
    ["1e9999999", "1e-9999999", "1E3", "1_0", "1/0", "1/0%", "nan", "", "%", "0.5%%", "٣", "9" * 50,
     "0." + "3" * 50, "1/" + "3" * 50, "--5", "0x10"],
)  # fmt: skip
def test_what_is_no_plain_number_is_refused(text):
    with pytest.raises(QuantityError, match="share-unreadable"):
        parse_share(text)


@pytest.mark.parametrize(
    "text", ["0", "-5%", "1e-40", "0.0009", "0.09%", "10.1", "0." + "0" * 40 + "1"]
)
def test_a_multiplier_that_leaves_no_price_is_none(text):
    with pytest.raises(QuantityError, match="multiplier-unreadable"):
        parse_multiplier(text)


def test_the_least_and_the_greatest_multiplier_are_taken():
    assert parse_multiplier("0.001") == Fraction(1, 1000)
    assert parse_multiplier("0.1%") == Fraction(1, 1000)
    assert parse_multiplier("1000%") == 10
