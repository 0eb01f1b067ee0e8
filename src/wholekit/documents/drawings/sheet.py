"""A drawing in true size, in millimetres of paper, with the dimension lines a fitter reads.

Geometry comes in metres, from the hinge center line toward the latch; a view says on which side
the hinges are. Points are mirrored, never the picture, so that no text is turned round.
"""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from wholekit.documents.drawings.canvas import XY, Box, Canvas
from wholekit.wording.speech import tr

INK = "#000000"
GREY = "#555555"
WHITE = "#ffffff"
LEAF = "#ececec"
FRAME = "#c9c9c9"
# Point size of all text, 7.4 pt, and strokes [mm].
TEXT = 2.62
TITLE = 3.0
HEAVY, MIDDLE, FINE = 0.45, 0.3, 0.16
TICK = 0.9
# From an upright dimension to its text, and further where a line leads to it [mm]; the most both.
OUT, LEADER = TICK / 2 + 1.1, 1.6
UPRIGHT = OUT + LEADER
# What a text covers over and under its line, over its size; and the least air to a line [mm].
ASCENT, DESCENT = 0.72, 0.2
AIR = 0.3
# From the middle of a text to its line [mm].
DROP = 0.9
SKETCH = "outlines are sketches; only figures hold"
# The usual width of a sign of the house font, over its size.
SIGN = 0.52
SCALES: tuple[int, ...] = (*range(4, 17), 18, 20, 24, 25, 30, 40, 50)


@dataclass(frozen=True, slots=True)
class View:
    """Metres to paper [mm]: scale 1 to so much, hinge line at `hinge` [mm], hinges right or left.

    base: where y = 0 lies [mm]; up: +1 where y grows up the paper, -1 where it grows down.
    """

    scale: int
    hinge: float
    base: float
    hinge_right: bool
    up: int = 1

    @property
    def toward_latch(self) -> int:
        """1 where the latch lies to the right on paper, else -1."""
        return -1 if self.hinge_right else 1

    def x(self, along: float) -> float:
        """A distance from the hinge line [m] on paper [mm]."""
        return self.hinge + self.toward_latch * along * 1000 / self.scale

    def y(self, across: float) -> float:
        """A distance from y = 0 [m] on paper [mm]."""
        return self.base - self.up * across * 1000 / self.scale

    def at(self, point: XY) -> XY:
        """A point [m] on paper [mm]."""
        return self.x(point[0]), self.y(point[1])

    def box(self, left: float, low: float, right: float, high: float) -> list[XY]:
        """The corners of an upright box [m] on paper [mm]."""
        return [
            self.at(corner) for corner in ((left, low), (right, low), (right, high), (left, high))
        ]


def scale_for(width: float, height: float, paper_width: float, paper_height: float) -> int:
    """The largest scale, 1 to so much, at which width and height [m] fit the paper [mm]."""
    return next(
        (
            scale
            for scale in SCALES
            if width * 1000 / scale <= paper_width and height * 1000 / scale <= paper_height
        ),
        SCALES[-1],
    )


def width_of(text: str, size: float = TEXT) -> float:
    """About how wide a text is on paper [mm]."""
    return len(text) * size * SIGN


def head_width(title: str, rest: str) -> float:
    """How wide a drawing's head is on paper [mm], as `Sheet.head` writes it."""
    return max(width_of(title, TITLE) + 2 + width_of(tr(SKETCH)), width_of(rest))


def fits(text: str, length: float) -> bool:
    """Whether a text fits over a dimension line so long [mm]."""
    # With some air at both ends [mm].
    return abs(length) >= width_of(text) + 1.2


class _Words(NamedTuple):
    """Words that wait until all lines are drawn: where they begin, what they stand on."""

    at: XY
    words: str
    anchor: str
    size: float
    bold: bool
    ground: str

    def box(self) -> Box:
        """Left, top, right and bottom of what they cover [mm]."""
        wide = width_of(self.words, self.size)
        left = self.at[0] - {"start": 0.0, "middle": wide / 2, "end": wide}[self.anchor]
        top, bottom = self.at[1] - self.size * ASCENT, self.at[1] + self.size * DESCENT
        return left, top, left + wide, bottom


