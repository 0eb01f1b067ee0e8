"""What suppliers make and sell: pieces with engineering data, and the items of a price book."""

from wholekit.domain.catalog.check import check_catalog
from wholekit.domain.catalog.model import (
    Body,
    Catalog,
    Item,
    Piece,
    Series,
    Supply,
    Template,
)
from wholekit.domain.catalog.words import Duty, FastenerKind, Role

__all__ = [
    "Body",
    "Catalog",
    "Duty",
    "FastenerKind",
    "Item",
    "Piece",
    "Role",
    "Series",
    "Supply",
    "Template",
    "check_catalog",
]
