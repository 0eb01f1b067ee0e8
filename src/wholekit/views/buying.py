"""What is bought as data: with cost, for the owner; and deliveries, in which no money is."""

from dataclasses import dataclass
from datetime import date

from wholekit.domain.buying import BuyLine, BuyList, Purchase
from wholekit.services.buying import PurchaseShown
from wholekit.services.receiving import Received


@dataclass(frozen=True, slots=True)
class WaitingFor:
    """Who waits for packs of an item. needed_by: null = no day was promised."""

    order: str
    bag: str
    packs: str
    needed_by: str | None


@dataclass(frozen=True, slots=True)
class CheaperAnswer:
    """What would cover the same need for less."""

    sku: str
    supplier: str
    packs: int
    total: str
    saves: str
    arrives: str | None


@dataclass(frozen=True, slots=True)
class BuyLineAnswer:
    """An item to be bought [packs]; amounts in the supplier's currency."""

    sku: str
    description: str
    short: int
    shelf: int
    least: int
    packs: int
    unit_cost: str
    total: str
    saves: str
    arrives: str | None
    cheaper: tuple[CheaperAnswer, ...]
    waiting: tuple[WaitingFor, ...]


@dataclass(frozen=True, slots=True)
class SupplierBuyAnswer:
    """What one supplier is to be asked for."""

    supplier: str
    currency: str
    total: str
    lines: tuple[BuyLineAnswer, ...]


@dataclass(frozen=True, slots=True)
class LateAnswer:
    """Who gets goods after the day. day: null = not known."""

    sku: str
    order: str
    bag: str
    needed_by: str | None
    day: str | None


@dataclass(frozen=True, slots=True)
class NotBoughtAnswer:
    """What is wanted and cannot be bought."""

    sku: str
    supplier: str
    packs: int
    why: str
    replaced_by: str | None


@dataclass(frozen=True, slots=True)
class BuyListAnswer:
    """The buy list of a branch on a day."""

    day: str
    branch: str
    suppliers: tuple[SupplierBuyAnswer, ...]
    late: tuple[LateAnswer, ...]
    not_bought: tuple[NotBoughtAnswer, ...]


@dataclass(frozen=True, slots=True)
class PurchaseLineAnswer:
    """A line of an order [packs]."""

    sku: str
    description: str
    packs: int
    received: int
    open: int
    unit_cost: str
    amount: str
    expected: str | None


@dataclass(frozen=True, slots=True)
class PurchaseAnswer:
    """An order and how it stands."""

    order: str
    supplier: str
    state: str
    branch: str
    placed: str
    placed_by: str
    sent: str | None
    sent_by: str
    currency: str
    total: str
    wanted_by: str | None
    note: str
    version: int
    lines: tuple[PurchaseLineAnswer, ...]


@dataclass(frozen=True, slots=True)
class PurchasesAnswer:
    """A page of orders, the latest first; count: those there are in all."""

    orders: tuple[PurchaseAnswer, ...]
    count: int
    page: int
    page_size: int


@dataclass(frozen=True, slots=True)
class ReceiptAnswer:
    """Packs that came of a line."""

    note: str
    sku: str
    packs: int
    branch: str
    bin: str
    at: str
    who: str


@dataclass(frozen=True, slots=True)
class PurchaseEventAnswer:
    """Something that was done with an order."""

    at: str
    who: str
    action: str
    reason: str


@dataclass(frozen=True, slots=True)
class PurchaseShownAnswer:
    """An order whole."""

    purchase: PurchaseAnswer
    receipts: tuple[ReceiptAnswer, ...]
    events: tuple[PurchaseEventAnswer, ...]


@dataclass(frozen=True, slots=True)
class DeliveryLineAnswer:
    """A line of an order as goods come [packs]: no money. came: with this delivery; over: more
    than were still expected."""

    sku: str
    barcode: str
    description: str
    ordered: int
    came: int
    received: int
    open: int
    over: int


