"""Margin and markup: common practice, no source.

margin = (price - cost) / price; markup = (price - cost) / cost. The usual worked example: what
costs 75 and sells for 100 earns 25: a margin of 25 %, a markup of a third.
"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wholekit.domain.earnings import price_at
from wholekit.domain.errors import CallError
from wholekit.domain.margins import Margin
from wholekit.domain.quantities import Cost, Money
from wholekit.views.margins import margin_answer


def test_the_usual_example():
    answer = margin_answer(Margin(Money(10_000, "USD"), Cost(750_000, "USD")))
    assert (answer.earned.amount, answer.share, answer.markup) == ("25.00", "25%", "33.333%")


@pytest.mark.parametrize(
    ("markup", "margin"),
    [("25%", Fraction(1, 5)), ("50%", Fraction(1, 3)), ("100%", Fraction(1, 2))],
)
def test_the_usual_pairs_of_markup_and_margin(markup, margin):
    price = price_at(Cost(6_000_000, "USD"), margin)
    assert margin_answer(Margin(price, Cost(6_000_000, "USD"))).markup == markup


@given(
    st.integers(1, 10**9),
    st.integers(0, 990).map(lambda part: Fraction(part, 1000)),
    st.sampled_from(["USD", "JPY", "KWD"]),
)
def test_the_price_at_a_margin_is_the_least_that_holds_it(units, margin, currency):
    cost = Cost(units, currency)
    price = price_at(cost, margin)
    share = Margin(price, cost).share
    assert share is not None
    assert share >= margin
    less = Margin(price - Money(1, currency), cost).share
    assert less is None or less < margin


def test_no_price_earns_all_of_itself():
    with pytest.raises(CallError, match="margin-out-of-range"):
        price_at(Cost(1, "USD"), Fraction(1))
