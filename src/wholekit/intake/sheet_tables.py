"""Which of several tables on one sheet are read: the named, all if plainly of doors, or asked."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from wholekit.domain.catalog.nearest_words import listed
from wholekit.domain.openings.sheet import AskedOfSheet, SkippedRows
from wholekit.intake.faults import Faults
from wholekit.intake.headings import key, meant
from wholekit.intake.sheet_finding import FoundTable, row_text

ALL_TABLES = "all"
# Headings that only a table of doors has; marks, sizes and labels windows and frames have too.
_DOOR = re.compile(r"\b(?:doors?|doorsets?|leaf|leaves|portes?|vantail|vantaux|puertas?|hojas?)\b")


@dataclass(frozen=True, slots=True)
class ChosenTables:
    """The tables to be read, the rows of the others, and what is asked where nobody has chosen."""

    read: tuple[FoundTable, ...]
    skipped: tuple[SkippedRows, ...] = ()
    asked: AskedOfSheet | None = None


def choose_tables(
    tables: Sequence[FoundTable], wanted: Sequence[str], faults: Faults
) -> ChosenTables:
    """Which tables of a sheet are read.

    wanted: rows of their headers, or `all`; where there are none, all if each is plainly one of
    doors and no mark stands in two, else the one with the most rows, with a question. Raises
    InputError for a row that heads no table.
    """
    if wanted:
        return _only(tables, _named(tables, wanted, faults))
    filled = [table for table in tables if table.rows] or tables[:1]
    if len(filled) == 1 or (all(map(plainly_doors, filled)) and _apart(filled)):
        return _only(tables, filled)
    fullest = max(filled, key=lambda table: len(table.rows))
    question = AskedOfSheet(
        "tables",
        "",
        candidates=tuple(row_text(table.headings) for table in filled),
        rows=tuple(table.header_rows[0] for table in filled),
        count=len(filled),
    )
    chosen = _only(tables, [fullest])
    return ChosenTables(chosen.read, chosen.skipped, question)


def plainly_doors(table: FoundTable) -> bool:
    """Whether a heading names the door or its leaf."""
    return any(_DOOR.search(key(heading)) for heading in table.headings)


def _named(tables: Sequence[FoundTable], wanted: Sequence[str], faults: Faults) -> list[FoundTable]:
    words = {word.strip().casefold() for word in wanted}
    heads = {str(row): table for table in tables for row in table.header_rows}
    unknown = sorted(words - heads.keys() - {ALL_TABLES})
    if unknown:
        right = listed([*(str(table.header_rows[0]) for table in tables), ALL_TABLES])
        raise faults.refuse("sheet-table-unknown", given=unknown[0][:60], right=right)
    if ALL_TABLES in words:
        return list(tables)
    return [table for table in tables if words & set(map(str, table.header_rows))]


def _only(tables: Sequence[FoundTable], read: Sequence[FoundTable]) -> ChosenTables:
    skipped = tuple(
        SkippedRows(first, last, "other-table", row_text(table.headings))
        for table in tables
        if not any(table is chosen for chosen in read)
        for first, last in table.spans
    )
    return ChosenTables(tuple(read), skipped)


def _apart(tables: Sequence[FoundTable]) -> bool:
    """Whether each table has its own marks; not where the column of the marks is in doubt."""
    seen: set[str] = set()
    for table in tables:
        marks = _marks(table)
        if marks is None or marks & seen:
            return False
        seen |= marks
    return True


def _marks(table: FoundTable) -> set[str] | None:
    claims = [
        (len(known.heading.columns), place)
        for place, known in enumerate(map(meant, table.headings))
        if known is not None and known.heading.columns[:1] == ("mark",)
    ]
    # A heading that can mean nothing else goes before one that can.
    plain = [place for choices, place in claims if choices == 1]
    places = plain or [place for _, place in claims]
    if len(places) != 1:
        return None
    place = places[0]
    cells = (cells[place].strip() for _, cells in table.rows if place < len(cells))
    return {mark.casefold() for mark in cells if mark}
