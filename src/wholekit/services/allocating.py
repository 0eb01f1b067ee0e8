"""Free stock promised to bags that lack it: as many whole kits as can be."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from wholekit.domain.allocation import Allocation, Want, weight_of
from wholekit.domain.allocation import allocate as chosen_among
from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import CallError
from wholekit.domain.orders import (
    BagState,
    Expected,
    LackingBag,
    Order,
    ReleasedBag,
    lacking,
)
from wholekit.domain.picking import BagDemand, EventStamp, ScanRefused, bag_of, substitute
from wholekit.domain.quotes.bag_id import bag_id_from
from wholekit.domain.quotes.roles import Action
from wholekit.domain.stock import Slips
from wholekit.services.desk import Deed, Desk, need_reason, note
from wholekit.services.lacks import arrival, lacking_bags, order_of_id, waits_of
from wholekit.services.ports import UnitOfWork
from wholekit.services.promises import give_back, items_of, promise
from wholekit.services.rights import needs


@dataclass(frozen=True, slots=True)
class Allocated:
    """What was, or would be, promised to bags that lack goods. answers: by branch, with what was
    compared; ready: bags that lack nothing by it, those that are being picked among them; expected:
    of those that lack goods still; orders: by id."""

    answers: Mapping[str, Allocation]
    ready: tuple[ReleasedBag, ...]
    expected: tuple[Expected, ...]
    orders: Mapping[str, Order]
    bags: Mapping[str, ReleasedBag]


@needs(Action.ALLOCATE_STOCK)
def allocate_stock(desk: Desk, deed: Deed, *, branch: str = "", dry_run: bool = False) -> Allocated:
    """Promise what is free to the bags that lack goods, so that as many kits as can go out whole.

    branch: of orders to be picked there alone. dry_run: told, and nothing moved. Nothing that was
    promised is touched. Raises CallError.
    """
    with desk.store.writing() as uow:
        if branch:
            known_branch(uow, branch)
        hold_lacking(uow)
        held = hold_for_waiting(uow)
        slips = Slips(desk.ids.new(), deed.at, deed.who)
        found = promised(uow, desk, deed, slips, held, of_branch=branch)
        if not dry_run:
            uow.commit()
    return found


def hold_lacking(uow: UnitOfWork, beside: Collection[str] = ()) -> None:
    """Take the turn, and hold every bag that lacks goods, before any goods. beside: other bags of
    that deed, by id."""
    uow.stock.take_turn()
    uow.orders.hold_bags({*beside, *(each.id for each in lacking_bags(uow)[0])})


def hold_for_waiting(
    uow: UnitOfWork, items: Collection[ItemKey] = (), also: Sequence[LackingBag] = ()
) -> Collection[ItemKey]:
    """Of one who holds the bags that lack goods (`hold_lacking`): hold all that they may be given,
    and some items, at once, before any of it moves; the items. also: bags that are about to lack
    them."""
    reach = {*items, *reach_of(uow, [*lacking_bags(uow)[0], *also])}
    uow.stock.hold(reach)
    return reach


def complete_waiting(
    uow: UnitOfWork, desk: Desk, deed: Deed, slips: Slips, held: Collection[ItemKey]
) -> Allocated:
    """Goods came in, and everything is held (`hold_for_waiting`, which gave `held`): bags that lack
    goods are promised what makes them whole, the most pressing first."""
    return promised(uow, desk, deed, slips, held)


@needs(Action.TAKE_PROMISES)
def take_promise(
    desk: Desk, deed: Deed, giving: str, taking: str, reason: str
) -> tuple[ReleasedBag, ReleasedBag]:
    """What one bag was promised goes to another that lacks it: as they are then. Raises CallError
    where what is free and what is taken do not make the other whole."""
    why = need_reason(reason, "taking")
    with desk.store.writing() as uow:
        uow.stock.take_turn()
        uow.orders.hold_bags([str(bag_id_from(each)) for each in (giving, taking)])
        giver, taker = _bag(uow, giving), _bag(uow, taking)
        uow.stock.hold(items_of([giver, taker]))
        lacks = lacking(taker, uow.stock.bags([taker.id]).get(taker.id, {}))
        if giver.state is not BagState.READY or lacks is None:
            raise CallError(
                "promise-not-takeable",
                giving=giver.id, giving_state=giver.state.value,
                taking=taker.id, taking_state=taker.state.value,
            )  # fmt: skip
        slips = Slips(desk.ids.new(), deed.at, deed.who)
        (given,) = give_back(uow, slips, [giver], reason=why)
        at = lacks.branch(giver.branch)
        free = uow.stock.free([item for item, _ in lacks.needs], at)
        short = [item[1] for item, packs in lacks.needs if free.get(item, 0) < packs]
        if short:
            raise CallError("promise-not-enough", taking=taker.id, short=short)
        (taken,) = promise(uow, slips, [lacks], at)
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
    held: Collection[ItemKey],
    order: str = "",
    of_branch: str = "",
) -> Allocated:
    """Promise what is free to bags that lack goods, of one order or of all: to those being picked
    what they lost, then to those that wait at the branch of their order, then at each other one
    that has all they need. The bags are held, and of goods nothing but what is held is touched."""
    lacks, orders = lacking_bags(uow, order)
    bags = [each for each in lacks if set(held).issuperset(items_of([each]))]
    home = {each.id: each.branch(orders[each.bag.order].branch) for each in bags}
    bags = [each for each in bags if of_branch in ("", home[each.id])]
    ready = _restored(uow, slips, [each for each in bags if each.is_open])
    answers: dict[str, Allocation] = {}
    left = {each.id: each for each in bags if not each.is_open}
    codes = [each.code for each in uow.stock.branches()]
    for own in (True, False):
        for branch in codes:
            here = [each for each in left.values() if (home[each.id] == branch) is own]
            if not here:
                continue
            answer, made = _at_branch(uow, desk, deed, slips, here, orders, branch)
            if own:
                answers[branch] = answer
            ready += made
            for bag in made:
                del left[bag.id]
    whole = {bag.id for bag in ready}
    still = [each for each in bags if each.id not in whole]
    return Allocated(
        answers,
        tuple(ready),
        waits_of(uow, desk, deed, still, orders),
        orders,
        {each.id: each.bag for each in bags} | {bag.id: bag for bag in ready},
    )


def _restored(uow: UnitOfWork, slips: Slips, bags: Sequence[LackingBag]) -> list[ReleasedBag]:
    """Open bags get all that they lost, in turn: it was promised to them before, and what is in
    them serves nobody until they are whole."""
    made: list[ReleasedBag] = []
    for each in bags:
        free = uow.stock.free([item for item, _ in each.needs], each.bag.branch)
        if all(free.get(item, 0) >= packs for item, packs in each.needs):
            made += promise(uow, slips, [each], each.bag.branch)
    return made


def _at_branch(
    uow: UnitOfWork,
    desk: Desk,
    deed: Deed,
    slips: Slips,
    bags: Sequence[LackingBag],
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
                each.id, each.needs, _weight(desk, orders[each.bag.order], deed.day),
                arrival(orders[each.bag.order], each.bag),
            )
            for each in bags
        ],
        uow.stock.free(items, branch),
        equal,
        desk.solver,
    )  # fmt: skip
    by_id = {each.id: each for each in bags}
    made: list[ReleasedBag] = []
    for given in answer.chosen:
        each = by_id[given.id]
        instead = [one for one in given.items if one[0] != one[1]]
        if instead:
            changed = _substituted(uow, desk, deed, each.bag, demands[each.id], instead)
            if changed is None:
                continue
            each = LackingBag(changed, changed.needs)
        made += promise(uow, slips, [each], branch)
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


def reach_of(
    uow: UnitOfWork,
    bags: Sequence[ReleasedBag | LackingBag],
    more: Collection[BagDemand] = (),
) -> set[ItemKey]:
    """Every item that may be given to some bags. more: what bags that are not there yet demand."""
    demands = (*uow.orders.demands([bag.id for bag in bags]).values(), *more)
    wares = [line.ware for demand in demands for line in demand.lines]
    others = (other for ware in wares for other in ware.substitutes)
    return {*items_of(bags), *(ware.key for ware in wares), *others}


def _weight(desk: Desk, order: Order, day: date) -> int:
    days = None if order.promised_on is None else (order.promised_on - day).days
    return weight_of(desk.rules, order.priority, days)


def _bag(uow: UnitOfWork, reference: str) -> ReleasedBag:
    bag_id = str(bag_id_from(reference))
    bag = uow.orders.bag(bag_id)
    if bag is None:
        raise CallError("bag-unknown", bag=bag_id)
    return bag


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
