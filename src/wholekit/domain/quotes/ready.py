"""When the kits of a job can be whole: what is on hand is shared out as for the pick list (see
`sharing`); what the shelf lacks comes with its lead days, on working days from the day asked.

An expectation and no promise: nothing is held for the job. Kits that have a stop, or lack a piece,
draw after those that may go.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple, TypeAlias

from wholekit.domain.catalog import Item, ItemKey, item_key
from wholekit.domain.kits import Kit
from wholekit.domain.quotes.sharing import Wants, share_out
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


class KitsWanted(NamedTuple):
    """So many kits alike that are asked for [count]. firm: they may go out; alternate: its code, or
    empty; openings of alternates draw after the base bid."""

    kits: int
    kit: Kit
    firm: bool = True
    alternate: str = ""


def ready_of(
    openings: Iterable[KitsWanted], of: Availability, day: date
) -> tuple[tuple[Ready, ...], ...]:
    """When the kits of each opening are whole, asked for on a day; the earliest first.

    Those that are whole at once are the ones whose bags the pick list fills. A piece on hand is
    drawn once, also by kits that wait for others.
    """
    asked = [*openings]
    # By identity: openings alike share one kit.
    items = {id(each.kit): _needs(each.kit) for each in asked}
    needs = {kit: {key: count for _, key, count in found} for kit, found in items.items()}
    wants = [
        Wants(needs[id(each.kit)], each.kits, (not each.firm, each.alternate)) for each in asked
    ]
    taken = share_out(wants, of.on_hand)
    days = _Days(of.calendar, day)
    return tuple(
        days.of(each, items[id(each.kit)], share) for each, share in zip(asked, taken, strict=True)
    )


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


class _Days:
    """The days of openings by what each has of the shelf."""

    def __init__(self, calendar: WorkingDays, day: date) -> None:
        self._calendar = calendar
        self._day = day
        self._at_once = calendar.after(day, 0)
        # By lead days: a price book has few of them.
        self._leads: dict[int, date | None] = {}
        self._known: dict[tuple[object, ...], tuple[Ready, ...]] = {}

    def of(
        self, asked: KitsWanted, needs: _Needs, taken: Mapping[ItemKey, int]
    ) -> tuple[Ready, ...]:
        # How many of the kits alike the shelf supplies with an item, the first ones.
        short = [
            (taken[key] // each, item)
            for item, key, each in needs
            if taken[key] < each * asked.kits
        ]
        # As in most of a long job: the same kits short of the same, or of nothing.
        case = (id(asked.kit), asked.kits, *((supplied, id(item)) for supplied, item in short))
        if case not in self._known:
            dated = needs and not asked.kit.missing
            parts = self._parts(asked.kits, short) if dated else (Ready(asked.kits, None),)
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
