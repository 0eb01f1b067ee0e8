"""Orders, waves and scans made at random, by one or by many at once, and what must hold then."""

import random
from collections import Counter
from collections.abc import Sequence

from tests.support.deeds import Address, desk_at, desk_on
from tests.support.jobs import a_job, by

from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import CallError, ConflictError
from wholekit.domain.orders import BagState
from wholekit.domain.picking import BagOpened, EventStamp, ScanCounted, bag_of, open_bag
from wholekit.domain.quotes import Acceptance, State
from wholekit.domain.stock import MAIN
from wholekit.services import allocating, picks, shorts, unpacking, waves
from wholekit.services.counts import (
    CountedItem,
    CountEntry,
    CountWhere,
    count_sheet,
    enter_count,
)
from wholekit.services.desk import Deed, Desk
from wholekit.services.lacks import shortages_of
from wholekit.services.order_port import BagFilter
from wholekit.services.orders import ToldRelease, cancel_order, release_order, show_order
from wholekit.services.ports import Store
from wholekit.services.quotes import close_quote, issue_quote
from wholekit.services.shipping import ship_bags
from wholekit.services.stock import ToldItem, ToldPlace, adjust_stock, receive_stock
from wholekit.services.stock_returns import ReturnWay, ToldReturn, return_stock

# What somebody may be told who was second, or asked for what is not there any more.
TOLD = (
    "bag-not-packed", "bag-short", "bag-state", "bin-short", "move-nowhere", "order-unknown",
    "promise-short", "ship-nothing-closed", "stock-short", "version-stale",
    "wave-nothing-ready", "wave-unknown", "bag-unknown", "bin-needed", "release-superseded",
    "release-nothing", "bag-in-wave", "bag-not-pickable", "return-too-many", "count-empty",
    "count-overtaken", "promise-not-takeable", "promise-not-enough",
)  # fmt: skip


def accepted_quote(desk: Desk, marks: Sequence[str], name: str, quantity: int = 1) -> str:
    """The label of an accepted quote over openings alike, each so often."""
    job = a_job(desk, *marks, name=name, quantity=quantity)
    issue = issue_quote(desk, by(), job.label)
    assert issue.revision is not None, issue.review
    label = issue.revision.label
    close_quote(desk, by(), label, State.ACCEPTED, acceptance=Acceptance((), "PO", by().day))
    return label


def pack(desk: Desk, who: Deed, wave: int, bag_id: str) -> None:
    """A bag of a wave picked whole and closed, scan by scan."""
    bag = picks.scan(desk, who, wave, bag_id).bag
    while bag is not None and bag.remaining:
        bag = picks.scan(desk, who, wave, bag.remaining[0].ware.sku, into=bag_id).bag
    assert not picks.close_bag(desk, who, bag_id).refused


def work_at_random(address: Address, labels: Sequence[str], seed: float, deeds: int) -> None:
    """So many deeds of the pick room, each of them done or told why not."""
    desk, at_random = desk_at(address), random.Random(seed)
    for _ in range(deeds):
        deed_at_random(desk, at_random, labels)


def deed_at_random(desk: Desk, at_random: random.Random, labels: Sequence[str]) -> str:
    """One deed of the pick room: empty where it was done, else the code of what was told instead.
    Raises what nobody should be told."""
    try:
        _deed(desk, at_random, labels)
    except (CallError, ConflictError) as told:
        if told.code not in TOLD:
            raise
        return told.code
    return ""


