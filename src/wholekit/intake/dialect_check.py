"""What is wrong with rows of the dialect beyond the form of their file."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from wholekit.domain.catalog.nearest_words import what_is_right
from wholekit.domain.errors import Problem
from wholekit.domain.quantities import QuantityError
from wholekit.intake.cells import Read
from wholekit.intake.dialect_rows import ITSELF, TAKEN, UNIT, DialectRow
from wholekit.intake.unclear import UNCLEAR_FIELDS


def row_problems(
    rows: Sequence[DialectRow], readers: Mapping[str, Read], harshest: Mapping[str, object]
) -> list[Problem]:
    """Every fault of the rows, at the row and key it stands at.

    readers: the strict reader of every column a row may hold for or give. harshest: by field. Told
    are an id or a column's word twice, a column that is none, a row that nothing matches or that
    gives nothing, a template that takes what its patterns do not have, a clean cell that its strict
    reader refuses, a word that it takes as it stands, a single candidate, and a field of
    unclear values without its harshest.
    """
    found: list[Problem] = []
    for name, times in Counter(row.id for row in rows).items():
        if times > 1:
            found.append(_problem("dialect-twice", name, "id", given=name))
    words: dict[tuple[str, str], str] = {}
    for row in rows:
        found += _columns(row, readers)
        found += _shape(row)
        found += _templates(row, readers)
        for column in row.columns:
            for word in row.words:
                first = words.setdefault((column, word), row.id)
                if column in readers and not row.before_clean and _reads(readers[column], word):
                    found.append(
                        _problem("dialect-clean", row.id, "words", given=word, column=column)
                    )
                if first != row.id or row.words.count(word) > 1:
                    found.append(
                        _problem(
                            "dialect-word-twice", row.id, "words", given=word, column=column,
                            first=first,
                        )
                    )  # fmt: skip
    for name in (*UNCLEAR_FIELDS, *harshest):
        if (name in UNCLEAR_FIELDS) != (name in harshest):
            found.append(_problem("dialect-harshest", "harshest", "field", given=name))
    return found


def _columns(row: DialectRow, readers: Mapping[str, Read]) -> Iterator[Problem]:
    for key, names in (("columns", row.columns), ("gives", row.gives)):
        for name in names:
            if name not in readers and not (key == "gives" and name == ITSELF):
                right = what_is_right(name, readers)
                yield _problem("dialect-column", row.id, key, given=name, right=right)


def _shape(row: DialectRow) -> Iterator[Problem]:
    if not row.words and not row.patterns:
        yield _problem("dialect-empty", row.id, "words", lacking="words or patterns")
    if not row.gives and not row.asked:
        yield _problem("dialect-empty", row.id, "gives", lacking="gives or asked")
    if len(row.asked) == 1:
        yield _problem("dialect-empty", row.id, "asked", lacking="a second candidate")
    for key, text in (("language", row.language), ("source", row.source)):
        if not text.strip():
            yield _problem("dialect-empty", row.id, key, lacking=key)


def _templates(row: DialectRow, readers: Mapping[str, Read]) -> Iterator[Problem]:
    named = {"0", *({UNIT} if row.units else ())}
    for pattern in row.patterns:
        named |= set(pattern.groupindex)
    texts = [("gives", name, text) for name, text in row.gives.items()]
    texts += [("asked", ITSELF, text) for text in row.asked]
    for key, name, text in texts:
        taken = list(TAKEN.finditer(text))
        for match in taken:
            groups = [match[1], *([match[3]] if match[3] else [])]
            lacking = [group for group in groups if group not in named]
            if lacking or (match[2] and match[2] not in readers):
                yield _problem("dialect-template", row.id, key, given=text)
        if not taken and text:
            columns = row.columns if name == ITSELF else (name,)
            for column in columns:
                if column in readers and not _reads(readers[column], text):
                    yield _problem("dialect-unclean", row.id, key, given=text, column=column)


def _reads(read: Read, text: str) -> bool:
    try:
        read(text)
    except QuantityError:
        return False
    return True


def _problem(code: str, row: str, key: str, **fields: object) -> Problem:
    return Problem(code, fields, "dialect", column=f"row[{row}].{key}")
