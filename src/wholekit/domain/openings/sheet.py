"""How a sheet was read that came as somebody keeps it: data only, its sentences elsewhere."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

# Where a heading goes that means nothing here.
ASIDE = "aside"


@dataclass(frozen=True, slots=True)
class SheetChoices:
    """What somebody chose once for the sheets of one sender.

    sheet: the name of the workbook's sheet. columns: headings with our column, or `aside`. values:
    by our column, cells as written with the clean cell that is meant.
    """

    sheet: str = ""
    columns: Mapping[str, str] = field(default_factory=dict)
    values: Mapping[str, Mapping[str, str]] = field(default_factory=dict)

    def __bool__(self) -> bool:
        return bool(self.sheet or self.columns or self.values)

    def over(self, older: "SheetChoices") -> "SheetChoices":
        """Both together; what stands in both is as it is here.

        >>> SheetChoices(columns={"Lbl": "fire_minutes"}).over(SheetChoices("Doors")).sheet
        'Doors'
        """
        values = {column: dict(cells) for column, cells in older.values.items()}
        for column, cells in self.values.items():
            values.setdefault(column, {}).update(cells)
        return SheetChoices(self.sheet or older.sheet, {**older.columns, **self.columns}, values)


@dataclass(frozen=True, slots=True)
class KeptChoices:
    """The choices kept for a customer, when they were last made and by whom.

    version: counts their changes, from 1.
    """

    customer: str
    choices: SheetChoices
    at: datetime
    by: str
    version: int = 1


@dataclass(frozen=True, slots=True)
class ReadColumn:
    """A column of the sheet, counted from 1.

    column: ours, or empty where it was set aside. how: `heading`, `near` (near spelling), `cells`
    (by what they hold), `chosen` (by somebody), `asked`, or why it was set aside: `aside` (known,
    and nothing to a closer), `unknown`. means: what a known heading set aside is.
    """

    number: int
    heading: str
    column: str
    how: str
    unit: str = ""
    means: str = ""


def not_used(reading: "SheetReading") -> tuple[str, ...]:
    """What of a sheet no kit is worked out from: headings of columns that nothing was read from and
    `Heading: cell` of what says nothing known. A column that says the same as another is used.

    A cell that left its field with several candidates is asked about, and is none of them.
    """
    headings = {column.column: column.heading for column in reversed(reading.columns)}
    aside = (
        column.heading
        for column in reading.columns
        if column.heading and not column.column and column.means != "same"
    )
    cells = (
        f"{headings.get(asked.column) or asked.column}: {asked.written}"
        for asked in reading.asked
        if asked.what == "unread" and not asked.candidates
    )
    return tuple(dict.fromkeys((*aside, *cells)))


@dataclass(frozen=True, slots=True)
class ReadValue:
    """A kind of cell that was translated, and in how many rows [count].

    read: our columns with the clean cells. rule: the row of data; mark: its standing.
    """

    column: str
    written: str
    read: Mapping[str, str]
    rule: str
    mark: str
    count: int


@dataclass(frozen=True, slots=True)
class SkippedRows:
    """Rows that were not read, the first and last of them, why (a code), and what stands there.

    counted: the openings that a total states, or those rows of doors not quoted; 0 for none.
    """

    first: int
    last: int
    why: str
    text: str = ""
    sheet: str = ""
    counted: int = 0


@dataclass(frozen=True, slots=True)
class RepeatedMark:
    """A mark in several rows, how many openings each counts, and the mark each went under."""

    mark: str
    rows: tuple[int, ...]
    counts: tuple[int, ...]
    marks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class AskedOfSheet:
    """What the sheet leaves open: `column` (which one holds it), `columns` (two claim it), `value`
    (a cell that may mean several things), `repeat` (rows added up), `merged-quantity`, `tables`
    (several on one sheet), `mixed` (a column set aside, some cells of which are values of ours),
    `hinted` (cells that hint at a value without being one), `unread` (a cell that says nothing
    known), `total` (a count that the rows do not come to).

    column: ours. written: the cell or mark; candidates: headings or clean cells, of each table its
    headings; rows: the first few, of each table its header; count: of all of them.
    """

    what: str
    column: str
    written: str = ""
    candidates: tuple[str, ...] = ()
    rows: tuple[int, ...] = ()
    count: int = 0


@dataclass(frozen=True, slots=True)
class SheetReading:
    """What was found in a sheet and made of it.

    where: the file; header_rows: one or two; first_row, last_row: of the openings; rows: those
    read [count]; form: what the bytes were (`xlsx`, or encoding and separator). chosen: the
    choices that were put to use. columns_beyond: filled ones that were not looked at, behind the
    hundredth [count]. tables: those read together [count], with their columns side by side.
    """

    where: str
    sheet: str = ""
    form: str = ""
    header_rows: tuple[int, ...] = ()
    first_row: int = 0
    last_row: int = 0
    rows: int = 0
    columns: tuple[ReadColumn, ...] = ()
    values: tuple[ReadValue, ...] = ()
    skipped: tuple[SkippedRows, ...] = ()
    merged: tuple[str, ...] = ()
    repeated: tuple[RepeatedMark, ...] = ()
    asked: tuple[AskedOfSheet, ...] = ()
    chosen: SheetChoices = field(default_factory=SheetChoices)
    clean: bool = False
    columns_beyond: int = 0
    tables: int = 1
