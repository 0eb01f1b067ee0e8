"""The price book: one CSV row for each item sold, and what pieces it supplies."""

import csv
import io
import re
from collections.abc import Callable, Iterator
from functools import cache
from operator import itemgetter
from pathlib import Path
from typing import TypeVar

from wholekit.domain.catalog.model import Item, Supply
from wholekit.domain.catalog.nearest_words import listed, what_is_right
from wholekit.domain.catalog.terms import BuyingTerms
from wholekit.domain.errors import Problem
from wholekit.domain.quantities import Cost, Money, QuantityError, parse_cost, parse_money
from wholekit.intake.buying_columns import BUYING, TermsReader
from wholekit.intake.counts import SKU, whole
from wholekit.intake.text_file import LONGEST_LINE, is_line, read_text

Key = TypeVar("Key")
Value = TypeVar("Value")

MOST_ROWS = 100_000
LARGEST_FILE = 64_000_000
# What is being done, how much of it is done, and how much there is of it in all.
Progress = Callable[[str, int, int], None]
TOLD_EVERY = 5_000
REQUIRED = ("sku", "description", "list", "cost", "supplies")
OPTIONAL = (
    "finish", "pack_size", "on_hand", "bin", "lead_days", "barcode", "status", "replaced_by",
    *BUYING,
)  # fmt: skip
COLUMNS = (*REQUIRED, *OPTIONAL)
STATUSES = ("current", "discontinued")
NO_REPLACEMENT = "none"
_PART = re.compile(r"(?:(\d{1,6})\s+)?([a-z0-9][a-z0-9.-]{0,59})$")


def read_price_book(
    path: Path,
    where: str,
    supplier: str,
    currency: str,
    problems: list[Problem],
    progress: Progress | None = None,
) -> tuple[list[Item], dict[str, int]] | None:
    """Reads the items, putting every fault down with its row and column, and what is on hand of
    each, by SKU [packs], those without any left out.

    None if the file could not be read as a table at all. Rows are counted as a spreadsheet shows
    them, the header being row 1. At most 100,000 rows of items and 64,000,000 bytes are taken; a
    larger file is refused before any row of it is read.
    """
    text = read_text(path, where, LARGEST_FILE, problems)
    if text is None:
        return None
    # Blank lines count too: what is too long is refused before any of it is read.
    lines = text.count("\n") + (not text.endswith("\n"))
    if lines > MOST_ROWS + 1:
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
    if progress is not None:
        rows = _telling(rows, where, lines, progress)
    items = list(reader.items(rows))
    if not items and not any(problem.where == where for problem in problems):
        problems.append(Problem("table-without-rows", {}, where, 2))
    return [item for item in items if item is not None], reader.on_hand


def read_item_rows(
    rows: Iterator[tuple[int, list[str]]],
    where: str,
    supplier: str,
    currency: str,
    problems: list[Problem],
) -> tuple[list[Item], dict[str, int]]:
    """Items of rows that have a cell for each of COLUMNS, in their order, and what is on hand."""
    columns = {name: number for number, name in enumerate(COLUMNS)} | {"*": len(COLUMNS)}
    reader = _ItemReader(columns, where, supplier, currency, problems)
    return [item for item in reader.items(rows) if item is not None], reader.on_hand


def _rows(text: str, where: str, problems: list[Problem]) -> Iterator[tuple[int, list[str]]]:
    # Bytes hold a large text in a quarter of the room of a StringIO, and give its lines sooner.
    lines = io.TextIOWrapper(io.BytesIO(text.encode()), "utf-8", newline="")
    reader = csv.reader(lines, strict=True)
    row = 0
    try:
        for row, cells in enumerate(reader, start=1):
            yield row, cells
    except csv.Error as error:
        problems.append(Problem("not-csv", {"error": str(error)}, where, row + 1))


def _telling(
    rows: Iterator[tuple[int, list[str]]], where: str, lines: int, progress: Progress
) -> Iterator[tuple[int, list[str]]]:
    for number, row in enumerate(rows, start=1):
        if number % TOLD_EVERY == 0:
            progress(where, number, lines)
        yield row


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


class _Memo(dict[Key, Value]):
    """Values by what they were read from; what is faulty raises QuantityError each time."""

    def __init__(self, read: Callable[[Key], Value]) -> None:
        super().__init__()
        self._read = read

    def __missing__(self, key: Key) -> Value:
        value = self[key] = self._read(key)
        return value


