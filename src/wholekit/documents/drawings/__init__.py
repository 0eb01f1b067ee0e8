"""Drawings of the swing, as SVG."""

from wholekit.documents.drawings.card_plan import draw_card_plan
from wholekit.documents.drawings.curve import CurvePoint, draw_curve
from wholekit.documents.drawings.elevation import draw_elevation
from wholekit.documents.drawings.placing import Dimensions, DrawnLeaf, Placing
from wholekit.documents.drawings.plan import draw_plan
from wholekit.documents.drawings.tiles import Tile, Tiles, draw_rules, draw_tiles
from wholekit.documents.drawings.tiling import Trued

__all__ = [
    "CurvePoint",
    "Dimensions",
    "DrawnLeaf",
    "Placing",
    "Tile",
    "Tiles",
    "Trued",
    "draw_card_plan",
    "draw_curve",
    "draw_elevation",
    "draw_plan",
    "draw_rules",
    "draw_tiles",
]
