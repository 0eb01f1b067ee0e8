"""Which column of a sheet is which of ours: by somebody's choice, its heading, or what it holds."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from wholekit.domain.openings.sheet import ASIDE, AskedOfSheet, ReadColumn, SheetChoices
from wholekit.intake.dialect import translate
from wholekit.intake.headings import key, meant, near, near_columns
from wholekit.intake.kinds import SIZES
from wholekit.intake.schedule import KIND_COLUMNS
from wholekit.intake.tables import Row

# Columns told by what they hold where no heading claims them: what nothing else is written like.
TOLD_BY_CELLS = ("size", "hand", "location", "fire_minutes")
ENOUGH = 0.8
# A letter or two among the names of rooms may be a room.
SHORTEST_PLAIN = 3
_LOOKED_AT = 300
# So many kinds of cell that cannot be read are slips of the pen in any column; of more than these,
# where they are also most of its cells, the column is probably another.
FEW_UNREAD = 3
_LABEL = re.compile(r"\d\s*-?\s*(?:min|h(?:r|our)s?\b|mn\b)", re.IGNORECASE)
# Two of these are no contest: their texts are put together.
_JOINED = frozenset({"note", "room"})
# Any text is a value of these, so that their cells bear no heading out.
_ANY_TEXT = frozenset({"mark", "room", ASIDE})
# A word for outside among those for a room.
OUTSIDE = re.compile(
    r"(?:^|[\s,(/-])(?:ext|exterior|outside|ext[ée]rieure?|main entr(?:y|ance)|roof|loading dock|"
    r"patio|courtyard|entr[ée]e principale|entrada principal|techo)(?:[\s.,)/-]|$)",
    re.IGNORECASE,
)
_MAY_BE_UNKNOWN = frozenset(KIND_COLUMNS) - set(SIZES)
_RANK = {"chosen": 0, "heading": 1, "near": 2, "cells": 3}
Reads = Callable[[str, str, str], bool]


@dataclass(frozen=True, slots=True)
class SheetColumns:
    """The columns of the sheet, places (from 0) of each of ours, and what is asked.

    Several places under one of ours: notes to be joined, or two claims that are asked about.
    """

    read: tuple[ReadColumn, ...]
    places: Mapping[str, tuple[int, ...]]
    asked: tuple[AskedOfSheet, ...]

    @property
    def lacking(self) -> list[str]:
        """The required columns that there are none of: `mark`, `size`, or one side."""
        missing = [] if "mark" in self.places else ["mark"]
        if "size" not in self.places:
            sides = [side for side in ("width", "height") if side not in self.places]
            missing += sides if len(sides) == 1 else ["size"] * bool(sides)
        return missing


def tell_columns(
    headings: Sequence[str],
    units: Sequence[str],
    rows: Sequence[Row],
    choices: SheetChoices,
    reads: Reads,
) -> SheetColumns:
    """What each column is. reads: (our column, cell, unit) whether the cell is a value of it."""
    chosen = {key(heading): column for heading, column in choices.columns.items()}
    found: list[tuple[ReadColumn, tuple[str, ...]]] = []
    for place, heading in enumerate(headings):
        unit = units[place] if place < len(units) else ""
        cells = _Cells(rows, place)
        found.append(_told(place, heading, unit, chosen, cells, reads))
    columns = [column for column, _ in found]
    columns = _by_cells(columns, rows, reads)
    settled = _settled(columns, [others for _, others in found], rows)
    mixed = [
        question
        for column in settled.read
        if (question := _mixed(column, settled.places, _Cells(rows, column.number - 1), reads))
    ]
    return replace(settled, asked=(*settled.asked, *mixed))


class _Cells:
    """The filled cells of one column, the first few hundred of them, looked up once asked for."""

    def __init__(self, rows: Sequence[Row], place: int) -> None:
        self._rows = rows
        self._place = place

    def texts(self) -> list[str]:
        """The texts, spaces aside."""
        found = []
        for _, cells in self._rows[: 4 * _LOOKED_AT]:
            if self._place < len(cells) and cells[self._place].strip():
                found.append(cells[self._place])
                if len(found) == _LOOKED_AT:
                    break
        return found

    def share(self, column: str, unit: str, reads: Reads) -> float:
        """The share of filled cells that are values of a column of ours; 1 where none is filled."""
        texts = self.texts()
        return sum(reads(column, text, unit) for text in texts) / len(texts) if texts else 1.0


def _told(
    place: int,
    heading: str,
    unit: str,
    chosen: Mapping[str, str],
    cells: _Cells,
    reads: Reads,
) -> tuple[ReadColumn, tuple[str, ...]]:
    """A column by choice or heading, with the other columns of ours that its heading may mean."""
    column = ReadColumn(place + 1, heading, "", "unknown", unit)
    named = chosen.get(key(heading)) if heading else None
    known = meant(heading) or (near(heading) if heading else None)
    unit = unit or (known.unit if known else "")
    if named is not None:
        read = "" if named == ASIDE else named
        return replace(column, column=read, how="chosen", unit=unit), ()
    if known is None:
        return column, ()
    options = known.heading.columns
    best = _best(options, unit, cells, reads)
    if best == ASIDE or not options:
        means = known.heading.aside or ASIDE
        return replace(column, how="aside", means=means, unit=unit), ()
    others = tuple(option for option in options if option != best)
    return replace(column, column=best, how=known.how, unit=unit), others


def _best(options: tuple[str, ...], unit: str, cells: _Cells, reads: Reads) -> str:
    """Which of several meanings of a heading its cells bear out; the first unless one does more."""
    if len(options) < 2:
        return options[0] if options else ASIDE
    shares = [
        (cells.share(option, unit, reads) if option not in _ANY_TEXT else 0.5) for option in options
    ]
    return options[shares.index(max(shares))]


def _mixed(
    column: ReadColumn, places: Mapping[str, tuple[int, ...]], cells: _Cells, reads: Reads
) -> AskedOfSheet | None:
    """A question where a column was set aside whose heading may be one of ours, and some cells of
    which plainly are values of that one."""
    is_room = column.column == "room"
    known = meant(column.heading) if column.how == "aside" or is_room else None
    may_be = known.heading.columns if known is not None else ()
    if (column.how in ("unknown", "aside") or is_room) and "location" not in {*places, *may_be}:
        # Under `Room` nobody looks for it, and an exterior door taken for an interior one is wrong
        # in size, duty and finish.
        said = [text for text in cells.texts() if OUTSIDE.search(text)]
        return _asked_of(column, "location", said, reads) if said else None
    if known is None or column.means == "same" or not {ASIDE, "room"} & set(may_be[1:]):
        return None
    name = known.heading.columns[0]
    said = [
        text
        for text in cells.texts()
        if _is_plain(name, text, column.unit, reads)
        or (name == "location" and OUTSIDE.search(text))
    ]
    return None if not said or name in places else _asked_of(column, name, said, reads)


def _asked_of(column: ReadColumn, name: str, said: Sequence[str], reads: Reads) -> AskedOfSheet:
    few = tuple(dict.fromkeys(" ".join(text.split()) for text in said))[:3]
    # `Main entry` hints at a place, but is the name of none: to read the column would not help.
    what = "mixed" if any(reads(name, text, column.unit) for text in said) else "hinted"
    return AskedOfSheet(what, name, column.heading, few, count=len(said))


def _is_plain(column: str, text: str, unit: str, reads: Reads) -> bool:
    """Whether a cell is a value of a column by a word for it: no letter, nothing to be asked."""
    reading = translate(column, text, unit)
    if len(text.strip()) < SHORTEST_PLAIN or (reading is not None and reading.asked):
        return False
    return reads(column, text, unit)


def _by_cells(columns: list[ReadColumn], rows: Sequence[Row], reads: Reads) -> list[ReadColumn]:
    """Columns nobody knows by their heading, told by what they hold, where that is one of ours that
    no heading claims and no other column holds as well."""
    taken = {column.column for column in columns}
    if "width" in taken and "height" in taken:
        taken.add("size")
    claims: dict[str, list[int]] = {}
    for place, column in enumerate(columns):
        if column.how != "unknown":
            continue
        cells = _Cells(rows, place)
        texts = cells.texts()
        if len(texts) < 2:
            continue
        for name in TOLD_BY_CELLS:
            if name in taken or (name == "fire_minutes" and not all(map(_LABEL.search, texts))):
                continue
            if cells.share(name, column.unit, reads) >= ENOUGH:
                claims.setdefault(name, []).append(place)
                break
    for name, places in claims.items():
        for place in places:
            columns[place] = replace(columns[place], column=name, how="cells")
    return columns


def _settled(
    columns: list[ReadColumn], others: Sequence[tuple[str, ...]], rows: Sequence[Row]
) -> SheetColumns:
    """Two claims of one column: the better known one, else another meaning, else asked."""
    places: dict[str, list[int]] = {}
    asked: list[AskedOfSheet] = []
    for place, column in enumerate(columns):
        if column.column:
            places.setdefault(column.column, []).append(place)
    for name in list(places):
        claims = places[name]
        if len(claims) == 1 or name in _JOINED:
            continue
        rank = min(_RANK[columns[place].how] for place in claims)
        best = [place for place in claims if _RANK[columns[place].how] == rank]
        plain = [place for place in best if not others[place]]
        # A heading that can mean nothing else goes before one that can.
        if len(best) > 1 and plain and len(plain) < len(best):
            for place in set(best) - set(plain):
                free = next((o for o in others[place] if o not in places and o != ASIDE), "")
                columns[place] = replace(
                    columns[place], column=free, how="heading" if free else "aside"
                )
                if free:
                    places[free] = [place]
            best = plain
        for place in set(claims) - set(best) - {p for p in claims if columns[p].column != name}:
            columns[place] = replace(columns[place], column="", how="aside", means="claimed")
        places[name] = best
        if len(best) > 1:
            if _same(best, rows):
                places[name] = best[:1]
                for place in best[1:]:
                    columns[place] = replace(columns[place], column="", how="aside", means="same")
                continue
            candidates = tuple(columns[place].heading for place in best)
            asked.append(AskedOfSheet("columns", name, candidates=candidates))
            for place in best:
                columns[place] = replace(columns[place], how="asked")
    return SheetColumns(
        tuple(columns), {name: tuple(found) for name, found in places.items()}, tuple(asked)
    )


def _same(places: Sequence[int], rows: Sequence[Row]) -> bool:
    """Whether columns say the same in every row."""
    return all(
        len({cells[place].strip() if place < len(cells) else "" for place in places}) == 1
        for _, cells in rows
    )


def forgiving(columns: SheetColumns, rows: Sequence[Row], reads: Reads) -> frozenset[str]:
    """Our columns where a cell that cannot be read is asked about instead of refused: those that
    somebody chose, and those whose other cells bear their heading out. Never a size."""
    return frozenset(
        column.column
        for column in columns.read
        if column.column in _MAY_BE_UNKNOWN
        and (column.how == "chosen" or _bears_out(column, _Cells(rows, column.number - 1), reads))
    )


def _bears_out(column: ReadColumn, cells: _Cells, reads: Reads) -> bool:
    texts = cells.texts()
    unread = [text for text in texts if not reads(column.column, text, column.unit)]
    return len(set(unread)) <= FEW_UNREAD or 2 * len(unread) <= len(texts)


def ask_for_columns(lacking: Sequence[str], columns: SheetColumns) -> list[AskedOfSheet]:
    """A question for each required column that cannot be told, with its two or three best guesses
    among the columns that are not taken."""
    free = [column.heading for column in columns.read if not column.column and column.heading]
    return [
        AskedOfSheet("column", name, candidates=tuple(near_columns(name, free))) for name in lacking
    ]