class _ItemReader:
    """Reads rows; cells that repeat (prices, counts, supplies) are read once and remembered.

    A sound row is read without asking what may be wrong with it; at its first fault it is read
    anew, cell by cell, and every fault of it put down.
    """

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
        self.on_hand: dict[str, int] = {}
        self._no_money = Money.zero(currency)
        self._no_cost = Cost(0, currency)
        self._money = _Memo[str, Money](lambda text: parse_money(text.strip(), currency))
        self._cost = _Memo[str, Cost](lambda text: parse_cost(text.strip(), currency))
        self._packs = _Memo[str, int](lambda text: whole(text, 1, 1))
        self._counts = _Memo[str, int](lambda text: whole(text, 0, 0))
        self._terms = TermsReader(currency)
        self._supplies = cache(_supplies)
        self._sound_descriptions = _Memo[str, str](_description)
        self._sound_supplies = _Memo[tuple[str, int], tuple[Supply, ...]](self._all_supplies)
        self._sound_states = _Memo[tuple[str, str], tuple[bool, str | None]](_state)
        # A column that is not there stands for the empty cell put behind the row's own.
        self._picked = itemgetter(*(columns.get(name, self._width) for name in COLUMNS))

    def items(self, rows: Iterator[tuple[int, list[str]]]) -> Iterator[Item | None]:
        """The item of each row that is not blank, with stand-ins for faulty cells; None for a row
        of other width."""
        width, picked, sound = self._width, self._picked, self._sound_item
        for row, cells in rows:
            if not any(cells):
                continue
            if len(cells) != width:
                fields = {"given": len(cells), "wanted": width, "text": ", ".join(cells)}
                self._problems.append(Problem("row-ragged", fields, self._where, row))
                yield None
                continue
            cells.append("")
            try:
                item = sound(row, picked(cells))
            except QuantityError:
                self._row, self._cells = row, cells
                item = self._faulty_item(row)
            yield item

    def _sound_item(self, row: int, cells: tuple[str, ...]) -> Item:
        """The item of a row without a fault, its cells in the order of COLUMNS.

        Raises QuantityError at the first fault.
        """
        (
            sku, description, price, cost, supplies, finish, pack_size, on_hand, place, lead_days,
            barcode, status, replaced_by, *_,
        ) = cells  # fmt: skip
        if not SKU.fullmatch(sku):
            raise QuantityError("sku-unreadable", sku)
        pack = self._packs[pack_size]
        discontinued, replacement = self._sound_states[status, replaced_by]
        counts = self._counts
        if counts[on_hand]:
            self.on_hand[sku] = counts[on_hand]
        return Item(
            sku,
            self._supplier,
            self._sound_descriptions[description],
            finish.strip() or None,
            self._money[price],
            self._cost[cost],
            self._sound_supplies[supplies, pack],
            pack,
            place.strip(),
            counts[lead_days],
            barcode.strip(),
            discontinued,
            replacement,
            row,
            self._terms.sound(cells[-len(BUYING) :]),
        )

    def _faulty_item(self, row: int) -> Item:
        """The item of a row read cell by cell, with every fault of it put down."""
        sku = self._text("sku")
        if not SKU.fullmatch(sku):
            self._fault("sku-unreadable", "sku", given=sku)
        description = self._text("description")
        if not is_line(description):
            self._fault("text-unreadable", "description", most=LONGEST_LINE)
        pack_size = self._read("pack_size", self._packs, 1)
        discontinued, replaced_by = self._status()
        on_hand = self._read("on_hand", self._counts, 0)
        if on_hand:
            self.on_hand[sku] = on_hand
        return Item(
            sku=sku,
            supplier=self._supplier,
            description=description,
            finish=self._text("finish") or None,
            list_price=self._read("list", self._money, self._no_money),
            cost=self._read("cost", self._cost, self._no_cost),
            supplies=self._parts(pack_size),
            pack_size=pack_size,
            bin=self._text("bin"),
            lead_days=self._read("lead_days", self._counts, 0),
            barcode=self._text("barcode"),
            discontinued=discontinued,
            replaced_by=replaced_by,
            row=row,
            terms=self._buying_terms(),
        )

    def _text(self, column: str) -> str:
        number = self._columns.get(column)
        return "" if number is None else self._cells[number].strip()

    def _fault(self, code: str, column: str, **fields: object) -> None:
        self._problems.append(Problem(code, fields, self._where, self._row, column))

    def _read(self, column: str, known: _Memo[str, Value], stand_in: Value) -> Value:
        try:
            return known[self._text(column)]
        except QuantityError as error:
            self._fault(error.code, column, given=error.given, **error.fields)
            return stand_in

    def _buying_terms(self) -> BuyingTerms:
        terms, faults = self._terms.read([self._text(column) for column in BUYING])
        for column, error in faults:
            self._fault(error.code, column, given=error.given, **error.fields)
        return terms

    def _status(self) -> tuple[bool, str | None]:
        """Whether the item is discontinued, and the SKU that replaces it."""
        status = self._text("status").lower() or STATUSES[0]
        if status not in STATUSES:
            self._fault("status-unknown", "status", given=status, right=listed(STATUSES))
        replaced_by = self._text("replaced_by")
        if status == STATUSES[1] and not replaced_by:
            self._fault("replacement-unstated", "replaced_by", sku=self._text("sku"))
        return _discontinued(status, replaced_by)

    def _parts(self, pack_size: int) -> tuple[Supply, ...]:
        supplies, faults = self._supplies(self._text("supplies"), pack_size)
        for code, given in faults:
            self._fault(code, "supplies", given=given)
        return supplies

    def _all_supplies(self, key: tuple[str, int]) -> tuple[Supply, ...]:
        """The supplies of a cell and a pack size. Raises QuantityError if any cannot be read."""
        text, pack_size = key
        supplies, faults = self._supplies(text.strip(), pack_size)
        for code, given in faults:
            raise QuantityError(code, given)
        return supplies


def _description(text: str) -> str:
    """The description of a cell. Raises QuantityError."""
    described = text.strip()
    if not is_line(described):
        raise QuantityError("text-unreadable", described)
    return described


def _state(cells: tuple[str, str]) -> tuple[bool, str | None]:
    """What the cells of status and replacement say. Raises QuantityError."""
    status, replaced_by = cells[0].strip().lower() or STATUSES[0], cells[1].strip()
    if status not in STATUSES or (status == STATUSES[1] and not replaced_by):
        raise QuantityError("status-unknown", status)
    return _discontinued(status, replaced_by)


def _discontinued(status: str, replaced_by: str) -> tuple[bool, str | None]:
    """Whether an item is discontinued, and the SKU that replaces it."""
    unnamed = not replaced_by or replaced_by.lower() == NO_REPLACEMENT
    return status == STATUSES[1], None if unnamed else replaced_by


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
