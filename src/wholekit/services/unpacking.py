"""Bags whose goods go back to the shelf."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import CallError
from wholekit.domain.orders import BagState, LackingBag, ReleasedBag
from wholekit.domain.picking import BagUnpacked, EventStamp, bag_of
from wholekit.domain.quotes.bag_id import bag_id_from
from wholekit.domain.quotes.roles import Action
from wholekit.domain.stock import Slips, StockPlace
from wholekit.services.allocating import (
    bag_for_change,
    complete_waiting,
    hold_for_waiting,
    hold_lacking,
)
from wholekit.services.bag_bins import came_from
from wholekit.services.bag_work import needs_now
from wholekit.services.desk import Deed, Desk, need_reason
from wholekit.services.lacks import order_of_id
from wholekit.services.loose_stock import boxed_again
from wholekit.services.ports import UnitOfWork
from wholekit.services.promises import unpromised
from wholekit.services.rights import needs


@dataclass(frozen=True, slots=True)
class Unpacked:
    """A bag as it is once nothing is in it. back: by item the bins that its packs go to;
    completed: bags that lack nothing by what became free, this one perhaps among them."""

    bag: ReleasedBag
    back: Mapping[ItemKey, tuple[tuple[StockPlace, int], ...]]
    completed: tuple[ReleasedBag, ...]


@needs(Action.PICK_BAGS)
def unpack_bag(desk: Desk, deed: Deed, reference: str, reason: str) -> Unpacked:
    """Put all that is in a bag back where it came from and let its promises go: one that nobody
    asks for any more, or that was packed amiss. It waits again, with nothing in it; of an order
    that was cancelled it is cancelled. What is free by it goes to the bags that lack goods, the
    most pressing first. Raises CallError for one that was shipped."""
    why = need_reason(reason, "unpacking")
    with desk.store.writing() as uow:
        bag_id = str(bag_id_from(reference))
        hold_lacking(uow, [bag_id])
        row = bag_for_change(uow, bag_id)
        if row.state not in (BagState.OPEN, BagState.CLOSED):
            raise CallError("bag-not-packed", bag=row.id, state=row.state.value)
        held = uow.stock.bags([row.id]).get(row.id, {})
        loose = row.packed.loose if row.packed else ()
        touched = {item for item, _ in held} | {each.item for each in loose}
        reached = hold_for_waiting(uow, touched, [LackingBag(row, row.needs)])
        slips = Slips(desk.ids.new(), deed.at, deed.who)
        # What went back loose comes off the shelf first: its packs are whole again by it.
        uow.stock.move(boxed_again(uow, slips, row, loose))
        back = _put_back(uow, slips, row, why)
        stamp = EventStamp(desk.ids.new(), deed.who, deed.at)
        uow.orders.add_unpacked(row.id, BagUnpacked(stamp, why))
        # What stood in for others is no longer in it.
        demand = uow.orders.demands([row.id])[row.id]
        wanted = needs_now(bag_of(demand))
        uow.orders.save_needs(replace(row, needs=wanted))
        gone = order_of_id(uow, row.order).cancelled_at is not None
        to = BagState.CANCELLED if gone else BagState.WAITING
        new = replace(row.moved(to, wave=0, picker="", packed=None), needs=wanted)
        uow.orders.save_bag(new, row.version)
        ready = complete_waiting(uow, desk, deed, slips, reached).ready
        new = next((bag for bag in ready if bag.id == row.id), new)
        uow.commit()
    return Unpacked(new, back, ready)


def _put_back(
    uow: UnitOfWork, slips: Slips, row: ReleasedBag, why: str
) -> Mapping[ItemKey, tuple[tuple[StockPlace, int], ...]]:
    back = came_from(uow, row)
    moves = []
    for item, parts in sorted(back.items()):
        for place, packs in parts:
            moves.append(slips.unpick(item, packs, place, row.id))
            moves.append(slips.unreserve(item, packs, place.branch, row.id, why))
    uow.stock.move([*moves, *unpromised(uow, slips, [row.id], why)])
    return back
