"""What the services ask of a store about catalogues and their price books."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Protocol

from wholekit.domain.catalog import Catalog, Item, ItemKey
from wholekit.domain.quantities import Cost
from wholekit.domain.quotes import CatalogRef
from wholekit.services.paging import Page
from wholekit.services.progress import Progress, untold


@dataclass(frozen=True, slots=True)
class CatalogRevision:
    """One stored revision of a supplier's catalogue; items [count]."""

    catalog_id: str
    revision: int
    supplier: str
    currency: str
    edition: date
    loaded_at: datetime
    loaded_by: str
    items: int


@dataclass(frozen=True, slots=True)
class ItemFilter:
    """Which items of a book. text: in SKU or description, case aside; sku: this one alone; pieces:
    those that supply one of them. Empty or None = any."""

    text: str = ""
    sku: str = ""
    pieces: frozenset[str] | None = None


@dataclass(frozen=True, slots=True)
class BookItem:
    """An item and how many its book says are on hand [packs]."""

    item: Item
    on_hand: int


class CatalogRepository(Protocol):
    """Catalogues by supplier and revision."""

    def current(self) -> Sequence[CatalogRevision]:
        """The latest revision of every catalogue, by catalogue id."""

    def revisions(self, catalog_id: str) -> Sequence[CatalogRevision]:
        """Every revision of a catalogue, first to last; empty if there is none."""

    def load(self, ref: CatalogRef, like: Catalog | None = None) -> Catalog:
        """The catalogue of a revision. Raises CallError (`catalog-revision-unknown`).

        like: a catalogue that has most of its items; those that are equal may be taken from it.
        """

    def without_book(self, ref: CatalogRef) -> Catalog:
        """The same without its items: what is made. Raises CallError."""

    def find_items(
        self, ref: CatalogRef, wanted: ItemFilter, page: Page
    ) -> tuple[Sequence[BookItem], int]:
        """Items in the order of the book, and how many there are in all. Raises CallError."""

    def put(
        self, catalog: Catalog, at: datetime, by: str, progress: Progress = untold
    ) -> CatalogRef:
        """A new revision of a catalogue; it is there, whole, with the unit of work."""

    def costs(self) -> Mapping[ItemKey, Cost]:
        """What a pack of each item costs by the latest revision of its catalogue; of several
        catalogues that have it, by the one loaded last."""
