"""A schedule as somebody keeps it: found, understood and read, with an account of how."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.catalog.nearest_words import listed
from wholekit.domain.errors import InputError, Problem
from wholekit.domain.openings import Opening, OpeningType, UnaskedDoor, joined_doors
from wholekit.domain.openings.sheet import (
    AskedOfSheet,
    ReadValue,
    RepeatedMark,
    SheetChoices,
    SheetReading,
    SkippedRows,
)
from wholekit.intake.cells import Read, readers
from wholekit.intake.faults import Faults
from wholekit.intake.headings import key
from wholekit.intake.left_out import leave_out
from wholekit.intake.repeats import Repeat, join_repeats
from wholekit.intake.schedule import REQUIRED, is_schedule, openings_of
from wholekit.intake.sheet_cells import Cells, cell_key
from wholekit.intake.sheet_columns import (
    OUTSIDE,
    SheetColumns,
    ask_for_columns,
    forgiving,
    tell_columns,
)
from wholekit.intake.sheet_finding import FoundTable, best_guess, find_tables, together
from wholekit.intake.sheet_rows import SheetRows
from wholekit.intake.sheet_tables import choose_tables
from wholekit.intake.sheet_text import read_all
from wholekit.intake.sheet_xml import letters_of
from wholekit.intake.tables import MOST_ROWS, Area, Grid, column_name, table_of, whole_rows
from wholekit.intake.wishes import wishes_in

NOTHING_MENDED: Mapping[tuple[int, str], str] = {}


@dataclass(frozen=True, slots=True)
class ReadSheet:
    """The openings with the account of the reading; problems: why they cannot be used, if any.

    texts: the clean cells of each kind of opening; of a sheet that is clean as it stands its
    bytes instead. placed: each row of an opening with the mark it went under, headed: the rows
    that head them; of a sheet that was read with `placed` only where it is clean. unasked: doors
    that stand on the sheet and are not to be quoted.
    """

    reading: SheetReading
    openings: tuple[Opening, ...] = ()
    problems: tuple[Problem, ...] = ()
    texts: Mapping[OpeningType, Mapping[str, str]] = field(default_factory=dict)
    data: bytes = b""
    placed: tuple[tuple[int, str], ...] = ()
    headed: tuple[int, ...] = ()
    unasked: tuple[UnaskedDoor, ...] = ()


@dataclass(frozen=True, slots=True)
class _Part:
    """What one table of the sheet came to; its openings with their rows."""

    table: FoundTable
    columns: SheetColumns
    rows: SheetRows
    asked: tuple[AskedOfSheet, ...]
    openings: tuple[tuple[int, Opening], ...]


def read_sheet(
    data: bytes,
    name: str,
    *,
    finishes: FinishBook,
    jurisdictions: Mapping[str, str] | None = None,
    choices: SheetChoices | None = None,
    tables: Sequence[str] = (),
    left_out: Sequence[str] = (),
    placed: bool = False,
    mended: Mapping[tuple[int, str], str] = NOTHING_MENDED,
) -> ReadSheet:
    """What a file's bytes hold of openings, whoever wrote it.

    A file that is clean as it stands is read as `read_schedule` reads it, and nothing is told.
    tables: header rows of those that are meant, or `all`. left_out: rows of openings that are not,
    as `6` or `12-14`. placed: the rows are wanted too, of a clean sheet as well. mended: by row and
    heading, or by column of ours, what is read in place of what stands in a cell.

    Raises InputError where nothing can be read at all: no text, no table, several sheets with one.
    """
    choices = SheetChoices() if choices is None else choices
    read = readers(finishes, jurisdictions)
    if not choices and not tables and not left_out and not placed and not mended:
        clean = _clean(data, name, read)
        if clean is not None:
            return clean
    # With too many faults the reading is still told, which may show what is the matter.
    faults = Faults(name, gives_up=False)
    found, skipped = _chosen_sheet(read_all(data, faults), choices, faults)
    if found[0].sheet:
        faults.where = f"{name}, sheet {found[0].sheet}"
    chosen = choose_tables(found, tables, faults)
    chosen = replace(chosen, read=leave_out(chosen.read, left_out, faults))
    count = sum(len(table.rows) for table in chosen.read)
    if count > MOST_ROWS:
        fullest = max((table.rows for table in chosen.read), key=len)
        raise faults.refuse("rows-over-limit", fullest[min(MOST_ROWS, len(fullest) - 1)][0],
                            most=MOST_ROWS)  # fmt: skip
    if chosen.asked is not None:
        rows = listed(map(str, chosen.asked.rows))
        faults.put("tables-asked", chosen.asked.rows[0], "", right=rows)
    cells = Cells(choices, read)
    parts = [_read_table(table, choices, cells, read, faults, mended) for table in chosen.read]
    numbered = [entry for part in parts for entry in part.openings]
    openings = [opening for _, opening in numbered]
    repeats: list[Repeat] = []
    if len({opening.mark for opening in openings}) < len(openings):
        openings, repeats = join_repeats(numbered)
    asked = [
        *([] if chosen.asked is None else [chosen.asked]),
        *(question for part in parts for question in part.asked),
        *(_repeat_asked(repeat) for repeat in repeats if repeat.added_up),
        *(_quantity_asked(area) for part in parts for area in part.table.merged_quantity),
        *(question for part in parts for question in _totals_asked(part)),
    ]
    aside = [*chosen.skipped, *skipped, *(e for part in parts for e in part.table.skipped)]
    filled = [table.rows for table in chosen.read if table.rows]
    reading = SheetReading(
        name,
        found[0].sheet,
        found[0].form,
        tuple(row for part in parts for row in part.table.header_rows),
        min((rows[0][0] for rows in filled), default=0),
        max((rows[-1][0] for rows in filled), default=0),
        count,
        tuple(dict.fromkeys(column for part in parts for column in part.columns.read)),
        _values(parts),
        tuple(together(aside)),
        tuple(_area_name(area) for part in parts for area in part.table.filled),
        tuple(_repeated(repeat) for repeat in repeats),
        tuple(asked),
        _used(choices, parts),
        columns_beyond=max(part.table.beyond for part in parts),
        tables=len(parts),
    )
    texts = {kind: text for part in reversed(parts) for kind, text in part.rows.texts.items()}
    under = {
        (row, repeat.mark): mark
        for repeat in repeats
        for row, mark in zip(repeat.rows, repeat.marks, strict=True)
    }
    return ReadSheet(
        reading,
        tuple(openings),
        tuple(faults.problems),
        texts,
        placed=tuple(
            (row, under.get((row, opening.mark), opening.mark)) for row, opening in numbered
        ),
        headed=tuple(part.table.header_rows[-1] for part in parts),
        unasked=_unasked(parts, [opening for _, opening in numbered]),
    )


def _unasked(parts: Sequence[_Part], openings: Iterable[Opening]) -> tuple[UnaskedDoor, ...]:
    """Each door once; one that is quoted by another row is none of them."""
    quoted = {opening.mark for opening in openings}
    doors = (door for part in parts for door in part.rows.doors(part.table.unasked))
    return joined_doors((), (door for door in doors if door.mark not in quoted))


def _read_table(
    table: FoundTable,
    choices: SheetChoices,
    cells: Cells,
    read: Mapping[str, Read],
    faults: Faults,
    mended: Mapping[tuple[int, str], str],
) -> _Part:
    columns = tell_columns(table.headings, table.units, table.rows, choices, cells.reads)
    table = _mended(table, columns, mended) if mended else table
    questions = [*ask_for_columns(columns.lacking, columns), *columns.asked]
    for question in questions:
        if question.what == "column" or question.column in REQUIRED:
            faults.put(
                "column-asked" if question.what == "column" else "columns-asked",
                table.header_rows[-1],
                question.column,
                given=question.column,
                right=listed(question.candidates) or "-",
            )
    forgiven = forgiving(columns, table.rows, cells.reads)
    wishes = wishes_in(columns.read, table.rows)
    rows = SheetRows(columns, cells, read, faults, forgiven, wishes)
    numbers, openings = rows.openings(table.rows)
    if not table.rows:
        faults.put("table-without-rows-below", table.header_rows[-1])
    asked = (*questions, *rows.asked())
    return _Part(table, columns, rows, asked, tuple(zip(numbers, openings, strict=True)))


def _mended(
    table: FoundTable, columns: SheetColumns, mended: Mapping[tuple[int, str], str]
) -> FoundTable:
    """The table with the cells that somebody filled in; what is of no column of it is left."""
    places = {column.column: column.number - 1 for column in reversed(columns.read)}
    places |= {column.heading: column.number - 1 for column in reversed(columns.read)}
    there: dict[int, dict[int, str]] = {}
    for (row, name), text in mended.items():
        if name in places:
            there.setdefault(row, {})[places[name]] = text

    def filled(row: int, cells: Sequence[str]) -> tuple[str, ...]:
        new = there.get(row, {})
        width = max(len(cells), *(place + 1 for place in new)) if new else len(cells)
        whole = [*cells, *[""] * (width - len(cells))]
        return tuple(new.get(place, cell) for place, cell in enumerate(whole))

    return replace(table, rows=tuple((row, filled(row, cells)) for row, cells in table.rows))


def _clean(data: bytes, name: str, read: Mapping[str, Read]) -> ReadSheet | None:
    """The sheet read strictly; None at the first thing wrong with it."""
    faults = Faults(name, most=1)
    try:
        openings = openings_of(table_of(data, faults, is_schedule, REQUIRED), faults, read)
    except InputError:
        return None
    # A word for outside among the rooms is asked about, which a strict reading never does.
    if any(OUTSIDE.search(opening.room) for opening in openings if opening.room):
        return None
    reading = SheetReading(name, rows=len(openings), clean=True)
    return ReadSheet(reading, tuple(openings), data=data)


def clean_rows(data: bytes) -> list[list[str]]:
    """Header and rows of a sheet that is clean as it stands."""
    faults = Faults("", most=1)
    table = table_of(data, faults, is_schedule, REQUIRED)
    header = [column_name(cell) for cell in table.header]
    return [header, *(list(cells) for _, cells in whole_rows(table, faults))]


def _chosen_sheet(
    grids: list[Grid], choices: SheetChoices, faults: Faults
) -> tuple[list[FoundTable], list[SkippedRows]]:
    """The tables of the sheet that is meant, and the sheets left alone. Raises InputError."""
    named = [grid for grid in grids if cell_key(grid.name) == cell_key(choices.sheet)]
    if choices.sheet and not named and any(grid.name for grid in grids):
        right = listed(grid.name for grid in grids)
        raise faults.refuse("sheet-unknown", given=choices.sheet, right=right)
    among = named or grids
    headings = frozenset(map(key, choices.columns))
    found = [tables for grid in among if (tables := find_tables(grid, headings))]
    whole = [tables for tables in found if any(table.complete for table in tables)]
    if len(whole) > 1:
        raise faults.refuse("sheets-several", sheets=listed(tables[0].sheet for tables in whole))
    if not found:
        guesses = [(grid, *best_guess(grid)) for grid in among]
        grid, row, text = max(guesses, key=lambda guess: guess[1] > 0)
        raise faults.refuse("table-not-found", row or None, text=text or "-", sheet=grid.name)
    tables = whole[0] if whole else max(found, key=lambda tables: len(tables[0].rows))
    skipped = [
        SkippedRows(grid.rows[0][0], grid.rows[-1][0], "other-sheet", sheet=grid.name)
        for grid in grids
        if grid.name != tables[0].sheet and grid.rows
    ]
    return tables, skipped


def _values(parts: Sequence[_Part]) -> tuple[ReadValue, ...]:
    """The kinds of cell that were translated; one that stands in several tables is told once."""
    found: dict[tuple[object, ...], ReadValue] = {}
    for value in (value for part in parts for value in part.rows.values()):
        known = (value.column, value.written, value.rule, tuple(value.read.items()))
        there = found.get(known)
        found[known] = value if there is None else replace(there, count=there.count + value.count)
    return tuple(found.values())


def _used(choices: SheetChoices, parts: Sequence[_Part]) -> SheetChoices:
    """The choices that this sheet had a use for."""
    if not choices:
        return choices
    told = [column for part in parts for column in part.columns.read]
    chosen = {key(column.heading) for column in told if column.how == "chosen"}
    cells = {
        (value.column, cell_key(value.written))
        for value in _values(parts)
        if value.rule == "chosen"
    }
    return SheetChoices(
        choices.sheet if cell_key(choices.sheet) == cell_key(parts[0].table.sheet) else "",
        {heading: to for heading, to in choices.columns.items() if key(heading) in chosen},
        {
            column: used
            for column, given in choices.values.items()
            if (used := {c: t for c, t in given.items() if (column, cell_key(c)) in cells})
        },
    )


def _repeated(repeat: Repeat) -> RepeatedMark:
    return RepeatedMark(repeat.mark, repeat.rows, repeat.counts, repeat.marks)


def _repeat_asked(repeat: Repeat) -> AskedOfSheet:
    total = str(sum(repeat.counts))
    single = str(max(repeat.counts))
    return AskedOfSheet(
        "repeat", "quantity", repeat.mark, (total, single), repeat.rows[:5], len(repeat.rows)
    )


def _quantity_asked(area: Area) -> AskedOfSheet:
    rows = tuple(range(area[0], min(area[2], area[0] + 4) + 1))
    return AskedOfSheet(
        "merged-quantity", "quantity", _area_name(area), (), rows, area[2] - area[0] + 1
    )


def _totals_asked(part: _Part) -> Iterator[AskedOfSheet]:
    """A question for each total that is neither of the rows above it nor of those since the last.

    A pair may be counted as one opening or as two leaves, and what is not quoted with them or not.
    """
    totals = [entry for entry in part.table.skipped if entry.why == "total" and entry.counted]
    if not totals or len(part.openings) != len(part.table.rows):
        return
    since = 0
    for entry in totals:
        above = [(row, opening) for row, opening in part.openings if row < entry.first]
        below = [each for each in above if each[0] > since]
        left = [
            sum(each.counted for each in part.table.skipped
                if each.why != "total" and first < each.first < entry.first)
            for first in (0, since)
        ]  # fmt: skip
        since = entry.first
        sums = [_counts(each for _, each in some) for some in (above, below)]
        said = {
            count + more
            for both, out in zip(sums, left, strict=True)
            for count in both
            for more in (0, out)
        }
        if entry.counted not in said:
            counted = str(sums[0][0])
            yield AskedOfSheet(
                "total", "quantity", str(entry.counted), (counted,), (entry.first,), 1
            )


def _counts(openings: Iterable[Opening]) -> tuple[int, int]:
    """Openings, and leaves."""
    leaves = openings_count = 0
    for opening in openings:
        openings_count += opening.quantity
        leaves += opening.quantity * (opening.type.leaves or 1)
    return openings_count, leaves


def _area_name(area: Area) -> str:
    """`C4:C9`."""
    top, left, bottom, right = area
    return f"{letters_of(left)}{top}:{letters_of(right)}{bottom}"
