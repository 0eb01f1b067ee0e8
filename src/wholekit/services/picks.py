"""Picking: waves of bags that are ready, and scans into them. No money is in any of it.

Each call is one short transaction: what it confirmed is there whatever happens next, and what was
not confirmed is not.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace

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
    Wave,
    bag_of,
    close,
    judge,
    judge_bag,
    last_to_undo,
    leave,
    may_go_back,
    packed,
    read_scan,
    undo,
)
from wholekit.domain.quotes.bag_id import BagId, bag_id_from
from wholekit.domain.quotes.roles import Action
from wholekit.domain.stock import Movement, Slips
from wholekit.services.allocating import hold_lacking
from wholekit.services.bag_bins import bins_for, came_from, parts_of
from wholekit.services.bag_work import (
    PickAnswer,
    exchange,
    needs_now,
    opened,
    refused_scan,
    whole_bag,
    written,
)
from wholekit.services.desk import Deed, Desk
from wholekit.services.loose_stock import shelve_loose
from wholekit.services.ports import UnitOfWork
from wholekit.services.rights import needs
from wholekit.services.shorts import shorts_of, take_back, told_elsewhere
from wholekit.services.waves import PICKABLE, bags_of_wave, join


@needs(Action.PICK_BAGS, once=True)
def scan(
    desk: Desk,
    deed: Deed,
    wave: int,
    typed: str,
    scan_id: str = "",
    into: str = "",
    walk: Wave | None = None,
) -> PickAnswer:
    """What a scanner typed: packs into the bag picked into, or the id of the bag to turn to.

    scan_id: the scanner's own for this scan, so that one that is sent twice counts once. into: id
    of the bag picked into, empty before the first. Raises CallError for a wave or bag there is not.
    """
    read = read_scan(typed)
    stamp = EventStamp(scan_id or desk.ids.new(), deed.who, deed.at)
    if isinstance(read, ScanRefused):
        if not into:
            return PickAnswer(read, None)
        with desk.store.writing() as uow:
            row, bag = opened(uow, into)
            return refused_scan(uow, row, bag, read, stamp)
    if isinstance(read, BagScan):
        return _turn_to(desk, deed, wave, read.bag, stamp, into)
    if not into:
        refused = ScanRefused("scan-no-bag", {"given": read.code})
        return PickAnswer(refused, _bag_now(desk, ""))
    with desk.store.writing() as uow:
        whole = whole_bag(uow, into, event=stamp.id)
        row, bag = whole.row, bag_of(whole.demand, whole.events)
        answer = judge(bag, read, stamp, _Codes(uow, [bag]), spent=whole.spent)
        if isinstance(answer, ScanRefused) and not whole.spent:
            others = [each for _, each in bags_of_wave(uow, wave) if each.id != bag.id]
            answer = judge(bag, read, stamp, _Codes(uow, [bag, *others]), others)
        if isinstance(answer, ScanRefused):
            return refused_scan(uow, row, bag, answer, stamp)
        if answer.again:
            return PickAnswer(answer, bag)
        place, short = _take(uow, deed, row, bag, answer.event, walk)
        if short is not None:
            return refused_scan(uow, row, bag, short, stamp)
        uow.commit()
    return PickAnswer(answer, bag.after(answer.event), place)


@needs(Action.PICK_BAGS, once=True)
def undo_last(desk: Desk, deed: Deed, into: str, deed_id: str = "") -> PickAnswer:
    """Take the last scan, substitution or short of a bag back: the packs go to the bin they came
    from, or into the books again. Raises CallError."""
    with desk.store.writing() as uow:
        uow.stock.take_turn()
        _, there = opened(uow, into, held=False)
        if isinstance(there.by_id.get(last_to_undo(there)), ShortReported):
            # No other is told or undone in this turn: only a scan may come in between.
            hold_lacking(uow, [str(there.id)])
        row, bag = opened(uow, into)
        answer = undo(
            bag, last_to_undo(bag), EventStamp(deed_id or desk.ids.new(), deed.who, deed.at)
        )
        if isinstance(answer, ScanRefused):
            return PickAnswer(answer, bag)
        undone = bag.by_id[answer.event]
        slips = Slips(answer.stamp.id, deed.at, deed.who)
        places: tuple[tuple[str, int], ...] = ()
        whole: tuple[ReleasedBag, ...] = ()
        if isinstance(undone, PacksScanned):
            places = _put_back(uow, slips, row, undone)
        elif isinstance(undone, ShortReported):
            whole = take_back(uow, desk, deed, row, undone, answer.stamp.id)
            places = undone.gone
        elif isinstance(undone, ItemSubstituted):
            exchange(uow, slips, row, undone, back=True)
        uow.orders.add_event(row.id, answer)
        after = bag.after(answer)
        if isinstance(undone, ItemSubstituted):
            uow.orders.save_needs(replace(row, needs=needs_now(after)))
        uow.commit()
    return PickAnswer(answer, after, places, whole)


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
    nobody else picks, left or ready, at the branch that the wave goes round."""
    fields: dict[str, object] = {"bag": row.id, "mark": row.mark}
    if row.state in PICKABLE and not row.wave:
        if not branches or row.branch in branches:
            return None
        return ScanRefused("bag-at-other-branch", {**fields, "branch": row.branch})
    if row.state in PICKABLE:
        return ScanRefused("bag-in-other-wave", {**fields, "wave": row.wave, "who": row.picker})
    if row.state is BagState.WAITING:
        return ScanRefused("bag-waits-for-goods", fields)
    return ScanRefused("bag-done", {**fields, "state": row.state.value})