@dataclass(frozen=True, slots=True)
class ReceivedAnswer:
    """A delivery, or what is expected where nothing came. again: it was entered before, and
    nothing was written; completed: bags that are whole by it; unended: goods were scanned in that
    bags which wait have not got."""

    order: str
    supplier: str
    state: str
    branch: str
    again: bool
    lines: tuple[DeliveryLineAnswer, ...]
    completed: tuple[str, ...]
    unended: bool = False


def buy_list_answer(found: BuyList, branch: str) -> BuyListAnswer:
    """The buy list."""
    return BuyListAnswer(
        found.asked.isoformat(),
        branch,
        tuple(
            SupplierBuyAnswer(
                buy.supplier,
                buy.currency,
                buy.total.decimal_text,
                tuple(map(_buy_line, buy.lines)),
            )
            for buy in found.suppliers
        ),
        tuple(
            LateAnswer(
                each.shortage.item[1],
                each.shortage.order,
                each.shortage.bag,
                _text(each.shortage.needed_by),
                _text(each.day),
            )
            for each in found.late
        ),
        tuple(
            NotBoughtAnswer(
                each.item[1], each.item[0], each.packs, each.why.value, each.replaced_by
            )
            for each in found.not_bought
        ),
    )


def purchase_answer(purchase: Purchase) -> PurchaseAnswer:
    """An order."""
    order = purchase.order
    return PurchaseAnswer(
        purchase.label,
        order.supplier,
        purchase.state.value,
        order.branch,
        purchase.placed_at.isoformat(),
        purchase.placed_by,
        _text(purchase.sent_at),
        purchase.sent_by,
        order.currency,
        order.total.decimal_text,
        _text(order.wanted_by),
        order.note,
        purchase.version,
        tuple(
            PurchaseLineAnswer(
                line.sku,
                line.description,
                line.packs,
                came,
                left,
                line.unit.decimal_text,
                line.amount.decimal_text,
                _text(line.expected),
            )
            for line, came, left in zip(
                order.lines, purchase.received, purchase.open_packs, strict=True
            )
        ),
    )


def shown_answer(shown: PurchaseShown) -> PurchaseShownAnswer:
    """An order whole."""
    lines = shown.purchase.order.lines
    return PurchaseShownAnswer(
        purchase_answer(shown.purchase),
        tuple(
            ReceiptAnswer(
                each.note, lines[each.line].sku, each.packs, each.branch, each.bin,
                each.at.isoformat(), each.who,
            )
            for each in shown.receipts
        ),
        tuple(
            PurchaseEventAnswer(each.at.isoformat(), each.who, each.action, each.reason)
            for each in shown.events
        ),
    )  # fmt: skip


def received_answer(received: Received) -> ReceivedAnswer:
    """A delivery as it was written down, or what is expected where nothing came."""
    purchase = received.purchase
    return ReceivedAnswer(
        purchase.label,
        purchase.order.supplier,
        purchase.state.value,
        purchase.order.branch,
        received.again,
        tuple(
            DeliveryLineAnswer(
                line.sku,
                line.barcode,
                line.description,
                line.packs,
                received.counts.get(at, 0),
                purchase.received[at],
                purchase.open_packs[at],
                max(0, purchase.received[at] - line.packs),
            )
            for at, line in enumerate(purchase.order.lines)
        ),
        received.completed,
        received.unended,
    )


def _buy_line(line: BuyLine) -> BuyLineAnswer:
    return BuyLineAnswer(
        line.item.sku,
        line.item.description,
        line.short,
        line.shelf,
        line.least,
        line.order.packs,
        line.order.unit.decimal_text,
        line.order.total.decimal_text,
        line.saves.decimal_text,
        _text(line.arrives),
        tuple(
            CheaperAnswer(
                each.item.sku,
                each.item.supplier,
                each.priced.packs,
                each.priced.total.decimal_text,
                each.saves.decimal_text,
                _text(each.arrives),
            )
            for each in line.cheaper
        ),
        tuple(
            WaitingFor(each.order, each.bag, str(each.packs), _text(each.needed_by))
            for each in line.shortages
        ),
    )


def _text(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
