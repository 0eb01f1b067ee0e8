"""Office Open XML workbooks (ISO/IEC 29500): values as what they are, and no formula in them.

A text is written as text whatever it begins with, and stays text when somebody edits its cell.
"""

import io
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

from wholekit.domain.house_style import PageSize
from wholekit.domain.quantities import Cost, Money, currency_digits
from wholekit.domain.quantities.money import COST_DIGITS

if TYPE_CHECKING:
    from xlsxwriter import Workbook
    from xlsxwriter.format import Format
    from xlsxwriter.worksheet import Worksheet

Cell = str | int | Money | Cost | Fraction | Decimal | date | None
# What a spreadsheet program may take for the beginning of a formula.
FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")
LONGEST_CELL = 32_767
LONGEST_NAME = 31
NARROWEST, WIDEST = 8, 60
# Numbers of the sheets in ISO/IEC 29500-1, 18.3.1.63 (paperSize), from memory.
_PAPER = {PageSize.LETTER: 1, PageSize.A4: 9}


@dataclass(frozen=True, slots=True)
class WorkSheet:
    """One table: its headings, and rows as wide as they. notice: what is to be said of every row,
    such as that the goods are not ordered."""

    name: str
    headings: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    notice: str = ""


def workbook_bytes(
    sheets: Sequence[WorkSheet], *, title: str, author: str, day: date, page: PageSize
) -> bytes:
    """The sheets that have rows as a workbook, or the first alone where none has; the same sheets
    and day give the same bytes.

    Money is a number with its currency's decimals, a cost one with four, a share a percentage, a
    date a date.
    """
    # Late: no other command writes one.
    from xlsxwriter import Workbook

    out = io.BytesIO()
    options = {"in_memory": True, "strings_to_numbers": False, "strings_to_urls": False}
    with Workbook(out, options) as book:
        book.set_properties(
            {
                "title": title,
                "author": author,
                "created": datetime.combine(day, time(), UTC).replace(tzinfo=None),
            }
        )
        formats = _Formats(book)
        for sheet in [sheet for sheet in sheets if sheet.rows] or sheets[:1]:
            _write(book.add_worksheet(sheet.name[:LONGEST_NAME]), sheet, formats, page)
    return out.getvalue()


class _Formats:
    """The formats of a workbook, each made once."""

    def __init__(self, book: "Workbook") -> None:
        self._book = book
        self._made: dict[str, Format] = {}
        self.heading = book.add_format({"bold": True, "bottom": 1, "text_wrap": True})
        self.text = book.add_format({"text_wrap": True, "valign": "top"})
        self.quoted = book.add_format({"text_wrap": True, "valign": "top", "quote_prefix": True})

    def number(self, pattern: str) -> "Format":
        """The format of a number or a date."""
        if pattern not in self._made:
            self._made[pattern] = self._book.add_format({"num_format": pattern, "valign": "top"})
        return self._made[pattern]


def _write(to: "Worksheet", sheet: WorkSheet, formats: _Formats, page: PageSize) -> None:
    notice = ("!",) if sheet.notice else ()
    headings = (*notice, *sheet.headings)
    said = (sheet.notice,) if sheet.notice else ()
    widths = [len(heading) for heading in headings]
    for column, heading in enumerate(headings):
        to.write_string(0, column, heading, formats.heading)
    for row, cells in enumerate(sheet.rows, start=1):
        for column, cell in enumerate((*said, *cells)):
            _put(to, row, column, cell, formats)
            longest = max(map(len, str(_shown(cell)).splitlines()), default=0)
            widths[column] = max(widths[column], longest)
    for column, width in enumerate(widths):
        to.set_column(column, column, min(WIDEST, max(NARROWEST, width + 2)))
    to.freeze_panes(1, 0)
    to.autofilter(0, 0, max(len(sheet.rows), 1), len(headings) - 1)
    to.repeat_rows(0)
    to.set_landscape()
    to.set_paper(_PAPER[page])
    to.fit_to_pages(1, 0)


def _put(to: "Worksheet", row: int, column: int, cell: Cell, formats: _Formats) -> None:
    match cell:
        case None | "":
            pass
        case str():
            plain = formats.quoted if cell.startswith(FORMULA_SIGNS) else formats.text
            to.write_string(row, column, cell[:LONGEST_CELL], plain)
        case Money():
            pattern = _pattern(currency_digits(cell.currency))
            to.write_number(row, column, float(cell.decimal), formats.number(pattern))
        case Cost():
            amount = cell.units / 10**COST_DIGITS
            to.write_number(row, column, amount, formats.number(_pattern(COST_DIGITS)))
        case Fraction():
            to.write_number(row, column, float(cell), formats.number("0.0###%"))
        case Decimal():
            to.write_number(row, column, float(cell), formats.number("0.00"))
        case date():
            noon = datetime.combine(cell, time(), UTC).replace(tzinfo=None)
            to.write_datetime(row, column, noon, formats.number("yyyy-mm-dd"))
        case int():
            to.write_number(row, column, cell, formats.number("0"))


def _pattern(digits: int) -> str:
    """The number format of an amount with so many decimals.

    >>> _pattern(2), _pattern(0)
    ('#,##0.00', '#,##0')
    """
    return f"#,##0.{'0' * digits}" if digits else "#,##0"


def _shown(cell: Cell) -> object:
    """About what a cell shows, for the width of its column."""
    match cell:
        case None:
            return ""
        case Money():
            return f"{cell.decimal:,}"
        case Cost():
            return f"{cell.units / 10**COST_DIGITS:,.4f}"
        case Fraction():
            return "100.00%"
    return cell
