"""Money in whole minor units; costs to four decimals.

Digits after the point are held against CLDR's currency data (through Babel), which follow
ISO 4217 for every currency here.
"""

from decimal import Decimal
from fractions import Fraction

import pytest
from babel.numbers import get_currency_precision
from hypothesis import given
from hypothesis import strategies as st

from wholekit.domain.quantities import (
    Cost,
    Money,
    QuantityError,
    currency_digits,
    parse_cost,
    parse_money,
)
from wholekit.domain.quantities.money import ISO_4217_DIGITS, round_half_up

CURRENCIES = st.sampled_from(sorted(ISO_4217_DIGITS))


@pytest.mark.parametrize("currency", sorted(ISO_4217_DIGITS))
def test_each_currency_has_the_minor_units_of_iso_4217(currency):
    assert currency_digits(currency) == get_currency_precision(currency)


@pytest.mark.parametrize("currency", ["", "usd", "XXX", "US Dollar"])
def test_an_unknown_currency_is_refused_with_those_that_are_known(currency):
    with pytest.raises(QuantityError) as caught:
        currency_digits(currency)
    assert caught.value.code == "currency-unknown"
    assert caught.value.fields["known"] == sorted(ISO_4217_DIGITS)


@pytest.mark.parametrize(
    ("text", "currency", "minor"),
    [
        ("412.50", "USD", 41_250),
        ("412.5", "USD", 41_250),
        ("412", "USD", 41_200),
        (" 0.01 ", "USD", 1),
        ("0", "USD", 0),
        ("41250", "JPY", 41_250),
        ("1.234", "KWD", 1_234),
    ],
)
def test_a_plain_amount_is_read_in_minor_units(text, currency, minor):
    assert parse_money(text, currency) == Money(minor, currency)


@pytest.mark.parametrize(
    ("text", "currency", "code"),
    [
        ("", "USD", "money-unreadable"),
        ("1,234.50", "USD", "money-unreadable"),
        ("$5", "USD", "money-unreadable"),
        ("1e3", "USD", "money-unreadable"),
        ("1O1", "USD", "money-unreadable"),
        ("NaN", "USD", "money-unreadable"),
        ("9" * 10, "USD", "money-over-limit"),
        ("9" * 5000, "USD", "money-over-limit"),
        ("١٢", "USD", "money-unreadable"),
        ("-1", "USD", "money-negative"),
        ("−1", "USD", "money-negative"),
        ("1.234", "USD", "money-too-many-decimals"),
        ("1.5", "JPY", "money-too-many-decimals"),
        ("1", "ZZZ", "currency-unknown"),
    ],
)
def test_what_is_no_amount_is_refused(text, currency, code):
    with pytest.raises(QuantityError) as caught:
        parse_money(text, currency)
    assert caught.value.code == code


def test_a_cost_has_four_decimals_and_no_more():
    assert parse_cost("0.0375", "USD") == Cost(375, "USD")
    assert parse_cost("2", "JPY").decimal_text == "2.0000"
    with pytest.raises(QuantityError) as caught:
        parse_cost("0.00375", "USD")
    assert caught.value.code == "money-too-many-decimals"


@given(st.integers(0, 10**9 - 1), CURRENCIES)
def test_the_printed_text_of_an_amount_reads_back_as_the_same_amount(minor, currency):
    money = Money(minor, currency)
    assert parse_money(money.decimal_text, currency) == money
    assert Decimal(money.decimal_text) == money.decimal


@given(st.integers(0, 10**12), CURRENCIES)
def test_the_printed_text_of_a_cost_reads_back_as_the_same_cost(units, currency):
    cost = Cost(units, currency)
    assert parse_cost(cost.decimal_text, currency) == cost


@given(st.fractions(min_value=-(10**9), max_value=10**9))
def test_rounding_is_to_the_nearest_whole_and_halves_go_away_from_zero(value):
    rounded = round_half_up(value)
    assert abs(rounded - value) <= Fraction(1, 2)
    if abs(rounded - value) == Fraction(1, 2):
        assert abs(rounded) > abs(value)


def test_a_cost_is_rounded_half_up_to_the_minor_unit():
    assert Cost(125, "USD").as_money == Money(1, "USD")
    assert Cost(150, "USD").as_money == Money(2, "USD")
    assert Cost(5_000, "JPY").as_money == Money(1, "JPY")
    assert Cost(12_345, "KWD").as_money == Money(1_235, "KWD")


def test_amounts_of_two_currencies_are_never_added():
    with pytest.raises(QuantityError, match="currency-mixed"):
        Money(1, "USD") + Money(1, "CAD")
    with pytest.raises(QuantityError, match="currency-mixed"):
        Money(1, "USD") - Money(1, "EUR")
    with pytest.raises(QuantityError, match="currency-mixed"):
        Cost(1, "USD") + Cost(1, "CAD")
    assert Money(150, "USD") + Money(50, "USD") - Money(100, "USD") == Money(100, "USD")
    assert Money.zero("USD") + Money(7, "USD").times(3) == Money(21, "USD")
