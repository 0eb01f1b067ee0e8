"""A purchase order: what one supplier is asked to send, at what cost, to which branch."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from wholekit.domain.buying.buy_list import SupplierBuy
from wholekit.domain.catalog import Item
from wholekit.domain.quantities import MOST_SUM, Cost, Money


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One item of an order [packs]; unit: cost of one. expected: when it should be here; None =
    nobody states lead days. pieces: how many times the listed pieces are in one pack [count]."""

    sku: str
    description: str
    finish: str
    barcode: str
    pieces: int
    packs: int
    unit: Cost
    expected: date | None = None

    @property
    def amount(self) -> Money:
        """What the line comes to, rounded half up to the currency's minor unit once."""
        return self.unit.times(self.packs).as_money


@dataclass(frozen=True, slots=True)
class PurchaseOrder:
    """An order to one supplier, in one currency; at least one line.

    number: the house's own. branch: code of where it goes; ship_to: name and address. wanted_by:
    the earliest day somebody waits for any of it; None = no day was promised. buyer: who orders.
    note: one to the supplier.
    """

    number: str
    supplier: str
    currency: str
    issued: date
    branch: str
    lines: tuple[OrderLine, ...]
    ship_to: tuple[str, ...] = ()
    supplier_address: tuple[str, ...] = ()
    wanted_by: date | None = None
    buyer: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        if not self.lines:
            raise ValueError(f"order {self.number} has no line")
        for line in self.lines:
            if line.packs < 1 or line.unit.currency != self.currency:
                raise ValueError(f"order {self.number}: {line}")
        if self.total.minor > MOST_SUM:
            raise ValueError(f"order {self.number} comes to {self.total}")

    @property
    def total(self) -> Money:
        """The lines together: cost of the goods, without freight and taxes."""
        return sum((line.amount for line in self.lines), Money.zero(self.currency))


def purchase_order(
    buy: SupplierBuy, number: str, issued: date, branch: str, ship_to: Sequence[str], buyer: str
) -> PurchaseOrder:
    """The order of one supplier's part of a buy list, as it stands."""
    waited = (each.needed_by for line in buy.lines for each in line.shortages)
    return PurchaseOrder(
        number,
        buy.supplier,
        buy.currency,
        issued,
        branch,
        tuple(
            _line(line.item, line.order.packs, line.order.unit, line.arrives) for line in buy.lines
        ),
        tuple(ship_to),
        wanted_by=min((day for day in waited if day is not None), default=None),
        buyer=buyer,
    )


def _line(item: Item, packs: int, unit: Cost, arrives: date | None) -> OrderLine:
    return OrderLine(
        item.sku,
        item.description,
        item.finish or "",
        item.barcode,
        item.pack_size,
        packs,
        unit,
        arrives,
    )
