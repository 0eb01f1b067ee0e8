"""Packs that are not where the books have them: told by a picker, taken out of the books at once.

A picker who finds fewer in a bin than the bag is to take from it has counted the bin: what the
books have beyond that is not there either.
"""

from collections.abc import Sequence
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
from wholekit.services.desk import Deed, Desk, need_line
from wholekit.services.order_port import BagFilter
from wholekit.services.ports import UnitOfWork
from wholekit.services.promises import promises_giving_way
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
) -> ShortTold:
    """So many packs of an item are not where they should be; the bag stays open for the rest.

    They are taken out of the books at the bin that the bag was to take them from, with all that the
    books have beyond them there, as by a count; promises give way as to a count. What the bag then
    lacks it waits for. walk: as it was shown to the picker. Raises CallError, ConflictError.
    """
    said = need_line(" ".join(remark.split()), "remark")
    with desk.store.writing() as uow:
        row, bag = opened(uow, into)
        item = item_of(bag, sku)
        if item is None:
            fields: dict[str, object] = {"bag": row.id, "mark": bag.mark, "sku": sku}
            return ShortTold(PickAnswer(ScanRefused("short-none-left", fields), bag))
        stamp = EventStamp(desk.ids.new(), deed.who, deed.at)
        left = next(line.packs for line in bag.remaining if line.item == item)
        there = uow.stock.bins_of([item]).get(item, {})
        places = bins_for(there, row, item, left, walk)
        gone = not_there(left, packs, [(place.bin, held) for place, held in places])
        if not gone and any(
            isinstance(event, ShortReported) and event.item == item for event in bag.standing
        ):
            fields = {"bag": row.id, "mark": bag.mark, "sku": item[1]}
            return ShortTold(PickAnswer(ScanRefused("short-told", fields), bag))
        answer = report_short(bag, item, packs, stamp, said, gone)
        if isinstance(answer, ScanRefused):
            return ShortTold(PickAnswer(answer, bag))
        waiting = _taken_out(uow, deed, row, answer)
        return _told(uow, row, bag, answer, waiting)


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
        if any(
            isinstance(event, ShortReported) and event.item == item
            for event in bag_of(demands[each.id], events[each.id]).standing
        )
    )


def take_back(uow: UnitOfWork, desk: Desk, deed: Deed, row: ReleasedBag, short: ShortReported,
              key: str) -> tuple[ReleasedBag, ...]:  # fmt: skip
    """A short that is undone: its packs are in the books again, and whoever waits gets them; the
    other bags that lack nothing by it."""
    held = hold_for_waiting(uow, [short.item])
    slips = Slips(key, deed.at, deed.who)
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
    back, given = promises_giving_way(uow, giving, [_together(losses)])
    uow.stock.move([*back, *losses])
    ids = frozenset(bag for _, bag, _ in given) - {row.id}
    return tuple(uow.orders.bags(BagFilter(ids=ids))) if ids else ()


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
