"""Goods that come of a purchase order, held against it and put on the shelf. No money is in it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from wholekit.domain.buying import (
    LISTED,
    NOTED,
    SCANNED,
    UNDER_WAY,
    UNDONE,
    GoodsDelivery,
    GoodsReceipt,
    Purchase,
    PurchaseState,
    delivered,
    require_receivable,
)
from wholekit.domain.errors import CallError, ConflictError
from wholekit.domain.quotes.roles import Action
from wholekit.domain.stock import Movement, Slips, StockPlace
from wholekit.services.allocating import complete_waiting, hold_for_waiting, hold_lacking
from wholekit.services.buying import SUBJECT, held_purchase, purchase_of
from wholekit.services.desk import LONGEST_NAME, Deed, Desk, need_line, note
from wholekit.services.paging import Page
from wholekit.services.ports import UnitOfWork
from wholekit.services.purchase_port import PurchaseFilter
from wholekit.services.rights import needs
from wholekit.services.stock import ToldPlace, places_of

RECEIVED = "purchase-received"
MOST_EXPECTED = 200
# How many of those that are through are looked at for a delivery that nobody ended.
MOST_ENDED = 50


@dataclass(frozen=True, slots=True)
class ToldDelivery:
    """A delivery as it is told.

    packs: by SKU or GTIN. note: the number of the supplier's delivery note, under which it counts
    once; empty: it counts each time. branch: empty = the order's; bin: None = where each item lies.
    over: more than was ordered may come; close_short: nobody expects what is still open after it.
    """

    packs: Sequence[tuple[str, int]]
    note: str = ""
    branch: str = ""
    bin: str | None = None
    over: bool = False
    close_short: bool = False


@dataclass(frozen=True, slots=True)
class Received:
    """What a delivery came to [packs by line of the order].

    again: it was entered before, and nothing was written now. completed: bags that waited, and are
    whole by it. unended: goods were scanned in since a delivery of it last ended, and bags that
    wait have not got them.
    """

    purchase: Purchase
    counts: Mapping[int, int]
    movements: tuple[Movement, ...] = ()
    completed: tuple[str, ...] = ()
    again: bool = False
    unended: bool = False


@needs(Action.SEE_STOCK)
def expected_delivery(desk: Desk, deed: Deed, reference: str) -> Received:
    """An order of which goods may come, and nothing that has. Raises CallError."""
    with desk.store.reading() as uow:
        found = purchase_of(uow, reference)
        require_receivable(found)
        (shown,) = _with_unended(uow, [found])
        return shown


@needs(Action.SEE_STOCK)
def expected_deliveries(desk: Desk, deed: Deed) -> tuple[Received, ...]:
    """Orders of which goods are still to come, or of which a delivery was scanned and not ended:
    the latest first, and nothing that has come."""
    over = PurchaseFilter(frozenset({PurchaseState.CLOSED}))
    with desk.store.reading() as uow:
        found, _count = uow.purchases.page(PurchaseFilter(UNDER_WAY), Page(0, MOST_EXPECTED))
        ended, _count = uow.purchases.page(over, Page(0, MOST_ENDED))
        every = _with_unended(uow, [*found, *ended])
        return tuple(each for each in every if each.unended or each.purchase.state in UNDER_WAY)


@needs(Action.RECEIVE_STOCK)
def receive_delivery(
    desk: Desk,
    deed: Deed,
    reference: str,
    told: ToldDelivery,
) -> Received:
    """Put a delivery on the shelf, all of it or nothing; bags that wait get what makes them whole.

    Raises CallError for an item that was not ordered, more packs than are open, or an order of
    which nothing may come; ConflictError (`delivery-differs`) where a delivery of the same note
    was entered with other packs.
    """
    number = note_number(told.note)
    key = note_key(number) or f"{LISTED}{desk.ids.new()}"
    with desk.store.writing() as uow:
        old = held_purchase(uow, reference)
        there = _entered(uow, old, key, number)
        if there:
            return _again(old, there, told)
        require_receivable(old)
        counts = _counted(old, told)
        items = [old.item(line) for line in counts]
        hold_lacking(uow)
        # Also what was scanned of its other lines, so that each end of a delivery gives all out.
        held = hold_for_waiting(uow, [old.item(line) for line in range(len(old.received))])
        slips = Slips(f"{old.label}/{key}", deed.at, deed.who)
        made, receipts = [], []
        places = places_of(uow, items, ToldPlace(told.branch or old.order.branch, told.bin))
        for line, packs in counts.items():
            place = places[old.item(line)]
            made.append(
                slips.receipt(old.item(line), packs, place, f"{old.label} {number}".strip())
            )
            receipts.append(_receipt(key, line, packs, place, deed, number))
        new = delivered(old, counts, closing=told.close_short)
        uow.purchases.receive(old.number, receipts)
        uow.purchases.save(new, old.version)
        moved = uow.stock.move(made)
        whole = complete_waiting(uow, desk, deed, slips, held).ready
        note(uow, deed, RECEIVED, SUBJECT, new.label, before=old, after=new, reason=number)
        uow.commit()
    return Received(new, counts, tuple(moved), tuple(bag.id for bag in whole))


def _with_unended(uow: UnitOfWork, purchases: Sequence[Purchase]) -> list[Received]:
    """Orders, with whether goods of them were scanned in after a delivery was last ended."""
    scans = uow.purchases.last_scans([each.number for each in purchases])
    labels = [each.label for each in purchases if each.number in scans]
    ended = {
        entry.subject_id: entry.at
        for entry in (uow.audit.of_subject(SUBJECT, *labels) if labels else ())
        if entry.action == RECEIVED
    }
    return [
        Received(
            each,
            {},
            unended=each.number in scans
            and (each.label not in ended or ended[each.label] < scans[each.number]),
        )
        for each in purchases
    ]


def note_number(text: str) -> str:
    """The number of a delivery note, trimmed; empty for none. Raises CallError."""
    return need_line(" ".join(text.split()), "delivery note", LONGEST_NAME)


def note_key(number: str) -> str:
    """The key of a delivery entered as a list under its note; empty without a number."""
    return f"{NOTED}{number.casefold()}" if number else ""


def _counted(purchase: Purchase, told: ToldDelivery) -> Mapping[int, int]:
    """Packs by line of the order. Raises CallError."""
    counting = GoodsDelivery(purchase, told.over)
    for code, packs in told.packs:
        counting.count(code, packs)
    if not counting.counts and not told.close_short:
        raise CallError("delivery-empty", order=purchase.label)
    if not counting.counts and not any(purchase.open_packs):
        raise CallError("purchase-over", order=purchase.label, state=purchase.state.value)
    return dict(sorted(counting.counts.items()))


def _entered(uow: UnitOfWork, purchase: Purchase, key: str, number: str) -> Sequence[GoodsReceipt]:
    """What came under a note before, as a list or by scan."""
    found = uow.purchases.receipts(purchase.number)
    same = number.casefold()
    return [
        each
        for each in found
        if each.delivery == key
        or (same and each.note.casefold() == same and each.delivery.startswith((SCANNED, UNDONE)))
    ]


def _again(purchase: Purchase, there: Sequence[GoodsReceipt], told: ToldDelivery) -> Received:
    """The answer to a delivery that was entered before. Raises ConflictError where it differs."""
    counting = GoodsDelivery(purchase, over=True)
    for code, packs in told.packs:
        counting.count(code, packs)
    before: dict[int, int] = {}
    for each in there:
        before[each.line] = before.get(each.line, 0) + each.counts
    before = {line: packs for line, packs in before.items() if packs}
    if counting.counts != before:
        lines = purchase.order.lines
        raise ConflictError(
            "delivery-differs",
            order=purchase.label,
            note=there[0].note,
            who=there[0].who,
            day=there[0].at.date().isoformat(),
            packs=[f"{lines[line].sku}={packs}" for line, packs in sorted(before.items())],
        )
    return Received(purchase, before, again=True)


def _receipt(
    key: str, line: int, packs: int, place: StockPlace, deed: Deed, number: str
) -> GoodsReceipt:
    return GoodsReceipt(key, line, packs, place.branch, place.bin, deed.at, deed.who, number)