def _deed(desk: Desk, at_random: random.Random, labels: Sequence[str]) -> None:
    who = by("odo")
    label = at_random.choice(labels)
    kinds = (
        "release", "receive", "lose", "pick", "pick", "pick", "ship", "allocate", "cancel",
        "unpack", "return", "count", "meddle", "take",
    )  # fmt: skip
    kind = at_random.choice(kinds)
    if kind == "return":
        told = ToldReturn(
            ToldItem(at_random.choice(_skus(desk.store))),
            1,
            at_random.choice(list(ReturnWay)),
            ToldPlace(bin="R-1"),
            "at random",
        )
        return_stock(desk, who, told, order=label)
    elif kind == "count":
        _count(desk, at_random)
    elif kind == "meddle":
        _meddle(desk, at_random)
    elif kind == "take":
        ready, waiting = _bags(desk.store, BagState.READY), _bags(desk.store, BagState.WAITING)
        if ready and waiting:
            giving, taking = at_random.choice(ready), at_random.choice(waiting)
            allocating.take_promise(desk, who, giving, taking, "at random")
    elif kind == "release":
        release_order(desk, who, label, ToldRelease())
    elif kind == "allocate":
        allocating.allocate_stock(desk, who)
    elif kind == "ship":
        ship_bags(desk, who, label)
    elif kind == "cancel" and at_random.random() < 0.2:
        cancel_order(desk, who, label, "at random")
    elif kind in ("receive", "lose"):
        sku = at_random.choice(_skus(desk.store))
        place = ToldPlace(bin="R-1")
        if kind == "receive":
            receive_stock(desk, who, ToldItem(sku), at_random.randint(1, 4), place)
        else:
            adjust_stock(desk, who, ToldItem(sku), -1, place, "lost at random")
    elif kind == "unpack":
        bags = _bags(desk.store, BagState.CLOSED, BagState.OPEN)
        if bags:
            unpacking.unpack_bag(desk, who, at_random.choice(bags), "at random")
    elif kind == "pick":
        _pick(desk, at_random)


def _pick(desk: Desk, at_random: random.Random) -> None:
    who = by("odo")
    left = [bag.id for bag in waves.bags_left(desk, who)]
    named = left[:1] if at_random.random() < 0.2 else []
    wave = waves.open_wave(desk, who, most=2, bags=named)
    # One that was left, perhaps by now in somebody's wave: its label goes on with it in this one.
    more = [bag for bag in left if bag not in named and at_random.random() < 0.3]
    for bag_id in [*(row.id for row, _ in wave.bags), *more]:
        turned = picks.scan(desk, who, wave.number, bag_id)
        bag = turned.bag
        while not turned.refused and bag is not None and bag.remaining:
            line = at_random.choice(bag.remaining)
            if at_random.random() < 0.15:
                packs = at_random.randint(1, line.packs)
                told = shorts.tell_short(desk, who, bag_id, line.ware.sku, packs)
                if told.lacks:
                    picks.leave_bag(desk, who, bag_id)
                    break
            done = picks.scan(desk, who, wave.number, line.ware.sku, into=bag_id)
            if done.refused or at_random.random() < 0.1:
                picks.leave_bag(desk, who, bag_id)
                break
            if at_random.random() < 0.03:
                return  # the picker walks off
            if at_random.random() < 0.1:
                done = picks.undo_last(desk, who, bag_id)
            bag = done.bag
        if not turned.refused:
            picks.close_bag(desk, who, bag_id)
    waves.end_wave(desk, who, wave.number)


def _count(desk: Desk, at_random: random.Random) -> None:
    """One bin counted, of its items perhaps one pack more or fewer than the books had."""
    where = CountWhere(bin="R-1")
    sheet = count_sheet(desk, by("odo"), where)
    with desk.store.reading() as uow:
        there = {(row.item, row.bin): row.on_hand for row in uow.stock.shelves(MAIN)}
    counted = tuple(
        CountedItem(
            ToldItem(row.item[1], row.item[0]),
            row.bin,
            max(0, there[row.item, row.bin] + at_random.choice((-1, 0, 0, 0, 1))),
        )
        for row in sheet.rows
    )
    enter_count(desk, by("odo"), CountEntry(counted, sheet=sheet.code))


def _meddle(desk: Desk, at_random: random.Random) -> None:
    """A scan into a bag that somebody else picks, sent twice: it counts once."""
    who = by("odo")
    with desk.store.reading() as uow:
        open_bags = uow.orders.bags(BagFilter(states=frozenset({BagState.OPEN})))
    if open_bags:
        bag = at_random.choice(open_bags)
        sku = at_random.choice(bag.needs)[0][1]
        scan = f"scan-{at_random.getrandbits(64)}"
        done = picks.scan(desk, who, bag.wave, sku, scan, bag.id)
        again = picks.scan(desk, who, bag.wave, sku, scan, bag.id)
        # In between it may have been undone, or the bag unpacked: then the id is spent.
        if not done.refused and isinstance(again.answer, ScanCounted):
            assert again.answer.again


def _skus(store: Store) -> list[str]:
    with store.reading() as uow:
        bags = uow.orders.bags(BagFilter())
    found = {item[1] for bag in bags for item, _ in bag.needs}
    return sorted(found) or ["T-PS"]


