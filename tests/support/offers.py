"""Offers of a schedule on its own, as every command makes them."""

from collections.abc import Sequence
from datetime import date, timedelta
from fractions import Fraction

from tests.support.house import RULES

from wholekit.domain.kits import Shelf
from wholekit.domain.openings import Opening
from wholekit.domain.quotes import Snapshot
from wholekit.services.schedules import Asker, work_up_schedule
from wholekit.services.snapshots import Headed, make_snapshot
from wholekit.wording.offers import HouseWords

DAY = date(2026, 11, 25)


def offered(
    openings: Sequence[Opening],
    shelf: Shelf,
    multiplier: Fraction = Fraction(1),
    *,
    asks: bool = False,
    day: date = DAY,
    **asked: str,
) -> Snapshot:
    """What a schedule comes to. asked: customer, job, locale; asks: it puts its questions;
    day: of which its stock is asked."""
    workup = work_up_schedule(openings, shelf, RULES, day, Asker(multiplier=multiplier, **asked))
    headed = Headed(
        "Q-1", 0, day, day + timedelta(days=30), "ines", "Fernhollow Door Supply", Fraction(25, 100)
    )
    return make_snapshot(workup, HouseWords(), RULES, headed, asks=asks)
