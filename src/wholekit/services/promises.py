"""Promises of stock to bags: made whole or not at all, and given back when goods are gone."""

from collections.abc import Collection, Iterable, Sequence

from wholekit.domain.catalog import ItemKey
from wholekit.domain.orders import BagState, LackingBag, ReleasedBag
from wholekit.domain.stock import Balance, Movement, Slips, given_back
from wholekit.services.order_port import BagFilter
from wholekit.services.ports import UnitOfWork


def items_of(bags: Iterable[ReleasedBag | LackingBag]) -> list[ItemKey]:
    """Every item that some bags need, once."""
    return sorted({item for bag in bags for item, _ in bag.needs})


def promise(
    uow: UnitOfWork, slips: Slips, bags: Sequence[LackingBag], branch: str
) -> tuple[ReleasedBag, ...]:
    """Promise every pack that bags lack from the shelves of a branch; as they are then: one that
    waited is ready, one that is open stays so.

    Raises CallError where not all of it is free there (see `StockLedger.move`).
    """
    uow.stock.move(
        [slips.reserve(item, packs, branch, bag.id) for bag in bags for item, packs in bag.needs]
    )
    made = []
    for each in bags:
        bag = each.bag
        if not each.is_open:
            bag = bag.moved(BagState.READY, branch=branch)
            uow.orders.save_bag(bag, bag.version - 1)
        made.append(bag)
    return tuple(made)


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


def hold_giving(
    uow: UnitOfWork, items: Collection[ItemKey], branch: str, beside: Collection[str] = ()
) -> None:
    """Take the turn, and hold every bag that promises of some items at a branch may be taken from,
    before any goods. beside: other bags of that deed, by id."""
    uow.stock.take_turn()
    uow.orders.hold_bags({*beside, *uow.stock.promised_to(items, branch)})


def promises_giving_way(
    uow: UnitOfWork, slips: Slips, losses: Sequence[Movement], last: str = ""
) -> tuple[list[Movement], tuple[tuple[ItemKey, str, int], ...]]:
    """What makes room for losses of packs, each of another item: promises taken back, the latest
    first, and of which items, whose and how many.

    A bag that was ready waits again, and all that it was promised is free for others: half a kit
    serves nobody. One that is being picked keeps the rest. The bags are held (`hold_giving`), and
    of goods everything that it touches from here on. last: a bag that gives way after all others,
    since somebody stands at it with the goods in hand.
    """
    gone = [loss for loss in losses if loss.source.place.branch]
    beside = (promised_beside(uow, [loss.item], loss.source.place.branch) for loss in gone)
    uow.stock.hold({loss.item for loss in losses}.union(*beside))
    balances = uow.stock.balances([loss.item for loss in gone]) if gone else {}
    back: list[tuple[Movement, str, int]] = []
    for loss in gone:
        branch = loss.source.place.branch
        short = loss.packs - balances[loss.item].get(branch, Balance()).free
        if short > 0:
            found = uow.stock.latest_promises(loss.item, branch)
            latest = sorted(found, key=lambda each: each[0] == last)
            back += [(loss, bag, packs) for bag, packs in given_back(latest, short)]
    ids = frozenset(bag for _, bag, _ in back)
    waiting = tuple((loss.item, bag, packs) for loss, bag, packs in back)
    if not ids:
        return [], ()
    ready = [bag for bag in uow.orders.bags(BagFilter(ids=ids)) if bag.state is BagState.READY]
    whole = {bag.id for bag in ready}
    made = unpromised(uow, slips, whole, back[0][0].reason)
    made += [
        slips.unreserve(loss.item, packs, loss.source.place.branch, bag, loss.reason)
        for loss, bag, packs in back
        if bag not in whole
    ]
    _let_go(uow, ready, BagState.WAITING)
    return made, waiting


def promised_beside(uow: UnitOfWork, items: Collection[ItemKey], branch: str) -> set[ItemKey]:
    """Every item that is promised to a bag which one of these is promised to, at a branch."""
    bags = uow.stock.promised_to(items, branch)
    return {item for there in uow.stock.bags(bags).values() for item, _ in there}


def _let_go(uow: UnitOfWork, bags: Sequence[ReleasedBag], to: BagState) -> tuple[ReleasedBag, ...]:
    made = tuple(bag.moved(to, wave=0, picker="") for bag in bags)
    for bag in made:
        uow.orders.save_bag(bag, bag.version - 1)
    return made
