"""Holes in true size over several sheets of paper, each with marks to put it to the next.

Millimetres throughout. Along: to the right on paper from the hinge centre line, or to the left of
it; down: from the edge that the vertical dimension counts from, negative above it. Nothing is drawn
that a template does not place: lines through the holes, pinion and pivot, and the two edges.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

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

# The most of a drawing on one sheet, of Letter and of A4 alike, and what two sheets share [mm].
WIDE, HIGH, OVERLAP = 168.0, 138.0, 12.0
# White about the drawing's part of a sheet, for crop marks and rules.
EDGE, CROP = 5.0, 4.0
# Paper past the outermost features.
PAST = 12.0
RULES = ((100.0, "100 mm", 10), (101.6, "4 in", 4))
BESIDE = 14.0
# Beside the longer rule, for a rule's own name.
RULE_NAME = 14.0
CROSS = 5.0
CHAIN = "6 1.2 1.2 1.2"
MARK = 1.6


@dataclass(frozen=True, slots=True)
class Trued:
    """What is drawn in true size. holes: centres, in the order they are numbered.

    ring: diameter about each hole. uprights: level lines' places along, each with its name, as that
    of the pinion; hinge, edge: names of the two lines that all is measured from. up: holes lie over
    the edge, as on a frame head.
    """

    holes: tuple[XY, ...]
    ring: float
    uprights: tuple[tuple[float, str], ...]
    hinge: str
    edge: str
    hinge_right: bool
    up: bool


@dataclass(frozen=True, slots=True)
class Window:
    """The part of the drawing that one sheet shows, by its corners on paper to be."""

    left: float
    top: float
    right: float
    bottom: float

    def holds(self, at: XY, about: float = 0.0) -> bool:
        """Whether a point lies within, with so much about it."""
        return (
            self.left + about <= at[0] <= self.right - about
            and self.top + about <= at[1] <= self.bottom - about
        )


def draw_tiles(trued: Trued, words: str) -> tuple[tuple[str, ...], int]:
    """The sheets' drawings as SVG, by rows from the top; and how many stand in a row.

    words: a sheet's name, with `{tile}` and `{tiles}`.
    """
    whole = _whole(trued)
    spans = [_split(whole.left, whole.right, WIDE), _split(whole.top, whole.bottom, HIGH)]
    windows = [
        Window(left, top, right, bottom) for top, bottom in spans[1] for left, right in spans[0]
    ]
    return tuple(
        _Tile(trued, window, whole, words.format(tile=number, tiles=len(windows))).svg()
        for number, window in enumerate(windows, 1)
    ), len(spans[0])


def _whole(trued: Trued) -> Window:
    """All that is drawn, mirrored where the hinges are at the right."""
    far = max(*(x for x, _ in trued.holes), *(x for x, _ in trued.uprights)) + PAST
    deep = max(y for _, y in trued.holes) + PAST
    top, bottom = (-deep, PAST) if trued.up else (-PAST, deep)
    left, right = (-far, PAST) if trued.hinge_right else (-PAST, far)
    return Window(left, top, right, bottom)


def _split(start: float, stop: float, most: float) -> list[XY]:
    """A span in equal parts no longer than most, each lapping over the next."""
    count = max(1, ceil((stop - start - OVERLAP) / (most - OVERLAP)))
    length = (stop - start + OVERLAP * (count - 1)) / count
    starts = [start + number * (length - OVERLAP) for number in range(count)]
    # The last ends at the very end: a hair less would be taken for one more lap.
    return [*((begin, begin + length) for begin in starts[:-1]), (starts[-1], stop)]


class _Tile:
    """One sheet's drawing: its part of the whole, and rules and crop marks about it."""

    def __init__(self, trued: Trued, window: Window, whole: Window, name: str) -> None:
        self._trued, self._window, self._whole = trued, window, whole
        width = window.right - window.left + 2 * EDGE
        height = window.bottom - window.top + 2 * EDGE + BESIDE
        width = max(width, EDGE + RULES[1][0] + RULE_NAME + width_of(name, TEXT * 1.3) + 1)
        self._canvas = Canvas(width, height, name, name, unit="mm", paper=WHITE)
        self._name = name

    def svg(self) -> str:
        window = self._window
        self._lines()
        for number, (x, y) in enumerate(self._trued.holes, 1):
            at = (-x if self._trued.hinge_right else x, -y if self._trued.up else y)
            if window.holds(at, self._trued.ring / 2):
                self._hole(at, number)
        self._joints()
        self._crops()
        self._rules()
        return self._canvas.svg()

    def _at(self, x: float, y: float) -> XY:
        return x - self._window.left + EDGE, y - self._window.top + EDGE

    def _lines(self) -> None:
        trued, window = self._trued, self._window
        if window.top <= 0.0 <= window.bottom:
            ends = [self._at(window.left, 0.0), self._at(window.right, 0.0)]
            self._canvas.line(ends, INK, HEAVY)
            x, y = self._at(self._clear(width_of(trued.edge)), 0.0)
            over = 2.8 if trued.up else -0.9
            self._canvas.text((x, y + over), trued.edge, INK, size=TEXT)
        self._upright(0.0, trued.hinge, CHAIN, MIDDLE)
        for along, name in trued.uprights:
            self._upright(-along if trued.hinge_right else along, name, "2 1.2", FINE)

    def _clear(self, wide: float) -> float:
        """Where on the edge its name runs through no line."""
        window = self._window
        side = -1 if self._trued.hinge_right else 1
        lines = [0.0, *(side * along for along, _ in self._trued.uprights)]
        place = window.left + OVERLAP + 2
        while place + wide < window.right and any(place - 1 < x < place + wide + 1 for x in lines):
            place += 4.0
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
        window, whole = self._window, self._whole
        for x in self._laps(window.left, window.right, whole.left, whole.right):
            for y in (window.top + 6.0, window.bottom - 6.0):
                self._diamond(x, y)
        for y in self._laps(window.top, window.bottom, whole.top, whole.bottom):
            for x in (window.left + 20.0, window.right - 20.0):
                self._diamond(x, y)
        if window.right < whole.right:
            x = window.right - OVERLAP
            self._cut([self._at(x, window.top), self._at(x, window.bottom)])
        if window.bottom < whole.bottom:
            y = window.bottom - OVERLAP
            self._cut([self._at(window.left, y), self._at(window.right, y)])

    @staticmethod
    def _laps(start: float, stop: float, first: float, last: float) -> Iterator[float]:
        """The middles of the laps at either end of a span."""
        if start > first:
            yield start + OVERLAP / 2
        if stop < last:
            yield stop - OVERLAP / 2

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

    def _rules(self) -> None:
        """Two rules to be held against a rule of steel before anything is drilled."""
        top = self._window.bottom - self._window.top + 2 * EDGE
        for number, (length, name, parts) in enumerate(RULES):
            y = top + 3.0 + number * 7.0
            self._canvas.line([(EDGE, y), (EDGE + length, y)], INK, MIDDLE)
            for part in range(parts + 1):
                x = EDGE + length * part / parts
                tall = 2.6 if part in (0, parts) else 1.4
                self._canvas.line([(x, y), (x, y + tall)], INK, FINE)
            self._canvas.text((EDGE + length + 2, y + 2.2), name, INK, size=TEXT, bold=True)
        x = EDGE + RULES[1][0] + RULE_NAME
        self._canvas.text((x, top + 9.2), self._name, INK, size=TEXT * 1.3, bold=True)
