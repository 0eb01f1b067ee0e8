"""Which shelf labels are asked for: of a catalogue's items or bins, or of one item."""

from dataclasses import dataclass

from wholekit.domain.errors import CallError
from wholekit.services.ports import UnitOfWork

ITEMS, BINS = "items", "bins"


@dataclass(frozen=True, slots=True)
class ShelfLabelsAsked:
    """Labels of a catalogue. of: `items` or `bins`; sku: of this item alone; stock: the name of
    the sheets or rolls they are for."""

    catalog: str
    of: str
    stock: str
    sku: str = ""

    @property
    def reference(self) -> str:
        """What they are asked for by.

        >>> ShelfLabelsAsked("tarrowby", "items", "a6", "TG-B1").reference
        'tarrowby items a6 TG-B1'
        """
        return f"{self.catalog} {self.of} {self.stock} {self.sku}".rstrip()


def shelf_labels_asked(reference: str) -> ShelfLabelsAsked:
    """What a reference asks for. Raises CallError."""
    catalog, of, stock, sku = (*reference.split(" ", 3), "", "", "")[:4]
    if not catalog or of not in (ITEMS, BINS) or not stock:
        raise CallError("labels-malformed", given=reference)
    return ShelfLabelsAsked(catalog, of, stock, sku)


def edition_labelled(uow: UnitOfWork, asked: ShelfLabelsAsked) -> int:
    """The revision of the catalogue that labels are of now. Raises CallError."""
    books = {each.catalog_id: each.revision for each in uow.catalogs.current()}
    if asked.catalog not in books:
        raise CallError("catalog-not-loaded", id=asked.catalog, known=sorted(books) or "none")
    return books[asked.catalog]
