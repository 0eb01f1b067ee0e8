"""Waves: bags picked in one walk, begun, looked up, gone on with and let go. No money is in it."""

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import CallError
from wholekit.domain.orders import BagState, Order, ReleasedBag, lacking
from wholekit.domain.picking import Bag, BagStatus, InBin, Wave, bag_of, plan_wave
from wholekit.domain.quotes.bag_id import bag_id_from
from wholekit.domain.quotes.roles import Action
from wholekit.domain.walk import AS_NAMED, Walk
from wholekit.services.desk import Deed, Desk
from wholekit.services.lacks import order_of_id
from wholekit.services.order_port import BagFilter
from wholekit.services.ports import UnitOfWork
from wholekit.services.rights import needs

MOST_IN_WAVE = 24
SERIES = "wave"
# What may be picked: nobody has begun it, or somebody has.
PICKABLE = frozenset({BagState.READY, BagState.OPEN})
# Nobody has turned to it, or not since it was put aside.
_IDLE = frozenset({BagStatus.NEW, BagStatus.WAITING})


@dataclass(frozen=True, slots=True)
class WaveView:
    """A wave as its picker sees it. bags: by their position on the cart; walk: what is still to
    take, bin by bin; orders: by id; equal: by bag how many bags its opening has; books: by item
    and bin the packs that the books have there."""

    number: int
    picker: str
    bags: tuple[tuple[ReleasedBag, Bag], ...]
    walk: Wave
    orders: Mapping[str, Order]
    equal: Mapping[str, int]
    books: Mapping[tuple[ItemKey, str], int]

    @property
    def begun(self) -> bool:
        """Whether anybody has turned to one of its bags; not in an earlier wave alone."""
        return any(bag.status not in _IDLE for _, bag in self.bags)

    @property
    def under_way(self) -> bool:
        """Whether there is a bag in it to pick, or to close."""
        return any(row.state in PICKABLE for row, _ in self.bags)


@needs(Action.PICK_BAGS)
def open_wave(
    desk: Desk,
    deed: Deed,
    *,
    orders: Sequence[str] = (),
    bags: Sequence[str] = (),
    branch: str = "",
    most: int = 12,
    walk: Walk = AS_NAMED,
    dry_run: bool = False,
) -> WaveView:
    """A wave of bags that are in no other: those that are ready, and those that were left, as far
    as there is anything to do at them. The most pressing orders first.

    orders: ids, none: of any; bags: these alone, also one that was left and still lacks all that is
    to take; most: bags [count]. dry_run: told, and nothing begun. Raises CallError where there is
    none, and for a bag that may not be picked.
    """
    if not 0 < most <= MOST_IN_WAVE:
        raise CallError("wave-size", given=most, most=MOST_IN_WAVE)
    with desk.store.writing() as uow:
        number = uow.numbers.take(SERIES)
        free = _named(uow, bags) if bags else _free(uow, orders, branch)
        of = {each: order_of_id(uow, each) for each in {bag.order for bag in free}}
        free.sort(key=lambda bag: (of[bag.order].pressing, bag.place, bag.number))
        # One cart goes round one branch.
        taken = [bag for bag in free if bag.branch == free[0].branch][:most]
        # In one order, whatever the walk is.
        uow.orders.hold_bags([bag.id for bag in taken])
        for bag in taken:
            join(uow, deed, number, bag)
        found = _view(uow, number, walk)
        if not dry_run:
            uow.commit()
    return found


@needs(Action.SEE_ORDERS)
def wave_shown(desk: Desk, deed: Deed, number: int, walk: Walk = AS_NAMED) -> WaveView:
    """A wave as it stands. Raises CallError."""
    with desk.store.reading() as uow:
        return _view(uow, number, walk)


@needs(Action.SEE_ORDERS)
def waves_under_way(desk: Desk, deed: Deed, walk: Walk = AS_NAMED) -> tuple[WaveView, ...]:
    """Every wave in which there is a bag to pick, by number."""
    with desk.store.reading() as uow:
        begun = uow.orders.bags(BagFilter(states=PICKABLE))
        numbers = frozenset(bag.wave for bag in begun if bag.wave)
        rows = uow.orders.bags(BagFilter(waves=numbers)) if numbers else ()
        return _views(uow, sorted(numbers), _worked(uow, rows), walk)


@needs(Action.SEE_ORDERS)
def bags_left(desk: Desk, deed: Deed) -> tuple[ReleasedBag, ...]:
    """Bags that were begun, put aside, and are in no wave."""
    with desk.store.reading() as uow:
        found = uow.orders.bags(BagFilter(states=frozenset({BagState.OPEN})))
        return tuple(bag for bag in found if not bag.wave)


@needs(Action.SEE_ORDERS)
def find_bag(desk: Desk, deed: Deed, reference: str) -> tuple[ReleasedBag, ...]:
    """The bag of an id; empty where there is none. Raises CallError for what is no id."""
    with desk.store.reading() as uow:
        found = uow.orders.bag(str(bag_id_from(reference)))
        return () if found is None else (found,)


@needs(Action.SEE_ORDERS)
def equal_bags_of(desk: Desk, deed: Deed, bags: Collection[ReleasedBag]) -> Mapping[str, int]:
    """By bag how many bags its opening has."""
    with desk.store.reading() as uow:
        return equal_bags(uow, bags)


