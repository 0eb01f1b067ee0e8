"""XLSX: the one sheet that holds the table, and what its cells do not say by themselves.

The reader underneath hands over plain values: a cell in error, or a formula never calculated,
looks empty to it, a formula's stored result looks typed, and one far cell makes it set up every
cell between. So the sheet's own XML is looked through first.
"""

import io
import re
import zipfile
import zlib
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING
from xml.etree import ElementTree

from wholekit.domain.catalog.nearest_words import listed
from wholekit.intake.faults import Faults
from wholekit.intake.tables import MOST_ROWS, RefusedCell, Row, RowTable

if TYPE_CHECKING:
    from python_calamine import CalamineSheet, CalamineWorkbook

LARGEST_UNPACKED = 400_000_000
MOST_COLUMNS = 100
_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_REL = "{http://schemas.openxmlformats.org/package/2006/relationships}"
_ID = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
# Cells that are not empty elements: beyond column CV (the 100th), or in row 100,000 and below.
_FAR_COLUMN = re.compile(rb"r=[\"'](?:C[W-Z]|[D-Z][A-Z]|[A-Z]{3})\d{1,7}[\"'][^>]*[^/]>")
_FAR_ROW = re.compile(rb"r=[\"'][A-Z]{1,3}(\d{6,7})[\"'][^>]*[^/]>")
# What a sheet with a formula or an error has in it; looked for as plain bytes, which is quickest.
_ODD = (b"<f>", b"<f ", b"<f/", b":f>", b":f ", b":f/", b't="e"', b"t='e'")
_REFERENCE = re.compile(r"([A-Z]{1,3})(\d{1,7})$")

# What reading a damaged or encrypted archive may raise.
_BROKEN = (
    zipfile.BadZipFile, zlib.error, EOFError, KeyError, ValueError, NotImplementedError,
    RuntimeError,
)  # fmt: skip

Cell = str | float | bool | date | time | datetime | timedelta
Place = tuple[int, int]


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
    from python_calamine import CalamineError, CalamineWorkbook, SheetTypeEnum, SheetVisibleEnum

    parts = _Parts(data, faults)
    try:
        workbook = CalamineWorkbook.from_filelike(io.BytesIO(data))
        visible = [
            sheet.name
            for sheet in workbook.sheets_metadata
            if sheet.visible is SheetVisibleEnum.Visible and sheet.typ is SheetTypeEnum.WorkSheet
        ]
        sheets = [_Sheet(name, workbook, parts, faults) for name in visible]
    except (CalamineError, ElementTree.ParseError, ValueError) as error:
        raise faults.refuse("workbook-unreadable", error=str(error)[:80]) from None
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


