"""XLSX: the one sheet that holds the table, and what its cells do not say by themselves.

The reader underneath hands over plain values: a cell in error, or a formula never calculated,
looks empty to it, a formula's stored result looks typed, and one far cell makes it set up every
cell between. So the sheet's own XML is read first.
"""

import io
import zipfile
import zlib
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING

from wholekit.domain.catalog.nearest_words import listed
from wholekit.intake.faults import Faults
from wholekit.intake.sheet_xml import (
    FarCellError,
    OddCell,
    elements,
    letters_of,
    odd_cells,
)
from wholekit.intake.tables import MOST_ROWS, Area, Grid, RefusedCell, Row, RowTable

if TYPE_CHECKING:
    from python_calamine import CalamineSheet, CalamineWorkbook

LARGEST_UNPACKED = 400_000_000
# More than twice the columns that a schedule has.
MOST_COLUMNS = 100
# What reading a damaged or encrypted archive may raise.
_BROKEN = (
    zipfile.BadZipFile, zlib.error, EOFError, KeyError, ValueError, NotImplementedError,
    RuntimeError,
)  # fmt: skip

Cell = str | float | bool | date | time | datetime | timedelta


def read_workbook(
    data: bytes,
    faults: Faults,
    is_header: Callable[[Sequence[str]], bool],
    right: Iterable[str],
) -> RowTable:
    """The table of the one visible sheet that has the header; the first sheet if none has it.

    Raises InputError: no workbook, too large unpacked, no visible sheet with anything in it, a
    cell beyond row 100,001 or column CV, two sheets with the header (one would go unread).
    """
    sheets = _open(data, faults)
    filled = [sheet for sheet in sheets if sheet.header]
    meant = [sheet for sheet in filled if is_header(sheet.header)]
    if len(meant) > 1:
        raise faults.refuse("two-sheets", sheets=listed(sheet.name for sheet in meant))
    if not filled:
        raise faults.refuse("file-empty", right=listed(right))
    chosen = (meant or filled)[0]
    if len(sheets) > 1:
        faults.where = f"{faults.where}, sheet {chosen.name}"
    chosen.put_merged()
    return RowTable(chosen.header_row, chosen.header, chosen.rows())


def read_grids(data: bytes, faults: Faults) -> list[Grid]:
    """Every visible sheet as rows of text, with its merged ranges; those with nothing left out.

    Raises InputError as above.
    """
    return [
        Grid(sheet.name, list(sheet.rows(1, 0)), sheet.merged())
        for sheet in _open(data, faults)
        if sheet.header
    ]


def sheet_part(data: bytes, name: str, faults: Faults) -> tuple[str, bytes]:
    """Where in the archive a sheet stands, and its XML. Raises InputError."""
    parts = _Parts(data, faults)
    return parts.path(name), parts.sheet(name)


def _open(data: bytes, faults: Faults) -> list["_Sheet"]:
    # Late: most calls read no workbook.
    from python_calamine import CalamineError, CalamineWorkbook, SheetTypeEnum, SheetVisibleEnum

    parts = _Parts(data, faults)
    try:
        workbook = CalamineWorkbook.from_filelike(io.BytesIO(data))
        visible = [
            sheet.name
            for sheet in workbook.sheets_metadata
            if sheet.visible is SheetVisibleEnum.Visible and sheet.typ is SheetTypeEnum.WorkSheet
        ]
        return [_Sheet(name, workbook, parts, faults) for name in visible]
    except (CalamineError, ValueError) as error:
        raise faults.refuse("workbook-unreadable", error=str(error)[:80]) from None
    except BaseException as error:
        # What the reader underneath never foresaw ends as a panic, which is no Exception.
        if type(error).__name__ != "PanicException":
            raise
        raise faults.refuse("workbook-unreadable", error="its reader gave up") from None


class _Parts:
    """The workbook's files: which one holds a sheet, and its XML."""

    def __init__(self, data: bytes, faults: Faults) -> None:
        self._faults = faults
        try:
            self._zip = zipfile.ZipFile(io.BytesIO(data))
            names = [member.filename.casefold() for member in self._zip.infolist()]
            if len(names) != len(set(names)):
                # Two readers might each take another of the two.
                raise ValueError("a part twice")
            # By what the archive says of itself, before any of it is unpacked: kilobytes may hold
            # gigabytes.
            if sum(member.file_size for member in self._zip.infolist()) > LARGEST_UNPACKED:
                raise faults.refuse("file-over-limit", most=LARGEST_UNPACKED)
            self._sheets = self._sheet_parts()
        except _BROKEN as error:
            raise self._unreadable(error) from None

    def sheet(self, name: str) -> bytes:
        """The XML of a sheet. Raises InputError."""
        try:
            return self._zip.read(self._sheets[name])
        except _BROKEN as error:
            raise self._unreadable(error) from None

    def path(self, name: str) -> str:
        """Where in the archive a sheet stands."""
        return self._sheets[name]

    def _sheet_parts(self) -> dict[str, str]:
        targets = {
            attributes.get("Id", ""): attributes.get("Target", "")
            for name, attributes in elements(self._zip.read("xl/_rels/workbook.xml.rels"))
            if name == "Relationship"
        }
        found = {}
        for name, sheet in elements(self._zip.read("xl/workbook.xml")):
            if name != "sheet":
                continue
            if sheet.get("name", "") in found:
                raise ValueError("a sheet's name twice")
            # With a slash a target counts from the archive's top, without one from xl/.
            target = targets.get(sheet.get("id", ""), "").removeprefix("/")
            found[sheet.get("name", "")] = target if target.startswith("xl/") else f"xl/{target}"
        return found

    def _unreadable(self, error: Exception) -> Exception:
        return self._faults.refuse("workbook-unreadable", error=str(error)[:80])