@needs(Action.PICK_BAGS)
def end_wave(desk: Desk, deed: Deed, number: int) -> tuple[ReleasedBag, ...]:
    """Let bags of a wave that nobody has begun, or not since they were put aside, go back to where
    they were; which they are."""
    with desk.store.writing() as uow:
        there = [row.id for row in uow.orders.bags(BagFilter(wave=number, states=PICKABLE))]
        uow.orders.hold_bags(there)
        worked = _worked(uow, uow.orders.bags(BagFilter(wave=number, states=PICKABLE)))
        idle = [row for row, bag in worked if bag.status in _IDLE]
        made = tuple(replace(bag, wave=0, picker="", version=bag.version + 1) for bag in idle)
        for bag in made:
            uow.orders.save_bag(bag, bag.version - 1)
        uow.commit()
    return made


def join(uow: UnitOfWork, deed: Deed, number: int, bag: ReleasedBag) -> ReleasedBag:
    """Put a bag that is in no wave into one; as it is then. Raises ConflictError."""
    made = replace(bag, wave=number, picker=deed.who, version=bag.version + 1)
    uow.orders.save_bag(made, bag.version)
    return made


def bags_of_wave(uow: UnitOfWork, number: int) -> list[tuple[ReleasedBag, Bag]]:
    """The bags of a wave, none where all of them were left. Raises CallError for a wave that was
    never begun."""
    rows = uow.orders.bags(BagFilter(wave=number)) if number > 0 else ()
    if not rows and not 0 < number <= uow.numbers.latest(SERIES):
        raise CallError("wave-unknown", wave=number)
    return _worked(uow, rows)


def equal_bags(uow: UnitOfWork, bags: Collection[ReleasedBag]) -> Mapping[str, int]:
    """By bag how many bags its opening has."""
    orders = frozenset(bag.order for bag in bags)
    there = uow.orders.bags(BagFilter(orders=orders)) if orders else ()
    counts = Counter((bag.order, bag.mark) for bag in there if bag.state is not BagState.CANCELLED)
    return {bag.id: counts[bag.order, bag.mark] for bag in bags}


def _free(uow: UnitOfWork, orders: Sequence[str], branch: str) -> list[ReleasedBag]:
    every = uow.orders.bags(BagFilter(states=PICKABLE, branch=branch))
    idle = [bag for bag in every if not bag.wave and (not orders or bag.order in orders)]
    held = uow.stock.bags([bag.id for bag in idle if bag.state is BagState.OPEN])
    free, waits = [], 0
    for bag in idle:
        there = held.get(bag.id, {})
        # Of one that was left and lacks goods there may be other pieces to take.
        due = any(each.promised for each in there.values())
        if due or lacking(bag, there) is None:
            free.append(bag)
        else:
            waits += 1
    if not free:
        raise CallError("wave-nothing-ready", elsewhere=len(every) - len(idle), left=waits)
    return free


def _named(uow: UnitOfWork, bags: Sequence[str]) -> list[ReleasedBag]:
    found = []
    for bag_id in dict.fromkeys(str(bag_id_from(each)) for each in bags):
        bag = uow.orders.bag(bag_id)
        if bag is None:
            raise CallError("bag-unknown", bag=bag_id)
        if bag.state not in PICKABLE:
            raise CallError("bag-not-pickable", bag=bag.id, state=bag.state.value)
        if bag.wave:
            raise CallError("bag-in-wave", bag=bag.id, wave=bag.wave, picker=bag.picker)
        found.append(bag)
    return found


def _worked(uow: UnitOfWork, rows: Sequence[ReleasedBag]) -> list[tuple[ReleasedBag, Bag]]:
    """Bags with what their events leave of them."""
    ids = [row.id for row in rows]
    demands, events = uow.orders.demands(ids), uow.orders.events_of(ids)
    return [(row, bag_of(demands[row.id], events[row.id])) for row in rows]


def _view(uow: UnitOfWork, number: int, walk: Walk) -> WaveView:
    (found,) = _views(uow, [number], bags_of_wave(uow, number), walk)
    return found


def _views(
    uow: UnitOfWork, numbers: Sequence[int], bags: Sequence[tuple[ReleasedBag, Bag]], walk: Walk
) -> tuple[WaveView, ...]:
    """Waves of these bags; the store is asked as often for many as for one."""
    items = {line.item for _, bag in bags for line in bag.remaining}
    bins = [
        (place.branch, InBin(item, place.bin, packs))
        for item, places in uow.stock.bins_of(items).items()
        for place, packs in places.items()
    ]
    rows = [row for row, _ in bags]
    orders = uow.orders.several({row.order for row in rows})
    equal = equal_bags(uow, rows)
    return tuple(
        _view_of(
            number, [pair for pair in bags if pair[0].wave == number], bins, orders, equal, walk
        )
        for number in numbers
    )


def _view_of(
    number: int,
    bags: Sequence[tuple[ReleasedBag, Bag]],
    bins: Sequence[tuple[str, InBin]],
    orders: Mapping[str, Order],
    equal: Mapping[str, int],
    walk: Walk,
) -> WaveView:
    branch = bags[0][0].branch if bags else ""
    wanted = {line.item for _, bag in bags for line in bag.remaining}
    here = [each for place, each in bins if place == branch and each.item in wanted]
    rows = [row for row, _ in bags]
    return WaveView(
        number,
        bags[0][0].picker if bags else "",
        tuple(bags),
        plan_wave([bag for _, bag in bags], here, walk),
        {row.order: orders[row.order] for row in rows},
        {row.id: equal[row.id] for row in rows},
        {(each.item, each.bin): each.packs for each in here},
    )
