"""The tables of purchase orders: orders, their lines, and what came of each, only ever added to."""

from sqlalchemy import Index, UniqueConstraint

from wholekit.domain.buying import PurchaseState
from wholekit.store.columns import KEYED, Row, one_of, rule, whole, words


class PurchaseOrderRow(Row, table=True):
    """An order to one supplier. supplier_address, ship_to: JSON lists of lines."""

    __tablename__ = "purchase_order"
    __table_args__ = (
        Index("ix_purchase_order_state", "state", "number"),
        rule("number", "number > 0"),
        rule("currency", "length(currency) = 3"),
        rule("placed_by", "length(placed_by) > 0"),
        rule("sent", "(sent_at IS NULL) = (sent_by = '')"),
        one_of("state", PurchaseState),
        KEYED,
    )
    number: int = whole(key=True)
    supplier: str = words()
    supplier_address: str = words()
    currency: str = words()
    branch: str = words()
    ship_to: str = words()
    issued: str = words()
    wanted_by: str | None = words(empty=True)
    buyer: str = words()
    note: str = words()
    state: str = words()
    placed_at: str = words()
    placed_by: str = words()
    sent_at: str | None = words(empty=True)
    sent_by: str = words()
    version: int = whole()


class PurchaseLineRow(Row, table=True):
    """A line of an order [packs]. unit: cost of one [1/10 000]. Never changed."""

    __tablename__ = "purchase_line"
    __table_args__ = (
        UniqueConstraint("order_number", "sku"),
        rule("packs", "packs > 0"),
        rule("pieces", "pieces > 0"),
        rule("unit", "unit >= 0"),
        KEYED,
    )
    order_number: int = whole(key=True, to="purchase_order.number")
    line: int = whole(key=True)
    sku: str = words()
    description: str = words()
    finish: str = words()
    barcode: str = words()
    pieces: int = whole()
    packs: int = whole()
    unit: int = whole()
    expected: str | None = words(empty=True)


class PurchaseReceiptRow(Row, table=True):
    """Packs of a line that came with a delivery. Only ever added to: triggers refuse the rest."""

    __tablename__ = "purchase_receipt"
    __table_args__ = (
        rule("delivery", "length(delivery) > 0"),
        rule("packs", "packs > 0"),
        rule("who", "length(who) > 0"),
        KEYED,
    )
    order_number: int = whole(key=True, to="purchase_order.number")
    delivery: str = words(key=True)
    line: int = whole(key=True)
    packs: int = whole()
    branch: str = words()
    bin: str = words()
    at: str = words()
    who: str = words()
    note: str = words()
