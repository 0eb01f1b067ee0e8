"""Picking: waves of bags that are ready, and scans into them. No money is in any of it.

Each call is one short transaction: what it confirmed is there whatever happens next, and what was
not confirmed is not.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import CallError
from wholekit.domain.orders import BagState, ReleasedBag
from wholekit.domain.picking import (
    Bag,
    BagClosed,
    BagScan,
    CodeBook,
    EventStamp,
    ItemSubstituted,
    LeftPiece,
    LoosePacks,
    PackedBag,
    PacksScanned,
    ScanRefused,
    ShortReported,
    Ware,
    bag_of,
    close,
    judge,
    judge_bag,
    last_to_undo,
    leave,
    may_go_back,
    packed,
    read_scan,
    report_short,
    undo,
)
from wholekit.domain.quotes.bag_id import BagId, bag_id_from
from wholekit.domain.quotes.roles import Action
from wholekit.domain.stock import Kind, Movement, Slips, StockPlace
from wholekit.services.allocating import bag_for_change
from wholekit.services.bag_work import (
    PickAnswer,
    exchange,
    item_of,
    needs_now,
    opened,
    written,
)
from wholekit.services.desk import Deed, Desk, need_line, need_reason
from wholekit.services.lacks import order_of_id
from wholekit.services.loose_stock import boxed_again, shelve_loose
from wholekit.services.paging import Page
from wholekit.services.ports import UnitOfWork
from wholekit.services.promises import unpromised
from wholekit.services.rights import needs
from wholekit.services.waves import PICKABLE, bags_of_wave, join


@needs(Action.PICK_BAGS)
def scan(
    desk: Desk, deed: Deed, wave: int, typed: str, scan_id: str = "", into: str = ""
) -> PickAnswer:
    """What a scanner typed: packs into the bag picked into, or the id of the bag to turn to.

    scan_id: the scanner's own for this scan, so that one that is sent twice counts once. into: id
    of the bag picked into, empty before the first. Raises CallError for a wave or bag there is not.
    """
    read = read_scan(typed)
    if isinstance(read, ScanRefused):
        return PickAnswer(read, _bag_now(desk, into))
    stamp = EventStamp(scan_id or desk.ids.new(), deed.who, deed.at)
    if isinstance(read, BagScan):
        return _turn_to(desk, deed, wave, read.bag, stamp, into)
    if not into:
        return PickAnswer(ScanRefused("scan-no-bag", {"given": read.code}), None)
    with desk.store.writing() as uow:
        row, bag = opened(uow, into)
        answer = judge(bag, read, stamp, _Codes(uow, [bag]))
        if isinstance(answer, ScanRefused):
            others = [each for _, each in bags_of_wave(uow, wave) if each.id != bag.id]
            answer = judge(bag, read, stamp, _Codes(uow, [bag, *others]), others)
        if isinstance(answer, ScanRefused) or answer.again:
            return PickAnswer(answer, bag)
        place, short = _take(uow, deed, row, bag, answer.event)
        if short is not None:
            return PickAnswer(short, bag)
        uow.orders.add_event(row.id, answer.event)
        uow.commit()
    return PickAnswer(answer, bag.after(answer.event), place)


@needs(Action.PICK_BAGS)
def undo_last(desk: Desk, deed: Deed, into: str, deed_id: str = "") -> PickAnswer:
    """Take the last scan, or substitution, of a bag back: the packs go to the bin they came from.
    Raises CallError."""
    with desk.store.writing() as uow:
        row, bag = opened(uow, into)
        answer = undo(
            bag, last_to_undo(bag), EventStamp(deed_id or desk.ids.new(), deed.who, deed.at)
        )
        if isinstance(answer, ScanRefused):
            return PickAnswer(answer, bag)
        undone = bag.by_id[answer.event]
        slips = Slips(answer.stamp.id, deed.at, deed.who)
        place = ""
        if isinstance(undone, PacksScanned):
            place = _put_back(uow, slips, row, undone)
        elif isinstance(undone, ItemSubstituted):
            exchange(uow, slips, row, undone, back=True)
        uow.orders.add_event(row.id, answer)
        after = bag.after(answer)
        if isinstance(undone, ItemSubstituted):
            uow.orders.save_needs(replace(row, needs=needs_now(after)))
        uow.commit()
    return PickAnswer(answer, after, place)


@needs(Action.PICK_BAGS)
def tell_short(
    desk: Desk, deed: Deed, into: str, sku: str, packs: int, remark: str = ""
) -> PickAnswer:
    """So many packs of an item are not where they should be; the bag stays open for the rest.
    Raises CallError."""
    said = need_line(" ".join(remark.split()), "remark")
    with desk.store.writing() as uow:
        row, bag = opened(uow, into)
        item = item_of(bag, sku)
        answer: ShortReported | ScanRefused = ScanRefused(
            "short-not-wanted", {"bag": row.id, "mark": bag.mark, "sku": sku, "left": 0}
        )
        if item is not None:
            stamp = EventStamp(desk.ids.new(), deed.who, deed.at)
            answer = report_short(bag, item, packs, stamp, said)
        return written(uow, row, bag, answer)


@needs(Action.PICK_BAGS)
def leave_bag(desk: Desk, deed: Deed, into: str, reason: str = "") -> PickAnswer:
    """Put a bag aside with what is in it; it waits, out of the wave, until it is opened again.
    Raises CallError."""
    with desk.store.writing() as uow:
        row, bag = opened(uow, into)
        answer = leave(bag, EventStamp(desk.ids.new(), deed.who, deed.at), " ".join(reason.split()))
        return written(uow, row, bag, answer)


@needs(Action.PICK_BAGS)
def close_bag(
    desk: Desk, deed: Deed, into: str, loose: Sequence[tuple[str, int]] = ()
) -> PickAnswer:
    """Close a bag in which is all that its opening demands; what is in it is then frozen, with who
    and when.

    loose: what of the pieces left over goes back to the shelf, as packs of items by their codes.
    Raises CallError.
    """
    with desk.store.writing() as uow:
        row, bag = opened(uow, into)
        answer = close(bag, EventStamp(desk.ids.new(), deed.who, deed.at))
        if isinstance(answer, BagClosed) and loose:
            answer = shelve_loose(uow, row, bag, answer, loose)
        return written(uow, row, bag, answer)


@needs(Action.SEE_ORDERS)
def left_over(
    desk: Desk, deed: Deed, into: str
) -> tuple[tuple[LeftPiece, ...], tuple[LoosePacks, ...]]:
    """What a bag's packs hold besides, and what could go back to the shelf as it closes: the most
    packs of each item that could be made of it, each by itself. Raises CallError."""
    with desk.store.reading() as uow:
        row, bag = opened(uow, into, held=False)
        if row.packed is not None:
            return row.packed.left, ()
        left = packed(bag).left
        loose = {one.piece for one in left if one.loose}
        return left, may_go_back(left, uow.wares.holding(loose))


@needs(Action.PICK_BAGS)
def unpack_bag(desk: Desk, deed: Deed, reference: str, reason: str) -> ReleasedBag:
    """Put all that is in a bag back and let its promises go: one that nobody asks for any more, or
    that was packed amiss. It waits again, with nothing in it; of an order that was cancelled it is
    cancelled. Raises CallError for one that was shipped."""
    why = need_reason(reason, "unpacking")
    with desk.store.writing() as uow:
        row = bag_for_change(uow, str(bag_id_from(reference)))
        if row.state not in (BagState.OPEN, BagState.CLOSED):
            raise CallError("bag-not-packed", bag=row.id, state=row.state.value)
        held = uow.stock.bags([row.id]).get(row.id, {})
        loose = row.packed.loose if row.packed else ()
        uow.stock.hold(sorted({item for item, _ in held} | {each.item for each in loose}))
        slips = Slips(desk.ids.new(), deed.at, deed.who)
        moves: list[Movement] = boxed_again(uow, slips, row, loose)
        for (item, branch), each in sorted(held.items()):
            if each.picked:
                place = _came_from(uow, row.id, item) or StockPlace(branch)
                moves.append(slips.unpick(item, each.picked, place, row.id))
                moves.append(slips.unreserve(item, each.picked, branch, row.id, why))
        moves += unpromised(uow, slips, [row.id], why)
        uow.stock.move(moves)
        uow.orders.add_unpacked(row.id, EventStamp(desk.ids.new(), deed.who, deed.at), why)
        # What stood in for others is no longer in it.
        demand = uow.orders.demands([row.id])[row.id]
        uow.orders.save_needs(replace(row, needs=needs_now(bag_of(demand))))
        gone = order_of_id(uow, row.order).cancelled_at is not None
        to = BagState.CANCELLED if gone else BagState.WAITING
        new = row.moved(to, wave=0, picker="", packed=None)
        uow.orders.save_bag(new, row.version)
        uow.commit()
    return new


@needs(Action.SEE_ORDERS)
def bag_shown(desk: Desk, deed: Deed, reference: str) -> tuple[ReleasedBag, Bag, PackedBag]:
    """A bag, what must be in it and what is, with who put it there and when. Raises CallError."""
    with desk.store.reading() as uow:
        row, bag = opened(uow, reference, held=False)
        return row, bag, row.packed or packed(bag)


class _Codes:
    """Codes of what some bags take first; any other item is asked of the catalogues."""

    def __init__(self, uow: UnitOfWork, bags: Sequence[Bag]) -> None:
        self._uow = uow
        self._book = CodeBook(line.ware for bag in bags for line in bag.plan)

    def find(self, code: str) -> Sequence[Ware]:
        return self._book.find(code) or self._uow.wares.find(code)


def _turn_to(
    desk: Desk, deed: Deed, wave: int, wanted: BagId, stamp: EventStamp, into: str
) -> PickAnswer:
    turned_to = bag_id_from(into) if into else None
    with desk.store.writing() as uow:
        bags = dict(bags_of_wave(uow, wave))
        row = uow.orders.bag_for_change(str(wanted))
        if row is not None and row.wave != wave and row.state is not BagState.CANCELLED:
            refused = _why_elsewhere(row, wave, [each.branch for each in bags])
            if refused is not None:
                return PickAnswer(refused, _of(bags, turned_to))
            row = join(uow, deed, wave, row)
            bags[row] = opened(uow, row.id)[1]
        answer = judge_bag(wanted, list(bags.values()), stamp, turned_to)
        if isinstance(answer, ScanRefused) or answer.event is None or row is None:
            refused_scan = isinstance(answer, ScanRefused)
            return PickAnswer(answer, _of(bags, turned_to if refused_scan else wanted))
        found = written(uow, row, _of(bags, wanted), answer.event)
    return PickAnswer(answer if not found.refused else found.answer, found.bag)


def _why_elsewhere(row: ReleasedBag, wave: int, branches: Sequence[str]) -> ScanRefused | None:
    """Why a bag that is in another wave or in none cannot be picked in this one; None for one that
    was left, at the branch that the wave goes round."""
    fields: dict[str, object] = {"bag": row.id, "mark": row.mark}
    if row.state is BagState.OPEN and not row.wave:
        if not branches or row.branch in branches:
            return None
        return ScanRefused("bag-at-other-branch", {**fields, "branch": row.branch})
    if row.state in PICKABLE and row.wave:
        return ScanRefused("bag-in-other-wave", {**fields, "wave": row.wave, "who": row.picker})
    if row.state is BagState.WAITING:
        return ScanRefused("bag-waits-for-goods", fields)
    if row.state is BagState.READY:
        return ScanRefused("bag-not-in-wave", fields)
    return ScanRefused("bag-done", {**fields, "state": row.state.value})


def _of(bags: Mapping[ReleasedBag, Bag], wanted: BagId | None) -> Bag | None:
    return next((bag for bag in bags.values() if bag.id == wanted), None)


def _bag_now(desk: Desk, into: str) -> Bag | None:
    if not into:
        return None
    with desk.store.reading() as uow:
        return opened(uow, into, held=False)[1]


def _take(
    uow: UnitOfWork, deed: Deed, row: ReleasedBag, bag: Bag, event: PacksScanned
) -> tuple[str, ScanRefused | None]:
    """Move the packs of a scan from their bin into the bag; the bin, or why that cannot be."""
    slips = Slips(event.stamp.id, deed.at, deed.who)
    there = uow.stock.bins_of([event.item]).get(event.item, {})
    places = [(place, packs) for place, packs in there.items() if place.branch == row.branch]
    places.sort(key=lambda each: (each[1] < event.packs, each[0]))
    fields: dict[str, object] = {
        "bag": row.id, "mark": bag.mark, "sku": event.item[1], "count": event.packs,
    }  # fmt: skip
    if sum(packs for _, packs in places) < event.packs:
        return "", ScanRefused("item-not-on-hand", fields)
    due = uow.stock.bags([row.id]).get(row.id, {}).get((event.item, row.branch))
    lost = event.packs - (due.promised if due else 0)
    moves: list[Movement] = []
    if lost > 0:
        # What was promised to it was lost in a count, or by damage: it takes what is free.
        if uow.stock.free([event.item], row.branch).get(event.item, 0) < lost:
            return "", ScanRefused("item-promised-away", fields)
        moves.append(slips.reserve(event.item, lost, row.branch, row.id))
    left = event.packs
    for place, packs in places:
        part = min(left, packs)
        if part:
            moves.append(slips.pick(event.item, part, place, row.id))
            left -= part
    uow.stock.move(moves)
    return places[0][0].bin, None


def _put_back(uow: UnitOfWork, slips: Slips, row: ReleasedBag, undone: PacksScanned) -> str:
    place = _came_from(uow, row.id, undone.item) or StockPlace(row.branch)
    uow.stock.move([slips.unpick(undone.item, undone.packs, place, row.id)])
    return place.bin


def _came_from(uow: UnitOfWork, bag: str, item: ItemKey) -> StockPlace | None:
    """The bin that the last packs of an item in a bag were taken from."""
    moves, _ = uow.stock.history(Page(0, 100), item, bag)
    return next((move.source.place for move in moves if move.kind is Kind.PICK), None)
