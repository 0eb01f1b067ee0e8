"""Rows of a sheet that head a table: known headings, in one row or two, dashes between them."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from wholekit.intake.headings import key, meant, unit_word
from wholekit.intake.tables import Row

MOST_COLUMNS = 100
# Of a cell that is compared or shown.
SHOWN = 60
RULE = re.compile(r"[-–—_=*.~\s]+$")
# No heading of the data has one.
_FIGURE = re.compile(r"[0-9]")


@dataclass(frozen=True, slots=True)
class Header:
    """A row, by its place in the grid, that may head a table; with the row below or above it."""

    place: int
    rows: tuple[int, ...]
    headings: tuple[str, ...]
    score: tuple[int, int]

    def start(self, rows: Sequence[Row]) -> int:
        """The place of its first row: one above its own where that holds the groups."""
        return self.place - (rows[self.place][0] != self.rows[0])


def claimed(headings: Sequence[str]) -> dict[str, int]:
    """How many headings mean each of our columns first [count]."""
    found: dict[str, int] = {}
    for heading in headings:
        known = meant(heading)
        if known is not None and known.heading.columns:
            column = known.heading.columns[0]
            found[column] = found.get(column, 0) + 1
    return found


def is_complete(columns: Mapping[str, int]) -> bool:
    """Whether these of our columns make a schedule."""
    return "mark" in columns and ("size" in columns or {"width", "height"} <= columns.keys())


def find_headers(rows: Sequence[Row], choices: frozenset[str]) -> list[Header]:
    """The rows that head a table, in order; where none is complete, the one that comes nearest."""
    known: dict[str, bool] = {}
    complete: list[Header] = []
    again: set[tuple[str, ...]] = set()
    nearest: Header | None = None
    for place, (_, cells) in enumerate(rows):
        # Once there is a header, a row that begins with a figure is none.
        if complete and cells and cells[0][:1].isdigit():
            continue
        # The same header again parts nothing: the body skips it.
        if tuple(cells) in again:
            continue
        count = 0
        for cell in cells:
            if cell:
                hit = known.get(cell)
                if hit is None:
                    hit = _is_known(cell, choices)
                    if len(known) < 200_000:
                        known[cell] = hit
                count += hit
        if count < 2:
            continue
        head = _header(rows, place, choices)
        columns = claimed(head.headings)
        named = [key(heading) for heading in head.headings]
        if is_complete(columns) or (choices and choices & set(named) and len(columns) > 1):
            # A row that the one before has taken for its second is no header of its own.
            if not complete or rows[place][0] not in complete[-1].rows:
                complete.append(head)
                # The lower of two rows stands alone where the groups are not said again.
                again |= {tuple(cells) for row, cells in rows[max(0, place - 1) : place + 2]
                          if row in head.rows}  # fmt: skip
        elif 2 * count >= len(named) and (nearest is None or head.score > nearest.score):
            nearest = head
    return complete or ([nearest] if nearest is not None else [])


def _is_known(cell: str, choices: frozenset[str]) -> bool:
    if not choices and _FIGURE.search(cell):
        return False
    text = " ".join(cell.split())
    return meant(text) is not None or (bool(choices) and key(text[:SHOWN]) in choices)


def _header(rows: Sequence[Row], place: int, choices: frozenset[str]) -> Header:
    """The best header that a row gives: alone, below the groups of the row above, or above more."""
    row, cells = rows[place]
    raw = _texts(cells)
    texts = _without_dashes(raw)
    while texts and not texts[-1]:
        texts.pop()
    alone = Header(place, (row,), tuple(texts), _score(texts, choices))
    found = [alone]
    if place and rows[place - 1][0] == row - 1:
        above = _texts(rows[place - 1][1])
        both = _two(above, texts)
        if sum(map(bool, _without_dashes(above))) > 1 and not has_figures(above):
            found.append(Header(place, (row - 1, row), tuple(both), _score(both, choices)))
    if place + 1 < len(rows) and rows[place + 1][0] == row + 1:
        below = _without_dashes(_texts(rows[place + 1][1]))
        while below and not below[-1]:
            below.pop()
        if any(below) and not has_figures(below):
            both = _two(raw, below)
            found.append(Header(place, (row, row + 1), tuple(both), _score(both, choices)))
    # Of equals the single row: max takes the first.
    return max(found, key=lambda head: head.score)


def _texts(cells: Sequence[str]) -> list[str]:
    return [" ".join(cell.split()) for cell in cells[:MOST_COLUMNS]]


def _without_dashes(texts: Sequence[str]) -> list[str]:
    """The headings of a row; one of dashes alone says nothing."""
    return ["" if RULE.match(text) else text for text in texts]


def _two(above: Sequence[str], below: Sequence[str]) -> list[str]:
    """Two header rows as one: a group stands over all columns up to the next or a dash, where the
    two make a known heading; else the lower text, or the upper where there is no lower. It ends at
    a column of ours that is none of its own: nothing behind `Hand` is the frame's."""
    group = ""
    both: list[str] = []
    for place in range(max(len(above), len(below))):
        over = above[place] if place < len(above) else ""
        under = below[place] if place < len(below) else ""
        group = over or group
        if RULE.match(over):
            group = over = ""
        if unit_word(under):
            both.append(f"{over} ({unit_word(under)})" if over else under)
            continue
        joined = f"{group} {under}".strip()
        if under and group and meant(joined) is not None:
            both.append(joined)
        else:
            known = meant(under) if under and not over else None
            if known is not None and known.heading.columns:
                group = ""
            both.append(under or over)
    return both


def _score(headings: Sequence[str], choices: frozenset[str]) -> tuple[int, int]:
    """Different columns of ours [count], then how few of them are claimed twice."""
    columns = claimed(headings)
    named = sum(key(heading) in choices for heading in headings) if choices else 0
    units = sum(bool(known.unit) for known in map(meant, headings) if known)
    twice = sum(count - 1 for count in columns.values())
    return 2 * is_complete(columns) + len(columns) + named, units - twice


def has_figures(texts: Sequence[str]) -> bool:
    """Whether any of the texts has a digit."""
    return any(any(sign.isdigit() for sign in text) for text in texts)