class _Parts:
    """The workbook's files: which one holds a sheet, and its XML."""

    def __init__(self, data: bytes, faults: Faults) -> None:
        self._faults = faults
        try:
            self._zip = zipfile.ZipFile(io.BytesIO(data))
            self._names = set(self._zip.namelist())
            if sum(one.file_size for one in self._zip.infolist()) > LARGEST_UNPACKED:
                raise faults.refuse("file-over-limit", most=LARGEST_UNPACKED)
            self._sheets = self._sheet_parts()
        except _BROKEN as error:
            raise self._unreadable(error) from None

    def sheet(self, name: str) -> bytes:
        """The XML of a sheet. Raises InputError."""
        try:
            return self._plain(self._sheets[name])
        except _BROKEN as error:
            raise self._unreadable(error) from None

    def _sheet_parts(self) -> dict[str, str]:
        targets = {
            one.get("Id", ""): one.get("Target", "")
            for one in self._xml("xl/_rels/workbook.xml.rels").iter(f"{_REL}Relationship")
        }
        found = {}
        for sheet in self._xml("xl/workbook.xml").iter(f"{_MAIN}sheet"):
            target = targets.get(sheet.get(_ID, ""), "")
            found[sheet.get("name", "")] = (
                target.removeprefix("/") if target.startswith("/") else f"xl/{target}"
            )
        return found

    def _xml(self, name: str) -> ElementTree.Element:
        try:
            # No entities can be declared: _plain refuses a document type.
            return ElementTree.fromstring(self._plain(name))  # noqa: S314
        except ElementTree.ParseError as error:
            raise self._unreadable(error) from None

    def _plain(self, name: str) -> bytes:
        data = self._zip.read(name)
        if b"<!DOCTYPE" in data or data.startswith((b"\xff\xfe", b"\xfe\xff")):
            raise ValueError(name)
        return data

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
        _refuse_far_cells(xml, name, faults)
        self._odd = _odd_cells(xml)
        self._sheet: CalamineSheet = workbook.get_sheet_by_name(name)
        # Formulas and errors count as filled, whatever the reader makes of them.
        self._values: list[list[Cell]] = list(self._sheet.to_python(skip_empty_area=False))
        self.header_row, self.header = self._find_header()

    def rows(self) -> Iterator[Row]:
        """Every row below the header, its cells as text."""
        width = len(self.header)
        odd_rows = {row for row, _ in self._odd}
        bottom = max([len(self._values), *odd_rows])
        for row in range(self.header_row + 1, bottom + 1):
            values = self._values[row - 1] if row <= len(self._values) else []
            cells = [one if type(one) is str else _text(one) for one in values]
            if row in odd_rows:
                cells += [""] * (width - len(cells))
                for column in range(len(cells)):
                    cells[column] = self._odd.get((row, column + 1), cells[column])
            yield row, cells + [""] * (width - len(cells))

    def put_merged(self) -> None:
        """Puts down every merged range from the header down: one value cannot fill two cells."""
        for (top, left), (bottom, right) in self._sheet.merged_cell_ranges or ():
            if bottom + 1 >= self.header_row and left < len(self.header):
                cells = f"{_letters(left + 1)}{top + 1}:{_letters(right + 1)}{bottom + 1}"
                self._faults.put("cells-merged", top + 1, self.header[left], cells=cells)

    def _find_header(self) -> tuple[int, list[str]]:
        for row, values in enumerate(self._values, start=1):
            header = [_text(one).strip() for one in values]
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
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, int | float):
        return f"{value:.15g}"
    return RefusedCell("cell-date", str(value))


def _refuse_far_cells(xml: bytes, name: str, faults: Faults) -> None:
    far = _FAR_COLUMN.search(xml)
    if far:
        raise faults.refuse("sheet-too-wide", most=MOST_COLUMNS, sheet=name)
    for match in _FAR_ROW.finditer(xml):
        if int(match[1]) > MOST_ROWS + 1:
            raise faults.refuse("rows-over-limit", int(match[1]), most=MOST_ROWS)


def _odd_cells(xml: bytes) -> dict[Place, RefusedCell]:
    """Cells in error, and formulas, by row and column."""
    found: dict[Place, RefusedCell] = {}
    if not any(mark in xml for mark in _ODD):
        return found
    row = column = 0
    # A document type, and with it every entity, was refused when the part was read.
    for event, element in ElementTree.iterparse(io.BytesIO(xml), ("start", "end")):  # noqa: S314
        tag = element.tag.rpartition("}")[2]
        if tag == "row":
            if event == "start":
                row, column = int(element.get("r", row + 1)), 0
            else:
                element.clear()
        elif tag == "c" and event == "end":
            place = _REFERENCE.match(element.get("r", ""))
            column = _number(place[1]) if place else column + 1
            refused = _refused(element)
            if refused is not None:
                found[row, column] = refused
    return found


def _refused(cell: ElementTree.Element) -> RefusedCell | None:
    parts = {part.tag.rpartition("}")[2]: part.text or "" for part in cell}
    value = parts.get("v", "")
    if cell.get("t") == "e":
        return RefusedCell("cell-error", value or "#")
    # The result stored with a formula may be stale, or a writer's 0 that nothing has calculated.
    # One that shows an empty text (t="str") is empty: such are filled down below many tables.
    if "f" in parts and (value or cell.get("t") != "str"):
        return RefusedCell("cell-formula", f"={parts['f']}")
    return None


def _number(letters: str) -> int:
    """A column's number from its letters.

    >>> _number("A"), _number("CV")
    (1, 100)
    """
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number


def _letters(number: int) -> str:
    """A column's letters from its number.

    >>> _letters(1), _letters(100)
    ('A', 'CV')
    """
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(65 + rest) + letters
    return letters
