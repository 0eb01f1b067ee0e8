"""A table somebody sent, CSV or XLSX, as rows of text cells with their spreadsheet rows."""

import csv
import io
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from wholekit.domain.catalog.nearest_words import listed, what_is_right
from wholekit.intake.faults import Faults
from wholekit.intake.text_file import require_plain

MOST_ROWS = 100_000
LARGEST_FILE = 64_000_000
STDIN_NAME = "standard input"
UTF_16 = (b"\xff\xfe", b"\xfe\xff")
# First bytes: a ZIP archive (XLSX is one), and the compound file that older workbooks are.
_ZIP = b"PK\x03\x04"
_OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
SEPARATORS = ",;\t|"
QUOTED = re.compile(r'"(?:[^"]|"")*"')

Row = tuple[int, Sequence[str]]
# Top row, left column, bottom row, right column, from 1.
Area = tuple[int, int, int, int]


class RefusedCell(str):
    """A cell of a workbook that stands for no text; its code says why, its text what it shows."""

    __slots__ = ("code",)
    code: str

    def __new__(cls, code: str, text: str) -> "RefusedCell":
        """The cell with its code."""
        cell = super().__new__(cls, text)
        cell.code = code
        return cell


@dataclass(frozen=True, slots=True)
class RowTable:
    """Where the table stands, its header with its row, and the rows below it, none blank-checked.

    Rows count from 1 as a spreadsheet shows them.
    """

    header_row: int
    header: list[str]
    rows: Iterator[Row]


@dataclass(frozen=True, slots=True)
class Grid:
    """All of one sheet, or of a text file: its rows as they stand, and its merged ranges.

    form: what the bytes were, where they were text: encoding and separator.
    """

    name: str
    rows: list[Row]
    merged: tuple[Area, ...] = ()
    form: str = ""


def read_table(
    path: Path | None,
    stdin: BinaryIO | None,
    faults: Faults,
    is_header: Callable[[Sequence[str]], bool],
    right: Iterable[str],
) -> RowTable:
    """The table of a file, or of standard input where path is None.

    What it is follows from the first bytes, not from the name. `is_header` tells which sheet of a
    workbook is meant; `right` names the columns that must be there. Raises InputError: no such
    file, larger than 64,000,000 bytes, empty, not UTF-8 text and no workbook, an older workbook.
    """
    return table_of(read_bytes(path, stdin, faults), faults, is_header, right)


def table_of(
    data: bytes,
    faults: Faults,
    is_header: Callable[[Sequence[str]], bool],
    right: Iterable[str],
) -> RowTable:
    """The table of a file's bytes. Raises InputError as above."""
    if is_workbook(data, faults, right):
        # Late: most tables are CSV.
        from wholekit.intake.workbook import read_workbook

        return read_workbook(data, faults, is_header, right)
    return _csv_table(_text(data, faults), faults, right)


def is_workbook(data: bytes, faults: Faults, right: Iterable[str]) -> bool:
    """Whether the bytes are an XLSX workbook; if not, they are text.

    Raises InputError where they are nothing, or an older workbook.
    """
    if not data.strip():
        raise faults.refuse("file-empty", right=listed(right))
    if data.startswith(_OLE):
        raise faults.refuse("workbook-old")
    return data.startswith(_ZIP)


def column_name(cell: str) -> str:
    """A header cell as a column's name: small letters, one underscore between words.

    >>> column_name(" Fire-Minutes "), column_name("top rail")
    ('fire_minutes', 'top_rail')
    """
    return "_".join(re.sub(r"[\s_-]+", " ", cell.lower()).split())


