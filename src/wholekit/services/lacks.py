"""Bags that lack goods: which they are, when they can be whole, and what is to be bought."""

from collections.abc import Collection, Mapping, Sequence
from fractions import Fraction

from wholekit.domain.buying import UNDER_WAY, Coming, Shortage
from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import CallError
from wholekit.domain.orders import (
    MAY_LACK,
    BagState,
    Expected,
    LackingBag,
    Order,
    ReleasedBag,
    expected,
    lacking,
    with_elsewhere,
)
from wholekit.domain.quotes.roles import Action
from wholekit.services.availability import calendar_of
from wholekit.services.desk import Deed, Desk
from wholekit.services.order_port import BagFilter
from wholekit.services.ports import UnitOfWork
from wholekit.services.promises import items_of
from wholekit.services.rights import needs


def lacking_bags(uow: UnitOfWork, order: str = "") -> tuple[list[LackingBag], dict[str, Order]]:
    """Bags of orders that stand, of one or of all, that are not promised all they still take: the
    most pressing first; and their orders by id."""
    found = uow.orders.bags(BagFilter(order=order, states=MAY_LACK))
    held = uow.stock.bags([bag.id for bag in found if bag.state is BagState.OPEN])
    short = [each for bag in found if (each := lacking(bag, held.get(bag.id, {})))]
    orders = dict(uow.orders.several({one.bag.order for one in short}))
    # Bags of an order that was superseded hold goods until they are unpacked: they get no more.
    standing = [each for each in short if orders[each.bag.order].cancelled_at is None]
    standing.sort(key=lambda each: arrival(orders[each.bag.order], each.bag))
    return standing, orders


def arrival(order: Order, bag: ReleasedBag) -> tuple[object, ...]:
    """What bags are sorted by: how pressing their order is, then their place in it."""
    return (*order.pressing, bag.place, bag.number)


def waits_of(
    uow: UnitOfWork,
    desk: Desk,
    deed: Deed,
    bags: Sequence[LackingBag],
    orders: Mapping[str, Order],
) -> tuple[Expected, ...]:
    """When bags that lack goods can be whole, those before others in the list served first."""
    if not bags:
        return ()
    items = items_of(bags)
    calendar = calendar_of(desk.rules, uow.policy.get().holidays)
    found: list[Expected] = []
    # A kit is picked at one branch: what lies at another does not fill it until it is brought.
    at = {bag.id: bag.branch(orders[bag.bag.order].branch) for bag in bags}
    codes = [each.code for each in uow.stock.branches()]
    spare: dict[str, dict[ItemKey, int]] = {}
    for branch in dict.fromkeys((*at.values(), *codes)):
        free = uow.stock.free(items, branch)
        spare[branch] = dict(free)
        there = [bag for bag in bags if at[bag.id] == branch]
        if not there:
            continue
        found += expected(
            there,
            free,
            _coming(uow, items, branch),
            uow.wares.leads(items),
            calendar,
            deed.day,
        )
        for item, packs in (need for bag in there for need in bag.needs):
            spare[branch][item] = max(0, spare[branch].get(item, 0) - packs)
    return tuple(found) if len(spare) < 2 else with_elsewhere(found, at, spare)


@needs(Action.SEE_ORDERS)
def bag_waits(desk: Desk, deed: Deed, bag: str) -> Expected | None:
    """When a bag that lacks goods can be whole; None for one that lacks none. bag: its id."""
    with desk.store.reading() as uow:
        bags, orders = lacking_bags(uow)
        every = waits_of(uow, desk, deed, bags, orders)
        return next((each for each in every if each.bag == bag), None)


@needs(Action.SEE_ORDERS)
def waiting_bags(desk: Desk, deed: Deed) -> tuple[tuple[ReleasedBag, Order, Expected], ...]:
    """Every bag that lacks goods, the most pressing first, with its order and when it can be
    whole."""
    with desk.store.reading() as uow:
        bags, orders = lacking_bags(uow)
        waits = {each.bag: each for each in waits_of(uow, desk, deed, bags, orders)}
        return tuple(
            (each.bag, orders[each.bag.order], waits[each.id]) for each in bags if each.id in waits
        )


def waits_of_order(uow: UnitOfWork, desk: Desk, deed: Deed, order: str) -> tuple[Expected, ...]:
    """When the bags of an order that lack goods can be whole, more pressing ones of others served
    before them."""
    bags, orders = lacking_bags(uow)
    own = {each.id for each in bags if each.bag.order == order}
    return tuple(each for each in waits_of(uow, desk, deed, bags, orders) if each.bag in own)


def shortages_of(uow: UnitOfWork, desk: Desk, deed: Deed, branch: str) -> tuple[Shortage, ...]:
    """What the bags of a branch lack beyond what is free there, by bag."""
    bags, orders = lacking_bags(uow)
    here = {each.id: each for each in bags if each.branch(orders[each.bag.order].branch) == branch}
    of = {each.id: orders[each.bag.order] for each in here.values()}
    return tuple(
        Shortage(
            short.item, Fraction(short.packs), of[each.bag].promised_on, of[each.bag].label,
            each.bag,
        )
        for each in waits_of(uow, desk, deed, list(here.values()), orders)
        for short in each.short
    )  # fmt: skip


def _coming(
    uow: UnitOfWork, items: Collection[ItemKey], branch: str
) -> Mapping[ItemKey, Sequence[Coming]]:
    found: dict[ItemKey, list[Coming]] = {}
    for each in uow.purchases.coming(UNDER_WAY, items, branch):
        found.setdefault(each.item, []).append(Coming(each.packs, each.day))
    return found


def order_of_id(uow: UnitOfWork, order_id: str) -> Order:
    """The order of an id. Raises CallError."""
    found = uow.orders.get(order_id)
    if found is None:
        raise CallError("order-unknown", quote=order_id)
    return found
