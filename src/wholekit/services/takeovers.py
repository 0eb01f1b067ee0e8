"""An order in the place of an earlier one: bags that serve on stay, with all that they hold."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace

from wholekit.domain.catalog import ItemKey
from wholekit.domain.orders import BagState, Order, ReleasedBag, revised
from wholekit.domain.picking import BagDemand, demand_of
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.bag_id import bag_id_from
from wholekit.domain.stock import Slips
from wholekit.services.allocating import reach_of
from wholekit.services.desk import Deed
from wholekit.services.order_port import BagFilter
from wholekit.services.ports import UnitOfWork
from wholekit.services.promises import give_back, items_of


def taken_over(
    uow: UnitOfWork,
    deed: Deed,
    slips: Slips,
    before: Sequence[Order],
    order: Order,
    offer: Offer,
    wanted: Mapping[str, tuple[ReleasedBag, int]],
) -> tuple[tuple[ReleasedBag, ...], Collection[ItemKey]]:
    """Make the bags that are not there; of orders before, keep what serves. Gives the surplus, and
    all goods that the bags may be promised, held."""
    own = uow.orders.bags(BagFilter(order=order.id))
    there = {bag.id for bag in own if bag.state is not BagState.CANCELLED}
    places = {(bag.mark, bag.number) for bag in own if bag.id in there}
    asked = [
        bag
        for bag, _ in wanted.values()
        if bag.id not in there and (bag.mark, bag.number) not in places
    ]
    old = [bag for each in before for bag in uow.orders.bags(BagFilter(order=each.id))]
    # Bags before goods, as who packs holds them; and all goods that may be promised at once.
    uow.orders.hold_bags([bag.id for bag in (*own, *old)])
    demands = _demands(uow, offer, asked, wanted)
    goods = {*reach_of(uow, [*own, *old], demands.values()), *items_of(asked)}
    uow.stock.hold(goods)
    own = uow.orders.bags(BagFilter(order=order.id))
    old = [bag for each in before for bag in uow.orders.bags(BagFilter(order=each.id))]
    change = revised(old, asked, _released_for(uow, old))
    for bag in change.kept:
        uow.orders.save_bag(replace(bag, order=order.id, version=bag.version + 1), bag.version)
    drop_bags(uow, slips, change.dropped, f"superseded by {order.label}")
    for each in before:
        uow.orders.save(replace(each, cancelled_at=deed.at, version=each.version + 1), each.version)
    # One that was cancelled and is asked for again stands again.
    again = {bag.id: bag for bag in own if bag.state is BagState.CANCELLED}
    for bag in change.fresh:
        if bag.id in again:
            was = again[bag.id]
            uow.orders.save_bag(
                replace(was, state=BagState.WAITING, version=was.version + 1), was.version
            )
    fresh = [bag for bag in change.fresh if bag.id not in again]
    if fresh:
        uow.orders.add_bags(fresh, {bag.id: demands[bag.id] for bag in fresh})
    return change.surplus, goods


def _released_for(
    uow: UnitOfWork, bags: Sequence[ReleasedBag]
) -> Mapping[str, tuple[tuple[ItemKey, int], ...]]:
    """What each bag was released for, whatever stands in since."""
    found = uow.orders.demands([bag.id for bag in bags]) if bags else {}
    return {
        bag: tuple(sorted((line.item, line.packs) for line in demand.lines))
        for bag, demand in found.items()
    }


def _demands(
    uow: UnitOfWork,
    offer: Offer,
    bags: Sequence[ReleasedBag],
    wanted: Mapping[str, tuple[ReleasedBag, int]],
) -> Mapping[str, BagDemand]:
    wares = uow.wares.of(items_of(bags))
    return {
        bag.id: demand_of(bag_id_from(bag.id), bag.mark, offer.kits[wanted[bag.id][1]], wares)
        for bag in bags
    }


def drop_bags(uow: UnitOfWork, slips: Slips, bags: Iterable[ReleasedBag], reason: str) -> None:
    """Bags that nobody has begun are cancelled, and their promises free."""
    idle = [bag for bag in bags if bag.state in (BagState.WAITING, BagState.READY)]
    give_back(uow, slips, idle, BagState.CANCELLED, reason)
