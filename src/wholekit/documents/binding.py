"""Runs of blocks, laid out side by side, joined where their pages agree.

The second run begins with a block of its own choice at the head of a page, where the flow laid
out at once might have had it elsewhere. The first run therefore goes on a little past that block:
as soon as one of its pages begins with the same block as one of the second run's, all that follows
is alike, and the runs are joined there. Where no two pages agree, its end is laid out once more and
further. Where none do even then, the first run ends before the second begins, and that one page
stays partly empty.
"""

from wholekit.documents.flow import Flow
from wholekit.documents.layout import LaidOut, weight
from wholekit.documents.merge import Bound, PageOf

OVERLAP = 16  # blocks the first run goes on past the second's first
FURTHER = 96  # as many at the second try


def split(flow: Flow) -> int:
    """The first block of the second run, so that both runs take about equally long to lay out.

    Time goes by the amount of text. 0 where the flow is too short for two runs.
    """
    count = len(flow.blocks)
    if count < 4 * OVERLAP:
        return 0
    weights = [weight(block.html) for block in flow.blocks]
    # The first run lays out the overlap too, so the middle lies that much earlier.
    target = sum(weights) * (count - overlap(flow)) // (2 * count)
    so_far, middle = 0, 0
    while middle < count and so_far < target:
        so_far += weights[middle]
        middle += 1
    return min(max(middle, 2 * OVERLAP), count - 2 * OVERLAP)


def overlap(flow: Flow) -> int:
    """How many blocks the first run goes on past the second's first; none where all end a page."""
    return 0 if flow.apart else OVERLAP


def bind(parts: list[LaidOut]) -> Bound:
    """All pages of one run."""
    pages: list[PageOf] = []
    marks: dict[int, int] = {}
    ends: dict[int, int] = {}
    for part in parts:
        marks.update({block: len(pages) + page for block, page in part.marks.items()})
        ends.update({block: len(pages) + page for block, page in part.ends.items()})
        pages += [PageOf(part.file, index) for index in range(len(part.begins))]
    return Bound(pages, marks, ends)


def join(first: list[LaidOut], second: list[LaidOut], middle: int) -> Bound | None:
    """Both runs' pages, joined at a block that begins a page in both; None if there is none.

    middle: the second run's first block.
    """
    before, after = bind(first), bind(second)
    heads = {block: page for page, block in enumerate(_begins(second)) if block is not None}
    for page, block in enumerate(_begins(first)):
        if block is not None and block >= middle and block in heads:
            head = heads[block]
            marks = _from(before.marks, after.marks, block, page - head)
            ends = _from(before.ends, after.ends, block, page - head)
            return Bound(before.pages[:page] + after.pages[head:], marks, ends)
    return None


def _from(before: dict[int, int], after: dict[int, int], block: int, moved: int) -> dict[int, int]:
    """The pages of the blocks before one, and from it on the other run's, so many pages moved."""
    return {
        **{number: page for number, page in before.items() if number < block},
        **{number: page + moved for number, page in after.items() if number >= block},
    }


def keep_before(parts: list[LaidOut], middle: int) -> tuple[list[LaidOut], int]:
    """The parts that end before block middle, and the block that comes after them."""
    kept = [part for part in parts if part.goes_on < middle]
    return kept, kept[-1].goes_on if kept else 0


def _begins(parts: list[LaidOut]) -> list[int | None]:
    return [block for part in parts for block in part.begins]
