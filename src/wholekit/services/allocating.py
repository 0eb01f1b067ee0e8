"""Free stock promised to bags that wait: as many whole kits as can be, the most pressing first."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from wholekit.domain.allocation import Allocation, Want, weight_of
from wholekit.domain.allocation import allocate as chosen_among
from wholekit.domain.buying import UNDER_WAY, Coming, Shortage
from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import CallError
from wholekit.domain.orders import BagState, Expected, Order, ReleasedBag, expected
from wholekit.domain.picking import BagDemand, EventStamp, ScanRefused, bag_of, substitute
from wholekit.domain.quotes.bag_id import bag_id_from
from wholekit.domain.quotes.roles import Action
from wholekit.domain.stock import Slips
from wholekit.services.availability import calendar_of
from wholekit.services.desk import Deed, Desk, need_reason, note
from wholekit.services.order_port import BagFilter
from wholekit.services.ports import UnitOfWork
from wholekit.services.promises import give_back, items_of, promise
from wholekit.services.rights import needs

WAITING = frozenset({BagState.WAITING})


@dataclass(frozen=True, slots=True)
class Allocated:
    """What was, or would be, promised to waiting bags. answers: by branch, with what was compared;
    ready: bags that are whole by it; expected: of those that wait still; orders: by id."""

    answers: Mapping[str, Allocation]
    ready: tuple[ReleasedBag, ...]
    expected: tuple[Expected, ...]
    orders: Mapping[str, Order]
    bags: Mapping[str, ReleasedBag]


@needs(Action.ALLOCATE_STOCK)
def allocate_stock(desk: Desk, deed: Deed, *, branch: str = "", dry_run: bool = False) -> Allocated:
    """Promise what is free to the bags that wait, so that as many kits as can go out whole.

    branch: of orders to be picked there alone. dry_run: told, and nothing moved. Nothing that was
    promised is touched. Raises CallError.
    """
    with desk.store.writing() as uow:
        if branch:
            known_branch(uow, branch)
        slips = Slips(desk.ids.new(), deed.at, deed.who)
        found = promised(uow, desk, deed, slips, BagFilter(states=WAITING), of_branch=branch)
        if not dry_run:
            uow.commit()
    return found


def hold_for_waiting(uow: UnitOfWork, items: Collection[ItemKey]) -> None:
    """Hold some items and all that waiting bags may be given, at once, before any of it moves."""
    waiting = uow.orders.bags(BagFilter(states=WAITING))
    uow.stock.hold(sorted({*items, *_reach(uow, waiting)}))


def complete_waiting(uow: UnitOfWork, desk: Desk, deed: Deed, slips: Slips) -> Allocated:
    """Goods came in, and everything is held (`hold_for_waiting`): bags that wait are promised what
    makes them whole, the most pressing first."""
    return promised(uow, desk, deed, slips, BagFilter(states=WAITING))


@needs(Action.TAKE_PROMISES)
def take_promise(
    desk: Desk, deed: Deed, giving: str, taking: str, reason: str
) -> tuple[ReleasedBag, ReleasedBag]:
    """What one bag was promised goes to another that waits: as they are then. Raises CallError
    where what is free and what is taken do not make the other whole."""
    why = need_reason(reason, "taking")
    with desk.store.writing() as uow:
        ids = sorted({str(bag_id_from(giving)), str(bag_id_from(taking))})
        held = {bag_id: bag_for_change(uow, bag_id) for bag_id in ids}
        giver, taker = held[str(bag_id_from(giving))], held[str(bag_id_from(taking))]
        if giver.state is not BagState.READY or taker.state is not BagState.WAITING:
            raise CallError(
                "promise-not-takeable",
                giving=giver.id, giving_state=giver.state.value,
                taking=taker.id, taking_state=taker.state.value,
            )  # fmt: skip
        uow.stock.hold(items_of([giver, taker]))
        slips = Slips(desk.ids.new(), deed.at, deed.who)
        (given,) = give_back(uow, slips, [giver], reason=why)
        free = uow.stock.free([item for item, _ in taker.needs], giver.branch)
        short = [item[1] for item, packs in taker.needs if free.get(item, 0) < packs]
        if short:
            raise CallError("promise-not-enough", taking=taker.id, short=short)
        (taken,) = promise(uow, slips, [taker], giver.branch)
        order = order_of_id(uow, giver.order)
        note(
            uow, deed, "promise-taken", "revision", giver.order, job_id=order.job_id,
            before={"bag": giver.id}, after={"bag": taker.id}, reason=why,
        )  # fmt: skip
        uow.commit()
    return given, taken


def promised(
    uow: UnitOfWork,
    desk: Desk,
    deed: Deed,
    slips: Slips,
    wanted: BagFilter,
    of_branch: str = "",
) -> Allocated:
    """Promise what is free to waiting bags: at the branch of their order, then at each other one
    that has all they need."""
    waiting = uow.orders.bags(wanted)
    orders = {each: order_of_id(uow, each) for each in sorted({bag.order for bag in waiting})}
    waiting = [bag for bag in waiting if of_branch in ("", orders[bag.order].branch)]
    uow.stock.hold(_reach(uow, waiting))
    answers: dict[str, Allocation] = {}
    ready: list[ReleasedBag] = []
    left = {bag.id: bag for bag in waiting}
    home = {bag.id: orders[bag.order].branch for bag in waiting}
    codes = [each.code for each in uow.stock.branches()]
    for own in (True, False):
        for branch in codes:
            here = [bag for bag in left.values() if (home[bag.id] == branch) is own]
            if not here:
                continue
            answer, made = _at_branch(uow, desk, deed, slips, here, orders, branch)
            if own:
                answers[branch] = answer
            ready += made
            for bag in made:
                del left[bag.id]
    still = sorted(left.values(), key=lambda bag: _arrival(orders[bag.order], bag))
    return Allocated(
        answers,
        tuple(ready),
        waits_of(uow, desk, deed, still),
        orders,
        {bag.id: bag for bag in (*waiting, *ready)},
    )


def _at_branch(
    uow: UnitOfWork,
    desk: Desk,
    deed: Deed,
    slips: Slips,
    bags: Sequence[ReleasedBag],
    orders: Mapping[str, Order],
    branch: str,
) -> tuple[Allocation, list[ReleasedBag]]:
    demands = uow.orders.demands([bag.id for bag in bags])
    equal = {
        line.item: line.ware.substitutes
        for demand in demands.values()
        for line in demand.lines
        if line.ware.substitutes
    }
    items = {*items_of(bags), *(other for others in equal.values() for other in others)}
    answer = chosen_among(
        [
            Want(
                bag.id, bag.needs, _weight(desk, orders[bag.order], deed.day),
                _arrival(orders[bag.order], bag),
            )
            for bag in bags
        ],
        uow.stock.free(items, branch),
        equal,
        desk.solver,
    )  # fmt: skip
    by_id = {bag.id: bag for bag in bags}
    made: list[ReleasedBag] = []
    for given in answer.chosen:
        bag = by_id[given.id]
        instead = [each for each in given.items if each[0] != each[1]]
        if instead:
            changed = _substituted(uow, desk, deed, bag, demands[bag.id], instead)
            if changed is None:
                continue
            bag = changed
        made += promise(uow, slips, [bag], branch)
    return answer, made


def _substituted(
    uow: UnitOfWork,
    desk: Desk,
    deed: Deed,
    bag: ReleasedBag,
    demand: BagDemand,
    instead: Sequence[tuple[ItemKey, ItemKey, int]],
) -> ReleasedBag | None:
    """The bag with what it takes in place of short items, written down; None where the kit would
    not be the same, or only some packs of an item would be exchanged."""
    picked = bag_of(demand, uow.orders.events(bag.id))
    wares = uow.wares.of([given for _, given, _ in instead])
    events = []
    for item, given, packs in instead:
        line = next((line for line in picked.remaining if line.item == item), None)
        if given not in wares or line is None or line.packs != packs:
            return None
        stamp = EventStamp(desk.ids.new(), deed.who, deed.at)
        made = substitute(picked, item, wares[given], f"{item[1]} short", stamp)
        if isinstance(made, ScanRefused):
            return None
        picked = picked.after(made)
        events.append(made)
    for event in events:
        uow.orders.add_event(bag.id, event)
    needs_now = tuple(sorted((line.item, line.packs) for line in picked.plan))
    changed = replace(bag, needs=needs_now)
    uow.orders.save_needs(changed)
    return changed


def _reach(uow: UnitOfWork, bags: Sequence[ReleasedBag]) -> list[ItemKey]:
    """Every item that may be given to some bags."""
    demands = uow.orders.demands([bag.id for bag in bags]).values()
    wares = [line.ware for demand in demands for line in demand.lines]
    others = (other for ware in wares for other in ware.substitutes)
    return sorted({*items_of(bags), *others})


def _weight(desk: Desk, order: Order, day: date) -> int:
    days = None if order.promised_on is None else (order.promised_on - day).days
    return weight_of(desk.rules, order.priority, days)


def _arrival(order: Order, bag: ReleasedBag) -> tuple[object, ...]:
    return (*order.pressing, bag.place, bag.number)


def waits_of(
    uow: UnitOfWork, desk: Desk, deed: Deed, waiting: Sequence[ReleasedBag]
) -> tuple[Expected, ...]:
    """When bags that wait can be whole, those before it in the list served first."""
    if not waiting:
        return ()
    items = items_of(waiting)
    calendar = calendar_of(desk.rules, uow.policy.get().holidays)
    found: list[Expected] = []
    # A kit is picked at one branch: what lies at another does not fill it.
    by_branch: dict[str, list[ReleasedBag]] = {}
    for bag in waiting:
        by_branch.setdefault(order_of_id(uow, bag.order).branch, []).append(bag)
    for branch, bags in by_branch.items():
        found += expected(
            bags,
            uow.stock.free(items, branch),
            _coming(uow, items, branch),
            uow.wares.leads(items),
            calendar,
            deed.day,
        )
    return tuple(found)


def shortages_of(uow: UnitOfWork, desk: Desk, deed: Deed, branch: str) -> tuple[Shortage, ...]:
    """What the waiting bags of a branch lack beyond what is free there, by bag."""
    waiting = uow.orders.bags(BagFilter(states=WAITING))
    orders = {each: order_of_id(uow, each) for each in sorted({bag.order for bag in waiting})}
    here = {bag.id: bag for bag in waiting if orders[bag.order].branch == branch}
    bags = sorted(here.values(), key=lambda bag: _arrival(orders[bag.order], bag))
    return tuple(
        Shortage(
            short.item, Fraction(short.packs), orders[here[each.bag].order].promised_on,
            orders[here[each.bag].order].label, each.bag,
        )
        for each in waits_of(uow, desk, deed, bags)
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


def bag_for_change(uow: UnitOfWork, bag_id: str) -> ReleasedBag:
    """The bag of an id, held until the unit of work ends. Raises CallError."""
    bag = uow.orders.bag_for_change(bag_id)
    if bag is None:
        raise CallError("bag-unknown", bag=bag_id)
    return bag


def known_branch(uow: UnitOfWork, code: str) -> str:
    """The code of a branch of the house. Raises CallError."""
    known = [each.code for each in uow.stock.branches()]
    if code.strip() not in known:
        raise CallError("branch-unknown", name=code, known=known)
    return code.strip()
