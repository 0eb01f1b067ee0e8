"""What a purchase order holds. It shows cost: for the owner and the one supplier."""

from dataclasses import dataclass
from datetime import date

from wholekit.documents.papers import PaperHead
from wholekit.domain.buying import OrderLine
from wholekit.domain.quantities import Money


@dataclass(frozen=True, slots=True)
class PurchaseOrderPaper:
    """An order to one supplier. The head's customer is that supplier, its job where goods go.

    total: the lines together, without freight and taxes [Money]. wanted_by: the earliest day that
    somebody waits for; None = none was promised. note: the house's own to the supplier.
    """

    head: PaperHead
    ship_to: tuple[str, ...]
    lines: tuple[OrderLine, ...]
    packs: int
    total: Money
    wanted_by: date | None
    note: str
