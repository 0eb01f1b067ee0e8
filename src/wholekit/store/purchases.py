"""Purchase orders in tables: written once, with receipts that are added to them."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime
from typing import Any

from sqlalchemy import ColumnElement, Connection, Select, case, cast, func, select

from wholekit.domain.buying import (
    SCANNED,
    UNDONE,
    GoodsExpected,
    GoodsReceipt,
    OrderLine,
    Purchase,
    PurchaseOrder,
    PurchaseState,
    purchase_label,
)
from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import ConflictError
from wholekit.domain.quantities import Cost
from wholekit.services.paging import Page
from wholekit.services.purchase_port import PurchaseFilter
from wholekit.store import rows
from wholekit.store.columns import WHOLE
from wholekit.store.plain_text import from_text, to_text
from wholekit.store.stock_rows import found_in
from wholekit.store.tables import METADATA

ORDER = METADATA.tables["purchase_order"]
LINE = METADATA.tables["purchase_line"]
RECEIPT = METADATA.tables["purchase_receipt"]
_LATER = RECEIPT.alias("later")
_TAKES_BACK = RECEIPT.c.delivery.startswith(UNDONE)
_COUNTS = case((_TAKES_BACK, -RECEIPT.c.packs), else_=RECEIPT.c.packs)
_CAME = (
    # A sum of BIGINT is a NUMERIC on PostgreSQL.
    select(
        RECEIPT.c.order_number,
        RECEIPT.c.line,
        cast(func.sum(_COUNTS), WHOLE).label("packs"),
    )
    .group_by(RECEIPT.c.order_number, RECEIPT.c.line)
    .subquery("came")
)
_LINES = select(LINE, func.coalesce(_CAME.c.packs, 0).label("came")).select_from(
    LINE.outerjoin(
        _CAME, (_CAME.c.order_number == LINE.c.order_number) & (_CAME.c.line == LINE.c.line)
    )
)


class SqlPurchases:
    """The purchase orders of one unit of work."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def add(self, purchase: Purchase) -> None:
        """A new order, of which nothing has come."""
        self._connection.execute(ORDER.insert().values(_order_values(purchase)))
        lines = [_line_values(purchase.number, at, line)
                 for at, line in enumerate(purchase.order.lines)]  # fmt: skip
        self._connection.execute(LINE.insert(), lines)

    def get(self, number: int) -> Purchase | None:
        """The order, or None."""
        return next(self._read(select(ORDER).where(ORDER.c.number == number)), None)

    def for_change(self, number: int) -> Purchase | None:
        """The order, held: by its row on PostgreSQL; SQLite lets one unit of work write at a
        time."""
        wanted = select(ORDER).where(ORDER.c.number == number).with_for_update()
        return next(self._read(wanted), None)

    def save(self, purchase: Purchase, expected: int) -> None:
        """Its state anew. Raises ConflictError."""
        values = {
            "number": purchase.number,
            "state": purchase.state.value,
            "sent_at": None if purchase.sent_at is None else purchase.sent_at.isoformat(),
            "sent_by": purchase.sent_by,
            "version": purchase.version,
        }
        rows.save(self._connection, ORDER, ORDER.c.number, values, expected, "purchase")

    def page(self, wanted: PurchaseFilter, page: Page) -> tuple[Sequence[Purchase], int]:
        """Orders, the latest first, and how many there are in all."""
        rules = list(_rules(wanted))
        count = self._connection.execute(
            select(func.count()).select_from(ORDER).where(*rules)
        ).scalar_one()
        found = select(ORDER).where(*rules).order_by(ORDER.c.number.desc())
        return tuple(self._read(found.limit(page.limit).offset(page.offset))), count

    def receive(self, number: int, receipts: Sequence[GoodsReceipt]) -> None:
        """What came. Raises ConflictError."""
        for each in receipts:
            values = {
                "order_number": number,
                "delivery": each.delivery,
                "line": each.line,
                "packs": each.packs,
                "branch": each.branch,
                "bin": each.bin,
                "at": each.at.isoformat(),
                "who": each.who,
                "note": each.note,
            }
            if not rows.add_unless_taken(self._connection, RECEIPT, values):
                raise ConflictError("delivery-taken", order=purchase_label(number), note=each.note)

    def receipts(self, number: int, deliveries: Collection[str] = ()) -> Sequence[GoodsReceipt]:
        """All that came of an order, by time, delivery and line; of these deliveries alone."""
        wanted = select(RECEIPT).where(RECEIPT.c.order_number == number)
        if deliveries:
            wanted = wanted.where(RECEIPT.c.delivery.in_(sorted(deliveries)))
        found = self._connection.execute(wanted)
        receipts = [
            GoodsReceipt(row.delivery, row.line, row.packs, row.branch, row.bin,
                         datetime.fromisoformat(row.at), row.who, row.note)
            for row in found
        ]  # fmt: skip
        return sorted(receipts, key=lambda each: (each.at, each.delivery, each.line))

    def last_scans(self, numbers: Collection[int]) -> Mapping[int, datetime]:
        """When something of these orders was last scanned in, and not taken back."""
        if not numbers:
            return {}
        wanted = RECEIPT.c.order_number.in_(sorted(numbers)) & RECEIPT.c.delivery.startswith(
            SCANNED
        )
        gone = _LATER.c.delivery == UNDONE + func.substr(RECEIPT.c.delivery, len(SCANNED) + 1)
        undone = select(1).where((_LATER.c.order_number == RECEIPT.c.order_number) & gone)
        found = (
            select(RECEIPT.c.order_number, func.max(RECEIPT.c.at).label("at"))
            .where(wanted & ~undone.exists())
            .group_by(RECEIPT.c.order_number)
        )
        rows_found = self._connection.execute(found)
        return {row.order_number: datetime.fromisoformat(row.at) for row in rows_found}

    def coming(
        self, states: Collection[PurchaseState], items: Collection[ItemKey] | None, branch: str
    ) -> Sequence[GoodsExpected]:
        """What orders in these states still have to bring, by day (none last) and order."""
        found = _LINES.join(ORDER, ORDER.c.number == LINE.c.order_number).add_columns(
            ORDER.c.supplier, ORDER.c.branch
        )
        found = found.where(ORDER.c.state.in_(sorted(states)))
        if branch:
            found = found.where(ORDER.c.branch == branch)
        wanted = None if items is None else set(items)
        asked: Iterable[Any] = (
            self._connection.execute(found)
            if wanted is None
            else found_in(self._connection, found, LINE.c.sku, sorted({sku for _, sku in wanted}))
        )
        coming = [
            GoodsExpected(
                (row.supplier, row.sku),
                row.packs - row.came,
                _day(row.expected),
                purchase_label(row.order_number),
                row.branch,
            )
            for row in asked
            if row.packs > row.came and (wanted is None or (row.supplier, row.sku) in wanted)
        ]
        return sorted(coming, key=lambda each: (each.day or date.max, each.order, each.item))

    def _read(self, wanted: Select[Any]) -> Iterator[Purchase]:
        """Orders by their rows, with their lines in one question."""
        heads = self._connection.execute(wanted).all()
        lines: dict[int, list[Any]] = {}
        numbers = [row.number for row in heads]
        for row in found_in(self._connection, _LINES, LINE.c.order_number, numbers):
            lines.setdefault(row.order_number, []).append(row)
        for head in heads:
            yield _purchase(head, sorted(lines.get(head.number, ()), key=lambda row: row.line))


