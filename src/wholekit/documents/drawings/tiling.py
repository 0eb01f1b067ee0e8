"""How a drawing in true size is parted among sheets of paper, so that few sheets hold it.

Millimetres throughout. A sheet of paper is turned unless that takes more of them; what two sheets
share lies where no hole and no line does, as far as paper allows.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil
from typing import TypeAlias

from wholekit.documents.drawings.canvas import XY
from wholekit.domain.house_style import PageSize

# The shorter and the longer side of a sheet of paper (ANSI/ASME Y14.1, size A; ISO 216).
PAPER = {PageSize.LETTER: (215.9, 279.4), PageSize.A4: (210.0, 297.0)}
# What two sheets share.
OVERLAP = 12.0
# White about the drawing's part of a sheet, for crop marks.
EDGE = 5.0
# Paper past the outermost features.
PAST = 6.5
# Of a part without holes, where that makes room for texts: the name of the hinge line has room.
LOW = 50.0
# What the page keeps of its width for margins, and of its height for margins, head and tables; on a
# sheet that is not turned, which has no room beside the tables, for the texts under them too.
ASIDE, ABOVE_AND_BELOW, TEXTS_BELOW = 17.0, 59.0, 14.0


Place: TypeAlias = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Trued:
    """What is drawn in true size. holes: centers, in the order they are numbered.

    Along: from the hinge center line; down: from the edge that the vertical dimension counts from.
    ring: diameter about each hole. uprights: level lines' places along, each with its name, as that
    of the pinion; far: the other edge of rail or head, down, with its name, none where it is not
    known; hinge, edge: names of the two lines that all is measured from. up: holes lie over
    the edge, as on a frame head.
    """

    holes: tuple[XY, ...]
    ring: float
    uprights: tuple[tuple[float, str], ...]
    hinge: str
    edge: str
    hinge_right: bool
    up: bool
    far: tuple[tuple[float, str], ...] = ()

    @property
    def centers(self) -> list[XY]:
        """The holes as they lie on paper, from the hinge line and the edge."""
        return [(-x if self.hinge_right else x, -y if self.up else y) for x, y in self.holes]

    @property
    def lines(self) -> list[tuple[float, str]]:
        """Where pinion and pivot lie on paper, from the hinge line."""
        return [(-x if self.hinge_right else x, name) for x, name in self.uprights]

    @property
    def far_edges(self) -> list[tuple[float, str]]:
        """Where the other edge of rail or head lies on paper, from the edge."""
        return [(-y if self.up else y, name) for y, name in self.far]

    @property
    def whole(self) -> "Window":
        """All that is drawn."""
        xs = [0.0, *(x for x, _ in self.centers), *(x for x, _ in self.lines)]
        ys = [0.0, *(y for _, y in self.centers), *(y for y, _ in self.far_edges)]
        return Window(min(xs) - PAST, min(ys) - PAST, max(xs) + PAST, max(ys) + PAST)


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


@dataclass(frozen=True, slots=True)
class Tiling:
    """The drawing's parts by their row and column from the top left.

    turned: the paper's longer side lies level. pages: the parts that go on each sheet of paper, one
    under the other. lead: the one sheet of paper, from 0, that has room for all texts; None where
    each has.
    """

    turned: bool
    windows: dict[Place, Window]
    pages: tuple[tuple[Place, ...], ...]
    lead: int | None = None


def tiling_of(
    trued: Trued,
    page_size: PageSize,
    texts: tuple[float, float],
    brief: tuple[float, float] | None = None,
) -> Tiling:
    """The fewest sheets of paper that hold the drawing, no part of it without anything to see.

    texts: height beyond the usual that texts take of a turned sheet, and of an upright one [mm];
    brief: what they take of a sheet that refers to another, where that takes fewer.
    """
    tried = [
        _tiling(trued, page_size, taken, turned=turned)
        for turned, taken in zip((True, False), texts, strict=True)
    ]
    if brief is not None:
        sides = zip((True, False), texts, brief, strict=True)
        led = (_led(trued, page_size, all_, few, turned=turned) for turned, all_, few in sides)
        tried += [tiling for tiling in led if tiling is not None]
    return min(tried, key=lambda tiling: len(tiling.pages))


def _led(
    trued: Trued, page_size: PageSize, texts: float, brief: float, *, turned: bool
) -> Tiling | None:
    """As `_tiling`, with all texts on one sheet of paper alone; None where none has the room.

    In one row of parts those without holes are no higher than they need be.
    """
    tiling = _tiling(trued, page_size, brief, turned=turned)
    windows = tiling.windows
    if not any(row for row, _ in windows):
        windows = {place: _low(trued, window) for place, window in windows.items()}
    room = _room_of(page_size, brief, turned=turned)
    pages = _pages(windows, room)
    spare = [room - sum(map(_high, (windows[place] for place in page))) for page in pages]
    lead = max(range(len(pages)), key=spare.__getitem__)
    if spare[lead] < texts - brief:
        return None
    return replace(tiling, windows=windows, pages=pages, lead=lead)


def _low(trued: Trued, window: Window) -> Window:
    """A part from the edge to its farthest hole, or as far as a name needs."""
    away = [abs(y) + PAST for x, y in trued.centers if window.left <= x <= window.right]
    reach = max((LOW, *away))
    if trued.up:
        return replace(window, top=max(window.top, -reach))
    return replace(window, bottom=min(window.bottom, reach))


def _high(window: Window) -> float:
    return window.bottom - window.top + 2 * EDGE


def _room_of(page_size: PageSize, taken: float, *, turned: bool) -> float:
    """The height that a sheet of paper has for the drawing [mm]."""
    high = PAPER[page_size][0 if turned else 1]
    return high - ABOVE_AND_BELOW - taken - (0.0 if turned else TEXTS_BELOW)


def _tiling(trued: Trued, page_size: PageSize, taken: float, *, turned: bool) -> Tiling:
    wide = PAPER[page_size][1 if turned else 0]
    whole = trued.whole
    xs = [x for x, _ in trued.centers]
    ys = [y for _, y in trued.centers]
    across = _split(
        (whole.left, whole.right),
        wide - ASIDE - 2 * EDGE,
        [0.0, *xs, *(x for x, _ in trued.lines)],
    )
    room = _room_of(page_size, taken, turned=turned)
    far = [y for y, _ in trued.far_edges]
    down = _split((whole.top, whole.bottom), room - 2 * EDGE, [0.0, *ys, *far])
    windows = {
        (row, column): Window(left, top, right, bottom)
        for row, (top, bottom) in enumerate(down)
        for column, (left, right) in enumerate(across)
    }
    windows = {place: windows[place] for place in _needed(trued, windows)}
    return Tiling(turned, windows, _pages(windows, room))


def _pages(windows: dict[Place, Window], room: float) -> tuple[tuple[Place, ...], ...]:
    """Parts in their order on sheets of paper, as many on each as its height holds."""
    pages: list[list[Place]] = []
    left = 0.0
    for place, window in windows.items():
        high = _high(window)
        if high > left:
            pages.append([])
            left = room
        pages[-1].append(place)
        left -= high
    return tuple(tuple(page) for page in pages)


def _needed(trued: Trued, windows: dict[Place, Window]) -> list[Place]:
    """Places of the parts with a hole or the edge, and of those between them."""
    kept: list[Place] = []
    hanging: set[int] = set()
    # From the row farthest from the edge.
    for place in sorted(windows, reverse=not trued.up):
        window = windows[place]
        hole = any(window.holds(at, trued.ring / 2) for at in trued.centers)
        if hole or place[1] in hanging or window.top <= 0.0 <= window.bottom:
            kept.append(place)
            hanging.add(place[1])
    return sorted(kept)


def _split(span: XY, most: float, clear_of: Sequence[float]) -> list[XY]:
    """A span in as few parts as may be, none longer than most, each lapping over the next."""
    start, stop = span
    count = max(1, ceil((stop - start - OVERLAP) / (most - OVERLAP) - 1e-9))
    parts = []
    for left in range(count - 1, 0, -1):
        # The next part begins where this one still reaches, and the rest still has room.
        first = max(start, stop - left * (most - OVERLAP) - OVERLAP)
        last = start + most - OVERLAP
        begin = max(_steps(first, last), key=lambda at: _room(at, clear_of, (first + last) / 2))
        parts.append((start, begin + OVERLAP))
        start = begin
    return [*parts, (start, stop)]


def _steps(first: float, last: float) -> Iterator[float]:
    count = max(1, int(last - first))
    for number in range(count + 1):
        yield first + (last - first) * number / count


def _room(begin: float, clear_of: Sequence[float], middle: float) -> tuple[float, float]:
    """How clear of holes and lines the lap is, up to what eyes need; then how near the middle."""
    center = begin + OVERLAP / 2
    clear = min(abs(center - at) for at in clear_of)
    return min(clear, OVERLAP + 4.0), -abs(begin - middle)