def _of(bags: Mapping[ReleasedBag, Bag], wanted: BagId | None) -> Bag | None:
    return next((bag for bag in bags.values() if bag.id == wanted), None)


def _bag_now(desk: Desk, into: str) -> Bag | None:
    with desk.store.reading() as uow:
        return opened(uow, into, held=False)[1] if into else None


def _take(
    uow: UnitOfWork,
    deed: Deed,
    row: ReleasedBag,
    bag: Bag,
    event: PacksScanned,
    walk: Wave | None,
) -> tuple[tuple[tuple[str, int], ...], ScanRefused | None]:
    """Write a scan down, its packs moved from their bins into the bag; the bins, or why that cannot
    be."""
    slips = Slips(event.stamp.id, deed.at, deed.who)
    # No more movements than one of each pack's bin, and of what it is promised anew.
    keys = slips.next_keys(event.packs + 1)
    there = uow.stock.at_hand(event.item, row.branch, row.id, keys)
    parts = parts_of(bins_for(there.bins, row, event.item, event.packs, walk), event.packs)
    fields: dict[str, object] = {
        "bag": row.id, "mark": bag.mark, "sku": event.item[1], "count": event.packs,
    }  # fmt: skip
    if sum(packs for _, packs in parts) < event.packs:
        if any(each.item == event.item for each in shorts_of(bag)):
            return (), ScanRefused("item-short-here", fields)
        told = told_elsewhere(uow, row, event.item)
        if told:
            fields["told"] = ", ".join(dict.fromkeys(told))
            return (), ScanRefused("item-told-short", fields)
        return (), ScanRefused("item-not-on-hand", fields)
    lost = event.packs - there.promised
    moves: list[Movement] = []
    if lost > 0:
        # What was promised to it was lost in a count, or by damage: it takes what is free.
        if there.free < lost:
            return (), ScanRefused("item-promised-away", fields)
        moves.append(slips.reserve(event.item, lost, row.branch, row.id))
    moves += [slips.pick(event.item, packs, place, row.id) for place, packs in parts]
    uow.count_scan(row.id, event, moves)
    return tuple((place.bin, packs) for place, packs in parts), None


def _put_back(
    uow: UnitOfWork, slips: Slips, row: ReleasedBag, undone: PacksScanned
) -> tuple[tuple[str, int], ...]:
    parts = came_from(uow, row, undone.stamp.id)[undone.item]
    uow.stock.move([slips.unpick(undone.item, packs, at, row.id) for at, packs in parts])
    return tuple((place.bin, packs) for place, packs in parts)
