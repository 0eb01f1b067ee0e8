"""The opening schedule: CSV or XLSX, one row for each mark."""

from collections.abc import Callable, Mapping, Sequence
from operator import itemgetter
from pathlib import Path
from typing import BinaryIO

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.openings import Opening, OpeningType, plain_mark
from wholekit.domain.quantities import QuantityError
from wholekit.intake.cells import (
    LONGEST_MARK,
    LONGEST_NOTE,
    LONGEST_ROOM,
    clean,
    other_word,
    quantity,
    read_cell,
    readers,
)
from wholekit.intake.faults import Faults
from wholekit.intake.kinds import Kind, read_kind
from wholekit.intake.tables import (
    STDIN_NAME,
    RowTable,
    column_name,
    read_header,
    read_table,
    whole_rows,
)
from wholekit.intake.vocabulary import MEANT

# All but the size; a schedule with every column in this order is the usual one.
KIND_COLUMNS = (
    "size", "width", "height", "leaves", "door", "core", "door_reinforced", "weight", "thickness",
    "frame", "frame_reinforced", "location", "swing", "hand", "body_side", "mount",
    "fire_minutes", "accessible", "opening_degrees", "hold_open", "delayed_action", "backcheck",
    "top_rail", "head_face", "ceiling_clearance", "reveal", "stop", "pressure", "wind", "finish",
    "series", "spring_size", "jurisdiction", "egress", "seals", "latch", "grade", "traffic",
    "existing_holes",
)  # fmt: skip
COLUMNS = ("mark", "quantity", *KIND_COLUMNS, "room", "note")
REQUIRED = ("mark", "size")


def read_schedule(
    path: Path | None,
    *,
    stdin: BinaryIO | None = None,
    finishes: FinishBook,
    jurisdictions: Mapping[str, str] | None = None,
) -> list[Opening]:
    """The openings of a schedule file, in its order; of `stdin` where path is None.

    finishes: reads a written finish as a code. jurisdictions: every name of a profile of force
    limits with the profile it means; without them any name is kept. Rows alike in all but mark,
    quantity and note share one OpeningType object, so cost grows with rows plus kinds. At most
    100,000 rows. Raises InputError with every problem, each with its row and column; past two
    hundred problems it stops looking. docs/schedule-format.md describes the columns.
    """
    faults = Faults(STDIN_NAME if path is None else path.name)
    table = read_table(path, stdin, faults, is_schedule, REQUIRED)
    return openings_of(table, faults, readers(finishes, jurisdictions))


def openings_of(
    table: RowTable, faults: Faults, read: Mapping[str, Callable[[str], object]]
) -> list[Opening]:
    """The openings of a table whose header is in our words. read: the reader of each column.

    Raises InputError.
    """
    columns = read_header(table, COLUMNS, MEANT, faults)
    lacking = _lacking(columns)
    for name in lacking:
        code = "size-column-needed" if name == "size" else "column-missing"
        faults.put(code, table.header_row, name, given=name)
    if lacking:
        # Every row would only repeat the header's fault.
        faults.raise_if_any()
    rows = _Rows(columns, faults, read)
    openings = [rows.opening(row, cells) for row, cells in whole_rows(table, faults)]
    if not openings and not faults:
        faults.put("table-without-rows-below", table.header_row)
    faults.raise_if_any()
    return [opening for opening in openings if opening is not None]


def is_schedule(header: Sequence[str]) -> bool:
    """Whether a row of cells is the header of a schedule."""
    return not _lacking({column_name(cell) for cell in header})


def _lacking(names: Mapping[str, int] | set[str]) -> list[str]:
    missing = [] if "mark" in names else ["mark"]
    if "size" not in names:
        sides = [side for side in ("width", "height") if side not in names]
        missing += sides if len(sides) == 1 else ["size"] * bool(sides)
    return missing


