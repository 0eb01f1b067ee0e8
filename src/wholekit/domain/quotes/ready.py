"""When the kits of a job can be whole: pieces on hand are drawn opening by opening, in the job's
order; what the shelf lacks comes with its lead days, on working days from the day asked.

An expectation and no promise: nothing is held for the job. Kits that have a stop draw like all.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TypeAlias

from wholekit.domain.catalog import Item, ItemKey, item_key
from wholekit.domain.kits import Kit
from wholekit.domain.working_days import WorkingDays


@dataclass(frozen=True, slots=True)
class Availability:
    """What may be drawn: packs on hand by item, and the days on which more can come."""

    on_hand: Mapping[ItemKey, int]
    calendar: WorkingDays


@dataclass(frozen=True, slots=True)
class Ready:
    """So many kits alike [count] that are whole on a day; None: no date is known, since a piece is
    missing, or an item is short that nobody states lead days of, or that is discontinued.

    waits_for: SKUs of the items that come last, where not all is on hand.
    """

    kits: int
    day: date | None
    waits_for: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class JobReady:
    """The kits of several openings by day, the earliest first and those of no date last.

    asked: the day it was asked for.
    """

    asked: date
    steps: tuple[Ready, ...]

    @property
    def kits(self) -> int:
        """All of them [count]."""
        return sum(step.kits for step in self.steps)

    @property
    def today(self) -> int:
        """Those that are whole on the day asked [count]."""
        return sum(step.kits for step in self.steps if step.day == self.asked)

    @property
    def undated(self) -> int:
        """Those of which no date is known [count]."""
        return sum(step.kits for step in self.steps if step.day is None)

    @property
    def complete(self) -> date | None:
        """The day on which the last of them is whole; None where no date is known, or no kit."""
        return self.steps[-1].day if self.steps else None


def ready_of(
    openings: Iterable[tuple[int, Kit]], of: Availability, day: date
) -> tuple[tuple[Ready, ...], ...]:
    """When the kits of each opening (how many alike, and their kit) are whole, asked for on a day;
    the earliest first. Cost grows with openings times lines.

    An item that is short goes to the openings in their order. A piece on hand is drawn once, also
    by kits that wait for others.
    """
    drawing = _Drawing(of, day)
    return tuple(drawing.draw(quantity, kit) for quantity, kit in openings)


def job_ready(openings: Iterable[Sequence[Ready]], asked: date) -> JobReady:
    """The kits of all openings together, by day."""
    found: dict[date | None, list[Ready]] = {}
    for parts in openings:
        for part in parts:
            found.setdefault(part.day, []).append(part)
    steps = [
        Ready(
            sum(part.kits for part in parts),
            day,
            tuple(sorted({sku for part in parts for sku in part.waits_for})),
        )
        for day, parts in found.items()
    ]
    return JobReady(asked, tuple(sorted(steps, key=lambda step: _late(step.day))))


# Of one kit: each item it takes, the item's key, and how many [packs].
_Needs: TypeAlias = tuple[tuple[Item, ItemKey, int], ...]


def _needs(kit: Kit) -> _Needs:
    counts: dict[ItemKey, int] = {}
    items: dict[ItemKey, Item] = {}
    for line in kit.lines:
        key = item_key(line.item)
        counts[key] = counts.get(key, 0) + line.quantity
        items[key] = line.item
    return tuple((items[key], key, count) for key, count in counts.items())


class _Drawing:
    """What is left on hand while openings draw from it one after another."""

    def __init__(self, of: Availability, day: date) -> None:
        self._left = dict(of.on_hand)
        self._calendar = of.calendar
        self._day = day
        self._at_once = of.calendar.after(day, 0)
        # By lead days: a price book has few of them.
        self._leads: dict[int, date | None] = {}
        # By identity: openings alike share one kit; it is kept, so that no other gets its id.
        self._kits: dict[int, tuple[Kit, _Needs]] = {}
        self._known: dict[tuple[object, ...], tuple[Ready, ...]] = {}

    def draw(self, quantity: int, kit: Kit) -> tuple[Ready, ...]:
        if id(kit) not in self._kits:
            self._kits[id(kit)] = kit, _needs(kit)
        needs = self._kits[id(kit)][1]
        short = []
        for item, key, each in needs:
            left = self._left.get(key, 0)
            if left < each * quantity:
                self._left[key] = 0
                # How many of the kits alike the shelf supplies with it, the first ones.
                short.append((left // each, item))
            else:
                self._left[key] = left - each * quantity
        # As in most of a long job: the same kits short of the same, or of nothing.
        case = (id(kit), quantity, *((supplied, id(item)) for supplied, item in short))
        if case not in self._known:
            dated = needs and not kit.missing
            parts = self._parts(quantity, short) if dated else (Ready(quantity, None),)
            self._known[case] = tuple(parts)
        return self._known[case]

    def _parts(self, quantity: int, short: Sequence[tuple[int, Item]]) -> Iterator[Ready]:
        bounds = sorted({supplied for supplied, _ in short} | {quantity})
        done = 0
        held: Ready | None = None
        for bound in bounds:
            waiting = [item for supplied, item in short if supplied <= done]
            part = self._part(bound - done, waiting)
            done = bound
            if not part.kits:
                continue
            if held is not None and held.day == part.day:
                part = Ready(held.kits + part.kits, part.day, part.waits_for)
            elif held is not None:
                yield held
            held = part
        if held is not None:
            yield held

    def _part(self, kits: int, waiting: Sequence[Item]) -> Ready:
        days = [(item.sku, self._comes(item)) for item in waiting]
        last = max((day for _, day in days), key=_late, default=self._at_once)
        return Ready(kits, last, tuple(sorted({sku for sku, day in days if day == last})))

    def _comes(self, item: Item) -> date | None:
        if item.discontinued or not item.lead_days:
            return None
        if item.lead_days not in self._leads:
            self._leads[item.lead_days] = self._calendar.after(self._day, item.lead_days)
        return self._leads[item.lead_days]


def _late(day: date | None) -> tuple[bool, date]:
    """An order of days in which no date comes after every date."""
    return day is None, day or date.max
