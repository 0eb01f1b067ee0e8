"""Packs that are not where the books have them: told by a picker, taken out of the books at once.

A picker who finds fewer in a bin than the bag is to take from it has counted the bin: what the
books have beyond that is not there either.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from wholekit.domain.catalog import ItemKey
from wholekit.domain.orders import BagState, ReleasedBag, lacking
from wholekit.domain.picking import (
    Bag,
    EventStamp,
    ScanRefused,
    ShortReported,
    Ware,
    Wave,
    bag_of,
    not_there,
    report_short,
)
from wholekit.domain.quotes.roles import Action
from wholekit.domain.stock import Movement, Slips, StockPlace
from wholekit.services.allocating import complete_waiting, hold_for_waiting
from wholekit.services.bag_bins import bins_for
from wholekit.services.bag_work import PickAnswer, item_of, opened, written
from wholekit.services.desk import Deed, Desk, need_line, note
from wholekit.services.order_port import BagFilter
from wholekit.services.ports import UnitOfWork
from wholekit.services.promises import hold_giving, promises_giving_way
from wholekit.services.rights import needs
from wholekit.services.substitutions import standing_in


@dataclass(frozen=True, slots=True)
class ShortTold:
    """What came of a short. lacks: packs of the item that the bag waits for, the others lie in
    other bins; waiting: other bags that wait by it; substitutes: what may take its place, with the
    packs that are free."""

    answer: PickAnswer
    lacks: int = 0
    waiting: tuple[ReleasedBag, ...] = ()
    substitutes: tuple[tuple[Ware, int], ...] = ()


@needs(Action.PICK_BAGS)
def tell_short(
    desk: Desk,
    deed: Deed,
    into: str,
    sku: str,
    packs: int,
    remark: str = "",
    walk: Wave | None = None,
    *,
    lying: int | None = None,
) -> ShortTold:
    """So many packs of an item are not where they should be; the bag stays open for the rest.

    They are taken out of the books at the bin that the bag was to take them from, with all that the
    books have beyond them there, as by a count; promises give way as to a count, this bag's last.
    What the bag then lacks it waits for. walk: as it was shown to the picker. lying: so many packs
    do lie in that bin; how many are short follows from it, and `packs` is not looked at. Raises
    CallError, ConflictError.
    """
    said = need_line(" ".join(remark.split()), "remark")
    with desk.store.writing() as uow:
        row, bag = opened(uow, into, held=False)
        # Of all it still takes: which of them is meant is only sure when the bag is held.
        hold_giving(uow, [line.item for line in bag.remaining], row.branch, [row.id])
        row, bag = opened(uow, into)
        item = item_of(bag, sku)
        if item is None:
            fields: dict[str, object] = {"bag": row.id, "mark": bag.mark, "sku": sku}
            return ShortTold(PickAnswer(ScanRefused("short-none-left", fields), bag))
        stamp = EventStamp(desk.ids.new(), deed.who, deed.at)
        left = next(line.packs for line in bag.remaining if line.item == item)
        there = uow.stock.bins_of([item]).get(item, {})
        places = bins_for(there, row, item, left, walk)
        if lying is None or not places:
            packs = packs if lying is None else left
            gone = not_there(left, packs, [(place.bin, held) for place, held in places])
        else:
            place, held = places[0]
            if lying >= held:
                fields = {"bag": row.id, "mark": bag.mark, "sku": item[1], "has": held}
                return ShortTold(PickAnswer(ScanRefused("short-all-there", fields), bag))
            gone = ((place.bin, held - lying),)
            packs = max(0, left - lying - sum(packs for _, packs in places[1:]))
        if not gone and any(each.item == item for each in shorts_of(bag)):
            fields = {"bag": row.id, "mark": bag.mark, "sku": item[1]}
            return ShortTold(PickAnswer(ScanRefused("short-told", fields), bag))
        answer = report_short(bag, item, packs, stamp, said, gone)
        if isinstance(answer, ScanRefused):
            return ShortTold(PickAnswer(answer, bag))
        waiting = _taken_out(uow, deed, row, answer)
        held_there = {place.bin: held for place, held in places}
        bins = [(name, held_there[name], held_there[name] - n) for name, n in answer.gone]
        if bins:
            note(uow, deed, "books-corrected", "bag", row.id, after=_books(item, bins))
        return _told(uow, row, bag, answer, waiting)


@needs(Action.SEE_ORDERS)
def short_bin(
    desk: Desk, deed: Deed, into: str, sku: str, walk: Wave | None = None
) -> tuple[str, int] | None:
    """The bin that a bag is to take an item from next, with the packs that the books have there;
    None where they know none, or the bag takes none of it. Raises CallError."""
    with desk.store.reading() as uow:
        row, bag = opened(uow, into, held=False)
        item = item_of(bag, sku)
        if item is None:
            return None
        left = next(line.packs for line in bag.remaining if line.item == item)
        there = uow.stock.bins_of([item]).get(item, {})
        places = bins_for(there, row, item, left, walk)
        return (places[0][0].bin, places[0][1]) if places else None


def told_elsewhere(uow: UnitOfWork, row: ReleasedBag, item: ItemKey) -> tuple[str, ...]:
    """Marks of the other open bags at a bag's branch in which an item was told short."""
    others = [
        each
        for each in uow.orders.bags(BagFilter(states=frozenset({BagState.OPEN})))
        if each.branch == row.branch and each.id != row.id
    ]
    ids = [each.id for each in others]
    demands, events = uow.orders.demands(ids), uow.orders.events_of(ids)
    return tuple(
        each.mark
        for each in others
        if any(short.item == item for short in shorts_of(bag_of(demands[each.id], events[each.id])))
    )


