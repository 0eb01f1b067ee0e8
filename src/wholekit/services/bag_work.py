"""What every deed at an open bag shares: reading it, writing what happened to it."""

from dataclasses import dataclass, replace
from datetime import datetime

from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import CallError
from wholekit.domain.orders import BagState, ReleasedBag
from wholekit.domain.picking import (
    Bag,
    BagClosed,
    BagEvent,
    BagLeft,
    BagOpened,
    BagTurnedTo,
    CodeBook,
    EventStamp,
    ItemSubstituted,
    ScanCounted,
    ScanNotCounted,
    ScanRefused,
    bag_of,
    packed,
)
from wholekit.domain.quotes.bag_id import bag_id_from
from wholekit.domain.stock import Slips
from wholekit.services.order_port import WholeBag
from wholekit.services.ports import UnitOfWork


@dataclass(frozen=True, slots=True)
class PickAnswer:
    """What came of a scan or a key: answer, and the bag as it is then; None where no bag is open.

    places: the bins that packs were taken from, or put back to, with how many; a bin without a name
    is none that the books know. whole: other bags that lack nothing any more by what was undone.
    """

    answer: ScanCounted | BagTurnedTo | BagEvent | ScanRefused
    bag: Bag | None
    places: tuple[tuple[str, int], ...] = ()
    whole: tuple[ReleasedBag, ...] = ()

    @property
    def refused(self) -> bool:
        """Whether nothing was done."""
        return isinstance(self.answer, ScanRefused)


def opened(uow: UnitOfWork, reference: str, *, held: bool = True) -> tuple[ReleasedBag, Bag]:
    """A bag's row and what its events leave of it; held: until the unit of work ends. Raises
    CallError."""
    whole = whole_bag(uow, reference, held=held)
    return whole.row, bag_of(whole.demand, whole.events)


def whole_bag(uow: UnitOfWork, reference: str, *, held: bool = True, event: str = "") -> WholeBag:
    """A bag, whole; see `OrderRepository.whole`. Raises CallError."""
    bag_id = str(bag_id_from(reference))
    found = uow.orders.whole(bag_id, held=held, event=event)
    if found is None:
        raise CallError("bag-unknown", bag=bag_id)
    return found


def written(
    uow: UnitOfWork, row: ReleasedBag, bag: Bag | None, event: BagEvent | ScanRefused
) -> PickAnswer:
    """Write an event down, and what it makes of the bag's row."""
    if isinstance(event, ScanRefused) or bag is None:
        if isinstance(event, ScanRefused):
            return PickAnswer(event, bag)
        raise CallError("bag-unknown", bag=row.id)
    after = bag.after(event)
    uow.orders.add_event(row.id, event)
    new = row
    if isinstance(event, BagOpened) and row.state is BagState.READY:
        new = row.moved(BagState.OPEN)
    elif isinstance(event, BagLeft):
        new = replace(row, wave=0, picker="", version=row.version + 1)
    elif isinstance(event, BagClosed):
        new = row.moved(BagState.CLOSED, packed=packed(after))
    if new is not row:
        uow.orders.save_bag(new, row.version)
    uow.commit()
    return PickAnswer(event, after)


def refused_scan(
    uow: UnitOfWork, row: ReleasedBag, bag: Bag, refused: ScanRefused, stamp: EventStamp
) -> PickAnswer:
    """Keep a scan that counted nothing with the bag it was made at, for a claim."""
    fields = {
        name: value.isoformat(" ", "minutes")[:16] if isinstance(value, datetime) else value
        for name, value in refused.fields.items()
    }
    uow.orders.add_refused(row.id, ScanNotCounted(stamp, refused.code, fields))
    uow.commit()
    return PickAnswer(refused, bag)


def exchange(
    uow: UnitOfWork, slips: Slips, row: ReleasedBag, event: ItemSubstituted, *, back: bool = False
) -> None:
    """Promise what stands in, and let go what it stands in for; back: the other way."""
    out = {event.item: event.packs}
    for item, packs in event.dropped:
        out[item] = out.get(item, 0) + packs
    into = {event.ware.key: event.by_packs}
    if back:
        out, into = into, out
    due = uow.stock.bags([row.id]).get(row.id, {})
    moves = []
    for item, packs in out.items():
        held = due.get((item, row.branch))
        if held and held.promised:
            gone = min(packs, held.promised)
            moves.append(slips.unreserve(item, gone, row.branch, row.id, event.reason))
    free = uow.stock.free(list(into), row.branch) if back else into
    for item, packs in into.items():
        # What it stood in for may be gone: the bag then lacks it, and waits for it.
        there = min(packs, free.get(item, 0))
        if there > 0:
            moves.append(slips.reserve(item, there, row.branch, row.id))
    uow.stock.move(moves)


def needs_now(bag: Bag) -> tuple[tuple[ItemKey, int], ...]:
    """Packs of each item that a bag takes, substitutes made."""
    return tuple(sorted((line.item, line.packs) for line in bag.plan))


def item_of(bag: Bag, sku: str) -> ItemKey | None:
    """The item of a SKU, or of its number, that a bag still takes."""
    found = CodeBook(line.ware for line in bag.remaining).find(sku.strip())
    return found[0].key if found else None
