"""What an opening demands, the cover that supplies it, and what must be told about it."""

from wholekit.domain.kits.build import build_kit
from wholekit.domain.kits.drilling import Drilling, body_drilling, foot_on_plate
from wholekit.domain.kits.edges import hole_edge, host_field, rows_of
from wholekit.domain.kits.kit import Kit, KitLine, KitOption, Missing, Need, Unused, Use
from wholekit.domain.kits.offers import with_offers
from wholekit.domain.kits.shelf import OnHand, Policy, Shelf, book_counts

__all__ = [
    "Drilling",
    "Kit",
    "KitLine",
    "KitOption",
    "Missing",
    "Need",
    "OnHand",
    "Policy",
    "Shelf",
    "Unused",
    "Use",
    "body_drilling",
    "book_counts",
    "build_kit",
    "foot_on_plate",
    "hole_edge",
    "host_field",
    "rows_of",
    "with_offers",
]
