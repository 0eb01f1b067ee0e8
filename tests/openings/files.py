"""Schedules and kit files as bytes, and the problems they raise."""

import io
import zipfile
from collections.abc import Sequence

import openpyxl
import pytest

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.errors import InputError
from wholekit.domain.openings import Opening
from wholekit.intake.openings import profile_words
from wholekit.intake.rulebook import load_rulebook
from wholekit.intake.schedule import read_schedule
from wholekit.wording.problems import say_problem

RULES = load_rulebook()
FINISHES = FinishBook(RULES)
JURISDICTIONS = profile_words(RULES)


def read(data: str | bytes) -> list[Opening]:
    raw = data.encode() if isinstance(data, str) else data
    return read_schedule(
        None, stdin=io.BytesIO(raw), finishes=FINISHES, jurisdictions=JURISDICTIONS
    )


def outcome(data, reader=read):
    """The openings, or the problems of the refusal."""
    try:
        return reader(data), ()
    except InputError as error:
        return (), error.problems


def faults(data: str | bytes, reader=read):
    """(code, row, column) of every problem; each can be said in a sentence with its place."""
    with pytest.raises(InputError) as caught:
        reader(data)
    problems = caught.value.problems
    for problem in problems:
        said = say_problem(problem)
        assert said.startswith(problem.where)
        assert problem.row is None or f"row {problem.row}" in said
        assert said.isprintable()
    return [(problem.code, problem.row, problem.column) for problem in problems]


def sentences(data: str | bytes, reader=read) -> str:
    with pytest.raises(InputError) as caught:
        reader(data)
    return "\n".join(say_problem(problem) for problem in caught.value.problems)


def workbook(*sheets: tuple[str, Sequence[Sequence[object]]]) -> openpyxl.Workbook:
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, rows in sheets:
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(row)
    return book


def saved(book: openpyxl.Workbook) -> bytes:
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def xlsx(*rows: Sequence[object], name: str = "Openings") -> bytes:
    return saved(workbook((name, rows)))


def with_part(data: bytes, part: str, old: bytes, new: bytes) -> bytes:
    """A workbook with a text inside one of its parts exchanged."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as given, zipfile.ZipFile(out, "w") as made:
        for name in given.namelist():
            content = given.read(name)
            if name == part:
                assert old in content
                content = content.replace(old, new)
            made.writestr(name, content)
    return out.getvalue()
