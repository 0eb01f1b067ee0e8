"""What suppliers make and sell: pieces with engineering data, and the items of a price book."""

from wholekit.domain.catalog.check import check_catalog
from wholekit.domain.catalog.drilling import (
    Holes,
    body_holes,
    carries_body,
    plate_holes,
    rows_between,
)
from wholekit.domain.catalog.holes import (
    CORNERS,
    OLD_HOLES,
    HolesFit,
    bodies_by_holes,
    body_pattern,
    hides,
    holes_fit,
    plate_pattern,
    plates_for_holes,
)
from wholekit.domain.catalog.model import (
    Body,
    Catalog,
    Item,
    ItemKey,
    Piece,
    Series,
    Supply,
    Template,
    item_key,
)
from wholekit.domain.catalog.words import Duty, FastenerKind, HolesRow, Role

__all__ = [
    "CORNERS",
    "OLD_HOLES",
    "Body",
    "Catalog",
    "Duty",
    "FastenerKind",
    "Holes",
    "HolesFit",
    "HolesRow",
    "Item",
    "ItemKey",
    "Piece",
    "Role",
    "Series",
    "Supply",
    "Template",
    "bodies_by_holes",
    "body_holes",
    "body_pattern",
    "carries_body",
    "check_catalog",
    "hides",
    "holes_fit",
    "item_key",
    "plate_holes",
    "plate_pattern",
    "plates_for_holes",
    "rows_between",
]