class _Sheet:
    """One sheet's values, with what its XML says of errors and formulas."""

    def __init__(
        self, name: str, workbook: "CalamineWorkbook", parts: _Parts, faults: Faults
    ) -> None:
        self.name = name
        self._faults = faults
        xml = parts.sheet(name)
        try:
            odd = odd_cells(xml, MOST_ROWS + 1, MOST_COLUMNS)
        except FarCellError as far:
            if far.column > MOST_COLUMNS:
                raise faults.refuse("sheet-too-wide", most=MOST_COLUMNS, sheet=name) from None
            raise faults.refuse("rows-over-limit", far.row, most=MOST_ROWS) from None
        self._odd = {
            place: cell
            for place, odd_cell in odd.items()
            if (cell := _refused(odd_cell)) is not None
        }
        self._sheet: CalamineSheet = workbook.get_sheet_by_name(name)
        # Formulas and errors count as filled, whatever the reader makes of them.
        # With the empty area, so that rows count from the sheet's first, as people see them.
        self._values: list[list[Cell]] = list(self._sheet.to_python(skip_empty_area=False))
        self.header_row, self.header = self._find_header()

    def rows(self, first: int | None = None, width: int | None = None) -> Iterator[Row]:
        """Every row from `first` on, below the header if None, its cells as text; at least so
        wide, as the header if None."""
        first = self.header_row + 1 if first is None else first
        width = len(self.header) if width is None else width
        odd_rows: dict[int, int] = {}
        for row, column in self._odd:
            odd_rows[row] = max(column, odd_rows.get(row, 0))
        bottom = max([len(self._values), *odd_rows])
        for row in range(first, bottom + 1):
            # A cell told of by the XML may stand below all that the reader found anything in.
            values = self._values[row - 1] if row <= len(self._values) else []
            cells = [cell if type(cell) is str else _text(cell) for cell in values]
            if row in odd_rows:
                cells += [""] * (max(width, odd_rows[row]) - len(cells))
                for column in range(len(cells)):
                    cells[column] = self._odd.get((row, column + 1), cells[column])
            yield row, cells + [""] * (width - len(cells))

    def merged(self) -> tuple[Area, ...]:
        """The merged ranges: top row, left column, bottom row, right column, all from 1."""
        return tuple(
            (top + 1, left + 1, bottom + 1, right + 1)
            for (top, left), (bottom, right) in self._sheet.merged_cell_ranges or ()
        )

    def put_merged(self) -> None:
        """Puts down every merged range from the header down: one value cannot fill two cells."""
        for (top, left), (bottom, right) in self._sheet.merged_cell_ranges or ():
            if bottom + 1 >= self.header_row and left < len(self.header):
                cells = f"{letters_of(left + 1)}{top + 1}:{letters_of(right + 1)}{bottom + 1}"
                self._faults.put("cells-merged", top + 1, self.header[left], cells=cells)

    def _find_header(self) -> tuple[int, list[str]]:
        for row, values in enumerate(self._values, start=1):
            header = [_text(cell).strip() for cell in values]
            while header and not header[-1]:
                header.pop()
            if header:
                return row, header
        return 0, []


def _text(value: Cell) -> str:
    """A cell's value as somebody would type it: 3070.0 is 3070, true is TRUE.

    >>> _text(3070.0), _text(36.5), _text(True), _text(date(2026, 3, 4)).code
    ('3070', '36.5', 'TRUE', 'cell-date')
    """
    if isinstance(value, str):
        return value
    # Before numbers, since a bool is an int to Python.
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, int | float):
        # 15 digits are what a double surely keeps: 0.1 + 0.2 is 0.3, as the spreadsheet shows it.
        return f"{value:.15g}"
    return RefusedCell("cell-date", str(value))


def _refused(cell: OddCell) -> RefusedCell | None:
    if cell.type == "e":
        return RefusedCell("cell-error", cell.value or "#")
    # The result stored with a formula may be stale, or a writer's 0 that nothing has calculated.
    # One that shows an empty text (t="str") is empty: such are filled down below many tables.
    if cell.formula is not None and (cell.value or cell.type != "str"):
        return RefusedCell("cell-formula", f"={cell.formula}")
    return None
