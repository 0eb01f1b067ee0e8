"""The dialect: how schedules write values, row by row, as data (`wholekit/dialect/*.toml`)."""

import re
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from pathlib import Path
from unicodedata import combining, normalize

from wholekit.domain.errors import InputError, Problem
from wholekit.intake.toml_table import Table, parse_toml
from wholekit.intake.vocabulary import plain

FOLDER = "dialect"
# The column that the row is read in, among those it gives.
ITSELF = "it"
# What a template may take from a match: a group, or a group read anew as the cell of a column, as
# if under a heading with the unit of another group.
TAKEN = re.compile(r"\{(\w+)(?:\|(\w+)(?::(\w+))?)?\}")
UNIT = "unit"

_GLYPHS = str.maketrans(
    {
        **dict.fromkeys("′’‘´`", "'"),
        **dict.fromkeys("″”“", '"'),
        **dict.fromkeys("‐‑‒–—―−", "-"),
        **dict.fromkeys("×✕*", "x"),
        **dict.fromkeys("º˚", "°"),
        "⁄": "/",
        "½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8",
    }
)  # fmt: skip
_ACCENTED = re.compile(r"[^\x00-\x7f]")


class RowMark(StrEnum):
    """Where a row comes from: a published list, the usage of the trade, or a choice of ours."""

    PUBLISHED = "published"
    PRACTICE = "practice"
    OURS = "ours"


class Harshest(StrEnum):
    """Which of several asks the most: the most minutes, yes, or the first of an order."""

    MOST = "most"
    YES = "yes"
    FIRST = "first"


@dataclass(frozen=True, slots=True)
class Worked:
    """What an unclear field is worked under, on which ground, and where another asks more.

    order: the words of the field, the one that asks the most first; empty but for `first`. usual:
    candidates of a cell that cannot be read, where they are numbers.
    """

    takes: Harshest
    mark: RowMark
    source: str
    differs: str
    order: tuple[str, ...] = ()
    usual: tuple[str, ...] = ()

    @property
    def candidates(self) -> tuple[str, ...]:
        """Everything that a cell may be of which nothing is known."""
        return self.usual or self.order or ("yes", "no")


@dataclass(frozen=True, slots=True)
class DialectRow:
    """One row: the columns it holds for, what is written there and what that gives.

    words: in the form of `key`; patterns: of the whole cell in the form of `form`. gives: our
    columns with their clean cells, as templates. asked: candidates where it could mean several
    things. units: it holds only under a heading with one of them; no_unit: only without any.
    before_clean: it holds even for a cell that the strict reader would take.
    """

    id: str
    columns: tuple[str, ...]
    language: str
    words: tuple[str, ...]
    patterns: tuple[re.Pattern[str], ...]
    gives: Mapping[str, str]
    asked: tuple[str, ...]
    mark: RowMark
    source: str
    units: tuple[str, ...] = ()
    no_unit: bool = False
    before_clean: bool = False

    def holds_under(self, unit: str | None) -> bool:
        """Whether it holds under a heading with this unit."""
        return unit in self.units if self.units else not (self.no_unit and unit)


def form(text: str) -> str:
    """A cell as patterns see it: small letters, plain signs, single spaces.

    >>> form("3′–0″ × 7′–0″"), form("1½ HR")
    ('3\\'-0" x 7\\'-0"', '1 1/2 hr')
    """
    return " ".join(normalize("NFC", text.translate(_GLYPHS)).lower().split())


def key(text: str) -> str:
    """A cell as words are looked up: as `plain` has it, without accents.

    >>> key("H.M."), key("Extérieur"), key("âme  pleine")
    ('hm', 'exterieur', 'ame-pleine')
    """
    word = plain(text.translate(_GLYPHS))
    if _ACCENTED.search(word):
        word = "".join(sign for sign in normalize("NFKD", word) if not combining(sign))
    return word


