"""What the store keeps of suppliers' price sheets and of rises that were told of."""

from collections.abc import Sequence
from typing import Protocol

from wholekit.domain.catalog.price_sheet import KeptPriceSheet
from wholekit.domain.catalog.rises import PlannedRise


class PriceSheetRepository(Protocol):
    """What was told of suppliers' price sheets, by the catalogue's id."""

    def get(self, catalog: str) -> KeptPriceSheet | None:
        """What was told, or None."""

    def add(self, kept: KeptPriceSheet) -> None:
        """The first that is told of a supplier's. Raises ConflictError (`price-sheet-taken`)."""

    def save(self, kept: KeptPriceSheet, expected: int) -> None:
        """It anew. Raises ConflictError."""


class PlannedRiseRepository(Protocol):
    """Rises that suppliers have told of and that are not loaded yet."""

    def all(self) -> Sequence[PlannedRise]:
        """Every one by day, catalogue and id."""

    def add(self, planned: PlannedRise) -> None:
        """A new one."""

    def remove(self, rise_id: str) -> bool:
        """Take one out; whether it was there."""
