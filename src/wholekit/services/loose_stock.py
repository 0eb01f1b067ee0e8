"""Pieces that a bag leaves over, put back onto the shelf as it closes, and boxed again when it is
unpacked.

The ledger knows no pieces, but packs of items: what goes back is an item that holds them, found
more by an adjustment whose reason is the bag.
"""

from collections.abc import Sequence
from dataclasses import replace

from wholekit.domain.errors import CallError
from wholekit.domain.orders import ReleasedBag
from wholekit.domain.picking import Bag, BagClosed, LoosePacks, ScanRefused, Ware, packed, put_loose
from wholekit.domain.stock import MAIN, Movement, Slips, StockPlace
from wholekit.services.ports import UnitOfWork


def shelve_loose(
    uow: UnitOfWork, row: ReleasedBag, bag: Bag, closing: BagClosed, told: Sequence[tuple[str, int]]
) -> BagClosed | ScanRefused:
    """Put so many packs of items by their codes on the shelf, out of what the bag leaves over; the
    closing then says so. Refused, and nothing moved, where that is not left."""
    wanted: list[tuple[Ware, int]] = []
    suppliers = {line.item[0] for line in bag.plan}
    for code, packs in told:
        found = [ware for ware in uow.wares.find(code) if ware.key[0] in suppliers]
        if not found:
            return ScanRefused("loose-unknown", {"given": code})
        wanted.append((found[0], packs))
    loose = put_loose(packed(bag).left, wanted)
    if isinstance(loose, ScanRefused):
        return loose
    items = [each.item for each in loose]
    uow.stock.hold(sorted(items))
    lying = uow.stock.bins_of(items)
    named = uow.wares.bins(items) if row.branch == MAIN else {}
    placed = []
    for each in loose:
        bins = {at.bin: n for at, n in lying.get(each.item, {}).items() if at.branch == row.branch}
        # Where most of it lies, its price book's bin where it lies nowhere.
        most = min(bins, key=lambda name: (-bins[name], name)) if bins else named.get(each.item, "")
        placed.append(replace(each, bin=most))
    stamp = closing.stamp
    slips = Slips(stamp.id, stamp.when, stamp.who)
    uow.stock.move(
        [
            slips.adjust(each.item, each.packs, StockPlace(row.branch, each.bin), row.id)
            for each in placed
        ]
    )
    return replace(closing, loose=tuple(placed))


def boxed_again(
    uow: UnitOfWork, slips: Slips, row: ReleasedBag, loose: Sequence[LoosePacks]
) -> list[Movement]:
    """The movements that take loose packs off the shelf again. Raises CallError where they are not
    there any more, or promised."""
    items = {each.item for each in loose}
    free, lying = (
        (uow.stock.free(items, row.branch), uow.stock.bins_of(items)) if loose else ({}, {})
    )
    for each in loose:
        place = StockPlace(row.branch, each.bin)
        there = min(free.get(each.item, 0), lying.get(each.item, {}).get(place, 0))
        if there < each.packs:
            raise CallError(
                "bag-loose-gone",
                bag=row.id,
                sku=each.item[1],
                packs=each.packs,
                there=max(0, there),
                bin=each.bin,
            )
    return [
        slips.adjust(each.item, -each.packs, StockPlace(row.branch, each.bin), row.id)
        for each in loose
    ]
