"""The pick room as data: orders, bags, waves and shipments; no money is in any of it."""

from collections.abc import Iterable
from dataclasses import dataclass

from wholekit.domain.orders import Expected, Order, ReleasedBag, ShortItem
from wholekit.domain.picking import Bag, LoosePacks, PackedBag
from wholekit.services.allocating import Allocated
from wholekit.services.order_port import OrderSummary
from wholekit.services.orders import OrderStanding
from wholekit.services.shipping import Shipped
from wholekit.services.unpacking import Unpacked
from wholekit.services.waves import WaveView


@dataclass(frozen=True, slots=True)
class ElsewhereAnswer:
    """Packs that lie free at another branch and could be brought."""

    branch: str
    packs: int


@dataclass(frozen=True, slots=True)
class ShortAnswer:
    """Packs that a bag lacks. day: when they can be here, None where nobody knows; ordered: they
    are on their way; elsewhere: which of them lie free at other branches."""

    sku: str
    supplier: str
    packs: int
    day: str | None
    ordered: bool
    elsewhere: tuple[ElsewhereAnswer, ...] = ()


@dataclass(frozen=True, slots=True)
class BagAnswer:
    """A bag. expected: the day on which one that lacks goods can be whole; None where nobody
    knows, and for one that lacks none. short: what it waits for. wave, shipment: 0 for none; an
    open bag in no wave was put aside."""

    bag: str
    mark: str
    number: int
    state: str
    branch: str
    wave: int
    picker: str
    shipment: int
    expected: str | None
    short: tuple[ShortAnswer, ...]


@dataclass(frozen=True, slots=True)
class OrderAnswer:
    """An order. held: marks that may not go out; surplus: bags to be unpacked."""

    order: str
    job: str
    branch: str
    priority: int
    promised_on: str | None
    released_at: str
    released_by: str
    cancelled: bool
    bags: tuple[BagAnswer, ...]
    held: tuple[str, ...]
    surplus: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OrderRowAnswer:
    """An order in a list, with how many of its bags stand where [count]."""

    order: str
    job: str
    branch: str
    priority: int
    promised_on: str | None
    waiting: int
    ready: int
    open: int
    closed: int
    shipped: int


@dataclass(frozen=True, slots=True)
class OrderListAnswer:
    """A page of orders; count: all there are."""

    orders: tuple[OrderRowAnswer, ...]
    count: int
    page: int
    page_size: int


@dataclass(frozen=True, slots=True)
class AllocationAnswer:
    """What was compared at a branch: weights of the answer, of the bound that none can exceed, of
    first come and of greedy. found: how the answer was come by."""

    branch: str
    whole: int
    waiting: int
    value: int
    bound: int
    first_come: int
    greedy: int
    found: str


@dataclass(frozen=True, slots=True)
class AllocateAnswer:
    """What was promised, or would be, and what waits still. moved: it was written."""

    moved: bool
    branches: tuple[AllocationAnswer, ...]
    ready: tuple[BagAnswer, ...]
    waiting: tuple[BagAnswer, ...]


@dataclass(frozen=True, slots=True)
class TakeAnswer:
    """What is taken of an item in one bin, for which bags (id, packs)."""

    bin: str
    sku: str
    description: str
    finish: str
    packs: int
    bags: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class WaveAnswer:
    """A wave: its bags, and what is still to take."""

    wave: int
    picker: str
    bags: tuple[BagAnswer, ...]
    walk: tuple[TakeAnswer, ...]


@dataclass(frozen=True, slots=True)
class PickedLine:
    """Packs of an item in a bag, and those still to take."""

    sku: str
    supplier: str
    description: str
    packs: int
    left: int


@dataclass(frozen=True, slots=True)
class LooseAnswer:
    """Packs of an item made of what a bag left over, and the bin they were put into."""

    sku: str
    supplier: str
    packs: int
    bin: str


@dataclass(frozen=True, slots=True)
class BagContentsAnswer:
    """A bag with what is in it. closed_at, closed_by: empty while it is not closed; substituted:
    (SKU asked for, SKU in its place, reason); loose: what went back to the shelf as it closed;
    missing: told short and not found since (SKU, packs)."""

    bag: BagAnswer
    lines: tuple[PickedLine, ...]
    closed_at: str
    closed_by: str
    substituted: tuple[tuple[str, str, str], ...]
    loose: tuple[LooseAnswer, ...]
    missing: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class BagListAnswer:
    """A page of bags; count: all there are."""

    bags: tuple[BagAnswer, ...]
    count: int
    page: int
    page_size: int


@dataclass(frozen=True, slots=True)
class PutBackAnswer:
    """Packs that go back into a bin; bin empty: the books know none."""

    bin: str
    sku: str
    supplier: str
    packs: int


@dataclass(frozen=True, slots=True)
class UnpackedAnswer:
    """A bag of which all was put back. completed: bags that lack nothing by what is free now."""

    bag: BagAnswer
    back: tuple[PutBackAnswer, ...]
    completed: tuple[BagAnswer, ...]


@dataclass(frozen=True, slots=True)
class ShipmentAnswer:
    """A shipment with its bags, and those of the order that remain. slip: the packing slip's file;
    empty where none was made."""

    shipment: str
    order: str
    at: str
    by: str
    way: str
    reference: str
    received_by: str
    bags: tuple[BagAnswer, ...]
    remaining: tuple[BagAnswer, ...]
    slip: str = ""


