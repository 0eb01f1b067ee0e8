"""A bag's state: its demand with its events folded over it, and nothing else."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cached_property

from wholekit.domain.catalog import ItemKey
from wholekit.domain.picking.demand import BagDemand, BagLine, NeededPiece
from wholekit.domain.picking.events import (
    BagClosed,
    BagEvent,
    BagLeft,
    BagOpened,
    EventStamp,
    EventUndone,
    ItemSubstituted,
    PacksScanned,
    ShortReported,
)
from wholekit.domain.picking.scan import ScanRefused
from wholekit.domain.picking.ware import whole_item
from wholekit.domain.quotes.bag_id import BagId

_UNDOABLE = (PacksScanned, ItemSubstituted, ShortReported)


class BagStatus(StrEnum):
    """Where a bag stands. HELD: nothing may go in; SHORT: open, and an item was not found."""

    HELD = "held"
    NEW = "new"
    OPEN = "open"
    SHORT = "short"
    WAITING = "waiting"
    CLOSED = "closed"


@dataclass(frozen=True)
class Bag:
    """A bag as a value. events: in the order in which they were confirmed, each id once."""

    demand: BagDemand
    events: tuple[BagEvent, ...] = ()

    def after(self, event: BagEvent) -> "Bag":
        """With one more event; one whose id is there already changes nothing.

        Raises ValueError for an event of a closed bag: the judge makes none.
        """
        if event.stamp.id in self.by_id:
            return self
        if self.closed is not None:
            raise ValueError(f"bag {self.id} is closed")
        return replace(self, events=(*self.events, event))

    @property
    def id(self) -> BagId:
        """Its id."""
        return self.demand.bag

    @property
    def mark(self) -> str:
        """The mark of its opening."""
        return self.demand.mark

    @cached_property
    def by_id(self) -> Mapping[str, BagEvent]:
        """Its events by their ids."""
        return {event.stamp.id: event for event in self.events}

    @cached_property
    def standing(self) -> tuple[BagEvent, ...]:
        """Its events without those undone."""
        gone = {event.event for event in self.events if isinstance(event, EventUndone)}
        return tuple(event for event in self.events if event.stamp.id not in gone)

    @cached_property
    def scans(self) -> tuple[PacksScanned, ...]:
        """The scans that count."""
        return tuple(event for event in self.standing if isinstance(event, PacksScanned))

    @cached_property
    def substitutions(self) -> tuple[ItemSubstituted, ...]:
        """What was substituted and stands."""
        return tuple(event for event in self.standing if isinstance(event, ItemSubstituted))

    @cached_property
    def packs_in(self) -> Mapping[ItemKey, int]:
        """What is in it [packs]."""
        found: Counter[ItemKey] = Counter()
        for scan in self.scans:
            found[scan.item] += scan.packs
        return found

    @cached_property
    def plan(self) -> tuple[BagLine, ...]:
        """What it takes, substitutions made."""
        lines = {line.item: line for line in self.demand.lines}
        for event in self.substitutions:
            for item, packs in ((event.item, event.packs), *event.dropped):
                lines[item] = replace(lines[item], packs=lines[item].packs - packs)
            before = lines.get(event.ware.key)
            packs = event.by_packs + (before.packs if before else 0)
            lines[event.ware.key] = BagLine(before.ware if before else event.ware, packs)
        return tuple(line for line in lines.values() if line.packs > 0)

    @cached_property
    def needed(self) -> tuple[NeededPiece, ...]:
        """What it demands; an item in another's place demands itself where its pieces differ."""
        counts = {need.key: need for need in self.demand.needed}
        for event in self.substitutions:
            for need in event.settled:
                counts[need.key] = replace(need, count=counts[need.key].count - need.count)
            if event.settled:
                itself = whole_item(event.ware.key), ""
                before = counts[itself].count if itself in counts else 0
                role = event.settled[0].role
                counts[itself] = NeededPiece(*itself, role, before + event.by_packs)
        return tuple(need for need in counts.values() if need.count > 0)

    @cached_property
    def remaining(self) -> tuple[BagLine, ...]:
        """What is still to take [packs], in the order of the kit."""
        return tuple(
            replace(line, packs=line.packs - self.packs_in.get(line.item, 0))
            for line in self.plan
            if line.packs > self.packs_in.get(line.item, 0)
        )

    @cached_property
    def lacking(self) -> tuple[NeededPiece, ...]:
        """What of the demand is not covered by what is in it."""
        lines = (replace(line, packs=self.packs_in.get(line.item, 0)) for line in self.plan)
        return uncovered(self.needed, lines)

    @cached_property
    def missing(self) -> Mapping[ItemKey, int]:
        """Items reported short since it was opened, as far as still to take [packs]; of several
        reports of one item the last."""
        left = {line.item: line.packs for line in self.remaining}
        told: dict[ItemKey, int] = {}
        for event in self.standing:
            if isinstance(event, BagOpened):
                told = {}
            elif isinstance(event, ShortReported):
                told[event.item] = event.packs
        short = {item: min(packs, left.get(item, 0)) for item, packs in told.items()}
        return {item: packs for item, packs in short.items() if packs}

    @cached_property
    def closed(self) -> BagClosed | None:
        """How it was closed."""
        return next((event for event in self.events if isinstance(event, BagClosed)), None)

    @cached_property
    def status(self) -> BagStatus:
        """Where it stands."""
        if self.closed is not None:
            return BagStatus.CLOSED
        if self.demand.held:
            return BagStatus.HELD
        turns = [event for event in self.events if isinstance(event, BagOpened | BagLeft)]
        if not turns:
            return BagStatus.NEW
        if isinstance(turns[-1], BagLeft):
            return BagStatus.WAITING
        return BagStatus.SHORT if self.missing else BagStatus.OPEN

    @property
    def takes(self) -> bool:
        """Whether scans go into it now."""
        return self.status in (BagStatus.OPEN, BagStatus.SHORT)

    @property
    def whole(self) -> bool:
        """Whether it may be closed: all is taken, and the demand is covered."""
        return not self.remaining and not self.lacking