def _rules(wanted: PurchaseFilter) -> Iterator[ColumnElement[bool]]:
    if wanted.states:
        yield ORDER.c.state.in_(sorted(wanted.states))
    if wanted.supplier:
        yield ORDER.c.supplier == wanted.supplier
    if wanted.branch:
        yield ORDER.c.branch == wanted.branch


def _order_values(purchase: Purchase) -> Mapping[str, object]:
    order = purchase.order
    return {
        "number": purchase.number,
        "supplier": order.supplier,
        "supplier_address": to_text(order.supplier_address),
        "currency": order.currency,
        "branch": order.branch,
        "ship_to": to_text(order.ship_to),
        "issued": order.issued.isoformat(),
        "wanted_by": None if order.wanted_by is None else order.wanted_by.isoformat(),
        "buyer": order.buyer,
        "note": order.note,
        "state": purchase.state.value,
        "placed_at": purchase.placed_at.isoformat(),
        "placed_by": purchase.placed_by,
        "sent_at": None if purchase.sent_at is None else purchase.sent_at.isoformat(),
        "sent_by": purchase.sent_by,
        "version": purchase.version,
    }


def _line_values(number: int, at: int, line: OrderLine) -> Mapping[str, object]:
    return {
        "order_number": number,
        "line": at,
        "sku": line.sku,
        "description": line.description,
        "finish": line.finish,
        "barcode": line.barcode,
        "pieces": line.pieces,
        "packs": line.packs,
        "unit": line.unit.units,
        "expected": None if line.expected is None else line.expected.isoformat(),
    }


def _purchase(head: Any, lines: Sequence[Any]) -> Purchase:  # noqa: ANN401  # rows
    order = PurchaseOrder(
        purchase_label(head.number),
        head.supplier,
        head.currency,
        date.fromisoformat(head.issued),
        head.branch,
        tuple(
            OrderLine(row.sku, row.description, row.finish, row.barcode, row.pieces, row.packs,
                      Cost(row.unit, head.currency), _day(row.expected))
            for row in lines
        ),
        from_text(tuple[str, ...], head.ship_to),
        from_text(tuple[str, ...], head.supplier_address),
        _day(head.wanted_by),
        head.buyer,
        head.note,
    )  # fmt: skip
    return Purchase(
        head.number,
        order,
        tuple(row.came for row in lines),
        PurchaseState(head.state),
        datetime.fromisoformat(head.placed_at),
        head.placed_by,
        None if head.sent_at is None else datetime.fromisoformat(head.sent_at),
        head.sent_by,
        head.version,
    )


def _day(text: str | None) -> date | None:
    return None if text is None else date.fromisoformat(text)
