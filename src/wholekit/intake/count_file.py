"""A count as it comes back: a sheet whose counts were filled in."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from wholekit.domain.quantities import QuantityError
from wholekit.intake.cells import LONGEST_CELL, clean, read_cell, whole
from wholekit.intake.counts import LARGEST_COUNT
from wholekit.intake.faults import Faults
from wholekit.intake.tables import column_name, read_header, read_table, whole_rows

COLUMNS = ("sheet", "branch", "bin", "supplier", "sku", "description", "counted")
ASKED = ("bin", "sku", "counted")
_MEANT = {"count": "counted", "quantity": "counted", "qty": "counted", "item": "sku"}


@dataclass(frozen=True, slots=True)
class CountRow:
    """So many packs of an item in a bin; counted None: the cell was left empty."""

    sheet: str
    branch: str
    bin: str
    supplier: str
    sku: str
    counted: int | None


def read_count_file(path: Path) -> list[CountRow]:
    """The rows of a sheet filled in, CSV or XLSX. Raises InputError with every problem."""
    faults = Faults(path.name)
    table = read_table(path, None, faults, _is_count, ASKED)
    columns = read_header(table, COLUMNS, _MEANT, faults)
    for name in ASKED:
        if name not in columns:
            faults.put("column-missing", table.header_row, name, given=name)
    faults.raise_if_any()
    rows = []
    for row, cells in whole_rows(table, faults):
        texts = dict.fromkeys(COLUMNS, "")
        count: int | None = None
        for name, column in columns.items():
            try:
                texts[name] = clean(cells[column], LONGEST_CELL)
                if name == "counted" and texts[name]:
                    count = read_cell(texts[name], _count)
            except QuantityError as error:
                faults.put(error.code, row, name, given=error.given, **error.fields)
        if not texts["sku"]:
            faults.put("sku-needed", row, "sku")
        rows.append(
            CountRow(
                texts["sheet"],
                texts["branch"],
                texts["bin"],
                texts["supplier"],
                texts["sku"],
                count,
            )
        )
    if not rows and not faults:
        faults.put("table-without-rows-below", table.header_row)
    faults.raise_if_any()
    return rows


def _count(text: str) -> int:
    return whole(text, 0, LARGEST_COUNT)


def _is_count(header: Sequence[str]) -> bool:
    return set(ASKED) <= {column_name(cell) for cell in header}
