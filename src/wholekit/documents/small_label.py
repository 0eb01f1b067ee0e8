"""What the smallest label says, so that all of it has room, by the font's own widths.

Bar, mark, bag, what is to be looked at, its card, hand and finish always stand; the mark gives way
to them. Mount, size and room come as far as there is room, and what is in the bag after them: by
its codes, else how many, and where they stand.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import NamedTuple

from wholekit.documents.lettering import HEAVY, POINT, breadth, lines_of

# Sizes of the mark by its class, and under a bar [points].
MARKS = (30.0, 25.0, 17.0, 11.0, 10.0, 7.0, 5.0, 2.5)
BARRED_MARKS = (20.0, 20.0, 13.0, 9.0, 7.5, 5.0, 3.5, 2.5)
FROM_AFAR = 17.0  # [points]
# Of the bag's line, what follows it there, alerts and facts, and under the code [points].
BAG, COUNTED, PRINT, UNDER = 7.0, 6.0, 5.0, 4.5
BAR_HIGH = 12 * POINT + 0.4  # [mm]
LINE, MARK_LINE = 1.2, 1.02  # of their size
CODE = 14.5  # how wide the code's column is [mm]
ALERT_MARGIN, ALERT_RULES = 2.0, 1.0 * POINT  # of each line, and above and below all [mm]
SPARE = 0.5  # [mm]
JOINED = " · "


class Fact(NamedTuple):
    """What may be said of the opening: the ways to say it, the whole one first; of the least rank
    is let in first. must: the shortest way always is."""

    ways: tuple[str, ...]
    rank: int
    must: bool = False


@dataclass(frozen=True, slots=True)
class SmallText:
    """What a label has to say. mark_class: from 1; bag: its line, of which number stands on every
    one and counted where the items are not named; alerts in one; facts as they stand in turn.

    items: by their codes, empty where they are not to be named; counted_apart: how many, and where
    they stand. code: how high the drawing of its bag's id is [mm]; 0 for none.
    """

    mark: str
    mark_class: int
    barred: bool
    bag: str
    counted: str
    number: str
    alerts: str
    facts: Sequence[Fact]
    items: str
    counted_apart: str
    code: float = 0.0


class SmallFit(NamedTuple):
    """How it is written. mark: its size [points]; facts, brief: as they stand; empty for none."""

    mark: float
    facts: str
    brief: str


def small_fitted(words: SmallText, width: float, high: float) -> SmallFit:
    """The first way that has room on a label so wide and high [mm]; the tightest where none has."""

    def fits(size: float, facts: dict[int, str], brief: str = "") -> bool:
        return _height(words, width, size, _joined(facts), brief) <= high - SPARE

    marks = (BARRED_MARKS if words.barred else MARKS)[words.mark_class - 1 :]
    kept = {at: fact.ways[-1] for at, fact in enumerate(words.facts) if fact.must}
    size = next((size for size in marks if fits(size, kept)), marks[-1])
    for at, fact in sorted(enumerate(words.facts), key=lambda each: each[1].rank):
        for way in fact.ways:
            if fits(size, kept | {at: way}):
                kept[at] = way
                break
    facts = _joined(kept)
    # So that its items are named a large mark gives way, as far as it is read from afar.
    for smaller in (size, *(mark for mark in marks if FROM_AFAR <= mark < size)):
        if words.items and fits(smaller, kept, words.items):
            return SmallFit(smaller, facts, words.items)
    brief = words.counted_apart
    return SmallFit(size, facts, brief if brief and fits(size, kept, brief) else "")


def _joined(facts: dict[int, str]) -> str:
    return JOINED.join(facts[at] for at in sorted(facts))


def _height(words: SmallText, width: float, mark: float, facts: str, brief: str) -> float:
    """How high the label is, written that way [mm]."""
    beside = width - (CODE if words.code else 0)
    lines = lines_of(words.mark, beside, mark, HEAVY)
    # A mark of several words may break earlier than it must.
    lines += lines > 1 and " " in words.mark
    left = lines * mark * MARK_LINE * POINT
    counted = [] if brief else [words.counted]
    beyond = breadth(
        "".join(f"{JOINED}{part}" for part in (*counted, words.number) if part), COUNTED
    )
    left += ceil((breadth(words.bag, BAG, HEAVY) + beyond) / beside) * BAG * LINE * POINT
    small = PRINT * LINE * POINT
    if words.alerts:
        left += lines_of(words.alerts, beside - ALERT_MARGIN, PRINT, HEAVY) * small + ALERT_RULES
    left += lines_of(facts, beside, PRINT) * small if facts else 0.0
    code = words.code + 2 * UNDER * LINE * POINT if words.code else 0.0
    # No line breaks within a code.
    under = lines_of(brief.replace("-", "\u2011"), width, PRINT) * small if brief else 0.0
    return (BAR_HIGH if words.barred else 0.0) + max(left, code) + under