def bag_of(demand: BagDemand, events: Iterable[BagEvent] = ()) -> Bag:
    """The fold: the bag that the events leave. Raises ValueError as `Bag.after`."""
    counted: dict[str, BagEvent] = {}
    closed = False
    for event in events:
        if event.stamp.id in counted:
            continue
        if closed:
            raise ValueError(f"bag {demand.bag} is closed")
        counted[event.stamp.id] = event
        closed = isinstance(event, BagClosed)
    return Bag(demand, tuple(counted.values()))


def uncovered(needed: Sequence[NeededPiece], lines: Iterable[BagLine]) -> tuple[NeededPiece, ...]:
    """What of a demand so many packs do not cover: the needs with what each lacks [count]."""
    taken = [line for line in lines if line.packs]
    found = []
    for need in needed:
        had = sum(line.packs * supplied(line, need) for line in taken)
        if had < need.count:
            found.append(replace(need, count=need.count - had))
    return tuple(found)


def supplied(line: BagLine, need: NeededPiece) -> int:
    """How many one pack of a line gives to a need [count]."""
    if need.piece == whole_item(line.item):
        return 1
    return line.ware.supplies(need.piece, need.finish)


def why_shut(bag: Bag) -> ScanRefused | None:
    """Why nothing goes into a bag now; None where something may."""
    if bag.takes:
        return None
    fields: dict[str, object] = {"bag": str(bag.id), "mark": bag.mark}
    if bag.closed is not None:
        fields |= {"who": bag.closed.stamp.who, "when": bag.closed.stamp.when}
    return ScanRefused(f"bag-{bag.status}", fields)


