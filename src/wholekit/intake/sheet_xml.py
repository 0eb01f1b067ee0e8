"""The XML of a workbook's parts, looked through with a parser before another reader sees it.

The parser is strict and reads every part as UTF-8 whatever it declares; a document type, and with
it every entity, ends the reading. What passes here means the same to any reader of XML.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from xml.parsers import expat

Place = tuple[int, int]

# Far above what a sheet of 100,000 rows may use, so that a reference is a number any reader holds.
MOST_DIGITS = 7
_REFERENCE = re.compile(rf"([A-Za-z]{{1,3}})([0-9]{{1,{MOST_DIGITS}}})")
_FILLING = frozenset({"v", "f", "is"})
_RANGES = frozenset({"mergeCell", "dimension"})
_ROW = re.compile(rf"[0-9]{{1,{MOST_DIGITS}}}")


class SheetXmlError(ValueError):
    """A part that is no sound XML, declares a document type, or holds an impossible reference."""


class FarCellError(SheetXmlError):
    """A filled cell beyond the columns or rows that are taken; row and column count from 1."""

    def __init__(self, row: int, column: int) -> None:
        super().__init__(f"{letters_of(column)}{row}")
        self.row = row
        self.column = column


@dataclass(slots=True)
class OddCell:
    """A cell in error, or one with a formula: the formula's and the value's text, and its type."""

    type: str
    formula: str | None = None
    value: str = ""


def elements(data: bytes) -> list[tuple[str, Mapping[str, str]]]:
    """Every element of a small part, in order: its name and attributes, both without prefix.

    Raises SheetXmlError.
    """
    found: list[tuple[str, Mapping[str, str]]] = []

    def start(name: str, attributes: Mapping[str, str]) -> None:
        plain = {key.rpartition(":")[2]: value for key, value in attributes.items()}
        found.append((name.rpartition(":")[2], plain))

    parser = _parser()
    parser.StartElementHandler = start
    _parse(parser, data)
    return found


def odd_cells(data: bytes, most_rows: int, most_columns: int) -> dict[Place, OddCell]:
    """The cells of a sheet that are in error or hold a formula, by row and column from 1.

    Raises FarCellError for a cell with anything in it beyond the rows and columns that are taken:
    the reader underneath sets up every cell between; SheetXmlError for what is no sheet at all.
    """
    sheet = _Sheet(most_rows, most_columns)
    _parse(sheet.parser, data)
    return sheet.found


@dataclass(slots=True)
class RowPlace:
    """Where a row stands in a sheet's XML: its start tag, from its first byte to behind its last,
    and its end tag. prefix: of its name, with the colon. last_column: of its last cell, from 1, 0
    without any; style: of that cell, as it is written.
    """

    row: int
    prefix: str
    start: int
    start_end: int
    end: int = 0
    last_column: int = 0
    style: str = ""


def row_places(data: bytes) -> tuple[list[RowPlace], tuple[int, int] | None]:
    """The rows of a sheet that have cells, in order; and first byte and end of the tag that states
    its dimension, if there is one.

    Raises SheetXmlError.
    """
    found: list[RowPlace] = []
    dimension: tuple[int, int] | None = None
    row = column = 0
    parser = _parser()

    def start(name: str, attributes: Mapping[str, str]) -> None:
        nonlocal row, column, dimension
        prefix, _, kind = name.rpartition(":")
        at = parser.CurrentByteIndex
        if kind == "dimension":
            dimension = at, data.index(b">", at) + 1
        elif kind == "row":
            row, column = int(attributes.get("r", row + 1)), 0
            written = f"{prefix}:" if prefix else ""
            found.append(RowPlace(row, written, at, data.index(b">", at) + 1))
        elif kind == "c" and found:
            letters = _REFERENCE.fullmatch(attributes.get("r", ""))
            column = column + 1 if letters is None else number_of(letters[1])
            found[-1].last_column, found[-1].style = column, attributes.get("s", "")

    def end(name: str) -> None:
        if name.rpartition(":")[2] == "row" and found:
            found[-1].end = parser.CurrentByteIndex

    parser.StartElementHandler, parser.EndElementHandler = start, end
    _parse(parser, data)
    return [place for place in found if place.last_column], dimension


class _Sheet:
    """Follows a sheet from element to element; handlers that few cells need are set for those."""

    def __init__(self, most_rows: int, most_columns: int) -> None:
        self.found: dict[Place, OddCell] = {}
        self.parser = _parser()
        # A list instead of a mapping: a sheet has a million cells, and each is told here.
        self.parser.ordered_attributes = True
        self.parser.StartElementHandler = self._starter(most_rows, most_columns)
        self._place: Place = (0, 0)
        self._far = False
        self._odd: OddCell | None = None
        self._text: list[str] = []

    def _starter(self, most_rows: int, most_columns: int) -> Callable[[str, list[str]], None]:
        """The handler of an element's start; its variables are local since a million cells ask."""
        columns: dict[str, int] = {}
        plain_names: dict[str, str] = {}
        split = _REFERENCE.fullmatch
        row = column = 0

        def start(name: str, attributes: list[str]) -> None:
            nonlocal row, column
            # Whoever wrote the file chose the prefixes, so they tell nothing.
            kind = plain_names.get(name)
            if kind is None:
                kind = plain_names[name] = name.rpartition(":")[2]
            if kind == "c":
                reference, cell_type = "", "n"
                for number in range(0, len(attributes), 2):
                    if attributes[number] == "r":
                        reference = attributes[number + 1]
                    elif attributes[number] == "t":
                        cell_type = attributes[number + 1]
                if reference:
                    place = split(reference)
                    if place is None:
                        raise SheetXmlError(f"cell {reference[:20]}")
                    letters, digits = place.groups()
                    row = int(digits)
                    known = columns.get(letters)
                    if known is None:
                        known = columns[letters] = number_of(letters)
                    column = known
                else:
                    # The format lets a cell leave its reference out: it stands right of the one
                    # before.
                    column += 1
                # Not refused yet: spreadsheets write far cells that hold a format and nothing else.
                self._far = column > most_columns or not 0 < row <= most_rows
                # A formula's result that is text has a type of its own; most cells are neither.
                if self._far or cell_type == "e" or cell_type == "str":
                    self._place = row, column
                    self._watch(cell_type)
            elif kind in _FILLING:
                if self._far:
                    raise FarCellError(row, column)
                if kind == "f":
                    self._place = row, column
                    self._start_formula()
            elif kind == "row":
                given = _named(attributes, "r")
                if given is not None and (not _ROW.fullmatch(given) or not int(given)):
                    raise SheetXmlError(f"row {given[:20]}")
                row, column = row + 1 if given is None else int(given), 0
            elif kind in _RANGES:
                # The reader underneath takes these for numbers too, and may give up on one it
                # cannot hold.
                for part in (_named(attributes, "ref") or "A1").split(":"):
                    if not split(part):
                        raise SheetXmlError(f"{kind} {part[:20]}")

        return start

    def _watch(self, cell_type: str) -> None:
        """Gather what the cell under way holds, to its end."""
        self._odd = OddCell(cell_type)
        self._text = []
        self.parser.CharacterDataHandler = self._add
        self.parser.EndElementHandler = self._end

    def _add(self, text: str) -> None:
        self._text.append(text)

    def _start_formula(self) -> None:
        if self._odd is None:
            self._watch("n")
        if self._odd is not None:
            # A formula that cells share has its text in the first of them; in the others it is
            # empty.
            self._odd.formula = ""

    def _end(self, name: str) -> None:
        kind = name.rpartition(":")[2]
        odd = self._odd
        if odd is None:
            return
        if kind == "f":
            odd.formula = "".join(self._text).strip()
        elif kind == "v":
            odd.value = "".join(self._text).strip()
        elif kind == "c":
            if odd.type == "e" or odd.formula is not None:
                if self._far:
                    raise FarCellError(*self._place)
                self.found[self._place] = odd
            self._odd = None
            self._far = False
            self.parser.CharacterDataHandler = None
            self.parser.EndElementHandler = None
        # A value must not begin with the text of its own formula.
        self._text.clear()


