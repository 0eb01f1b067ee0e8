"""A purchase order that was placed, and how it stands: what came of it and what is still open."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from wholekit.domain.buying.order import PurchaseOrder
from wholekit.domain.catalog import ItemKey
from wholekit.domain.catalog.gtin import as_gtin_14, is_gtin

SERIES = "purchase-order"
_LETTER = "P-"
# What the keys of deliveries begin with: a list under its note's number or without one, a scan,
# and a scan taken back.
NOTED, LISTED, SCANNED, UNDONE = "note:", "id:", "scan:", "undo:"


class PurchaseState(StrEnum):
    """How far an order has come."""

    DRAFT = "draft"  # made, and the supplier does not have it
    SENT = "sent"
    PART = "part"  # something has come
    CLOSED = "closed"  # all has come, or nobody expects the rest
    CANCELLED = "cancelled"


# The supplier has it, and something is still to come.
UNDER_WAY = frozenset({PurchaseState.SENT, PurchaseState.PART})
OPEN = UNDER_WAY | {PurchaseState.DRAFT}


@dataclass(frozen=True, slots=True)
class Purchase:
    """An order with what has come of each of its lines [packs].

    number: the running one, which the order bears as its label. sent_by: empty until it was sent.
    """

    number: int
    order: PurchaseOrder
    received: tuple[int, ...]
    state: PurchaseState
    placed_at: datetime
    placed_by: str
    sent_at: datetime | None = None
    sent_by: str = ""
    version: int = 1

    def __post_init__(self) -> None:
        """Raises ValueError for a count of lines that is not the order's."""
        if len(self.received) != len(self.order.lines) or min(self.received) < 0:
            raise ValueError(self.order.number)

    @property
    def label(self) -> str:
        """The number as it is written."""
        return self.order.number

    @property
    def open_packs(self) -> tuple[int, ...]:
        """What is still to come of each line [packs]: nothing once it is closed or cancelled."""
        if self.state not in OPEN:
            return (0,) * len(self.received)
        return tuple(
            max(0, line.packs - came)
            for line, came in zip(self.order.lines, self.received, strict=True)
        )

    def line_of(self, code: str) -> int | None:
        """The line whose SKU, whatever its case, or GTIN a code is; None where it is of none."""
        wanted = code.strip()
        for same in (wanted, wanted.upper()):
            for at, line in enumerate(self.order.lines):
                if line.sku == same:
                    return at
        if is_gtin(wanted):
            for at, line in enumerate(self.order.lines):
                if is_gtin(line.barcode) and as_gtin_14(line.barcode) == as_gtin_14(wanted):
                    return at
        return None

    def item(self, at: int) -> ItemKey:
        """The item of a line."""
        return self.order.supplier, self.order.lines[at].sku


@dataclass(frozen=True, slots=True)
class GoodsReceipt:
    """Packs of one line that came with one delivery; `line` counts from 0.

    delivery: its key, of no other of the order; note: the number of the supplier's delivery note.
    A scan is a delivery of its own, and one that takes a scan back has a key that says so.
    """

    delivery: str
    line: int
    packs: int
    branch: str
    bin: str
    at: datetime
    who: str
    note: str = ""

    @property
    def counts(self) -> int:
        """Packs more that have come by it; below zero where it takes a scan back."""
        return -self.packs if self.delivery.startswith(UNDONE) else self.packs


@dataclass(frozen=True, slots=True)
class GoodsExpected:
    """Packs of an item that an open order still has to bring, and when; None = no day is known."""

    item: ItemKey
    packs: int
    day: date | None
    order: str
    branch: str


def purchase_label(number: int) -> str:
    """A number as it is written.

    >>> purchase_label(7)
    'P-00007'
    """
    return f"{_LETTER}{number:05}"


def purchase_number(text: str) -> int | None:
    """The number of a label or of bare digits; None where it is neither.

    >>> purchase_number(" p-00007"), purchase_number("7"), purchase_number("J-7")
    (7, 7, None)
    """
    digits = text.strip().upper().removeprefix(_LETTER)
    # Longer numbers no store has, and one of twenty digits would fail in the driver.
    fits = digits.isdecimal() and digits.isascii() and len(digits) < 10
    return int(digits) if fits else None