class Dialect:
    """The rows by column: a word has one row, patterns hold in the order of the files."""

    def __init__(self, rows: Sequence[DialectRow], harshest: Mapping[str, Worked]) -> None:
        self.rows = tuple(rows)
        self.harshest = dict(harshest)
        self.by_id = {row.id: row for row in rows}
        self._words: dict[tuple[str, str], DialectRow] = {}
        self._patterns: dict[str, list[tuple[re.Pattern[str], DialectRow]]] = defaultdict(list)
        for row in rows:
            for column in row.columns:
                self._words.update({(column, word): row for word in row.words})
                self._patterns[column] += [(pattern, row) for pattern in row.patterns]

    def columns(self) -> frozenset[str]:
        """Every column that some row holds for."""
        return frozenset(column for row in self.rows for column in row.columns)

    def find(
        self, column: str, cell: str, unit: str | None, *, before_clean: bool
    ) -> tuple[DialectRow, Mapping[str, str | None]] | None:
        """The row that a cell matches, with the groups of its pattern."""
        word = self._words.get((column, key(cell)))
        if word is not None and word.before_clean == before_clean and word.holds_under(unit):
            return word, {}
        text = form(cell)
        for pattern, row in self._patterns.get(column, ()):
            if row.before_clean == before_clean and row.holds_under(unit):
                match = pattern.fullmatch(text)
                if match:
                    return row, match.groupdict()
        return None


@cache
def load_dialect() -> Dialect:
    """The rows of the program's own files. Raises InputError with every fault at once."""
    problems: list[Problem] = []
    rows: list[DialectRow] = []
    harshest: dict[str, Worked] = {}
    folder = Path(__file__).parents[1] / FOLDER
    for entry in sorted(folder.iterdir(), key=lambda path: path.name):
        if entry.name.endswith(".toml"):
            read, worked = read_rows(entry.read_text(encoding="utf-8"), entry.name, problems)
            rows += read
            harshest |= worked
    if problems:
        raise InputError(problems)
    return Dialect(rows, harshest)


def read_rows(
    text: str, where: str, problems: list[Problem]
) -> tuple[list[DialectRow], dict[str, Worked]]:
    """The rows of one file, and its harshest candidates by field; its faults are put down."""
    document = parse_toml(text, finite=True)
    top = Table(document, where, "", problems)
    fragments = top.texts("fragments")
    rows = [
        _row(Table(entry, where, f"row[{entry.get('id', number)}]", problems), fragments)
        for number, entry in enumerate(top.tables("row"), start=1)
    ]
    harshest: dict[str, Worked] = {}
    for number, entry in enumerate(top.tables("harshest"), start=1):
        table = Table(entry, where, f"harshest[{entry.get('field', number)}]", problems)
        worked = Worked(
            table.choice("takes", Harshest),
            table.choice("mark", RowMark),
            table.text("source"),
            table.text("differs"),
            table.words("order"),
            table.words("usual"),
        )
        harshest[table.text("field")] = worked
        table.finish()
    top.finish()
    return rows, harshest


def _row(table: Table, fragments: Mapping[str, str]) -> DialectRow:
    gives = table.texts("gives")
    row = DialectRow(
        id=table.id(),
        columns=table.words("columns", required=True),
        language=table.text("language"),
        words=tuple(key(word) for word in table.words("words")),
        patterns=tuple(_pattern(table, text, fragments) for text in table.words("patterns")),
        gives=gives,
        asked=table.words("asked"),
        mark=table.choice("mark", RowMark),
        source=table.text("source"),
        units=table.words("units"),
        no_unit=table.flag("no_unit"),
        before_clean=table.flag("before_clean"),
    )
    table.finish()
    return row


def _pattern(table: Table, text: str, fragments: Mapping[str, str]) -> re.Pattern[str]:
    filled = re.sub(r"<(\w+)>", lambda match: fragments.get(match[1], match[0]), text)
    try:
        return re.compile(filled)
    except re.error as error:
        table.fault("dialect-pattern", "patterns", given=text, error=str(error))
        return re.compile("(?!)")
