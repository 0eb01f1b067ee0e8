"""Holes in true size over several sheets of paper, each with marks to put it to the next.

Millimetres throughout. Nothing is drawn that a template does not place: lines through the holes,
pinion and pivot, and the two edges.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TypeAlias

from wholekit.documents.drawings.canvas import XY, Canvas
from wholekit.documents.drawings.sheet import (
    FINE,
    GREY,
    HEAVY,
    INK,
    MIDDLE,
    TEXT,
    WHITE,
    width_of,
)
from wholekit.documents.drawings.tiling import EDGE, OVERLAP, Place, Trued, Window, tiling_of
from wholekit.domain.house_style import PageSize
from wholekit.wording.speech import figure, tr

CROP = 4.0
RULES = ((100.0, "100 mm", 10), (101.6, "4 in", 4))
CROSS = 5.0
CHAIN = "6 1.2 1.2 1.2"
MARK = 1.6
NAME = TEXT * 1.6
# On which side of a sheet another may lie, by the step of row and column to it.
NEIGHBOURS = ((0, -1), (0, 1), (-1, 0), (1, 0))
JOINS = {
    (0, -1): "Left edge of {name}: lay it over {other}.",
    (0, 1): "Right edge of {name}: {other} lies over it.",
    (-1, 0): "Upper edge of {name}: lay it over {other}.",
    (1, 0): "Lower edge of {name}: {other} lies over it.",
}


# The parts that a part lies beside, by the step to them: their names, and what they show.
Beside: TypeAlias = dict[Place, tuple[str, Window]]


@dataclass(frozen=True, slots=True)
class Tile:
    """One part of a drawing: its name, how it joins others, and itself as SVG in true size."""

    name: str
    joins: tuple[str, ...]
    drawing: str


@dataclass(frozen=True, slots=True)
class Tiles:
    """A drawing's sheets of paper with their parts from the top; turned: longer side level.

    lead: the sheet, from 0, that alone has room for all texts; None where each has.
    """

    turned: bool
    pages: tuple[tuple[Tile, ...], ...]
    lead: int | None = None


def draw_tiles(
    trued: Trued,
    page_size: PageSize,
    letter: str,
    texts: tuple[float, float] = (0.0, 0.0),
    brief: tuple[float, float] | None = None,
) -> Tiles:
    """The drawing on as few sheets of paper as may be.

    letter: what the parts' names begin with: A-1, A-2 … texts, brief: as of `tiling_of`.
    """
    tiling = tiling_of(trued, page_size, texts, brief)
    names = {place: f"{letter}-{number}" for number, place in enumerate(tiling.windows, 1)}
    tiles = {}
    for place, window in tiling.windows.items():
        beside = {
            step: (names[at], tiling.windows[at])
            for step in NEIGHBOURS
            if (at := (place[0] + step[0], place[1] + step[1])) in names
        }
        name = names[place]
        joins = tuple(
            tr(JOINS[step]).format(name=name, other=other) for step, (other, _) in beside.items()
        )
        tiles[place] = Tile(name, joins, _Tile(trued, window, beside, name).svg())
    pages = (tuple(tiles[place] for place in page) for page in tiling.pages)
    return Tiles(tiling.turned, tuple(pages), tiling.lead)


def draw_rules() -> str:
    """Two rules as SVG, to be held against a rule of steel before anything is drilled."""
    said = ", ".join(figure(name) for _, name, _ in RULES)
    canvas = Canvas(EDGE + RULES[1][0] + 1, 17, said, said, "mm", WHITE)
    for number, (length, name, parts) in enumerate(RULES):
        y = 4.0 + number * 8.0
        canvas.line([(1, y), (1 + length, y)], INK, MIDDLE)
        for part in range(parts + 1):
            x = 1 + length * part / parts
            tall = 2.6 if part in (0, parts) else 1.4
            canvas.line([(x, y), (x, y + tall)], INK, FINE)
        canvas.text((2.4, y - 0.9), figure(name), INK, size=TEXT, bold=True)
    return canvas.svg()


class _Tile:
    """One sheet's drawing: its part of the whole, and crop marks about it."""

    def __init__(self, trued: Trued, window: Window, beside: Beside, name: str) -> None:
        self._trued, self._window, self._beside, self._name = trued, window, beside, name
        width = window.right - window.left + 2 * EDGE
        height = window.bottom - window.top + 2 * EDGE
        self._canvas = Canvas(width, height, name, name, unit="mm", paper=WHITE)

    def svg(self) -> str:
        self._lines()
        for number, at in enumerate(self._trued.centers, 1):
            if self._window.holds(at, self._trued.ring / 2):
                self._hole(at, number)
        self._joints()
        self._crops()
        return self._canvas.svg()

    def _at(self, x: float, y: float) -> XY:
        return x - self._window.left + EDGE, y - self._window.top + EDGE

    def _lines(self) -> None:
        trued, window = self._trued, self._window
        if window.top <= 0.0 <= window.bottom:
            ends = [self._at(window.left, 0.0), self._at(window.right, 0.0)]
            self._canvas.line(ends, INK, HEAVY)
            uprights = [0.0, *(x for x, _ in trued.lines)]
            x, y = self._at(self._free(width_of(trued.edge), uprights), 0.0)
            over = 2.8 if trued.up else -0.9
            self._canvas.text((x, y + over), trued.edge, INK, size=TEXT)
        every = [0.0, *(x for x, _ in trued.lines), *(x for x, _ in trued.centers)]
        for y, name in trued.far_edges:
            if window.top <= y <= window.bottom:
                self._canvas.line(
                    [self._at(window.left, y), self._at(window.right, y)], INK, MIDDLE
                )
                x, level = self._at(self._free(width_of(name), every, CROSS + 1), y)
                self._canvas.text((x, level + (2.8 if trued.up else -0.9)), name, INK, size=TEXT)
        self._upright(0.0, trued.hinge, CHAIN, MIDDLE)
        for x, name in trued.lines:
            self._upright(x, name, "2 1.2", FINE)
        # The sheet's name stands within the crop marks, so that it is not cut away.
        wide = width_of(self._name, NAME)
        x = self._free(wide, every, 5.5)
        level = window.top + 4.6 if trued.up else window.bottom - 1.6
        self._canvas.text(self._at(x, level), self._name, INK, size=NAME, bold=True)

    def _free(self, wide: float, lines: Iterable[float], about: float = 1.0) -> float:
        """Where on the sheet a text so wide runs through no line."""
        window, lines = self._window, list(lines)
        first = place = window.left + (OVERLAP if (0, -1) in self._beside else 0.0) + 2
        while any(place - about < x < place + wide + about for x in lines):
            place += 2.0
            if place + wide > window.right - OVERLAP:
                return first
        return place

    def _upright(self, x: float, name: str, dashes: str, width: float) -> None:
        """A line down the sheet, its name along it where no hole is."""
        window = self._window
        if not window.left <= x <= window.right:
            return
        ends = [self._at(x, window.top), self._at(x, window.bottom)]
        self._canvas.line(ends, INK, width, dashes)
        # Beside the line, on the side where the sheet has room for it.
        aside = 3.0 if window.right - x > 4.0 else -1.0
        middle = (ends[0][1] + ends[1][1]) / 2
        self._canvas.text((ends[0][0] + aside, middle), name, INK, "middle", TEXT, turned=True)

    def _hole(self, at: XY, number: int) -> None:
        x, y = self._at(*at)
        self._canvas.dot((x, y), self._trued.ring / 2, WHITE, INK, MIDDLE)
        self._canvas.line([(x - CROSS, y), (x + CROSS, y)], INK, FINE)
        self._canvas.line([(x, y - CROSS), (x, y + CROSS)], INK, FINE)
        self._canvas.text((x + 2.2, y - 2.6), str(number), INK, size=TEXT * 1.3, bold=True)

    def _joints(self) -> None:
        """Diamonds in the laps, at the same places on both sheets, and where the next begins."""
        window = self._window
        wide = window.right - window.left
        for step, x in (((0, -1), window.left), ((0, 1), window.right - OVERLAP)):
            if step in self._beside:
                for y in self._lapped(step):
                    self._diamond(x + OVERLAP / 2, y)
        for step, y in (((-1, 0), window.top), ((1, 0), window.bottom - OVERLAP)):
            if step in self._beside:
                for x in (window.left + wide * 0.3, window.right - wide * 0.3):
                    self._diamond(x, y + OVERLAP / 2)
        if (0, 1) in self._beside:
            after, _ = self._beside[0, 1]
            x = window.right - OVERLAP
            self._cut([self._at(x, window.top), self._at(x, window.bottom)])
            at = self._at(x + OVERLAP / 2 + 1, sum(self._lapped((0, 1))) / 2)
            self._canvas.text(at, after, INK, "middle", NAME, bold=True, turned=True)
        if (1, 0) in self._beside:
            after, _ = self._beside[1, 0]
            y = window.bottom - OVERLAP
            self._cut([self._at(window.left, y), self._at(window.right, y)])
            at = self._at((window.left + window.right) / 2, y + OVERLAP / 2 + 1.5)
            self._canvas.text(at, after, INK, "middle", NAME, bold=True)

    def _lapped(self, step: Place) -> tuple[float, float]:
        """Where the diamonds lie that a part shares with the one beside it: as high as both are."""
        _, other = self._beside[step]
        top = max(self._window.top, other.top)
        bottom = min(self._window.bottom, other.bottom)
        return top + (bottom - top) * 0.3, bottom - (bottom - top) * 0.3

    def _cut(self, ends: list[XY]) -> None:
        self._canvas.line(ends, GREY, FINE, "0.8 0.8")

    def _diamond(self, x: float, y: float) -> None:
        x, y = self._at(x, y)
        corners = [(x - MARK, y), (x, y - MARK), (x + MARK, y), (x, y + MARK)]
        self._canvas.area(corners, INK, INK, "", FINE)

    def _crops(self) -> None:
        window = self._window
        for x, out in ((window.left, -1), (window.right, 1)):
            for y, away in ((window.top, -1), (window.bottom, 1)):
                corner = self._at(x, y)
                for step in ((out * CROP, 0.0), (0.0, away * CROP)):
                    end = (corner[0] + step[0], corner[1] + step[1])
                    self._canvas.line([corner, end], INK, FINE)
