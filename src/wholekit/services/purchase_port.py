"""What the services ask of the purchase orders that were placed."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

from wholekit.domain.buying import GoodsExpected, GoodsReceipt, Purchase, PurchaseState
from wholekit.domain.catalog import ItemKey
from wholekit.services.paging import Page


@dataclass(frozen=True, slots=True)
class PurchaseFilter:
    """Which orders: empty = any."""

    states: frozenset[PurchaseState] = frozenset()
    supplier: str = ""
    branch: str = ""


class PurchaseRepository(Protocol):
    """Purchase orders by number, and the receipts of each, which are only ever added to."""

    def add(self, purchase: Purchase) -> None:
        """A new order, of which nothing has come."""

    def get(self, number: int) -> Purchase | None:
        """The order, or None."""

    def for_change(self, number: int) -> Purchase | None:
        """The order, held until the unit of work ends; None where there is none."""

    def save(self, purchase: Purchase, expected: int) -> None:
        """Its state anew: lines never change, and what came is told by receipts. `version` is
        expected + 1. Raises ConflictError."""

    def page(self, wanted: PurchaseFilter, page: Page) -> tuple[Sequence[Purchase], int]:
        """Orders, the latest first, and how many there are in all."""

    def receive(self, number: int, receipts: Sequence[GoodsReceipt]) -> None:
        """What came. Raises ConflictError (`delivery-taken`) where a line of the same delivery is
        there already, and has then written nothing of it."""

    def receipts(self, number: int, deliveries: Collection[str] = ()) -> Sequence[GoodsReceipt]:
        """All that came of an order, by time, delivery and line. deliveries: of these alone, by
        their keys; none: of any."""

    def last_scans(self, numbers: Collection[int]) -> Mapping[int, datetime]:
        """When something of these orders was last scanned in; those of which nothing was are not in
        it. One that was taken back is as one that never was."""

    def coming(
        self, states: Collection[PurchaseState], items: Collection[ItemKey] | None, branch: str
    ) -> Sequence[GoodsExpected]:
        """What orders in these states still have to bring, by day (none last) and order. items:
        None = of every item; branch: empty = to any."""