def why_no_deed(bag: Bag) -> ScanRefused | None:
    """Why nothing is done at a bag now; None where something may. Nobody holds a piece of it."""
    shut = why_shut(bag)
    if shut is None or bag.closed is None:
        return shut
    return replace(shut, code="bag-closed-already")


def open_bag(bag: Bag, stamp: EventStamp) -> BagOpened | ScanRefused:
    """Begin to pick into it, or go on with it after it was left."""
    if bag.status in (BagStatus.NEW, BagStatus.WAITING):
        return BagOpened(stamp)
    shut = why_shut(bag)
    return shut or ScanRefused("bag-open", {"bag": str(bag.id), "mark": bag.mark})


def undo(bag: Bag, event: str, stamp: EventStamp) -> EventUndone | ScanRefused:
    """Undo a scan, a short, or the last substitution where no scan stands on it."""
    fields: dict[str, object] = {"bag": str(bag.id), "mark": bag.mark}
    shut = why_no_deed(bag)
    if shut is not None:
        return shut
    undone = bag.by_id.get(event)
    if not isinstance(undone, _UNDOABLE):
        return ScanRefused("undo-unknown", fields)
    if undone not in bag.standing:
        return ScanRefused("undo-twice", fields)
    # A later substitution may have exchanged what this one brought.
    if isinstance(undone, ItemSubstituted) and undone is not bag.substitutions[-1]:
        return ScanRefused("undo-later-first", {**fields, "sku": bag.substitutions[-1].ware.sku})
    found = EventUndone(stamp, event)
    after = bag.after(found)
    room = {line.item: line.packs for line in after.plan}
    over = [item for item, packs in after.packs_in.items() if packs > room.get(item, 0)]
    if over:
        return ScanRefused("undo-scans-first", {**fields, "sku": over[0][1]})
    return found


def last_to_undo(bag: Bag) -> str:
    """The id of the last of them that stands; empty where there is none."""
    standing = (event for event in reversed(bag.standing) if isinstance(event, _UNDOABLE))
    return next((event.stamp.id for event in standing), "")


def report_short(
    bag: Bag,
    item: ItemKey,
    packs: int,
    stamp: EventStamp,
    note: str = "",
    gone: tuple[tuple[str, int], ...] = (),
) -> ShortReported | ScanRefused:
    """So many packs of an item are not to be found; the bag stays open for the rest. gone: see
    `not_there`; where a bin has fewer than the books, and still enough, none is short."""
    shut = why_no_deed(bag)
    if shut is not None:
        return shut
    left = {line.item: line.packs for line in bag.remaining}.get(item, 0)
    if not (0 if gone and left else 1) <= packs <= left:
        fields = {"bag": str(bag.id), "mark": bag.mark, "sku": item[1], "left": left}
        return ScanRefused("short-not-wanted", fields)
    return ShortReported(stamp, item, packs, note, gone)


def not_there(
    left: int, short: int, bins: Iterable[tuple[str, int]]
) -> tuple[tuple[str, int], ...]:
    """Packs [count] by bin that the books have and the shelf has not, where so many of those still
    to take are not to be found. bins: in the order in which they are emptied.

    Whoever finds fewer in a bin than is to be taken there leaves it empty, so that what the books
    have there beyond that is gone too.

    >>> not_there(2, 1, [("A-1", 5), ("B-1", 9)])
    (('A-1', 4),)
    """
    found = []
    for name, held in bins:
        take = min(left, held)
        missing = min(short, take)
        if missing > 0:
            found.append((name, held - take + missing))
        left, short = left - take, short - missing
    return tuple(found)


def leave(bag: Bag, stamp: EventStamp, reason: str = "") -> BagLeft | ScanRefused:
    """Put it aside as it is: it waits and cannot be closed until it is opened again."""
    return why_no_deed(bag) or BagLeft(stamp, reason)


def scans_of(bag: Bag, item: ItemKey) -> Iterator[PacksScanned]:
    """The scans of an item that count, in their order."""
    return (scan for scan in bag.scans if scan.item == item)
