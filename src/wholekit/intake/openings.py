"""Openings as a command is given them: a schedule, lines of shorthand, changes to one."""

import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.errors import CallError, InputError, Problem
from wholekit.domain.openings import Opening, UnaskedDoor
from wholekit.domain.openings.sheet import SheetChoices, SheetReading, not_used
from wholekit.domain.rules import RuleBook
from wholekit.intake.cells import Read, readers
from wholekit.intake.changes import read_changes
from wholekit.intake.faults import Faults
from wholekit.intake.schedule import read_schedule
from wholekit.intake.sheet import ReadSheet, read_sheet
from wholekit.intake.shorthand import read_shorthand, read_words
from wholekit.intake.tables import STDIN_NAME, read_bytes


@dataclass(frozen=True, slots=True)
class SheetWay:
    """How a schedule is to be read: strict, or as it was sent with these choices.

    tables: header rows of those that are meant, or `all`. left_out: rows left out.
    tell: given the account of the reading where the sheet was not clean as it stood.
    """

    strict: bool = False
    choices: SheetChoices = field(default_factory=SheetChoices)
    tell: Callable[[SheetReading], None] | None = None
    tables: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()


AS_SENT = SheetWay()


@dataclass(frozen=True, slots=True)
class GivenOpenings:
    """What a command is given: openings, doors of the schedule that are not to be quoted, and the
    headings of its columns that nothing was read from."""

    openings: tuple[Opening, ...]
    unasked: tuple[UnaskedDoor, ...] = ()
    not_used: tuple[str, ...] = ()


def read_openings(
    schedule: str | None, shorthand: Sequence[str], rules: RuleBook, way: SheetWay = AS_SENT
) -> list[Opening]:
    """As `read_given`, without the doors that are not to be quoted."""
    return [*read_given(schedule, shorthand, rules, way).openings]


def read_given(
    schedule: str | None, shorthand: Sequence[str], rules: RuleBook, way: SheetWay = AS_SENT
) -> GivenOpenings:
    """Openings of a schedule (`-` for standard input) and of shorthand lines, in that order.

    Raises InputError with the problems of both, a mark given in both among them.
    """
    finishes = FinishBook(rules)
    known = profile_words(rules)
    problems: list[Problem] = []
    openings: list[Opening] = []
    unasked: tuple[UnaskedDoor, ...] = ()
    unused: tuple[str, ...] = ()
    of_sheet = False
    if schedule is not None:
        try:
            if way.strict:
                path = None if schedule == "-" else Path(schedule)
                stdin = sys.stdin.buffer if path is None else None
                openings += read_schedule(path, stdin=stdin, finishes=finishes, jurisdictions=known)
            else:
                sheet = open_sheet(schedule, rules, way.choices, way.tables, way.left_out)
                if way.tell is not None and not sheet.reading.clean:
                    way.tell(sheet.reading)
                problems += sheet.problems
                of_sheet = bool(sheet.problems)
                openings += sheet.openings if not problems else ()
                unasked = sheet.unasked
                unused = not_used(sheet.reading)
        except InputError as error:
            problems += error.problems
    # A faulty schedule leaves none here: marks given twice are told once it can be read.
    marks = {opening.mark for opening in openings}
    for ordinal, text in enumerate(shorthand, start=1):
        try:
            opening = read_shorthand(text, ordinal, finishes=finishes, jurisdictions=known)
        except InputError as error:
            problems += error.problems
            continue
        if opening.mark in marks:
            problems.append(
                Problem("mark-twice", {"mark": opening.mark}, f"--opening {ordinal}", column="mark")
            )
        marks.add(opening.mark)
        openings.append(opening)
    if problems:
        raise InputError(problems, sheet=of_sheet)
    if not openings:
        raise CallError("openings-needed")
    marks = {opening.mark for opening in openings}
    doors = tuple(door for door in unasked if door.mark not in marks)
    return GivenOpenings(tuple(openings), doors, unused)


def open_sheet(
    schedule: str,
    rules: RuleBook,
    choices: SheetChoices | None = None,
    tables: Sequence[str] = (),
    left_out: Sequence[str] = (),
) -> ReadSheet:
    """A schedule as it was sent (`-` for standard input), with the account of its reading.

    Raises InputError where nothing can be read at all.
    """
    data, name = sheet_bytes(schedule)
    return read_sheet(
        data,
        name,
        finishes=FinishBook(rules),
        jurisdictions=profile_words(rules),
        choices=choices,
        tables=tables,
        left_out=left_out,
    )


def place_sheet(data: bytes, name: str, rules: RuleBook, way: SheetWay) -> ReadSheet:
    """A schedule as it was sent, with the row of each opening. Raises InputError, also where it
    cannot be read without an answer."""
    found = read_sheet(
        data,
        name,
        finishes=FinishBook(rules),
        jurisdictions=profile_words(rules),
        choices=way.choices,
        tables=way.tables,
        left_out=way.left_out,
        placed=True,
    )
    if found.problems:
        raise InputError(list(found.problems), sheet=True)
    return found


def sheet_bytes(schedule: str) -> tuple[bytes, str]:
    """A file's bytes and name (`-` for standard input). Raises InputError."""
    path = None if schedule == "-" else Path(schedule)
    name = STDIN_NAME if path is None else path.name
    stdin = sys.stdin.buffer if path is None else None
    return read_bytes(path, stdin, Faults(name)), name


def readers_of(rules: RuleBook) -> dict[str, Read]:
    """The strict reader of every column that decides the kit."""
    return readers(FinishBook(rules), profile_words(rules))


def read_opening_changes(texts: Sequence[str], rules: RuleBook) -> dict[str, Any]:
    """Changes to an opening as `column=value` and in words of the shorthand, in any order.

    Raises InputError with every one that is wrong, a column changed twice unlike among them.
    """
    finishes, known = FinishBook(rules), profile_words(rules)
    keyed = [text for text in texts if "=" in text]
    words = " ".join(text for text in texts if "=" not in text)
    problems: list[Problem] = []
    found: dict[str, Any] = {}
    for values in (
        lambda: read_changes(keyed, finishes=finishes, jurisdictions=known),
        lambda: read_words(words, finishes=finishes, jurisdictions=known),
    ):
        try:
            for column, value in values().items():
                if found.setdefault(column, value) != value:
                    problems.append(Problem("changed-twice", {"given": column}, "change"))
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)
    return found


def profile_words(rules: RuleBook) -> dict[str, str]:
    """Every word for a profile of force limits, with the profile it means."""
    names = {word: str(name) for word, name in rules.mapping("force-profile-names").items()}
    return names | {name: name for name in rules.mapping("force-profiles")}
