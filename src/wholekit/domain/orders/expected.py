"""When bags that lack goods can be whole: from what is free, what is on its way, and lead days.

An expectation: nothing is held by it. Bags draw in the order given, each all that it needs.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from wholekit.domain.buying import Coming
from wholekit.domain.catalog import ItemKey
from wholekit.domain.orders.lacking import LackingBag
from wholekit.domain.working_days import WorkingDays


@dataclass(frozen=True, slots=True)
class ShortItem:
    """An item of which a bag lacks packs [count], and the day on which they can be here; None
    where nobody knows. ordered: they are on their way. elsewhere: packs that lie free at other
    branches, by branch, and could be brought."""

    item: ItemKey
    packs: int
    day: date | None
    ordered: bool = False
    elsewhere: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Expected:
    """When a bag that lacks goods can be whole. day: None where nobody knows. short: what of them
    is not free either."""

    bag: str
    day: date | None
    short: tuple[ShortItem, ...]


class _Supply:
    """What is left of one item: what is free now, then each delivery."""

    def __init__(self, free: int, coming: Iterable[Coming], lead: date | None, asked: date) -> None:
        self._left = free
        # What was due before is expected on the day asked; what has no day comes last.
        due = [(max(each.day, asked) if each.day else None, each.packs) for each in coming]
        self._coming = sorted(due, key=lambda each: each[0] or date.max, reverse=True)
        self._lead = lead

    def draw(self, packs: int) -> tuple[int, date | None, bool]:
        """Packs that are short now, the day of the last of them, whether all are ordered."""
        taken = min(packs, max(0, self._left))
        self._left -= taken
        short = rest = packs - taken
        day: date | None = None
        while rest and self._coming:
            day, there = self._coming.pop()
            if there > rest:
                self._coming.append((day, there - rest))
            rest -= min(rest, there)
        return short, self._lead if rest else day, not rest


def expected(
    bags: Sequence[LackingBag],
    free: Mapping[ItemKey, int],
    coming: Mapping[ItemKey, Sequence[Coming]],
    leads: Mapping[ItemKey, int],
    calendar: WorkingDays,
    day: date,
) -> tuple[Expected, ...]:
    """When each bag can be whole, asked on a day; those before it in the list draw first.

    free [packs]; coming: of orders to suppliers; leads: working days [d] to get an item, none or 0
    where nobody states any.
    """
    supplies: dict[ItemKey, _Supply] = {}
    found = []
    for bag in bags:
        short = []
        for item, packs in bag.needs:
            if item not in supplies:
                lead = leads.get(item, 0)
                supplies[item] = _Supply(
                    free.get(item, 0),
                    coming.get(item, ()),
                    calendar.after(day, lead) if lead else None,
                    day,
                )
            lacking, comes, ordered = supplies[item].draw(packs)
            if lacking:
                short.append(ShortItem(item, lacking, comes, ordered))
        found.append(Expected(bag.id, _last(short, calendar.after(day, 0)), tuple(short)))
    return tuple(found)


def with_elsewhere(
    waits: Iterable[Expected],
    at: Mapping[str, str],
    spare: Mapping[str, Mapping[ItemKey, int]],
) -> tuple[Expected, ...]:
    """What of the short items could be brought from other branches, those before others first.

    at: the branch that each bag is picked at, by bag; spare: packs free at each branch beyond what
    its own bags still draw.
    """
    left = {branch: dict(items) for branch, items in spare.items()}
    found = []
    for each in waits:
        short = []
        for one in each.short:
            rest, brought = one.packs, []
            for branch, items in left.items():
                packs = min(rest, max(0, items.get(one.item, 0)))
                if packs and branch != at[each.bag]:
                    items[one.item] -= packs
                    rest -= packs
                    brought.append((branch, packs))
            short.append(replace(one, elsewhere=tuple(brought)))
        found.append(replace(each, short=tuple(short)))
    return tuple(found)


def _last(short: Sequence[ShortItem], now: date | None) -> date | None:
    days = [each.day for each in short]
    if not days:
        return now
    known = [each for each in days if each is not None]
    return max(known) if len(known) == len(days) else None
