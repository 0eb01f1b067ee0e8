"""What a page shows of a sheet beside its reading: what stands under each heading; and headings for
rows that were pasted without any, with what each column seems to be."""

import csv
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from wholekit.domain.openings.sheet import SheetReading
from wholekit.domain.quantities import QuantityError
from wholekit.intake.cells import Read
from wholekit.intake.dialect import translate
from wholekit.intake.faults import Faults
from wholekit.intake.schedule import KIND_COLUMNS
from wholekit.intake.sheet_finding import find_tables
from wholekit.intake.sheet_text import read_all
from wholekit.intake.sheet_xml import letters_of
from wholekit.intake.tables import Grid

SAMPLES = 3
# More openings under one mark than this are more likely a finish or a mark.
MOST_COUNTED = 50
# Told apart from any heading that somebody writes.
HEADING = "Column {letter}"
_LOOKED_AT = 200
# Each of leaf and frame may be of the same material: the leaf stands first. Common practice.
_MATERIALS = ("door", "frame")
# Columns whose cells any word or figure could be.
_ANY = frozenset({"series", "mark", "width", "height", "jurisdiction"})


@dataclass(frozen=True, slots=True)
class HeadedRows:
    """Rows with a heading. data: as they are read on; seems: by heading our column that its cells
    seem to be, none where they had a heading of their own."""

    data: bytes
    seems: Mapping[str, str]


def with_headings(data: bytes, name: str, readers: Mapping[str, Read]) -> HeadedRows:
    """Rows as they are where a heading stands among them, else under headings of ours.

    readers: the strict reader of every column. Raises InputError where they are no text.
    """
    grids = read_all(data, Faults(name))
    rows = [cells for _, cells in grids[0].rows if any(cell.strip() for cell in cells)]
    # A workbook says no form of text.
    if len(grids) != 1 or not rows or not grids[0].form or find_tables(grids[0]):
        return HeadedRows(data, {})
    width = max(map(len, rows))
    headings = [HEADING.format(letter=letters_of(place)) for place in range(1, width + 1)]
    out = io.StringIO()
    write = csv.writer(out, lineterminator="\n")
    write.writerow(headings)
    write.writerows([*cells, *[""] * (width - len(cells))] for cells in rows)
    columns = [
        [cells[place].strip() for cells in rows[:_LOOKED_AT] if place < len(cells)]
        for place in range(width)
    ]
    return HeadedRows(
        out.getvalue().encode(), dict(_seems(dict(zip(headings, columns, strict=True)), readers))
    )


def given_headings(data: bytes) -> list[tuple[str, tuple[str, ...]]]:
    """Headings that rows were given here, each with a few of its cells; none of other sheets."""
    if not data.startswith(HEADING.format(letter="A").encode()):
        return []
    try:
        headings, *rows = csv.reader(io.StringIO(data.decode()))
        columns = list(zip(*rows, strict=True)) if rows else [()] * len(headings)
    except (ValueError, csv.Error):
        # It was through a browser, and need not be what was sent to it.
        return []
    return [(heading, _few(cells)) for heading, cells in zip(headings, columns, strict=False)]


def samples(data: bytes, reading: SheetReading) -> dict[int, tuple[str, ...]]:
    """The first few cells of each column of a sheet that was read, by its number. Raises
    InputError."""
    grids = read_all(data, Faults(reading.where))
    found: Grid = next((grid for grid in grids if grid.name == reading.sheet), grids[0])
    head = max(reading.header_rows, default=0)
    rows = [cells for row, cells in found.rows if row > head]
    shown = {}
    for column in reading.columns:
        at = column.number - 1
        shown[column.number] = _few(cells[at] for cells in rows if at < len(cells))
    return shown


def _few(cells: Iterable[str]) -> tuple[str, ...]:
    texts = (" ".join(cell.split()) for cell in cells)
    return tuple(dict.fromkeys(text for text in texts if text))[:SAMPLES]


def _seems(
    columns: Mapping[str, Sequence[str]], readers: Mapping[str, Read]
) -> Iterator[tuple[str, str]]:
    """Columns by what all their cells are: the size first, which marks could be too."""
    left = {heading: [text for text in cells if text] for heading, cells in columns.items()}
    left = {heading: cells for heading, cells in left.items() if cells}
    taken: set[str] = set()

    def take(heading: str, column: str) -> tuple[str, str]:
        del left[heading]
        taken.add(column)
        return heading, column

    for heading, cells in list(left.items()):
        if "size" not in taken and all(_reads("size", text, readers) for text in cells):
            # The first column is the mark, though `1068` is a size as well.
            if heading == next(iter(columns)) and any(
                all(_reads("size", text, readers) for text in others)
                for other, others in left.items()
                if other != heading
            ):
                continue
            yield take(heading, "size")
    for heading, cells in list(left.items()):
        if len(set(cells)) == len(cells) and "mark" not in taken:
            yield take(heading, "mark")
    for heading, cells in list(left.items()):
        if "quantity" not in taken and all(_is_count(text) for text in cells):
            yield take(heading, "quantity")
    for heading, cells in list(left.items()):
        may_be = [
            column
            for column in KIND_COLUMNS
            if column not in taken
            and column not in _ANY
            and all(_reads(column, text, readers) for text in cells)
        ]
        materials = [column for column in may_be if column in _MATERIALS]
        if len(may_be) == 1 or (may_be and may_be == materials):
            yield take(heading, may_be[0])


def _reads(column: str, text: str, readers: Mapping[str, Read]) -> bool:
    """Whether a cell is a value of a column, as a schedule writes it, or may be one of several."""
    told = translate(column, text)
    if told is not None:
        return bool(told.asked or told.cells.get(column))
    try:
        readers[column](text)
    except QuantityError:
        return False
    return True


def _is_count(text: str) -> bool:
    return text.isdecimal() and len(text) <= len(str(MOST_COUNTED)) and int(text) <= MOST_COUNTED
