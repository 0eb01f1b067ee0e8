"""Drawings of the swing, as SVG."""

from wholekit.documents.drawings.curve import CurvePoint, draw_curve
from wholekit.documents.drawings.plan import draw_plan

__all__ = ["CurvePoint", "draw_curve", "draw_plan"]
