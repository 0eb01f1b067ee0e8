"""The price book: one CSV row for each item sold, and what pieces it supplies."""

import csv
import io
import re
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import TypeVar

from wholekit.domain.catalog.model import Item, Supply
from wholekit.domain.catalog.nearest_words import listed, what_is_right
from wholekit.domain.errors import Problem
from wholekit.domain.quantities import Cost, Money, QuantityError, parse_cost, parse_money
from wholekit.intake.text_file import LONGEST_LINE, is_line, read_text

Value = TypeVar("Value")

MOST_ROWS = 100_000
LARGEST_FILE = 64_000_000
LARGEST_COUNT = 1_000_000
REQUIRED = ("sku", "description", "list", "cost", "supplies")
OPTIONAL = (
    "finish", "pack_size", "on_hand", "bin", "lead_days", "barcode", "status", "replaced_by",
)  # fmt: skip
COLUMNS = (*REQUIRED, *OPTIONAL)
STATUSES = ("current", "discontinued")
NO_REPLACEMENT = "none"
_SKU = re.compile(r"[A-Za-z0-9][A-Za-z0-9._/+-]{0,39}")
_PART = re.compile(r"(?:(\d{1,6})\s+)?([a-z0-9][a-z0-9.-]{0,59})$")
_COUNT = re.compile(r"\d{1,12}$")


def read_price_book(
    path: Path, where: str, supplier: str, currency: str, problems: list[Problem]
) -> list[Item] | None:
    """Reads the items, putting every fault down with its row and column.

    None if the file could not be read as a table at all. Rows are counted as a spreadsheet shows
    them, the header being row 1. At most 100,000 rows of items and 64,000,000 bytes are taken; a
    larger file is refused before any row of it is read.
    """
    text = read_text(path, where, LARGEST_FILE, problems)
    if text is None:
        return None
    # Blank lines count too: what is too long is refused before any of it is read.
    if text.count("\n") + (not text.endswith("\n")) > MOST_ROWS + 1:
        problems.append(Problem("too-many-rows", {"most": MOST_ROWS}, where))
        return None
    rows = _rows(text, where, problems)
    header = next(rows, None)
    if header is None:
        if not problems or problems[-1].where != where:
            problems.append(Problem("table-empty", {"right": listed(REQUIRED)}, where))
        return None
    columns = _header(header[1], where, problems)
    if columns is None:
        return None
    reader = _ItemReader(columns, where, supplier, currency, problems)
    items = [reader.item(row, cells) for row, cells in rows if any(cells)]
    if not items and not any(one.where == where for one in problems):
        problems.append(Problem("table-without-rows", {}, where, 2))
    return [item for item in items if item is not None]


def _rows(text: str, where: str, problems: list[Problem]) -> Iterator[tuple[int, list[str]]]:
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    row = 0
    try:
        for row, cells in enumerate(reader, start=1):
            yield row, cells
    except csv.Error as error:
        problems.append(Problem("not-csv", {"error": str(error)}, where, row + 1))


def _header(cells: list[str], where: str, problems: list[Problem]) -> dict[str, int] | None:
    """The place of each column; None if a required one is missing or one is given twice."""
    if len(cells) == 1 and any(mark in cells[0] for mark in ";\t|"):
        problems.append(Problem("not-commas", {}, where, 1))
        return None
    columns: dict[str, int] = {}
    good = True
    for number, cell in enumerate(cells):
        name = "_".join(cell.lower().replace("-", " ").replace("_", " ").split())
        if not name:
            problems.append(Problem("column-unnamed", {"number": number + 1}, where, 1))
        elif name not in COLUMNS:
            fields = {"given": cell.strip(), "right": what_is_right(name, COLUMNS)}
            problems.append(Problem("column-unknown", fields, where, 1, cell.strip()))
        elif name in columns:
            problems.append(Problem("column-twice", {"given": name}, where, 1, name))
            good = False
        else:
            columns[name] = number
    for name in REQUIRED:
        if name not in columns:
            problems.append(Problem("column-missing", {"given": name}, where, 1, name))
            good = False
    columns["*"] = len(cells)
    return columns if good else None