class Sheet(Canvas):
    """A canvas in millimetres, with titles, notes and dimensions.

    Its words are drawn last, each on ground of its own, so that no line runs through them; a line
    out stops short of figures.
    """

    def __init__(self, width: float, height: float, title: str, description: str) -> None:
        super().__init__(width, height, title, description, unit="mm", paper=WHITE)
        self.width, self.height = width, height
        self._words: list[_Words] = []
        self._lines_out: list[tuple[float, float, float, int]] = []

    def say(
        self,
        at: XY,
        words: str,
        anchor: str = "start",
        size: float = TEXT,
        *,
        bold: bool = False,
        ground: str = WHITE,
    ) -> None:
        """Words at a point, over all lines. ground: the colour they stand on."""
        self._words.append(_Words(at, words, anchor, size, bold, ground))

    def svg(self) -> str:
        """The document, its words over all else."""
        self._stop_short()
        for said in self._words:
            left, top, right, bottom = said.box()
            self.area([(left, top), (right, top), (right, bottom), (left, bottom)], said.ground)
        for said in self._words:
            self.text(said.at, said.words, INK, said.anchor, said.size, said.bold)
        self._words.clear()
        return super().svg()

    def head(self, title: str, rest: str) -> None:
        """The drawing's name, its view and scale, at the top."""
        self.text((0, 3), title, INK, size=TITLE, bold=True)
        self.text((width_of(title, TITLE) + 2, 3), tr(SKETCH), INK, size=TEXT)
        self.text((0, 6.4), rest, INK, size=TEXT)

    def note(self, at: XY, words: str, anchor: str = "start", ground: str = WHITE) -> None:
        """A plain word beside what it names."""
        self.say(at, words, anchor, ground=ground)

    def across(
        self,
        start: float,
        stop: float,
        y: float,
        words: str,
        features: XY,
        beyond: str = "start",
        clear: Sequence[float] = (),
    ) -> None:
        """A level dimension between two places [mm], with lines out from the features' heights.

        The words stand over the line; where it is too short for them, beyond its `start` or `stop`.
        clear: lines out of others that run past, of which the words over the line keep clear [mm].
        """
        for x, feature in zip((start, stop), features, strict=True):
            past = 0.8 if y > feature else -0.8
            self._lines_out.append((x, feature + past, y + past, self.drawn))
        self.line([(start, y), (stop, y)], INK, FINE)
        for x in (start, stop):
            self.line([(x - TICK / 2, y + TICK / 2), (x + TICK / 2, y - TICK / 2)], INK, MIDDLE)
        if fits(words, stop - start):
            at = _free(start, stop, width_of(words), clear)
            self.say((at, y - 0.7), words, "middle", bold=True)
            return
        side = (1 if stop > start else -1) * (1 if beyond == "stop" else -1)
        at = (stop if beyond == "stop" else start) + side * 1.2
        self.say((at, y + 0.9), words, "start" if side > 0 else "end", bold=True)

    def is_free(self, box: Box) -> bool:
        """Whether words over that part would stand on no line, shape or other words."""
        return self.is_clear(box) and not any(map(_overlaps, itertools.repeat(box), self.strokes()))

    def is_clear(self, box: Box) -> bool:
        """Whether words over that part would stand on no other words and no dimension's lines out,
        whatever shape they name."""
        lines_out = [(x, min(ends), x, max(ends)) for x, *ends, _ in self._lines_out]
        taken = (*lines_out, *(said.box() for said in self._words))
        return not any(_overlaps(box, each) for each in taken)

    def _stop_short(self) -> None:
        """Draw the lines out where they were begun, in pieces that stop short of figures."""
        boxes = [said.box() for said in self._words if said.bold]
        pieces = 0
        for x, start, stop, begun in self._lines_out:
            low, high = sorted((start, stop))
            gaps = sorted(
                (top - AIR, bottom + AIR)
                for left, top, right, bottom in boxes
                if left - AIR < x < right + AIR and top - AIR < high and bottom + AIR > low
            )
            for top, bottom in (*gaps, (high, high)):
                if top - low > TICK:
                    with self.at(begun + pieces):
                        self.line([(x, low), (x, top)], GREY, FINE)
                    pieces += 1
                low = max(low, bottom)
        self._lines_out.clear()

    def upright(
        self,
        x: float,
        marks: list[float],
        words: list[str],
        features: Sequence[float],
        right: bool,
        edges: Sequence[float] = (),
    ) -> None:
        """A chain of upright dimensions at x [mm]: heights down the paper, a text between each two.

        features: where the line out of each mark begins [mm]; right: the texts stand to the right.
        edges: heights of the lines that run past the texts, which keep clear of them on the marks'
        side of the first.
        """
        side = 1 if right else -1
        for y, feature in zip(marks, features, strict=True):
            self.line([(feature + side * 0.8, y), (x + side * 0.8, y)], GREY, FINE)
            self.line([(x - TICK / 2, y + TICK / 2), (x + TICK / 2, y - TICK / 2)], INK, MIDDLE)
        self.line([(x, marks[0]), (x, marks[-1])], INK, FINE)
        middles = [(start + end) / 2 for start, end in itertools.pairwise(marks)]
        places = _clear(_apart(middles, TEXT * 1.12), edges, marks)
        for middle, y, text in zip(middles, places, words, strict=True):
            # Clear of the ticks, which of a short dimension stand beside its text.
            out = x + side * OUT
            if abs(middle - y) > 0.3:
                self.line([(x, middle), (out + side * 1.2, y)], GREY, FINE)
                out += side * LEADER
            self.say((out, y + DROP), text, "start" if right else "end", bold=True)


