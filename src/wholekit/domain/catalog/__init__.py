"""What suppliers make and sell: pieces with engineering data, and the items of a price book."""

from wholekit.domain.catalog.check import check_catalog
from wholekit.domain.catalog.drilling import (
    Holes,
    body_holes,
    carries_body,
    plate_holes,
    rows_between,
)
from wholekit.domain.catalog.model import (
    Body,
    Catalog,
    Item,
    Piece,
    Series,
    Supply,
    Template,
)
from wholekit.domain.catalog.words import Duty, FastenerKind, HolesRow, Role

__all__ = [
    "Body",
    "Catalog",
    "Duty",
    "FastenerKind",
    "Holes",
    "HolesRow",
    "Item",
    "Piece",
    "Role",
    "Series",
    "Supply",
    "Template",
    "body_holes",
    "carries_body",
    "check_catalog",
    "plate_holes",
    "rows_between",
]