def bag_answer(bag: ReleasedBag, waits: Expected | None = None) -> BagAnswer:
    """A bag; waits: when it can be whole, where it lacks goods."""
    return BagAnswer(
        bag.id, bag.mark, bag.number, bag.state.value, bag.branch, bag.wave, bag.picker,
        bag.shipment, str(waits.day) if waits and waits.day else None,
        tuple(map(_short, waits.short)) if waits else (),
    )  # fmt: skip


def _short(short: ShortItem) -> ShortAnswer:
    day = str(short.day) if short.day else None
    elsewhere = tuple(ElsewhereAnswer(branch, packs) for branch, packs in short.elsewhere)
    return ShortAnswer(short.item[1], short.item[0], short.packs, day, short.ordered, elsewhere)


def _bags(bags: Iterable[ReleasedBag], waits: Iterable[Expected]) -> tuple[BagAnswer, ...]:
    found = {each.bag: each for each in waits}
    return tuple(bag_answer(bag, found.get(bag.id)) for bag in bags)


def order_answer(standing: OrderStanding) -> OrderAnswer:
    """An order as it stands."""
    order = standing.order
    return OrderAnswer(
        order.label, standing.job_name, order.branch, order.priority, _day(order),
        order.released_at.isoformat(), order.released_by, order.cancelled_at is not None,
        _bags(standing.bags, standing.expected), standing.held,
        tuple(bag.id for bag in standing.surplus),
    )  # fmt: skip


def _day(order: Order) -> str | None:
    return str(order.promised_on) if order.promised_on else None


def order_row(row: OrderSummary) -> OrderRowAnswer:
    """An order in a list."""
    counts = {state.value: count for state, count in row.bags.items()}
    return OrderRowAnswer(
        row.order.label, row.job_name, row.order.branch, row.order.priority, _day(row.order),
        *(counts.get(name, 0) for name in ("waiting", "ready", "open", "closed", "shipped")),
    )  # fmt: skip


def allocate_answer(found: Allocated, *, moved: bool) -> AllocateAnswer:
    """What was promised, or would be."""
    branches = tuple(
        AllocationAnswer(
            branch, len(each.chosen), len(each.waiting), each.value, each.bound, each.first_come,
            each.greedy, each.found.value,
        )
        for branch, each in found.answers.items()
    )  # fmt: skip
    waits = {each.bag: each for each in found.expected}
    return AllocateAnswer(
        moved,
        branches,
        tuple(map(bag_answer, found.ready)),
        tuple(bag_answer(found.bags[bag], each) for bag, each in waits.items()),
    )


def wave_answer(view: WaveView) -> WaveAnswer:
    """A wave."""
    return WaveAnswer(
        view.number,
        view.picker,
        tuple(bag_answer(row) for row, _ in view.bags),
        tuple(
            TakeAnswer(
                stop.bin, stop.item[1], stop.title, stop.finish, stop.packs,
                tuple((str(take.bag), take.packs) for take in stop.takes),
            )
            for stop in view.walk.stops
        ),
    )  # fmt: skip


def contents_answer(
    row: ReleasedBag, bag: Bag, packed: PackedBag, waits: Expected | None = None
) -> BagContentsAnswer:
    """A bag with what is in it; waits: when it can be whole, where it lacks goods."""
    left = {line.item: line.packs for line in bag.remaining}
    there = {line.item: line for line in packed.lines}
    lines = [
        PickedLine(line.item[1], line.item[0], line.title, line.packs, left.get(line.item, 0))
        for line in packed.lines
    ]
    lines += [
        PickedLine(line.item[1], line.item[0], line.ware.title, 0, line.packs)
        for line in bag.remaining
        if line.item not in there
    ]
    closed = packed.closed
    return BagContentsAnswer(
        bag_answer(row, waits),
        tuple(lines),
        closed.when.isoformat() if closed else "",
        closed.who if closed else "",
        tuple((each.item[1], each.ware.sku, each.reason) for each in packed.substitutions),
        loose_answers(packed.loose),
        tuple((item[1], packs) for item, packs in bag.missing.items()),
    )


def unpacked_answer(done: Unpacked) -> UnpackedAnswer:
    """A bag of which all was put back."""
    return UnpackedAnswer(
        bag_answer(done.bag),
        tuple(
            PutBackAnswer(place.bin, item[1], item[0], packs)
            for item, parts in sorted(done.back.items())
            for place, packs in parts
        ),
        tuple(map(bag_answer, done.completed)),
    )


def loose_answers(loose: Iterable[LoosePacks]) -> tuple[LooseAnswer, ...]:
    """Loose packs."""
    return tuple(LooseAnswer(each.item[1], each.item[0], each.packs, each.bin) for each in loose)


def shipment_answer(shipped: Shipped, slip: str = "") -> ShipmentAnswer:
    """A shipment. slip: the file of its packing slip."""
    each = shipped.shipment
    return ShipmentAnswer(
        each.label, shipped.order.label, each.at.isoformat(), each.by, each.way.value,
        each.reference, each.received_by, tuple(map(bag_answer, shipped.bags)),
        tuple(map(bag_answer, shipped.remaining)), slip,
    )  # fmt: skip
