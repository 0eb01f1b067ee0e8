"""A cell of a sheet as clean cells: by somebody's choice, the dialect, or as it stands."""

import re
from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

from wholekit.domain.openings.sheet import SheetChoices
from wholekit.domain.quantities import QuantityError
from wholekit.intake.cells import Read, clean, quantity
from wholekit.intake.dialect import CellReading, translate
from wholekit.intake.headings import MEASURED
from wholekit.intake.tables import RefusedCell

_NUMBER = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*([A-Za-z]{1,4})?$")
# 'B' or "B"; in 3'-0" each stands for a unit.
_QUOTED = re.compile(r"""([\"'“‘«])\s*([^\"'“”‘’«»]+?)\s*([\"'”’»])$""")
_NO_CELLS: Mapping[str, str] = MappingProxyType({})


def cell_key(text: str) -> str:
    """A cell as choices know it: without case and needless spaces."""
    return " ".join(text.split()).casefold()


def unquoted(cell: str) -> str:
    """A cell in single spaces, without quotation marks around it.

    >>> unquoted('"B"'), unquoted("3'-0\\"")
    ('B', '3\\'-0"')
    """
    text = " ".join(cell.split())
    quoted = _QUOTED.match(text)
    return quoted[2] if quoted else text


class Cells:
    """Reads cells of one sheet; each kind once."""

    def __init__(self, choices: SheetChoices, readers: Mapping[str, Read]) -> None:
        self._readers = {**readers, "quantity": quantity}
        self._chosen = {
            (column, cell_key(cell)): text
            for column, cells in choices.values.items()
            for cell, text in cells.items()
        }
        self._known: dict[tuple[str, str, str], CellReading | None] = {}
        self._reads: dict[tuple[str, str, str], bool] = {}

    def reading(self, column: str, cell: str, unit: str) -> CellReading | None:
        """What a cell was read as; None where it is to be read as it stands."""
        if isinstance(cell, RefusedCell):
            return None
        known = (column, cell, unit)
        if known not in self._known:
            self._known[known] = self._read(column, cell, unit)
        return self._known[known]

    def reads(self, column: str, cell: str, unit: str) -> bool:
        """Whether a cell is a value of a column, clear or not."""
        known = (column, cell, unit)
        if known not in self._reads:
            self._reads[known] = self._is_value(column, cell, unit)
        return self._reads[known]

    def _read(self, column: str, cell: str, unit: str) -> CellReading | None:
        text = self._chosen.get((column, cell_key(cell)))
        if text is not None:
            # What somebody tells may itself be in the words of the trade: `PR 3-0`.
            meant = translate(column, text, unit or None) if text else None
            given = _NO_CELLS if not text else {column: text} if meant is None else meant.cells
            return CellReading(column, cell, MappingProxyType(dict(given)), "chosen", "chosen")
        inside = unquoted(cell)
        if inside != " ".join(cell.split()):
            return self._unquoted(column, cell, inside, unit)
        reading = translate(column, cell, unit or None)
        return self._in_unit(column, cell, unit) if reading is None else reading

    def _unquoted(self, column: str, cell: str, inside: str, unit: str) -> CellReading | None:
        """A cell that stands in quotation marks, as what stands in them."""
        reading = self._read(column, inside, unit)
        if reading is not None:
            return replace(reading, written=cell)
        if not self._is_clean(column, inside):
            return None
        return CellReading(column, cell, MappingProxyType({column: inside}), "quoted", "ours")

    def _in_unit(self, column: str, cell: str, unit: str) -> CellReading | None:
        """A bare number under a heading with a unit, and a decimal comma, where nothing else reads
        them."""
        number = _NUMBER.match(cell.strip())
        if number is None or column not in MEASURED or self._is_clean(column, cell):
            return None
        digits = cell.strip().replace(",", ".")
        text = digits if number[2] else f"{digits} {unit}".strip()
        if text == cell.strip() or not self._is_clean(column, text):
            return None
        return CellReading(
            column, cell, MappingProxyType({column: text}), "number-of-heading", "ours"
        )

    def _is_clean(self, column: str, text: str) -> bool:
        try:
            self._readers[column](clean(text))
        except QuantityError:
            return False
        return True

    def _is_value(self, column: str, cell: str, unit: str) -> bool:
        if column not in self._readers:
            return False
        try:
            text = clean(cell)
            reading = None if not text else self.reading(column, cell, unit)
            if reading is not None:
                # A hand in a column of swings is translated, but makes it no column of swings.
                return column in reading.cells or bool(reading.asked)
            self._readers[column](text)
        except QuantityError:
            return False
        return True
