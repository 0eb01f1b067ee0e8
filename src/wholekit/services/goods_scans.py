"""Goods that come of a purchase order, scan by scan. No money is in it.

Each scan is one short transaction: what it confirmed is on the shelf whatever happens next, and
what was not confirmed is not. Bags that wait are completed when the delivery ends, by all that
came together.
"""

from dataclasses import dataclass, replace

from wholekit.domain.buying import (
    SCANNED,
    UNDONE,
    GoodsReceipt,
    Purchase,
    PurchaseState,
    delivered,
    require_receivable,
    taken_back,
)
from wholekit.domain.errors import ConflictError
from wholekit.domain.picking import BagScan, GoodsCounted, ScanRefused, judge_goods, read_scan
from wholekit.domain.quotes.roles import Action
from wholekit.domain.stock import Slips, StockPlace
from wholekit.services.allocating import complete_waiting, hold_for_waiting, hold_lacking
from wholekit.services.buying import SUBJECT, held_purchase, purchase_of
from wholekit.services.desk import Deed, Desk, note
from wholekit.services.ports import UnitOfWork
from wholekit.services.promises import hold_giving, promises_giving_way
from wholekit.services.receiving import (
    RECEIVED,
    Received,
    ToldDelivery,
    note_key,
    note_number,
)
from wholekit.services.rights import needs
from wholekit.services.stock import ToldPlace, places_of


@dataclass(frozen=True, slots=True)
class GoodsAnswer:
    """What came of a scan, and the order as it is then.

    scan: its id; place: the bin that the packs belong into, or come out of; waiting: bags whose
    promises gave way as it was taken back, and by how many packs.
    """

    answer: GoodsCounted | ScanRefused
    purchase: Purchase
    scan: str = ""
    place: str = ""
    waiting: tuple[tuple[str, int], ...] = ()


@needs(Action.RECEIVE_STOCK)
def scan_goods(
    desk: Desk, deed: Deed, reference: str, typed: str, told: ToldDelivery, scan_id: str = ""
) -> GoodsAnswer:
    """What a scanner typed, put on the shelf, or refused and nothing written.

    told: its packs are not looked at. scan_id: the scanner's own for this scan, so that one that is
    sent twice counts once. Raises CallError for an order of which nothing may come; ConflictError
    (`delivery-entered`) where the note's delivery was entered as a list.
    """
    read = read_scan(typed)
    if isinstance(read, BagScan):
        read = ScanRefused("goods-bag-label", {"given": str(read.bag)})
    if isinstance(read, ScanRefused):
        with desk.store.reading() as uow:
            return GoodsAnswer(read, purchase_of(uow, reference))
    number = note_number(told.note)
    name = scan_id or desk.ids.new()
    with desk.store.writing() as uow:
        old = held_purchase(uow, reference)
        there = _there(uow, old, name, number)
        if there:
            return GoodsAnswer(_seen(old, there, old.line_of(read.code), read.packs), old, name)
        require_receivable(old)
        answer = judge_goods(old, read, uow.wares, over=told.over)
        if isinstance(answer, ScanRefused):
            return GoodsAnswer(answer, old)
        item = old.item(answer.line)
        place = places_of(uow, [item], ToldPlace(told.branch or old.order.branch, told.bin))[item]
        receipt = GoodsReceipt(
            f"{SCANNED}{name}", answer.line, read.packs, place.branch, place.bin, deed.at,
            deed.who, number,
        )  # fmt: skip
        slips = Slips(f"{old.label}/{receipt.delivery}", deed.at, deed.who)
        said = f"{old.label} {number}".strip()
        new = delivered(old, {answer.line: read.packs})
        uow.purchases.receive(old.number, [receipt])
        uow.purchases.save(new, old.version)
        uow.stock.move([slips.receipt(item, read.packs, place, said)])
        uow.commit()
    return GoodsAnswer(answer, new, name, place.bin)