def number_of(letters: str) -> int:
    """A column's number from its letters, large or small.

    >>> number_of("A"), number_of("cv")
    (1, 100)
    """
    number = 0
    for letter in letters.upper():
        number = number * 26 + ord(letter) - 64
    return number


def letters_of(number: int) -> str:
    """A column's letters from its number.

    >>> letters_of(1), letters_of(100)
    ('A', 'CV')
    """
    # Letters have no zero (after Z comes AA), hence the one less at each step.
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def _named(attributes: list[str], name: str) -> str | None:
    for number in range(0, len(attributes), 2):
        if attributes[number] == name:
            return attributes[number + 1]
    return None


def _parser() -> expat.XMLParserType:
    parser = expat.ParserCreate("utf-8")
    # One call for a run of text; else a text could come in several pieces, one at each line break.
    parser.buffer_text = True
    # A few lines of entities within entities stand for gigabytes once they are expanded.
    parser.StartDoctypeDeclHandler = _refuse_doctype
    return parser


def _refuse_doctype(*_said: object) -> None:
    raise SheetXmlError("a document type")


def _parse(parser: expat.XMLParserType, data: bytes) -> None:
    try:
        parser.Parse(data, True)
    except expat.ExpatError as error:
        raise SheetXmlError(str(error)) from None
