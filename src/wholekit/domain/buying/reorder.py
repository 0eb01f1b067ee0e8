"""Reorder points: demand over the lead time, and what is kept against its being more.

Demand of single days is taken as independent and normally distributed, as the handbooks do (the
source of each figure is named in the tests); for items asked for less than about once a week that
is a poor picture, and a person's own judgement the better one.
"""

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

# Fewer days say nothing about how demand spreads.
FEWEST_DAYS = 2


@dataclass(frozen=True, slots=True)
class DailyDemand:
    """Packs asked for on a working day: their mean and standard deviation [packs/d]."""

    daily: float
    spread: float


@dataclass(frozen=True, slots=True)
class ReorderPoint:
    """A suggestion, rounded up. safety: what is kept against more demand; point: with it [packs].

    expected: demand over the lead time, spread: its standard deviation [packs]; factor: how many of
    these are kept.
    """

    expected: float
    spread: float
    factor: float
    safety: int
    point: int


def demand_of(days: Sequence[int]) -> DailyDemand:
    """Demand by what was asked for on each working day, those with nothing among them [packs].

    Raises ValueError for fewer than two days.

    >>> demand_of([0, 4, 2, 2])
    DailyDemand(daily=2.0, spread=1.632993161855452)
    """
    if len(days) < FEWEST_DAYS:
        raise ValueError(f"demand of {len(days)} days")
    return DailyDemand(statistics.fmean(days), statistics.stdev(days))


def suggest_reorder(
    demand: DailyDemand, lead_days: float, service: float, lead_spread: float = 0.0
) -> ReorderPoint:
    """The point at which more is to be bought.

    lead_days, lead_spread: mean and standard deviation of the lead time [working days]. service:
    share of replenishments in which stock lasts until the goods are there [fraction, from a half to
    below 1]. Safety stock is z·√(L·σd² + d²·σL²), the point d·L + safety stock. Raises ValueError
    for a share beyond that, or anything negative.

    >>> suggest_reorder(DailyDemand(15, 5), 2, 0.90).point
    40
    """
    if not 0.5 <= service < 1:
        raise ValueError(f"service level {service}")
    if min(demand.daily, demand.spread, lead_days, lead_spread) < 0:
        raise ValueError(f"negative: {demand}, {lead_days}, {lead_spread}")
    factor = statistics.NormalDist().inv_cdf(service)
    spread = math.hypot(math.sqrt(lead_days) * demand.spread, demand.daily * lead_spread)
    expected, kept = demand.daily * lead_days, factor * spread
    return ReorderPoint(expected, spread, factor, _up(kept), _up(expected + kept))


def _up(packs: float) -> int:
    """Up to whole packs; the last bits of a float are no pack."""
    return math.ceil(round(packs, 9))