@needs(Action.RECEIVE_STOCK)
def undo_goods(desk: Desk, deed: Deed, reference: str, scan_id: str = "") -> GoodsAnswer:
    """Take a scan back: its packs leave the shelf by a counter-movement, and promises give way to
    it. scan_id: empty = the last of this name that stands, by its time. Raises CallError where they
    are in their bin no more."""
    with desk.store.writing() as uow:
        old = held_purchase(uow, reference)
        names = [f"{SCANNED}{scan_id}", f"{UNDONE}{scan_id}"] if scan_id else ()
        found = uow.purchases.receipts(old.number, names)
        gone = {each.delivery.removeprefix(UNDONE) for each in found}
        scans = [
            each
            for each in found
            if each.delivery.startswith(SCANNED)
            and each.delivery.removeprefix(SCANNED) not in gone
            and (scan_id or each.who == deed.who)
        ]
        if not scans:
            return GoodsAnswer(ScanRefused("undo-unknown"), old)
        undone = scans[-1]
        name = undone.delivery.removeprefix(SCANNED)
        item, place = old.item(undone.line), StockPlace(undone.branch, undone.bin)
        back = replace(undone, delivery=f"{UNDONE}{name}", at=deed.at, who=deed.who)
        slips = Slips(f"{old.label}/{back.delivery}", deed.at, deed.who)
        made = slips.to_supplier(item, back.packs, place, old.label)
        hold_giving(uow, [item], place.branch)
        given, waiting = promises_giving_way(uow, slips, [made])
        new = taken_back(old, back.line, back.packs)
        uow.purchases.receive(old.number, [back])
        uow.purchases.save(new, old.version)
        uow.stock.move([*given, made])
        uow.commit()
    line = new.order.lines[back.line]
    counted = GoodsCounted(
        back.line, line.sku, back.packs, new.received[back.line], line.packs, back=True
    )
    return GoodsAnswer(
        counted, new, name, place.bin, tuple((bag, packs) for _, bag, packs in waiting)
    )


@needs(Action.RECEIVE_STOCK)
def end_delivery(desk: Desk, deed: Deed, reference: str, told: ToldDelivery) -> Received:
    """All of a delivery is scanned: bags that wait get what makes them whole. told: its note, and
    whether the rest is still expected. Raises CallError."""
    number = note_number(told.note)
    with desk.store.writing() as uow:
        old = held_purchase(uow, reference)
        new = old
        hold_lacking(uow)
        held = hold_for_waiting(uow, [old.item(line) for line in range(len(old.received))])
        slips = Slips(desk.ids.new(), deed.at, deed.who)
        whole = complete_waiting(uow, desk, deed, slips, held).ready
        if told.close_short and old.state is not PurchaseState.CLOSED:
            new = delivered(old, {}, closing=True)
            uow.purchases.save(new, old.version)
        note(uow, deed, RECEIVED, SUBJECT, new.label, before=old, after=new, reason=number)
        uow.commit()
    return Received(new, {}, completed=tuple(bag.id for bag in whole))


def _there(uow: UnitOfWork, purchase: Purchase, name: str, number: str) -> tuple[GoodsReceipt, ...]:
    """What is written of a scan already. Raises ConflictError where its note was entered as a
    list."""
    listed = note_key(number)
    names = {f"{SCANNED}{name}", f"{UNDONE}{name}", listed} - {""}
    found = uow.purchases.receipts(purchase.number, names)
    for each in found:
        if each.delivery == listed:
            day = each.at.date().isoformat()
            raise ConflictError(
                "delivery-entered", order=purchase.label, note=each.note, who=each.who, day=day
            )
    return tuple(found)


def _seen(
    purchase: Purchase, there: tuple[GoodsReceipt, ...], line: int | None, packs: int
) -> GoodsCounted | ScanRefused:
    """The answer to a scan whose id is written already."""
    first = there[0]
    if len(there) > 1 or (first.line, first.packs) != (line, packs):
        return ScanRefused("scan-id-used")
    asked = purchase.order.lines[first.line]
    came = purchase.received[first.line]
    return GoodsCounted(first.line, asked.sku, packs, came, asked.packs, again=True)