class _Rows:
    """Reads rows; those alike in every cell that decides the kit are read once."""

    def __init__(
        self,
        columns: Mapping[str, int],
        faults: Faults,
        read: Mapping[str, Callable[[str], object]],
    ) -> None:
        self._faults = faults
        self._readers = read
        self._kind_columns = [(name, columns[name]) for name in KIND_COLUMNS if name in columns]
        self._key = itemgetter(*(number for _, number in self._kind_columns))
        self._mark = columns["mark"]
        self._quantity = columns.get("quantity")
        self._note = columns.get("note")
        self._room = columns.get("room")
        self._finish = columns.get("finish")
        self._kinds: dict[object, Kind] = {}
        self._types: dict[tuple[str, ...], OpeningType] = {}
        self._quantities: dict[str, int] = {}
        # Most rows have no note: that one is known from the start.
        self._texts: dict[tuple[str, str], str] = {}
        self._first_rows: dict[str, int] = {}

    def opening(self, row: int, cells: Sequence[str]) -> Opening | None:
        """The opening of one row; None where something of it was put down as a fault."""
        key = self._key(cells)
        kind = self._kinds.get(key)
        if kind is None:
            kind = self._kinds[key] = self._read_kind(cells)
        mark = self._read_mark(row, cells[self._mark])
        count = 1 if self._quantity is None else self._read_quantity(row, cells[self._quantity])
        # A kind is read once, but what is wrong with it is wrong in each of its rows.
        if not isinstance(kind, OpeningType):
            for fault in kind:
                self._faults.put(fault.code, row, fault.column, **fault.fields)
        note = self._read_text(row, cells, "note", self._note, LONGEST_NOTE)
        room = self._read_text(row, cells, "room", self._room, LONGEST_ROOM)
        if mark is None or count is None or not isinstance(kind, OpeningType):
            return None
        if note is None or room is None:
            return None
        written = "" if self._finish is None else other_word(cells[self._finish], kind.finish)
        return Opening(mark, kind, count, note, room, written)

    def _read_kind(self, cells: Sequence[str]) -> Kind:
        named = ((name, cells[number]) for name, number in self._kind_columns)
        kind = read_kind(named, self._readers)
        if not isinstance(kind, OpeningType):
            return kind
        # 3070 and 36x84 are one kind; 914.4 mm, though as wide, stays what was written.
        shown = tuple(str(getattr(kind, field)) for field in OpeningType.__dataclass_fields__)
        return self._types.setdefault(shown, kind)

    def _read_mark(self, row: int, cell: str) -> str | None:
        # Nearly every mark is such, and there is nothing in it to clean.
        plain = cell.isascii() and cell.isalnum()
        mark = cell if plain and len(cell) <= LONGEST_MARK else self._clean_mark(row, cell)
        if mark is None:
            return None
        first = self._first_rows.setdefault(mark, row)
        if first != row:
            self._faults.put("mark-repeated", row, "mark", mark=mark, first=first)
            return None
        return mark

    def _clean_mark(self, row: int, cell: str) -> str | None:
        try:
            mark = plain_mark(clean(cell, LONGEST_MARK))
        except QuantityError as error:
            self._put(row, "mark", error)
            return None
        if not mark:
            self._faults.put("mark-needed-in-row", row, "mark")
        return mark or None

    def _read_quantity(self, row: int, cell: str) -> int | None:
        count = self._quantities.get(cell)
        if count is None:
            try:
                text = clean(cell)
                count = read_cell(text, quantity) if text else 1
            except QuantityError as error:
                self._put(row, "quantity", error)
                return None
            self._quantities[cell] = count
        return count

    def _read_text(
        self, row: int, cells: Sequence[str], column: str, place: int | None, most: int
    ) -> str | None:
        # Most rows have no such text.
        if place is None or not cells[place]:
            return ""
        cell = cells[place]
        text = self._texts.get((column, cell))
        if text is None:
            try:
                text = self._texts[column, cell] = clean(cell, most)
            except QuantityError as error:
                self._put(row, column, error)
        return text

    def _put(self, row: int, column: str, error: QuantityError) -> None:
        self._faults.put(error.code, row, column, given=error.given, **error.fields)
