"""A kit made by hand or by an old invoice: marks, SKUs and counts."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from wholekit.domain.errors import Problem
from wholekit.domain.openings import plain_mark
from wholekit.domain.quantities import QuantityError
from wholekit.intake.cells import LONGEST_MARK, clean, quantity, read_cell
from wholekit.intake.faults import Faults
from wholekit.intake.tables import STDIN_NAME, column_name, read_header, read_table, whole_rows

COLUMNS = ("mark", "sku", "quantity")
MEANT = {"qty": "quantity", "count": "quantity", "item": "sku", "part": "sku", "opening": "mark"}
_NEEDED = {"mark": "mark-needed-in-row", "sku": "sku-needed", "quantity": "quantity-needed"}
LONGEST = {"mark": LONGEST_MARK, "sku": 40, "quantity": 40}


@dataclass(frozen=True, slots=True)
class KitRow:
    """So many of one SKU [packs] for one opening of a mark, and the row it stands in."""

    mark: str
    sku: str
    quantity: int
    row: int


def read_kit_file(
    path: Path | None,
    *,
    stdin: BinaryIO | None = None,
    also: Callable[[KitRow], Iterable[Problem]] | None = None,
) -> list[KitRow]:
    """The rows of a kit file, CSV or XLSX, in its order; of `stdin` where path is None.

    Columns mark, sku, quantity, all required; an empty quantity is not taken for one. A SKU may
    stand twice for a mark: an invoice may have it so. also: what else is wrong with a row, such
    as a SKU nobody sells; told together with the rest. Raises InputError with every problem.
    """
    faults = Faults(STDIN_NAME if path is None else path.name)
    table = read_table(path, stdin, faults, _is_kit, COLUMNS)
    columns = read_header(table, COLUMNS, MEANT, faults)
    lacking = [name for name in COLUMNS if name not in columns]
    for name in lacking:
        faults.put("column-missing", table.header_row, name, given=name)
    if lacking:
        faults.raise_if_any()
    rows = [
        _kit_row(row, {name: cells[columns[name]] for name in COLUMNS}, faults)
        for row, cells in whole_rows(table, faults)
    ]
    if not rows and not faults:
        faults.put("table-without-rows-below", table.header_row)
    for row in rows:
        for problem in () if row is None or also is None else also(row):
            faults.put(problem.code, problem.row, problem.column, **problem.fields)
    faults.raise_if_any()
    return [row for row in rows if row is not None]


def _kit_row(row: int, cells: dict[str, str], faults: Faults) -> KitRow | None:
    """One row; None where something of it was put down as a fault."""
    texts: dict[str, str] = {}
    count = 0
    for name, cell in cells.items():
        try:
            text = clean(cell, LONGEST[name])
            if not text:
                faults.put(_NEEDED[name], row, name)
                continue
            if name == "quantity":
                count = read_cell(text, quantity)
            texts[name] = plain_mark(text) if name == "mark" else text
        except QuantityError as error:
            faults.put(error.code, row, name, given=error.given, **error.fields)
    # A row without a count is judged for the rest of it; the file is refused all the same.
    good = {"mark", "sku"} <= texts.keys()
    return KitRow(texts["mark"], texts["sku"], count, row) if good else None


def _is_kit(header: Sequence[str]) -> bool:
    return set(COLUMNS) <= {column_name(cell) for cell in header}
