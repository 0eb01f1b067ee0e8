"""The costs that an owner adds up by hand come to the total that stands on the first page."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wholekit.domain.margins import rounded_together
from wholekit.domain.quantities import Cost, Money

UNITS = {"USD": 100, "JPY": 10_000, "KWD": 10}


@given(
    st.sampled_from(sorted(UNITS)),
    st.lists(st.integers(-50_000, 9_000_000), max_size=30),
    st.integers(0, 9_999),
)
def test_costs_rounded_together_add_up_and_none_is_off_by_more_than_a_unit(currency, parts, over):
    costs = [Cost(units, currency) for units in parts]
    other = Cost(over, currency)
    sum_of = Cost(sum(parts), currency)
    # Of a sum, or of what a sum leaves when the rest is rounded too.
    whole = (sum_of + other).as_money - other.as_money
    for total in (sum_of.as_money, whole):
        shown = rounded_together(costs, total)
        assert len(shown) == len(costs)
        assert Money(sum(each.minor for each in shown), currency) == total
        exact = [Fraction(units, UNITS[currency]) for units in parts]
        off = [each.minor - value for each, value in zip(shown, exact, strict=True)]
        assert all(-1 < each <= 1 for each in off)
        # What is rounded up has no smaller remainder than what is rounded down.
        up = [value % 1 for value, each in zip(exact, off, strict=True) if each > 0]
        down = [
            value % 1 for value, each in zip(exact, off, strict=True) if each <= 0 and value % 1
        ]
        assert not up or not down or min(up) >= max(down)


def test_a_whole_that_is_not_their_sum_is_refused():
    with pytest.raises(ValueError, match="not the sum"):
        rounded_together([Cost(10_000, "USD")], Money(102, "USD"))
