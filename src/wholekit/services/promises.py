"""Promises of stock to bags: made whole or not at all, and given back when goods are gone."""

from collections.abc import Collection, Iterable, Mapping, Sequence

from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import ConflictError
from wholekit.domain.orders import BagState, ReleasedBag
from wholekit.domain.stock import Balance, Movement, Slips, given_back
from wholekit.services.order_port import BagFilter
from wholekit.services.ports import UnitOfWork


def items_of(bags: Iterable[ReleasedBag]) -> list[ItemKey]:
    """Every item that some bags need, once."""
    return sorted({item for bag in bags for item, _ in bag.needs})


def promise(
    uow: UnitOfWork, slips: Slips, bags: Sequence[ReleasedBag], branch: str
) -> tuple[ReleasedBag, ...]:
    """Promise every pack that waiting bags need from the shelves of a branch; as they are then.

    Raises CallError where not all of it is free there (see `StockLedger.move`).
    """
    uow.stock.move(
        [slips.reserve(item, packs, branch, bag.id) for bag in bags for item, packs in bag.needs]
    )
    made = tuple(bag.moved(BagState.READY, branch=branch) for bag in bags)
    for bag in made:
        uow.orders.save_bag(bag, bag.version - 1)
    return made


def give_back(
    uow: UnitOfWork,
    slips: Slips,
    bags: Sequence[ReleasedBag],
    to: BagState = BagState.WAITING,
    reason: str = "",
) -> tuple[ReleasedBag, ...]:
    """Take back all that ready bags were promised; as they are then: waiting, or cancelled."""
    uow.stock.move(unpromised(uow, slips, [bag.id for bag in bags], reason))
    return _let_go(uow, bags, to)


def unpromised(
    uow: UnitOfWork, slips: Slips, bags: Collection[str], reason: str = ""
) -> list[Movement]:
    """The movements that take back all that bags are promised and do not hold yet."""
    return [
        slips.unreserve(item, held.promised, branch, bag, reason)
        for bag, items in sorted(uow.stock.bags(bags).items())
        for (item, branch), held in sorted(items.items())
        if held.promised
    ]


def promises_giving_way(
    uow: UnitOfWork, slips: Slips, loss: Movement
) -> tuple[list[Movement], tuple[tuple[str, int], ...]]:
    """What makes room for a loss of packs: promises taken back, the latest first, and whose.

    A bag that was ready waits again, and all that it was promised is free for others: half a kit
    serves nobody. One that is being picked keeps the rest. Everything it touches is held from here
    on. Raises ConflictError where promises moved meanwhile.
    """
    branch = loss.source.place.branch
    if not branch:
        uow.stock.hold([loss.item])
        return [], ()
    # Held all at once, so that two who lose goods wait for each other and neither for ever.
    there = [bag for bag, _ in uow.stock.latest_promises(loss.item, branch)]
    touched = {item for items in uow.stock.bags(there).values() for item, _ in items}
    uow.stock.hold(sorted(touched | {loss.item}))
    balance = uow.stock.balances([loss.item])[loss.item].get(branch, Balance())
    short = loss.packs - balance.free
    if short <= 0:
        return [], ()
    back = given_back(uow.stock.latest_promises(loss.item, branch), short)
    if not {bag for bag, _ in back} <= set(there):
        raise ConflictError("promises-moved", sku=loss.item[1])
    ids = frozenset(bag for bag, _ in back)
    ready = [bag for bag in uow.orders.bags(BagFilter(ids=ids)) if bag.state is BagState.READY]
    whole = {bag.id for bag in ready}
    made = unpromised(uow, slips, whole, loss.reason)
    made += [
        slips.unreserve(loss.item, packs, branch, bag, loss.reason)
        for bag, packs in back
        if bag not in whole
    ]
    _let_go(uow, ready, BagState.WAITING)
    return made, tuple(back)


def lacking(
    bags: Iterable[ReleasedBag], free: Mapping[ItemKey, int]
) -> tuple[tuple[ReleasedBag, tuple[tuple[ItemKey, int], ...]], ...]:
    """What each bag would lack [packs], were it alone to draw on what is free."""
    return tuple(
        (
            bag,
            tuple(
                (item, packs - free.get(item, 0))
                for item, packs in bag.needs
                if packs > free.get(item, 0)
            ),
        )
        for bag in bags
    )


def _let_go(uow: UnitOfWork, bags: Sequence[ReleasedBag], to: BagState) -> tuple[ReleasedBag, ...]:
    made = tuple(bag.moved(to, wave=0, picker="") for bag in bags)
    for bag in made:
        uow.orders.save_bag(bag, bag.version - 1)
    return made