def _overlaps(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _free(start: float, stop: float, wide: float, clear: Sequence[float]) -> float:
    """The middle of words so wide over a line [mm], nearest to its own, that is clear of others;
    its own where none is."""
    middle, away = (start + stop) / 2, wide / 2 + 3 * AIR
    least, most = sorted((start, stop))
    tried = [middle, *(x + side * away for x in clear for side in (-1, 1))]
    return min(
        (
            at
            for at in tried
            if all(abs(at - x) >= away - 0.01 for x in clear)
            and least + wide / 2 + AIR <= at <= most - wide / 2 - AIR
        ),
        key=lambda at: abs(at - middle),
        default=middle,
    )


def _clear(places: list[float], edges: Sequence[float], marks: list[float]) -> list[float]:
    """The places of texts moved clear of edges: away from the one that the marks count from."""
    if not edges:
        return places
    # The first edge is that of the marks; they lie under it, or over it.
    down = sum(marks) / len(marks) > edges[0]
    over, under = TEXT * ASCENT - DROP + AIR, TEXT * DESCENT + DROP + AIR
    moved: list[float] = []
    for place in sorted(places, reverse=not down):
        if moved:
            gap = TEXT * 1.12
            place = max(place, moved[-1] + gap) if down else min(place, moved[-1] - gap)
        for edge in sorted(edges, reverse=not down):
            if -under < place - edge < over:
                place = edge + over if down else edge - under
        moved.append(place)
    return sorted(moved)


def _apart(places: list[float], least: float) -> list[float]:
    """The places moved apart so that each two keep the least distance, about their middle."""
    moved = list(places)
    for number in range(1, len(moved)):
        moved[number] = max(moved[number], moved[number - 1] + least)
    back = sum(new - old for new, old in zip(moved, places, strict=True)) / max(1, len(moved))
    return [spot - back for spot in moved]
