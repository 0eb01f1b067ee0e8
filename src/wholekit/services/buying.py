"""What is to be bought, and purchase orders: placed, sent, cancelled, looked up. All shows cost."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from wholekit.domain.buying import (
    OPEN,
    SERIES,
    UNDER_WAY,
    BuyList,
    Coming,
    GoodsExpected,
    GoodsReceipt,
    Purchase,
    PurchaseState,
    Shortage,
    StockPosition,
    SupplierBuy,
    purchase_label,
    purchase_number,
    purchase_order,
)
from wholekit.domain.buying import buy_list as listed
from wholekit.domain.catalog import Item, ItemKey, item_key
from wholekit.domain.errors import CallError
from wholekit.domain.quantities import MOST_SUM
from wholekit.domain.quotes import AuditEntry, CatalogRef
from wholekit.domain.quotes.roles import Action
from wholekit.domain.stock import MAIN
from wholekit.services.availability import calendar_of
from wholekit.services.desk import LONGEST_NAME, Deed, Desk, need_line, note
from wholekit.services.lacks import shortages_of
from wholekit.services.paging import Page
from wholekit.services.ports import UnitOfWork
from wholekit.services.purchase_port import PurchaseFilter
from wholekit.services.rights import needs
from wholekit.services.stock import branch_of

SUBJECT = "purchase"
MOST_LINES = 8  # of an address


@dataclass(frozen=True, slots=True)
class OrderWords:
    """What is said on orders that are placed. supplier_address: for orders to one supplier alone;
    ship_to: name and address of where goods go, else the branch's name and the house's address."""

    supplier_address: tuple[str, ...] = ()
    ship_to: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class PurchaseShown:
    """An order with all that came of it and all that was done with it."""

    purchase: Purchase
    receipts: Sequence[GoodsReceipt]
    events: Sequence[AuditEntry]


@needs(Action.SEE_PURCHASES)
def buy_list(
    desk: Desk, deed: Deed, branch: str = MAIN, shortages: Iterable[Shortage] = ()
) -> BuyList:
    """What is to be bought for a branch on the day of the deed: what bags wait for, and what runs
    low by the latest price books. Raises CallError."""
    with desk.store.reading() as uow:
        return _list(uow, desk, deed, branch_of(uow, branch), shortages)


@needs(Action.BUY_GOODS)
def place_orders(
    desk: Desk,
    deed: Deed,
    branch: str = MAIN,
    shortages: Iterable[Shortage] = (),
    suppliers: Collection[str] = (),
    words: OrderWords = OrderWords(),  # frozen
) -> Sequence[Purchase]:
    """The buy list as orders, one for each supplier and currency. suppliers: those chosen, none =
    all of the list. Raises CallError."""
    _need_words(words, suppliers)
    with desk.store.writing() as uow:
        # First: who places orders at the same time waits here, and sees these when they go on.
        first = uow.numbers.take(SERIES)
        found = _list(uow, desk, deed, branch_of(uow, branch), shortages)
        chosen = _chosen(found.suppliers, suppliers, branch)
        numbers = [first, *(uow.numbers.take(SERIES) for _ in chosen[1:])]
        ship_to = words.ship_to or _ship_to(uow, desk, branch.strip())
        placed = [
            _placed(buy, number, deed, branch.strip(), replace(words, ship_to=ship_to))
            for buy, number in zip(chosen, numbers, strict=True)
        ]
        for each in placed:
            uow.purchases.add(each)
            note(uow, deed, "purchase-placed", SUBJECT, each.label, after=each)
        uow.commit()
    return placed


@needs(Action.BUY_GOODS)
def send_order(desk: Desk, deed: Deed, reference: str) -> Purchase:
    """Say that the supplier was given an order; nothing leaves the house by it. Raises CallError,
    ConflictError."""
    with desk.store.writing() as uow:
        old = held_purchase(uow, reference)
        if old.state is not PurchaseState.DRAFT:
            raise CallError("purchase-not-draft", order=old.label, state=old.state.value)
        new = replace(
            old,
            state=PurchaseState.SENT,
            sent_at=deed.at,
            sent_by=deed.who,
            version=old.version + 1,
        )
        return _changed(uow, deed, "purchase-sent", old, new)


@needs(Action.BUY_GOODS)
def cancel_order(desk: Desk, deed: Deed, reference: str, reason: str = "") -> Purchase:
    """Cancel an order of which nothing has come. Raises CallError, ConflictError."""
    why = need_line(" ".join(reason.split()), "reason")
    with desk.store.writing() as uow:
        old = held_purchase(uow, reference)
        if any(old.received):
            raise CallError("purchase-received", order=old.label)
        if old.state not in OPEN:
            raise CallError("purchase-over", order=old.label, state=old.state.value)
        new = replace(old, state=PurchaseState.CANCELLED, version=old.version + 1)
        return _changed(uow, deed, "purchase-cancelled", old, new, why)


@needs(Action.SEE_PURCHASES)
def list_orders(
    desk: Desk, deed: Deed, wanted: PurchaseFilter, page: Page
) -> tuple[Sequence[Purchase], int]:
    """Orders, the latest first, and how many there are in all."""
    with desk.store.reading() as uow:
        return uow.purchases.page(wanted, page)


@needs(Action.SEE_PURCHASES)
def show_order(desk: Desk, deed: Deed, reference: str) -> PurchaseShown:
    """An order whole. Raises CallError."""
    with desk.store.reading() as uow:
        found = purchase_of(uow, reference)
        return PurchaseShown(
            found,
            uow.purchases.receipts(found.number),
            uow.audit.of_subject(SUBJECT, found.label),
        )


def coming(
    uow: UnitOfWork,
    items: Collection[ItemKey] | None = None,
    branch: str = "",
    states: Collection[PurchaseState] = UNDER_WAY,
) -> Sequence[GoodsExpected]:
    """What is still expected of items, None = of all, by day: of orders that the supplier has,
    unless other states are asked for."""
    return uow.purchases.coming(states, items, branch)


def purchase_of(uow: UnitOfWork, reference: str) -> Purchase:
    """The order of a label (`P-00007`) or bare number. Raises CallError."""
    number = purchase_number(reference)
    found = None if number is None else uow.purchases.get(number)
    if found is None:
        raise CallError("purchase-unknown", order=reference)
    return found


def held_purchase(uow: UnitOfWork, reference: str) -> Purchase:
    """The same, held for change until the unit of work ends. Raises CallError."""
    number = purchase_number(reference)
    found = None if number is None else uow.purchases.for_change(number)
    # Read again now that it is held: what came meanwhile is in its receipts.
    found = None if found is None else uow.purchases.get(found.number)
    if found is None:
        raise CallError("purchase-unknown", order=reference)
    return found


def _changed(
    uow: UnitOfWork, deed: Deed, action: str, old: Purchase, new: Purchase, reason: str = ""
) -> Purchase:
    uow.purchases.save(new, old.version)
    note(uow, deed, action, SUBJECT, new.label, before=old, after=new, reason=reason)
    uow.commit()
    return new


def _list(
    uow: UnitOfWork, desk: Desk, deed: Deed, branch: str, shortages: Iterable[Shortage]
) -> BuyList:
    items = _items(uow)
    waiting = [*shortages, *shortages_of(uow, desk, deed, branch)]
    keys = {key for key, item in items.items() if item.terms.reorder_at is not None}
    keys |= {shortage.item for shortage in waiting}
    free = uow.stock.free(sorted(keys), branch)
    # Orders that nobody has sent yet too, so that nothing is ordered twice.
    under_way: dict[ItemKey, list[Coming]] = {}
    for each in coming(uow, keys, branch, OPEN):
        under_way.setdefault(each.item, []).append(Coming(each.packs, each.day))
    positions = [
        StockPosition(key, free.get(key, 0), tuple(under_way.get(key, ()))) for key in sorted(keys)
    ]
    calendar = calendar_of(desk.rules, uow.policy.get().holidays)
    return listed(waiting, positions, items, calendar, deed.day)


def _items(uow: UnitOfWork) -> Mapping[ItemKey, Item]:
    """All that the latest price books sell."""
    return {
        item_key(item): item
        for row in uow.catalogs.current()
        for item in uow.catalogs.load(CatalogRef(row.catalog_id, row.revision)).items
    }


def _chosen(
    found: Sequence[SupplierBuy], suppliers: Collection[str], branch: str
) -> Sequence[SupplierBuy]:
    """Raises CallError where nothing is to be bought, or nothing of a supplier that is named."""
    if not found:
        raise CallError("nothing-to-buy", branch=branch)
    known = {buy.supplier.casefold() for buy in found}
    for name in suppliers:
        if name.strip().casefold() not in known:
            raise CallError(
                "nothing-of-supplier",
                name=need_line(name, "supplier", LONGEST_NAME),
                known=sorted({buy.supplier for buy in found}),
            )
    wanted = {name.strip().casefold() for name in suppliers} or known
    return [buy for buy in found if buy.supplier.casefold() in wanted]


def _placed(buy: SupplierBuy, number: int, deed: Deed, branch: str, words: OrderWords) -> Purchase:
    amounts = (line.order.total.as_money.minor for line in buy.lines)
    if sum(amounts) > MOST_SUM:
        raise CallError("purchase-too-large", supplier=buy.supplier)
    order = purchase_order(buy, purchase_label(number), deed.day, branch, words.ship_to, deed.signs)
    order = replace(order, supplier_address=words.supplier_address, note=words.note)
    return Purchase(number, order, (0,) * len(order.lines), PurchaseState.DRAFT, deed.at, deed.who)


def _ship_to(uow: UnitOfWork, desk: Desk, branch: str) -> tuple[str, ...]:
    card = desk.house()
    name = next((each.name for each in uow.stock.branches() if each.code == branch), "")
    return tuple(filter(None, (name or card.name or branch, *card.address)))


def _need_words(words: OrderWords, suppliers: Collection[str]) -> None:
    if words.supplier_address and len(suppliers) != 1:
        raise CallError("address-of-one")
    for lines in (words.supplier_address, words.ship_to):
        if len(lines) > MOST_LINES:
            raise CallError("address-too-long", most=MOST_LINES)
        for line in lines:
            need_line(line, "address", LONGEST_NAME)
    need_line(words.note, "note")
