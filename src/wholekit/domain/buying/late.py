"""What comes after the day it was promised for."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from wholekit.domain.buying.wants import Coming, Shortage


@dataclass(frozen=True, slots=True)
class Late:
    """A shortage whose goods come after its day. day: when the last of them; None = not known."""

    shortage: Shortage
    day: date | None


def late_ones(
    shortages: Sequence[Shortage], coming: Sequence[Coming], bought: date | None
) -> Iterator[Late]:
    """Those that are late, when what comes first goes to who needs it first.

    bought: when comes what is not covered by orders under way; None = not known.
    """
    lots = sorted(coming, key=lambda each: _order(each.day))
    left = [Fraction(lot.packs) for lot in lots]
    for shortage in sorted(shortages, key=urgency):
        wanted = shortage.packs
        days: list[date | None] = []
        for number, lot in enumerate(lots):
            taken = min(left[number], wanted)
            left[number] -= taken
            wanted -= taken
            if taken:
                days.append(lot.day)
        if wanted:
            days.append(bought)
        last = max(days, key=_order)
        if shortage.needed_by is not None and (last is None or last > shortage.needed_by):
            yield Late(shortage, last)


def urgency(shortage: Shortage) -> tuple[date, str, str, Fraction]:
    """What orders shortages by who needs theirs first."""
    return _order(shortage.needed_by), shortage.order, shortage.bag, shortage.packs


def _order(day: date | None) -> date:
    return date.max if day is None else day
