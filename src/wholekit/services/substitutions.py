"""Another item in the place of one that is short, while a bag is picked."""

from dataclasses import replace

from wholekit.domain.catalog import ItemKey
from wholekit.domain.orders import ReleasedBag
from wholekit.domain.picking import (
    Bag,
    EventStamp,
    KitCheck,
    ScanRefused,
    Ware,
    kit_check,
    may_substitute,
    substitute,
)
from wholekit.domain.quotes.roles import Action
from wholekit.domain.stock import Slips
from wholekit.services.bag_work import (
    PickAnswer,
    exchange,
    item_of,
    needs_now,
    opened,
    written,
)
from wholekit.services.desk import Deed, Desk, job_of, need_reason, shelf_of
from wholekit.services.lacks import order_of_id
from wholekit.services.ports import UnitOfWork, snapshot_of
from wholekit.services.rights import needs


@needs(Action.SEE_ORDERS)
def substitutes_for(desk: Desk, deed: Deed, into: str, sku: str) -> tuple[Ware, ...]:
    """The items that may take the place of one in a bag, of which enough is free. Raises
    CallError."""
    with desk.store.reading() as uow:
        row, bag = opened(uow, into, held=False)
        item = item_of(bag, sku)
        return () if item is None else tuple(ware for ware, _ in standing_in(uow, row, bag, item))


def standing_in(
    uow: UnitOfWork, row: ReleasedBag, bag: Bag, item: ItemKey
) -> tuple[tuple[Ware, int], ...]:
    """What may take the place of an item still to take, with the packs that are free."""
    line = next((line for line in bag.remaining if line.item == item), None)
    if line is None:
        return ()
    wares = uow.wares.of(line.ware.substitutes)
    free = uow.stock.free(list(wares), row.branch)
    there = [ware for key, ware in wares.items() if free.get(key, 0) >= line.packs]
    return tuple((ware, free[ware.key]) for ware in may_substitute(bag, item, there))


@needs(Action.PICK_BAGS)
def substitute_item(
    desk: Desk, deed: Deed, into: str, sku: str, by: str, reason: str
) -> PickAnswer:
    """Take another item for all packs of one still to take, for a reason: the kit is checked
    again, and the packs are promised anew. Raises CallError, RuleError."""
    why = need_reason(reason, "substitution")
    with desk.store.writing() as uow:
        # What stands in is promised to it.
        uow.stock.take_turn()
        row, bag = opened(uow, into)
        item = item_of(bag, sku)
        fields: dict[str, object] = {"bag": row.id, "mark": bag.mark, "sku": sku, "by": by}
        found = uow.wares.find(by)
        if item is None or not found:
            code = "substitute-not-wanted" if item is None else "substitute-unknown"
            return PickAnswer(ScanRefused(code, fields), bag)
        stamp = EventStamp(desk.ids.new(), deed.who, deed.at)
        answer = substitute(bag, item, found[0], why, stamp, _check_of(uow, desk, row, bag))
        if isinstance(answer, ScanRefused):
            return PickAnswer(answer, bag)
        uow.stock.hold(sorted({item, found[0].key, *(key for key, _ in answer.dropped)}))
        free = uow.stock.free([found[0].key], row.branch).get(found[0].key, 0)
        if free < answer.by_packs:
            fields = {**fields, "free": free, "count": answer.by_packs}
            return PickAnswer(ScanRefused("substitute-not-free", fields), bag)
        exchange(uow, Slips(stamp.id, deed.at, deed.who), row, answer)
        uow.orders.save_needs(replace(row, needs=needs_now(bag.after(answer))))
        return written(uow, row, bag, answer)


def _check_of(uow: UnitOfWork, desk: Desk, row: ReleasedBag, bag: Bag) -> KitCheck | None:
    """The house's check of kits for a bag's opening as it was accepted; None where its order no
    longer has the opening."""
    order = order_of_id(uow, row.order)
    revision = uow.revisions.get(order.id)
    if revision is None:
        return None
    offer = snapshot_of(revision).offer
    opening = next((each for each in offer.openings if each.place == row.mark), None)
    if opening is None:
        return None
    shelf = shelf_of(uow, desk, job_of(uow, order.job_id))
    return kit_check(bag.demand, offer.kit_of(opening).type, shelf, desk.rules)