def read_header(
    table: RowTable,
    known: Sequence[str],
    meant: Mapping[str, str],
    faults: Faults,
) -> dict[str, int]:
    """The place of each column; columns without a name, unknown or repeated are put down.

    meant: names that are not known, and what they usually mean, for the suggestion. Empty columns
    at the end, as a spreadsheet may write them, count for nothing.
    """
    columns: dict[str, int] = {}
    for number, cell in enumerate(table.header):
        name = column_name(cell)
        if not name:
            faults.put("column-unnamed", table.header_row, number=number + 1)
        elif name not in known:
            # Cut, since looking for a likeness takes the longer the longer the name is.
            right = meant.get(name) or what_is_right(name[:60], known)
            shown = " ".join(cell.split())[:60]
            faults.put("column-unknown", table.header_row, shown, given=shown, right=right)
        elif name in columns:
            faults.put("column-twice", table.header_row, name, given=name)
        else:
            columns[name] = number
    return columns


def whole_rows(table: RowTable, faults: Faults) -> Iterator[Row]:
    """The rows that are not blank, each as wide as the header; others are put down.

    Empty cells beyond the header are no fault. Raises InputError at more than 100,000 rows.
    """
    width = len(table.header)
    count = 0
    for row, given in table.rows:
        cells = given
        if len(cells) != width:
            # Counted down and cut once: a sheet may bring 16,384 empty cells in each row.
            end = len(cells)
            while end > width and not cells[end - 1].strip():
                end -= 1
            cells = cells[:end]
            if not any(cell.strip() for cell in cells):
                continue
            if len(cells) != width:
                faults.put("row-ragged", row, given=len(cells), wanted=width)
                continue
        # The first cell is asked alone since it is filled in nearly every row.
        elif not cells[0].strip() and not any(cell.strip() for cell in cells):
            continue
        count += 1
        if count > MOST_ROWS:
            raise faults.refuse("rows-over-limit", row, most=MOST_ROWS)
        yield row, cells


def read_bytes(path: Path | None, stdin: BinaryIO | None, faults: Faults) -> bytes:
    """A file's bytes, or standard input's where path is None. Raises InputError."""
    try:
        if path is None:
            # One byte more than is taken tells that there is more, without reading all of it.
            data = b"" if stdin is None else stdin.read(LARGEST_FILE + 1)
        else:
            require_plain(path)
            with path.open("rb") as file:
                data = file.read(LARGEST_FILE + 1)
    except FileNotFoundError:
        raise faults.refuse("file-not-there") from None
    except OSError as error:
        raise faults.refuse("file-not-readable", error=error.strerror or "?") from None
    if len(data) > LARGEST_FILE:
        raise faults.refuse("file-over-limit", most=LARGEST_FILE)
    return data


def _text(data: bytes, faults: Faults) -> str:
    if data.startswith(UTF_16):
        raise faults.refuse("text-utf-16")
    nul = data.find(b"\0")
    if nul >= 0:
        raise faults.refuse("text-nul", data.count(b"\n", 0, nul) + 1)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        # The decoder counts from behind a byte order mark, in the bytes it hands over.
        read = error.object
        row = read.count(b"\n", 0, error.start) + 1
        raise faults.refuse("text-not-utf-8", row, byte=f"{read[error.start]:02x}") from None


def _csv_table(text: str, faults: Faults, right: Iterable[str]) -> RowTable:
    rows = csv_rows(text, separator_of(text), faults)
    for row, cells in rows:
        header = [cell.strip() for cell in cells]
        while header and not header[-1]:
            header.pop()
        if header:
            return RowTable(row, header, rows)
    raise faults.refuse("file-empty", right=listed(right))


def csv_rows(text: str, separator: str, faults: Faults) -> Iterator[Row]:
    """Records as a spreadsheet numbers its rows: a line break inside a cell begins no new one."""
    # Strict, as a quote that is never closed would else take all rows below for one cell.
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    row = 0
    try:
        for row, cells in enumerate(reader, start=1):
            yield row, cells
    except csv.Error as error:
        raise faults.refuse("text-not-csv", row + 1, error=str(error)) from None


def separator_of(text: str) -> str:
    """What parts the columns of the header line: the commonest of comma, semicolon, tab and bar."""
    line = next((line for line in text.splitlines() if line.strip()), "")
    # A name in quotes may hold a sign that parts nothing; a tie goes to the comma, the first.
    bare = QUOTED.sub("", line)
    return max(SEPARATORS, key=bare.count)