def shorts_of(bag: Bag) -> Iterator[ShortReported]:
    """What was told short in a bag, and stands."""
    return (event for event in bag.standing if isinstance(event, ShortReported))


def take_back(uow: UnitOfWork, desk: Desk, deed: Deed, row: ReleasedBag, short: ShortReported,
              key: str) -> tuple[ReleasedBag, ...]:  # fmt: skip
    """A short that is undone: its packs are in the books again, and whoever waits gets them; the
    other bags that lack nothing by it. Bags that lack goods are held (`hold_lacking`)."""
    held = hold_for_waiting(uow, [short.item])
    slips = Slips(key, deed.at, deed.who)
    there = uow.stock.bins_of([short.item]).get(short.item, {})
    bins = []
    for name, packs in short.gone:
        now = there.get(StockPlace(row.branch, name), 0)
        bins.append((name, now, now + packs))
    if bins:
        note(uow, deed, "books-restored", "bag", row.id, after=_books(short.item, bins))
    uow.stock.move(
        [
            slips.count(short.item, packs, StockPlace(row.branch, name), _reason(row))
            for name, packs in short.gone
        ]
    )
    done = complete_waiting(uow, desk, deed, slips, held)
    return tuple(bag for bag in done.ready if bag.id != row.id)


def _taken_out(
    uow: UnitOfWork, deed: Deed, row: ReleasedBag, short: ShortReported
) -> tuple[ReleasedBag, ...]:
    """The books put right; the other bags that wait by it."""
    slips = Slips(short.stamp.id, deed.at, deed.who)
    losses = [
        slips.count(short.item, -packs, StockPlace(row.branch, name), _reason(row, short.note))
        for name, packs in short.gone
    ]
    if not losses:
        return ()
    giving = Slips(f"{short.stamp.id}/giving", deed.at, deed.who)
    back, given = promises_giving_way(uow, giving, [_together(losses)], last=row.id)
    uow.stock.move([*back, *losses])
    ids = frozenset(bag for _, bag, _ in given) - {row.id}
    return tuple(uow.orders.bags(BagFilter(ids=ids))) if ids else ()


def _books(item: ItemKey, bins: Sequence[tuple[str, int, int]]) -> dict[str, object]:
    """What a correction is in the log: by bin the packs that the books had, and have."""
    return {"supplier": item[0], "sku": item[1], "bins": [list(each) for each in bins]}


def _together(losses: Sequence[Movement]) -> Movement:
    """Losses of one item at one branch as one."""
    return replace(losses[0], packs=sum(loss.packs for loss in losses))


def _told(
    uow: UnitOfWork,
    row: ReleasedBag,
    bag: Bag,
    short: ShortReported,
    waiting: tuple[ReleasedBag, ...],
) -> ShortTold:
    held = uow.stock.bags([row.id]).get(row.id, {})
    lack = lacking(row, held)
    lacks = dict(lack.needs).get(short.item, 0) if lack else 0
    substitutes = standing_in(uow, row, bag, short.item)
    return ShortTold(
        written(uow, row, bag, short),
        lacks,
        waiting,
        substitutes,
    )


def _reason(row: ReleasedBag, note: str = "") -> str:
    return f"short for {row.mark}, {row.id}{f': {note}' if note else ''}"