def _bags(store: Store, *states: BagState) -> list[str]:
    with store.reading() as uow:
        return [bag.id for bag in uow.orders.bags(BagFilter(states=frozenset(states)))]


def _require_on_the_list(desk: Desk) -> None:
    """Every bag that lacks goods, and no other, is told as lacking them: by its order, and what is
    not free either on the list of what is to be bought."""
    lacks: dict[str, Counter[ItemKey]] = {}
    orders: dict[str, str] = {}
    with desk.store.reading() as uow:
        for bag in uow.orders.bags(BagFilter()):
            order = uow.orders.get(bag.order)
            assert order is not None
            if order.cancelled_at is not None or bag.state not in (BagState.WAITING, BagState.OPEN):
                continue
            orders[order.id] = order.label
            lack = Counter(dict(bag.needs))
            for (item, _), each in uow.stock.bags([bag.id]).get(bag.id, {}).items():
                lack[item] -= each.promised + each.picked
            lacks |= {bag.id: +lack} if +lack else {}
        every = sum(lacks.values(), Counter[ItemKey]())
        free = uow.stock.free(list(every), MAIN)
        bought = shortages_of(uow, desk, by("odo"), MAIN)
    told = {
        each.bag
        for label in orders.values()
        for each in show_order(desk, by("odo"), label).expected
    }
    assert told == set(lacks)
    to_buy: Counter[ItemKey] = Counter()
    for short in bought:
        to_buy[short.item] += int(short.packs)
    assert to_buy == +Counter({item: packs - free.get(item, 0) for item, packs in every.items()})


def _require_goes_on(desk: Desk) -> None:
    """Every bag that was left can be picked on, by its label too in a wave that is empty by now."""
    who = by("odo")
    for bag in waves.bags_left(desk, who):
        (row, picked), *more = waves.open_wave(desk, who, bags=[bag.id], dry_run=True).bags
        assert row.id == bag.id
        assert not more
        assert isinstance(open_bag(picked, EventStamp("again", "odo", who.at)), BagOpened)


def require_sound(store: Store) -> Counter[str]:
    """Every bag is promised or holds what its state says, and its record is its scans; nothing is
    promised twice. How many bags stand where."""
    desk = desk_on(store)
    _require_on_the_list(desk)
    _require_goes_on(desk)
    with store.reading() as uow:
        bags = uow.orders.bags(BagFilter())
        ids = [bag.id for bag in bags]
        held = uow.stock.bags(ids)
        demands = uow.orders.demands(ids)
        events = {bag: uow.orders.events(bag) for bag in ids}
        items = sorted({item for bag in bags for item, _ in bag.needs})
        balances = uow.stock.balances(items)
    for bag in bags:
        due = {item: each.promised for (item, _), each in held.get(bag.id, {}).items()}
        there = {item: each.picked for (item, _), each in held.get(bag.id, {}).items()}
        due = {item: packs for item, packs in due.items() if packs}
        there = {item: packs for item, packs in there.items() if packs}
        picked = bag_of(demands[bag.id], events[bag.id])
        scanned = {item: packs for item, packs in picked.packs_in.items() if packs}
        if bag.state is BagState.SHIPPED:
            assert not due
            assert not there
            assert scanned == dict(bag.needs)
            continue
        assert scanned == there, f"{bag.id}: its record is its scans"
        if bag.state in (BagState.WAITING, BagState.CANCELLED):
            assert not due, bag
            assert not there, bag
        elif bag.state is BagState.READY:
            assert due == dict(bag.needs), bag
        elif bag.state is BagState.CLOSED:
            assert there == dict(bag.needs), bag
            assert not due, bag
            assert bag.packed is not None
            assert {line.item: line.packs for line in bag.packed.lines} == there
        else:
            for item, packs in bag.needs:
                assert due.get(item, 0) + there.get(item, 0) <= packs, bag
    for item in items:
        promised: Counter[str] = Counter()
        for each in held.values():
            for (other, branch), row in each.items():
                promised[branch] += row.promised if other == item else 0
        for branch, balance in balances.get(item, {}).items():
            assert balance.promised == promised[branch]
            assert balance.free >= 0
    return Counter(bag.state.value for bag in bags)
