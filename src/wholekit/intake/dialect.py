"""A cell as somebody wrote it, in the clean form that the strict readers take.

Every translation is a row of data (`wholekit/dialect/*.toml`); this only finds the row and fills
its template. Where a cell could mean several things it is asked, never guessed.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache, lru_cache
from itertools import product
from types import MappingProxyType

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.errors import InputError
from wholekit.domain.openings import stated_text
from wholekit.domain.quantities import QuantityError
from wholekit.intake import cells
from wholekit.intake.dialect_check import row_problems
from wholekit.intake.dialect_rows import ITSELF, TAKEN, UNIT, Dialect, DialectRow, load_dialect
from wholekit.intake.rulebook import load_rulebook
from wholekit.intake.tables import RefusedCell
from wholekit.intake.unclear import OR, UNCLEAR_FIELDS


@dataclass(frozen=True, slots=True)
class CellReading:
    """What a cell was read as.

    cells: our columns with clean text, empty for unknown. rule: the id of the data row; mark: its
    standing (`published`, `practice`, `ours`). asked: the candidates for `column` as clean cells,
    where it could mean several; `cells` then has that column only for fire label, accessible and
    egress, with all candidates (`60 or 90`).
    """

    column: str
    written: str
    # By its column, cell and rule it is told apart already.
    cells: Mapping[str, str] = field(hash=False)
    rule: str
    mark: str
    asked: tuple[str, ...] = field(default=())


def translate(column: str, cell: str, unit: str | None = None) -> CellReading | None:
    """The reading of a cell; None where it is clean as it stands, or no row knows it.

    column: ours. unit: the one of its heading as lengths are written (`mm`, `in`), for bare
    numbers.

    >>> dict(translate("size", "PR 3-0 x 7-0 x 1-3/4").cells)
    {'size': '3\\'-0" x 7\\'-0"', 'leaves': '2', 'thickness': '1-3/4'}
    >>> translate("fire_minutes", "B").cells["fire_minutes"]
    '60 or 90'
    """
    # Apart from the cache, to which a refused cell is the text it shows.
    if isinstance(cell, RefusedCell) or not cell or len(cell) > cells.LONGEST_CELL:
        return None
    return _translated(column, cell, unit or None)


@lru_cache(maxsize=65536)
def _translated(column: str, cell: str, unit: str | None) -> CellReading | None:
    text = " ".join(cell.split())
    if not text or column not in _readers():
        return None
    dialect = load_dialect()
    found = dialect.find(column, text, unit, before_clean=True)
    if found is None:
        if _reads(column, text):
            return None
        found = dialect.find(column, text, unit, before_clean=False)
    if found is None:
        return None
    row, groups = found
    reading = _reading(row, {**groups, "0": text, UNIT: unit}, column, text, unit)
    clear = reading.cells.get(column)
    # An empty one says that the value is not known, which is a reading too.
    if column in UNCLEAR_FIELDS and clear != "" and not _reads(column, clear or ""):
        # `B 689` is no label beside some time: the strict reader tells what is wrong with it.
        return None
    return reading


def _reading(
    row: DialectRow, taken: Mapping[str, str | None], column: str, written: str, unit: str | None
) -> CellReading:
    given: dict[str, str] = {}
    asked: list[str] = []
    also: dict[str, str] = {}
    for name, template in row.gives.items():
        target = column if name == ITSELF else name
        texts = list(_filled(template, taken, unit, also))
        if len(texts) == 1:
            given[target] = texts[0]
        elif texts and target == column:
            asked += texts
    for template in row.asked:
        for text in _filled(template, taken, unit, also):
            asked += [_plainly(column, part) for part in text.split(OR)]
    for name, text in also.items():
        given.setdefault(name, text)
    candidates = tuple(dict.fromkeys(asked))
    if len(candidates) == 1:
        given[column], candidates = candidates[0], ()
    if candidates:
        given.pop(column, None)
        if column in UNCLEAR_FIELDS:
            given[column] = OR.join(candidates)
    return CellReading(column, written, MappingProxyType(given), row.id, str(row.mark), candidates)


def _filled(
    template: str, taken: Mapping[str, str | None], unit: str | None, also: dict[str, str]
) -> Iterator[str]:
    """The texts a template can give: several where a part of it could mean several things."""
    parts: list[list[str]] = []
    at = 0
    for match in TAKEN.finditer(template):
        text = taken.get(match[1])
        # What the cell has not, as a thickness, gives nothing.
        if text is None:
            return
        parts.append([template[at : match.start()]])
        under = taken[match[3]] if match[3] else unit
        parts.append(_part(text.strip(), match[2], under, also))
        at = match.end()
    parts.append([template[at:]])
    for choice in product(*parts):
        yield "".join(choice)


def _part(text: str, column: str | None, unit: str | None, also: dict[str, str]) -> list[str]:
    reading = translate(column, text, unit) if column else None
    if column is None or reading is None:
        return [text]
    for name, value in reading.cells.items():
        if name != column:
            also.setdefault(name, value)
    return list(reading.asked) or [reading.cells.get(column, text)]


def _plainly(column: str, text: str) -> str:
    """A candidate as a schedule spells it: the same value written in two ways is one candidate."""
    if column not in UNCLEAR_FIELDS:
        return text
    return stated_text(_readers()[column](text)) if _reads(column, text) else text


def _reads(column: str, text: str) -> bool:
    try:
        _readers()[column](text)
    except QuantityError:
        return False
    return True


@cache
def _readers() -> Mapping[str, cells.Read]:
    """The strict readers of every column that the dialect knows."""
    known = load_dialect().columns()
    return {name: read for name, read in clean_readers().items() if name in known}


def checked_dialect() -> Dialect:
    """The program's own rows, held against the strict readers. Raises InputError.

    For whoever changes the rows: a tenth of a second, which no call of a command should pay for.
    """
    dialect = load_dialect()
    problems = row_problems(dialect.rows, clean_readers(), dialect.harshest)
    if problems:
        raise InputError(problems)
    return dialect


def clean_readers() -> Mapping[str, cells.Read]:
    """The strict reader of every column that a row may hold for or give."""
    book = FinishBook(load_rulebook())
    return {**cells.readers(book, None), "quantity": cells.quantity}
