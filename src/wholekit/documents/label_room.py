"""How large what stands on a bag's label is written, so that all of it has room.

By the font's own widths, for labels large and middle: of ways to write it, from ample to tight, the
first that has room is taken. The smallest label has a way of its own, see `label_flows`.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil
from typing import NamedTuple

from wholekit.documents.kit_label import BagContent
from wholekit.documents.label_stock import LabelForm, LabelStock
from wholekit.documents.lettering import HEAVY, POINT, breadth, lines_of
from wholekit.wording.speech import tr

# Lines of a label are so high, of its mark and its contents [of their size].
LINE, MARK_LINE, CONTENT_LINE = 1.2, 1.02, 1.15
# Around the bar of alerts, the facts, a description [mm]; rules of the bar [points].
ALERT_MARGIN, FACTS_MARGIN, SAID_INDENT, ALERT_RULE, ALERT_PADDING = 0.4, 1.0, 1.4, 1.0, 1.0
ROW_PADDING, COLUMN_GAP, JOB_MARGIN = 0.2, 1.0, 1.0
HANGING = 1.1  # [of its size]
BOX = 0.95  # what stands before an item: a box and its rules [of its size]
SPARE = 1.2  # left free for what the widths do not know: kerning, and a line's rounding [mm]
BAR_LETTERS = 0.4  # between the letters of HOLD and WAITS [of their size]
NEAR = "\u00a0"
# Pieces so short are not parted over two lines [characters].
SHORT_PIECE = 24


class Sizes(NamedTuple):
    """What a way to write a label is made of [points]; said 0: no descriptions. columns: of items.
    step: by how many classes its mark gives way."""

    body: float
    bag: float
    alert: float
    items: float
    said: float
    job: float
    columns: int = 1
    step: int = 0


# Of a label's bar, its word and what follows it; of its marks by class, and under a bar [points].
BARS = {LabelForm.LARGE: (36.0, 13.0), LabelForm.MIDDLE: (13.0, 9.0)}
MARKS: dict[LabelForm, tuple[float, ...]] = {
    LabelForm.LARGE: (80, 54, 40, 28, 26, 18, 12, 8),
    LabelForm.MIDDLE: (36, 32, 21, 19, 15, 11, 8, 4),
}
BARRED_MARKS: dict[LabelForm, tuple[float, ...]] = {
    LabelForm.LARGE: MARKS[LabelForm.LARGE],
    LabelForm.MIDDLE: (21, 21, 21, 14, 11, 8.5, 5, 4),
}
# The column of a bag's code, and the lines under it: how wide [mm], how high [points].
CODES = {LabelForm.LARGE: (27.0, 8 * 1.1 + 10 * 1.1 * 2), LabelForm.MIDDLE: (20.0, 7.2 * 2)}


def _large() -> Iterator[Sizes]:
    for items, said in ((18.0, 9), (14.0, 9), (13.0, 8), (11.0, 8)):
        yield Sizes(10, 18, 12, items, said, 10)
    for step in range(3):
        for items in (18.0, 14.0, 12.0, 11.0):
            yield Sizes(10, 18, 12, items, 0, 10, step=step)
        for items in (14.0, 12.5, 11.0):
            yield Sizes(10, 18, 12, items, 0, 10, 2, step)
        yield Sizes(10, 14, 11, 11, 0, 9, 2, step)
        yield Sizes(9, 13, 10, 10, 0, 8, 2, step)


def _middle() -> Iterator[Sizes]:
    for step in range(3):
        for items in (10.0, 8.5):
            yield Sizes(8.5, 10.5, 8.5, items, 0, 7, 2, step)
        for items in (7.5, 6.2):
            yield Sizes(7.5, 9, 7.5, items, 0, 6.2, 2, step)
    yield Sizes(6.5, 8, 6.5, 6.2, 0, 5.5, 2, 2)


WAYS = {LabelForm.LARGE: tuple(_large()), LabelForm.MIDDLE: tuple(_middle())}


@dataclass(frozen=True, slots=True)
class LabelText:
    """What a label says, in the order it stands: its mark and that one's class (from 1), the word
    of its bar and what follows, the bag, alerts, facts, why it is held, contents and its foot."""

    mark: str
    mark_class: int
    bar: tuple[str, str]
    bag: str
    counted: str
    alerts: str
    facts: str
    why: str
    contents: Sequence[BagContent]
    foot: Sequence[str]
    code: float = 0.0  # how high the drawing of its bag's id is [mm]; 0 for none
    held: bool = False


class LabelFit(NamedTuple):
    """How a label is written. mark: its size [points]; foot: the parts of its foot that have room;
    shown: how many of its items have."""

    sizes: Sizes
    mark: float
    foot: tuple[str, ...]
    shown: int


def fitted(words: LabelText, stock: LabelStock, sheet: float) -> LabelFit:
    """The first way in which all that the label says has room. sheet: how wide the paper in use is
    [mm].

    Where none has, the tightest: without customer, then without job, then with fewer items, of
    which the label says how many there are more. Mark, bar, alerts, card and number always stay.
    """
    ways, width = WAYS[stock.form], stock.width(sheet)
    most = min(len(words.contents), stock.lines)
    for sizes in ways:
        if _height(words, stock, sizes, width, most) <= stock.height - SPARE:
            return LabelFit(sizes, _mark_of(words, stock, sizes), tuple(words.foot), most)
    sizes = ways[-1]
    feet = [words.foot[: len(words.foot) - cut] for cut in range(len(words.foot))]
    for foot in feet:
        if _height(replace(words, foot=foot), stock, sizes, width, most) <= stock.height - SPARE:
            return LabelFit(sizes, _mark_of(words, stock, sizes), tuple(foot), most)
    shorter = replace(words, foot=feet[-1])
    shown = next(
        (
            count
            for count in range(most, 0, -1)
            if _height(shorter, stock, sizes, width, count) <= stock.height - SPARE
        ),
        0,
    )
    return LabelFit(sizes, _mark_of(words, stock, sizes), tuple(shorter.foot), shown)


def _mark_of(words: LabelText, stock: LabelStock, sizes: Sizes) -> float:
    marks = (BARRED_MARKS if words.bar[0] else MARKS)[stock.form]
    return marks[min(words.mark_class - 1 + sizes.step, len(marks) - 1)]


def _height(words: LabelText, stock: LabelStock, sizes: Sizes, width: float, shown: int) -> float:
    """How high the label is, written that way [mm]."""
    mark = _mark_of(words, stock, sizes)
    beside = width - (CODES[stock.form][0] if words.code else 0)
    across = beside if stock.form is LabelForm.MIDDLE else width
    lines = lines_of(words.mark, across, mark, HEAVY)
    # A mark of several words may break earlier than it must.
    lines += lines > 1 and " " in words.mark
    marked = lines * mark * MARK_LINE * POINT
    left = _line(sizes.bag) * ceil(_bag_breadth(words, sizes) / beside)
    if words.alerts:
        inside = beside - 2 * (ALERT_PADDING + ALERT_RULE * POINT)
        left += lines_of(words.alerts, inside, sizes.alert, HEAVY) * _line(sizes.alert)
        left += 2 * (ALERT_MARGIN + ALERT_RULE * POINT)
    for text in (words.facts, words.why):
        if text:
            left += lines_of(text, beside, sizes.body, HEAVY) * _line(sizes.body)
    left += 2 * FACTS_MARGIN if stock.form is LabelForm.LARGE else 0
    if stock.form is LabelForm.MIDDLE:
        left, marked = left + marked, 0.0
    code = words.code + CODES[stock.form][1] * POINT if words.code else 0.0
    total = _bar(words, stock, width) + marked + max(left, code)
    total += _contents(words, sizes, width, shown)
    if shown < len(words.contents):
        total += _line(sizes.job)
    foot = f"{NEAR}· ".join(words.foot)
    return total + JOB_MARGIN + lines_of(foot, width, sizes.job, HEAVY) * _line(sizes.job)


def _line(points: float) -> float:
    return points * LINE * POINT


def _bag_breadth(words: LabelText, sizes: Sizes) -> float:
    return breadth(words.bag, sizes.bag, HEAVY) + breadth(f" · {words.counted}", sizes.body)


def _bar(words: LabelText, stock: LabelStock, width: float) -> float:
    """How high the bar of a label is that may not ship [mm]."""
    word, more = words.bar
    if not word:
        return 0.0
    large, small = BARS[stock.form]
    first = breadth(word, large, HEAVY) + len(word) * BAR_LETTERS * large * POINT
    second = breadth(f" {more}", small)
    return _line(large) + (_line(small) if first + second > width else 0.0) + 0.6


def _contents(words: LabelText, sizes: Sizes, width: float, shown: int) -> float:
    """How high the items are [mm], in rows of as many columns."""
    column = width / sizes.columns - COLUMN_GAP
    heights = []
    for content in words.contents[:shown]:
        said = item_text(content, held=words.held)
        lines = lines_of(said, column, sizes.items, HEAVY)
        if lines > 1:
            # What goes over stands in from the box.
            lines = lines_of(said, column - HANGING * sizes.items * POINT, sizes.items, HEAVY)
        high = lines * sizes.items * CONTENT_LINE * POINT
        if sizes.said and content.description:
            room = column - SAID_INDENT * sizes.said * POINT
            high += (
                lines_of(content.description, room, sizes.said) * sizes.said * CONTENT_LINE * POINT
            )
        heights.append(high + ROW_PADDING)
    rows = [heights[at : at + sizes.columns] for at in range(0, len(heights), sizes.columns)]
    return sum(map(max, rows))


def item_text(content: BagContent, *, held: bool) -> str:
    """About what an item's line says, for its breadth; no code is broken at a hyphen."""
    count = content.quantity if held else content.here
    short = f" {tr('SHORT')}{NEAR}{content.short}" if content.short and not held else ""
    return f"\u25a1{NEAR}{count}{NEAR}×{NEAR}{unbroken(content.sku)}{short}"


def unbroken(text: str) -> str:
    """A text as it is written where it is not to part at a hyphen or a space."""
    return text.replace("-", "\u2011").replace(" ", NEAR)


def bound(text: str) -> str:
    """A short piece in one line: its spaces bind.

    >>> bound("Class 1") == "Class\\N{NO-BREAK SPACE}1"
    True
    """
    return text.replace(" ", NEAR) if len(text) <= SHORT_PIECE else text
