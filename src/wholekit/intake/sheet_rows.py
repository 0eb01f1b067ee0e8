"""The rows of a found table as openings; rows that are written alike are read once."""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache, partial
from operator import itemgetter

from wholekit.domain.openings import (
    Opening,
    OpeningType,
    UnaskedDoor,
    WhyUnasked,
    plain_mark,
)
from wholekit.domain.openings.sheet import AskedOfSheet, ReadValue
from wholekit.domain.quantities import QuantityError
from wholekit.intake.cells import (
    GUARDS,
    LONGEST_MARK,
    LONGEST_NOTE,
    LONGEST_ROOM,
    Read,
    clean,
    other_word,
    quantity,
    read_cell,
    shown,
)
from wholekit.intake.dialect import CellReading
from wholekit.intake.dialect_rows import load_dialect
from wholekit.intake.faults import Faults
from wholekit.intake.kinds import SIZES, Fault, Kind, read_kind
from wholekit.intake.schedule import KIND_COLUMNS
from wholekit.intake.sheet_cells import Cells, unquoted
from wholekit.intake.sheet_columns import SheetColumns
from wholekit.intake.tables import Row
from wholekit.intake.unclear import OR, UNCLEAR_FIELDS, as_written
from wholekit.intake.wishes import Wishes

_ROWS_NAMED = 5
# Words as most rooms have them, in which there is nothing to clean.
_PLAIN = re.compile(r"\w[\w.&/#-]{0,30}(?: [\w.&/#-]{1,30}){0,2}$")
# What is told of a row without a size says nothing new where the sheet has no column for it.
_OF_COLUMNS = frozenset({"size-needed", "side-needed"})
# Where two columns may each say it, both must say the same.
_AGREE = ("leaves", "quantity")
_FIELDS = tuple(OpeningType.__dataclass_fields__)


@dataclass(slots=True)
class _Kind:
    """What all rows alike come to. texts: the clean cells; counted: a quantity is among them;
    unread: cells that say nothing known; finish: the sheet's own word; rows: where they stand."""

    type: OpeningType | None
    faults: tuple[Fault, ...]
    texts: Mapping[str, str]
    readings: tuple[CellReading, ...]
    asked: tuple[tuple[str, str, tuple[str, ...]], ...]
    counted: bool
    unread: tuple[AskedOfSheet, ...] = ()
    finish: str = ""
    rows: list[int] = field(default_factory=list)
    plain: bool = field(init=False)

    def __post_init__(self) -> None:
        """Whether its mark, count and remark are all that a row brings."""
        self.plain = self.type is not None and not self.counted and not self.unread


