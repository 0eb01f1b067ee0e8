"""Reorder points and safety stock against the worked examples of two handbooks.

- W. J. Stevenson, Operations Management, 14th edition, chapter 12, example 8 (read): demand over
  the lead time 50 tons, standard deviation 5, risk of a stockout 3 %: z 1.88, safety stock 9.40,
  reorder point 59.40.
- B. W. Taylor, Introduction to Management Science, chapter 16, reorder point with variable demand:
  30 yards a day, standard deviation 5, lead time 10 days, service level 95 % and z 1.65 (read);
  reorder point 326.1 and safety stock 26.1 (from memory).
- Demand and lead time both variable (J. Heizer, B. Render, Operations Management, from memory): 150
  a day, standard deviation 16, lead time 5 days with 1, 95 %: 150·5 + 1.65·154 = 1,004.

The handbooks round z to two decimals; what is allowed for it is said at each.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wholekit.domain.buying import DailyDemand, demand_of, suggest_reorder


def kept(found):
    """Safety stock before it is rounded up."""
    return found.factor * found.spread


@pytest.mark.parametrize(
    ("demand", "lead", "lead_spread", "service", "z", "safety", "point"),
    [
        # The example gives the spread of the whole lead time, so that it is one day long here.
        (DailyDemand(50, 5), 1, 0, 0.97, 1.88, 9.40, 59.40),
        (DailyDemand(30, 5), 10, 0, 0.95, 1.65, 26.1, 326.1),
        (DailyDemand(150, 16), 5, 1, 0.95, 1.65, 254, 1004),
    ],
)
def test_a_handbooks_example_comes_out(demand, lead, lead_spread, service, z, safety, point):
    found = suggest_reorder(demand, lead, service, lead_spread)
    assert found.factor == pytest.approx(z, abs=0.0052), "z is rounded to two decimals"
    assert kept(found) == pytest.approx(safety, rel=0.004), "as is z: 0.005 of 1.65 is 0.3 %"
    assert found.expected + kept(found) == pytest.approx(point, rel=0.001)
    assert (found.safety, found.point) == (
        math.ceil(kept(found)), math.ceil(found.expected + kept(found)),
    )  # fmt: skip


@given(
    st.lists(st.integers(0, 50), min_size=2, max_size=30),
    st.integers(1, 40),
    st.floats(0.5, 0.999),
    st.floats(0.5, 0.999),
)
def test_more_service_never_keeps_less_and_half_keeps_nothing(days, lead, one, other):
    demand = demand_of(days)
    less, more = (suggest_reorder(demand, lead, share) for share in sorted((one, other)))
    assert less.point <= more.point
    assert more.point >= math.floor(demand.daily * lead)
    assert suggest_reorder(demand, lead, 0.5).safety == 0
    steady = suggest_reorder(DailyDemand(demand.daily, 0), lead, 0.9)
    assert steady.safety == 0


@pytest.mark.parametrize(
    ("demand", "lead", "service"),
    [
        (DailyDemand(1, 1), 5, 1.0),
        (DailyDemand(1, 1), 5, 0.4),
        (DailyDemand(-1, 1), 5, 0.9),
        (DailyDemand(1, 1), -5, 0.9),
    ],
)
def test_what_cannot_be_is_refused(demand, lead, service):
    with pytest.raises(ValueError, match=r"service|negative"):
        suggest_reorder(demand, lead, service)
    with pytest.raises(ValueError, match="1 days"):
        demand_of([3])
