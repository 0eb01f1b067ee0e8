"""The demo's pick room: the accepted quote released, picked by scan, short, completed, shipped."""

from collections.abc import Iterator
from datetime import datetime

from wholekit.domain.orders import BagState
from wholekit.domain.picking import Bag
from wholekit.domain.quotes import Person, PersonRole
from wholekit.services import picks, waves
from wholekit.services.customers import set_person
from wholekit.services.desk import Deed, Desk
from wholekit.services.orders import OrderStanding, ToldRelease, release_order, show_order
from wholekit.services.shipping import Leaving, ship_bags
from wholekit.services.stock import ToldItem, ToldPlace, receive_stock
from wholekit.wording.pick_answers import say_answer

PICKER = "pim"
QUOTE = "Q-1/2"
DOCK = ToldPlace(bin="DOCK-1")
# A scan that does not belong, so that one sees how it is refused.
STRAY = "NOT-OURS-7"


def pick_order(desk: Desk, owner: str, at: datetime) -> Iterator[str]:
    """The order from release to shipment; what happened, line by line."""
    boss, picker = Deed(owner, at), Deed(PICKER, at)
    set_person(desk, boss, Person(PICKER, PersonRole.PICKER))
    standing = release_order(desk, boss, QUOTE, ToldRelease())
    yield f"{standing.order.label}  released to the pick room: {_counts(standing)}"
    yield from _picked(desk, picker)
    standing = show_order(desk, picker, QUOTE)
    if standing.expected:
        yield from _received(desk, boss, standing)
        yield from _picked(desk, picker, told=True)
    shipped = ship_bags(desk, picker, QUOTE, (), Leaving(reference="van, second trip"))
    yield (
        f"  {shipped.shipment.label}  {len(shipped.bags)} bags shipped, "
        f"{len(shipped.remaining)} remain"
    )


def _counts(standing: OrderStanding) -> str:
    states = [bag.state for bag in standing.bags]
    ready, waiting = states.count(BagState.READY), states.count(BagState.WAITING)
    return f"{ready} bags whole and promised, {waiting} wait for goods"


def _picked(desk: Desk, deed: Deed, *, told: bool = False) -> Iterator[str]:
    """Every bag that is ready, picked wave by wave. told: how a stray scan is refused was shown."""
    closed = 0
    while any(bag.state is BagState.READY for bag in show_order(desk, deed, QUOTE).bags):
        wave = waves.open_wave(desk, deed, most=waves.MOST_IN_WAVE)
        for row, _ in wave.bags:
            bag = picks.scan(desk, deed, wave.number, row.id).bag
            if not told:
                yield from _wrong_scan(desk, deed, wave.number, row.id)
                told = True
            while bag is not None and bag.remaining:
                bag = _next_scan(desk, deed, wave.number, bag)
            closed += not picks.close_bag(desk, deed, row.id).refused
    yield f"  {closed} bags picked by scan and closed"


def _next_scan(desk: Desk, deed: Deed, wave: int, bag: Bag) -> Bag | None:
    line = bag.remaining[0]
    typed = f"{line.packs}*{line.ware.sku}" if line.packs > 1 else line.ware.sku
    done = picks.scan(desk, deed, wave, typed, into=str(bag.id))
    return None if done.refused else done.bag


def _wrong_scan(desk: Desk, deed: Deed, wave: int, into: str) -> Iterator[str]:
    done = picks.scan(desk, deed, wave, STRAY, into=into)
    yield f"  scanned {STRAY}: {say_answer(done.answer, done.bag)[0]}"


def _received(desk: Desk, deed: Deed, standing: OrderStanding) -> Iterator[str]:
    """What the bags wait for comes in, and completes them."""
    short: dict[tuple[str, str], int] = {}
    for each in standing.expected:
        for item in each.short:
            short[item.item] = short.get(item.item, 0) + item.packs
    whole = 0
    for (supplier, sku), packs in sorted(short.items()):
        done = receive_stock(desk, deed, ToldItem(sku, supplier), packs, DOCK, "delivery")
        whole += len(done.completed)
    yield f"  {len(short)} short items received: {whole} waiting bags are whole by it"