class SheetRows:
    """Reads the rows of one table, and keeps what was made of them."""

    def __init__(
        self,
        columns: SheetColumns,
        cells: Cells,
        readers: Mapping[str, Read],
        faults: Faults,
        forgiving: frozenset[str],
        wishes: Sequence[Wishes] = (),
    ) -> None:
        self._forgiving = forgiving
        self._cells = cells
        # Each distinct text of a column is read once.
        self._readers = {name: cache(read) for name, read in readers.items()}
        self._looks: dict[int, tuple[object, str]] = {}
        self._faults = faults
        self._lacking = bool(columns.lacking)
        self._headings = {
            column.column: column.heading for column in reversed(columns.read) if column.column
        }
        places = columns.places
        units = {column.number - 1: column.unit for column in columns.read}
        self._of_kind = [
            (name, place, units.get(place, ""))
            for name in KIND_COLUMNS
            for place in places.get(name, ())
        ]
        self._width = len(columns.read)
        self._mark = places.get("mark", (None,))[0]
        self._quantities = places.get("quantity", ())
        self._notes = places.get("note", ())
        self._rooms = places.get("room", ())
        self._wishes = tuple(wishes)
        self._kinds: dict[object, _Kind] = {}
        self._types: dict[tuple[str, ...], OpeningType] = {}
        self._counts: dict[str, int] = {}
        self._texts_of_notes: dict[str, str] = {"": ""}
        self._count_readings: Counter[tuple[str, CellReading]] = Counter()
        self.texts: dict[OpeningType, Mapping[str, str]] = {}

    def openings(self, rows: Iterable[Row]) -> tuple[list[int], list[Opening]]:
        """The openings with their rows beside them; rows with a fault are put down and left out."""
        places = [place for _, place, _ in self._of_kind]
        pick = itemgetter(*places) if places else lambda _cells: ()
        kinds, counts, notes, width = self._kinds, self._counts, self._texts_of_notes, self._width
        count_at = self._quantities[0] if self._quantities else None
        note_at = self._notes[0] if self._notes else None
        room_at = self._rooms[0] if self._rooms else None
        alone = all(len(some) < 2 for some in (self._quantities, self._notes, self._rooms))
        mark_at = self._mark if alone and not self._wishes else None
        numbers: list[int] = []
        found: list[Opening] = []
        for row, given in rows:
            cells = given
            if len(cells) < width:
                cells = (*cells, *[""] * (width - len(cells)))
            key = pick(cells)
            count = 1 if count_at is None else counts.get(cells[count_at])
            if count is None:
                # `2 PR` says more than a count.
                key = (key, *[cells[place] for place in self._quantities])
            kind = kinds.get(key)
            if kind is None:
                kind = kinds[key] = self._read_kind(cells)
            kind.rows.append(row)
            # Most rows bring nothing new but their mark, and are made here without a call.
            opening = None
            if kind.plain and count is not None and mark_at is not None:
                mark = cells[mark_at]
                note = notes.get(cells[note_at]) if note_at is not None else ""
                room = cells[room_at] if room_at is not None else ""
                if (
                    note is not None
                    and (not room or (room.isascii() and room.isalnum()) or _PLAIN.match(room))
                    and mark.isascii()
                    and mark.isalnum()
                    and len(mark) <= LONGEST_MARK
                ):
                    opening = Opening(mark, kind.type, count, note, room, kind.finish)  # type: ignore[arg-type]  # plain
            if opening is None:
                opening = self._opening(row, cells, kind)
            if opening is not None:
                numbers.append(row)
                found.append(opening)
        return numbers, found

    def values(self) -> tuple[ReadValue, ...]:
        """Each kind of cell that was translated, with its count, the commonest first."""
        counts: Counter[tuple[str, str]] = Counter()
        found: dict[tuple[str, str], CellReading] = {}
        for kind in self._kinds.values():
            for reading in kind.readings:
                key = reading.column, " ".join(reading.written.split())
                found.setdefault(key, reading)
                counts[key] += len(kind.rows)
        for (written, reading), count in self._count_readings.items():
            found.setdefault(("quantity", written), reading)
            counts["quantity", written] += count
        order = sorted(found, key=lambda key: (key[0], -counts[key], key[1]))
        return tuple(
            ReadValue(
                column, shown(written), dict(reading.cells), reading.rule, reading.mark,
                counts[column, written],
            )
            for column, written in order
            for reading in [found[column, written]]
        )  # fmt: skip

    def asked(self) -> tuple[AskedOfSheet, ...]:
        """Each cell that may mean several things or nothing known, with its candidates and rows."""
        found: dict[AskedOfSheet, tuple[list[int], int]] = {}
        for kind in self._kinds.values():
            several = [AskedOfSheet("value", name, shown(w), c) for name, w, c in kind.asked]
            for question in (*several, *kind.unread):
                rows, count = found.get(question, ([], 0))
                found[question] = (
                    sorted([*rows, *kind.rows[:_ROWS_NAMED]])[:_ROWS_NAMED],
                    count + len(kind.rows),
                )
        return tuple(
            replace(question, rows=tuple(rows), count=count)
            for question, (rows, count) in found.items()
        )

    def doors(self, rows: Iterable[tuple[WhyUnasked, Row]]) -> Iterator[UnaskedDoor]:
        """Doors of rows that nothing is quoted for; a row without a mark is none.

        What somebody left out may be no door at all: it needs a size, or a mark with a figure in
        it and anything else of a door. One that cannot be read is a door all the same.
        """
        for why, (row, given) in rows:
            cells = (*given, *[""] * (self._width - len(given)))
            written = "" if self._mark is None else cells[self._mark]
            mark = code = ""
            try:
                mark = plain_mark(clean(written, LONGEST_MARK))
            except QuantityError as error:
                code = error.code
            if why is not WhyUnasked.LEFT_OUT:
                if mark:
                    yield UnaskedDoor(mark, why)
            elif self._is_door(mark, cells):
                yield self._left_out(row, mark, (shown(written), code), cells)

    def _is_door(self, mark: str, cells: Sequence[str]) -> bool:
        said = {name: text for name, place, _ in self._of_kind if (text := cells[place].strip())}
        sized = any(said.get(name, "")[:1].isdigit() for name in SIZES)
        return sized or bool(said and any(map(str.isdigit, mark)))

    def _left_out(
        self, row: int, mark: str, refused: tuple[str, str], cells: Sequence[str]
    ) -> UnaskedDoor:
        """refused: what stands for the mark and by which code it is none."""
        unread = partial(UnaskedDoor, why=WhyUnasked.UNREAD, row=row)
        if not mark:
            written, code = refused
            return unread(written or f"?{row}", column="mark", given=written, code=code)
        faults = self._read_kind(cells).faults
        if not faults:
            return UnaskedDoor(mark, WhyUnasked.LEFT_OUT)
        # A fault of several columns, or of none, is told of the size, which every door has.
        column, code = next(
            ((each.column, each.code) for each in faults if each.column), ("size", "")
        )
        parts = [cells[place].strip() for name, place, _ in self._of_kind if name == column]
        given = shown(" ".join(filter(None, parts)))
        return unread(mark, column=column, given=given, code=code)

    def _opening(self, row: int, cells: Sequence[str], kind: _Kind) -> Opening | None:
        mark = self._read_mark(row, cells)
        count = self._read_quantity(row, cells, kind)
        for fault in kind.faults:
            self._put(row, fault.column, fault.code, fault.fields)
        note = self._read_note(row, cells, kind.unread)
        room = self._read_room(row, cells)
        if mark is None or count is None or kind.type is None or note is None or room is None:
            return None
        return Opening(mark, kind.type, count, note, room, kind.finish)

    def _read_kind(self, cells: Sequence[str]) -> _Kind:
        given: dict[str, list[str]] = {}
        also: dict[str, tuple[str, str]] = {}
        readings: list[CellReading] = []
        asked: list[tuple[str, str, tuple[str, ...]]] = []
        for name, place, unit in self._of_kind:
            cell = cells[place]
            reading = self._cells.reading(name, cell, unit) if cell else None
            if reading is None:
                if cell.strip():
                    given.setdefault(name, []).append(cell)
                continue
            readings.append(reading)
            if reading.asked:
                asked.append((name, unquoted(cell), reading.asked))
            for column, text in reading.cells.items():
                if column == name:
                    given.setdefault(name, []).append(text)
                else:
                    also.setdefault(column, (text, cell))
        for cell in (cells[place] for place in self._quantities if cells[place].strip()):
            reading = self._cells.reading("quantity", cell.strip(), "")
            for column, text in reading.cells.items() if reading is not None else ():
                if column != "quantity":
                    also.setdefault(column, (text, cell))
        texts, faults = self._together(given, also)
        open_size = any(question[0] in SIZES for question in asked)
        kind, unread = self._kind_of(texts)
        if isinstance(kind, OpeningType):
            found: OpeningType | None = kind
        else:
            found = None
            faults += [
                fault
                for fault in kind
                if fault.code not in _OF_COLUMNS or not (open_size or self._lacking)
            ]
        for name, written, candidates in asked:
            if name in SIZES:
                fields = {"given": shown(written), "right": " or ".join(candidates), "means": name}
                faults.append(Fault("value-asked", name, fields))
                found = None
        if found is not None:
            written_so = {name: written for name, written, _ in asked}
            written_so |= {question.column: question.written for question in unread}
            found = as_written(found, written_so)
            found = self._shared(found, texts)
        return _Kind(found if not faults else None, tuple(faults), texts, tuple(readings),
                     tuple(asked), "quantity" in texts, unread,
                     self._finish(cells, found))  # fmt: skip

    def _finish(self, cells: Sequence[str], kind: OpeningType | None) -> str:
        """The sheet's own word for a finish; empty where several columns have one."""
        found = [cells[at] for name, at, _ in self._of_kind if name == "finish" and cells[at]]
        return other_word(found[0], kind.finish) if kind and len(found) == 1 else ""

    def _kind_of(self, texts: dict[str, str]) -> tuple[Kind, tuple[AskedOfSheet, ...]]:
        """The kind of some clean cells, and what of them could not be read; texts are put right.

        Such a cell leaves its column unknown, or with every candidate where none may be assumed.
        """
        columns = [name for name in texts if name in KIND_COLUMNS]
        kind = read_kind(((name, texts[name]) for name in columns), self._readers)
        if isinstance(kind, OpeningType):
            return kind, ()
        unread: list[AskedOfSheet] = []
        for fault in kind:
            if fault.column not in self._forgiving or fault.code in GUARDS:
                continue
            written = shown(texts.pop(fault.column))
            right: tuple[str, ...] = ()
            if fault.column in UNCLEAR_FIELDS:
                right = load_dialect().harshest[fault.column].candidates
                texts[fault.column] = OR.join(right)
            unread.append(AskedOfSheet("unread", fault.column, written, right))
        if unread:
            columns = [name for name in texts if name in KIND_COLUMNS]
            kind = read_kind(((name, texts[name]) for name in columns), self._readers)
        return kind, tuple(unread)

    def _together(
        self, given: Mapping[str, list[str]], also: Mapping[str, tuple[str, str]]
    ) -> tuple[dict[str, str], list[Fault]]:
        """One text for each of our columns, and where two contradict each other."""
        faults: list[Fault] = []
        texts: dict[str, str] = {}
        for name, found in given.items():
            different = list(dict.fromkeys(found))
            if len(different) == 1:
                texts[name] = different[0]
            elif name in UNCLEAR_FIELDS:
                # Two columns that differ leave it unclear, and none of their values is left out.
                parts = [part for text in different for part in text.split(OR)]
                texts[name] = OR.join(dict.fromkeys(parts))
            elif name in SIZES:
                fields = {"given": shown(different[1]), "first": shown(different[0])}
                faults.append(Fault("said-twice", name, fields))
        for name, (text, cell) in also.items():
            own = texts.get(name)
            if own is None:
                texts[name] = text
            elif name in _AGREE and not self._same(name, own, text):
                fields = {"given": shown(cell), "first": f"{name} {shown(own)}"}
                faults.append(Fault("said-twice", name, fields))
        return texts, faults

    def _same(self, name: str, one: str, other: str) -> bool:
        read = quantity if name == "quantity" else self._readers[name]
        try:
            return bool(read(one) == read(other))
        except QuantityError:
            return one == other

    def _shared(self, kind: OpeningType, texts: Mapping[str, str]) -> OpeningType:
        looks = tuple([self._look(getattr(kind, name)) for name in _FIELDS])
        shared = self._types.setdefault(looks, kind)
        self.texts.setdefault(shared, {name: text for name, text in texts.items()
                                       if name in KIND_COLUMNS})  # fmt: skip
        return shared

    def _look(self, value: object) -> str:
        """The text of a value, which like cells share; by identity, since 36 in equals 914.4 mm."""
        known = self._looks.get(id(value))
        if known is None:
            # With the value itself, so that no other takes its place in memory.
            known = self._looks[id(value)] = (value, str(value))
        return known[1]

    def _read_mark(self, row: int, cells: Sequence[str]) -> str | None:
        if self._mark is None:
            return None
        cell = cells[self._mark]
        if cell.isascii() and cell.isalnum() and len(cell) <= LONGEST_MARK:
            return cell
        try:
            mark = plain_mark(clean(cell, LONGEST_MARK))
        except QuantityError as error:
            self._put(row, "mark", error.code, {"given": error.given, **error.fields})
            return None
        if not mark:
            self._put(row, "mark", "mark-needed-in-row", {})
        return mark or None

    def _read_quantity(self, row: int, cells: Sequence[str], kind: _Kind) -> int | None:
        in_size = kind.texts.get("quantity")
        if in_size is None and len(self._quantities) == 1:
            text = cells[self._quantities[0]]
            # Most sheets have but a few counts, each in many rows.
            known = self._counts.get(text)
            if known is None:
                known = self._count(row, text) if text.strip() else 1
                if known is not None and self._cells.reading("quantity", text.strip(), "") is None:
                    self._counts[text] = known
            return known
        found = [text for place in self._quantities if (text := cells[place].strip())]
        different = list(dict.fromkeys([*found, *([in_size] if in_size else [])]))
        if len(different) > 1 and len({self._count(row, text) for text in different}) > 1:
            fields = {"given": shown(different[1]), "first": shown(different[0])}
            self._put(row, "quantity", "said-twice", fields)
            return None
        return self._count(row, different[0]) if different else 1

    def _count(self, row: int, text: str) -> int | None:
        reading = self._cells.reading("quantity", text, "")
        if reading is not None:
            self._count_readings[text, reading] += 1
            text = reading.cells.get("quantity", "1")
        try:
            return read_cell(clean(text), quantity)
        except QuantityError as error:
            self._put(row, "quantity", error.code, {"given": error.given, **error.fields})
            return None

    def _read_note(
        self, row: int, cells: Sequence[str], unread: Sequence[AskedOfSheet]
    ) -> str | None:
        """The remarks of a row; what could not be read stands among them, and a wish that no column
        of ours holds, each under its heading."""
        wished = [text for wishes in self._wishes if (text := wishes.of(cells))]
        if len(self._notes) == 1 and not unread and not wished:
            note = self._texts_of_notes.get(cells[self._notes[0]])
            if note is not None:
                return note
        texts = list(dict.fromkeys(cells[place] for place in self._notes if cells[place].strip()))
        kept = [
            f"{self._headings.get(question.column) or question.column}: {question.written}"
            for question in unread
            if question.column not in UNCLEAR_FIELDS
        ]
        try:
            # Each cleaned alone, since joining would make plain text of a refused cell.
            said = [clean(text, LONGEST_NOTE) for text in texts]
            note = clean(
                "; ".join([*said, *kept, *(clean(text, LONGEST_NOTE) for text in wished)]),
                LONGEST_NOTE,
            )
        except QuantityError as error:
            self._put(row, "note", error.code, {"given": error.given, **error.fields})
            return None
        if len(texts) == 1 and not unread and not wished:
            self._texts_of_notes[texts[0]] = note
        return note

    def _read_room(self, row: int, cells: Sequence[str]) -> str | None:
        texts = dict.fromkeys(cells[place] for place in self._rooms if cells[place].strip())
        try:
            return clean(", ".join(clean(text, LONGEST_ROOM) for text in texts), LONGEST_ROOM)
        except QuantityError as error:
            self._put(row, "room", error.code, {"given": error.given, **error.fields})
            return None

    def _put(self, row: int, column: str, code: str, fields: Mapping[str, object]) -> None:
        """A fault under the sheet's own heading, where it has one."""
        self._faults.put(code, row, self._headings.get(column) or column, **fields)
