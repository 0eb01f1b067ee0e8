"""What a drilling sheet holds: holes in true size on sheets of paper, put together by marks.

All texts are worded. No money.
"""

from dataclasses import dataclass

from wholekit.documents.papers import PaperHead
from wholekit.documents.setting_card import Position, Said


@dataclass(frozen=True, slots=True)
class DrilledHole:
    """A hole by the number it has on the drawing, its centre from the two lines drawn."""

    number: int
    along: str
    down: str


@dataclass(frozen=True, slots=True)
class DrillingSheet:
    """The holes of one drilling and one hand.

    seen: the side of the leaf it is laid on, and where its hinges are. edge: what the holes'
    heights count from. measures: what else is drawn. screws: with the marks they are for; ring:
    what the circles about the holes show. tiles: SVG documents in true size, by rows from the top,
    each from the left; across: of them in a row [count]. notes: to be said loudly.
    """

    title: str
    places: str
    quantity: int
    template: str
    seen: str
    edge: str
    holes: tuple[DrilledHole, ...]
    measures: tuple[Position, ...]
    screws: tuple[Said, ...]
    ring: str
    tiles: tuple[str, ...]
    across: int
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Undrawn:
    """Openings without a sheet, and why."""

    places: str
    because: str


@dataclass(frozen=True, slots=True)
class DrillingPaper:
    """A sheet for each drilling and hand that the catalogue gives. For the fitter; no money."""

    head: PaperHead
    sheets: tuple[DrillingSheet, ...]
    undrawn: tuple[Undrawn, ...] = ()
