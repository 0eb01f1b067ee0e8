"""A schedule as somebody keeps it: found, understood and read, with an account of how."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.catalog.nearest_words import listed
from wholekit.domain.errors import InputError, Problem
from wholekit.domain.openings import Opening, OpeningType
from wholekit.domain.openings.sheet import (
    AskedOfSheet,
    RepeatedMark,
    SheetChoices,
    SheetReading,
    SkippedRows,
)
from wholekit.intake.cells import Read, readers
from wholekit.intake.faults import Faults
from wholekit.intake.headings import key
from wholekit.intake.repeats import Repeat, join_repeats
from wholekit.intake.schedule import REQUIRED, is_schedule, openings_of
from wholekit.intake.sheet_cells import Cells, cell_key
from wholekit.intake.sheet_columns import SheetColumns, ask_for_columns, tell_columns
from wholekit.intake.sheet_finding import FoundTable, best_guess, find_table
from wholekit.intake.sheet_rows import SheetRows
from wholekit.intake.sheet_text import read_all
from wholekit.intake.sheet_xml import letters_of
from wholekit.intake.tables import MOST_ROWS, Area, Grid, column_name, table_of, whole_rows


@dataclass(frozen=True, slots=True)
class ReadSheet:
    """The openings with the account of the reading; problems: why they cannot be used, if any.

    texts: the clean cells of each kind of opening; of a sheet that is clean as it stands its
    bytes instead.
    """

    reading: SheetReading
    openings: tuple[Opening, ...] = ()
    problems: tuple[Problem, ...] = ()
    texts: Mapping[OpeningType, Mapping[str, str]] = field(default_factory=dict)
    data: bytes = b""


def read_sheet(
    data: bytes,
    name: str,
    *,
    finishes: FinishBook,
    jurisdictions: Mapping[str, str] | None = None,
    choices: SheetChoices | None = None,
) -> ReadSheet:
    """What a file's bytes hold of openings, whoever wrote it.

    A file that is clean as it stands is read as `read_schedule` reads it, and nothing is told.
    Raises InputError where nothing can be read at all: no text, no table, several sheets with one.
    """
    choices = SheetChoices() if choices is None else choices
    read = readers(finishes, jurisdictions)
    if not choices:
        clean = _clean(data, name, read)
        if clean is not None:
            return clean
    faults = Faults(name)
    table, skipped = _chosen_sheet(read_all(data, faults), choices, faults)
    if table.sheet:
        faults.where = f"{name}, sheet {table.sheet}"
    if len(table.rows) > MOST_ROWS:
        raise faults.refuse("rows-over-limit", table.rows[MOST_ROWS][0], most=MOST_ROWS)
    cells = Cells(choices, read)
    columns = tell_columns(table.headings, table.units, table.rows, choices, cells.reads)
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
    rows = SheetRows(columns, cells, read, faults)
    numbers, openings = rows.openings(table.rows)
    if not table.rows:
        faults.put("table-without-rows-below", table.header_rows[-1])
    repeats: list[Repeat] = []
    if len({opening.mark for opening in openings}) < len(openings):
        openings, repeats = join_repeats(list(zip(numbers, openings, strict=True)))
    asked = [
        *questions,
        *rows.asked(),
        *(_repeat_asked(repeat) for repeat in repeats if repeat.added_up),
        *(_quantity_asked(area) for area in table.merged_quantity),
    ]
    reading = SheetReading(
        name,
        table.sheet,
        table.form,
        table.header_rows,
        table.rows[0][0] if table.rows else 0,
        table.rows[-1][0] if table.rows else 0,
        len(table.rows),
        columns.read,
        rows.values(),
        (*table.skipped, *skipped),
        tuple(map(_area_name, table.filled)),
        tuple(_repeated(repeat) for repeat in repeats),
        tuple(asked),
        _used(choices, table, columns, rows),
    )
    return ReadSheet(reading, tuple(openings), tuple(faults.problems), rows.texts)


def _clean(data: bytes, name: str, read: Mapping[str, Read]) -> ReadSheet | None:
    """The sheet read strictly; None at the first thing wrong with it."""
    faults = Faults(name, most=1)
    try:
        openings = openings_of(table_of(data, faults, is_schedule, REQUIRED), faults, read)
    except InputError:
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
) -> tuple[FoundTable, list[SkippedRows]]:
    """The table that is meant, and the sheets left alone. Raises InputError."""
    named = [grid for grid in grids if cell_key(grid.name) == cell_key(choices.sheet)]
    if choices.sheet and not named and any(grid.name for grid in grids):
        right = listed(grid.name for grid in grids)
        raise faults.refuse("sheet-unknown", given=choices.sheet, right=right)
    among = named or grids
    headings = frozenset(map(key, choices.columns))
    tables = {grid.name: find_table(grid, headings) for grid in among}
    found = [table for table in tables.values() if table is not None]
    whole = [table for table in found if table.complete]
    if len(whole) > 1:
        raise faults.refuse("sheets-several", sheets=listed(table.sheet for table in whole))
    if not found:
        guesses = [(grid, *best_guess(grid)) for grid in among]
        grid, row, text = max(guesses, key=lambda guess: guess[1] > 0)
        raise faults.refuse("table-not-found", row or None, text=text or "-", sheet=grid.name)
    table = whole[0] if whole else max(found, key=lambda table: len(table.rows))
    skipped = [
        SkippedRows(grid.rows[0][0], grid.rows[-1][0], "other-sheet", sheet=grid.name)
        for grid in grids
        if grid.name != table.sheet and grid.rows
    ]
    return table, skipped


def _used(
    choices: SheetChoices, table: FoundTable, columns: SheetColumns, rows: SheetRows
) -> SheetChoices:
    """The choices that this sheet had a use for."""
    chosen = {key(column.heading) for column in columns.read if column.how == "chosen"}
    cells = {
        (value.column, cell_key(value.written)) for value in rows.values() if value.rule == "chosen"
    }
    return SheetChoices(
        choices.sheet if cell_key(choices.sheet) == cell_key(table.sheet) else "",
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


def _area_name(area: Area) -> str:
    """`C4:C9`."""
    top, left, bottom, right = area
    return f"{letters_of(left)}{top}:{letters_of(right)}{bottom}"