class _ItemReader:
    """Reads rows; cells that repeat (prices, counts, supplies) are read once and remembered."""

    def __init__(
        self,
        columns: dict[str, int],
        where: str,
        supplier: str,
        currency: str,
        problems: list[Problem],
    ) -> None:
        self._width = columns.pop("*")
        self._columns = columns
        self._where = where
        self._supplier = supplier
        self._problems = problems
        self._row = 0
        self._cells: list[str] = []
        self._no_money = Money.zero(currency)
        self._no_cost = Cost(0, currency)
        self._money = cache(lambda text: parse_money(text, currency))
        self._cost = cache(lambda text: parse_cost(text, currency))
        self._supplies = cache(_supplies)
        self._count = cache(_count)

    def item(self, row: int, cells: list[str]) -> Item | None:
        """The item of one row, with stand-ins for faulty cells; None for a row of other width."""
        self._row = row
        if len(cells) != self._width:
            fields = {"given": len(cells), "wanted": self._width, "text": ", ".join(cells)}
            self._problems.append(Problem("row-ragged", fields, self._where, row))
            return None
        self._cells = cells
        sku = self._text("sku")
        if not _SKU.fullmatch(sku):
            self._fault("sku-unreadable", "sku", given=sku)
        description = self._text("description")
        if not is_line(description):
            self._fault("text-unreadable", "description", most=LONGEST_LINE)
        pack_size = self._whole("pack_size", 1, least=1)
        discontinued, replaced_by = self._status()
        return Item(
            sku=sku,
            supplier=self._supplier,
            description=description,
            finish=self._text("finish") or None,
            list_price=self._read("list", self._money, self._no_money),
            cost=self._read("cost", self._cost, self._no_cost),
            supplies=self._parts(pack_size),
            pack_size=pack_size,
            on_hand=self._whole("on_hand", 0),
            bin=self._text("bin"),
            lead_days=self._whole("lead_days", 0),
            barcode=self._text("barcode"),
            discontinued=discontinued,
            replaced_by=replaced_by,
            row=row,
        )

    def _text(self, column: str) -> str:
        number = self._columns.get(column)
        return "" if number is None else self._cells[number].strip()

    def _fault(self, code: str, column: str, **fields: object) -> None:
        self._problems.append(Problem(code, fields, self._where, self._row, column))

    def _read(self, column: str, read: Callable[[str], Value], stand_in: Value) -> Value:
        try:
            return read(self._text(column))
        except QuantityError as error:
            self._fault(error.code, column, given=error.given, **error.fields)
            return stand_in

    def _whole(self, column: str, default: int, least: int = 0) -> int:
        text = self._text(column)
        if not text:
            return default
        count = self._read(column, self._count, default)
        if not least <= count <= LARGEST_COUNT:
            self._fault("count-out-of-range", column, given=text, least=least, most=LARGEST_COUNT)
            return default
        return count

    def _status(self) -> tuple[bool, str | None]:
        """Whether the item is discontinued, and the SKU that replaces it."""
        status = self._text("status").lower() or STATUSES[0]
        if status not in STATUSES:
            self._fault("status-unknown", "status", given=status, right=listed(STATUSES))
        discontinued = status == STATUSES[1]
        replaced_by = self._text("replaced_by")
        if discontinued and not replaced_by:
            self._fault("replacement-unstated", "replaced_by", sku=self._text("sku"))
        if not replaced_by or replaced_by.lower() == NO_REPLACEMENT:
            return discontinued, None
        return discontinued, replaced_by

    def _parts(self, pack_size: int) -> tuple[Supply, ...]:
        supplies, faults = self._supplies(self._text("supplies"), pack_size)
        for code, given in faults:
            self._fault(code, "supplies", given=given)
        return supplies


def _count(text: str) -> int:
    """A whole number of a cell. Raises QuantityError."""
    sign = -1 if text.startswith(("-", "−")) else 1
    digits = text[1:] if sign < 0 else text
    if not _COUNT.match(digits) or not digits.isascii():
        raise QuantityError("count-unreadable", text)
    return sign * int(digits)


def _supplies(text: str, pack_size: int) -> tuple[tuple[Supply, ...], tuple[tuple[str, str], ...]]:
    """The pieces of one whole pack, and what could not be read: code and the words as given."""
    if not text:
        return (), (("supplies-empty", ""),)
    counts: dict[str, int] = {}
    faults: list[tuple[str, str]] = []
    for part in text.split(";"):
        match = _PART.match(part.strip())
        if not match or (match[1] is not None and int(match[1]) == 0):
            faults.append(("supplies-unreadable", part.strip()))
        elif match[2] in counts:
            faults.append(("supplies-twice", match[2]))
        else:
            counts[match[2]] = int(match[1] or 1) * pack_size
    return tuple(Supply(piece, count) for piece, count in counts.items()), tuple(faults)
