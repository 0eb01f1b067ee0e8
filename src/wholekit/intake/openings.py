"""Openings as a command is given them: a schedule, lines of shorthand, changes to one."""

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.errors import CallError, InputError, Problem
from wholekit.domain.openings import Opening
from wholekit.domain.rules import RuleBook
from wholekit.intake.changes import read_changes
from wholekit.intake.schedule import read_schedule
from wholekit.intake.shorthand import read_shorthand


def read_openings(schedule: str | None, shorthand: Sequence[str], rules: RuleBook) -> list[Opening]:
    """Openings of a schedule (`-` for standard input) and of shorthand lines, in that order.

    Raises InputError with the problems of both, a mark given in both among them.
    """
    finishes = FinishBook(rules)
    known = profile_words(rules)
    problems: list[Problem] = []
    openings: list[Opening] = []
    if schedule is not None:
        try:
            if schedule == "-":
                openings += read_schedule(
                    None, stdin=sys.stdin.buffer, finishes=finishes, jurisdictions=known
                )
            else:
                openings += read_schedule(Path(schedule), finishes=finishes, jurisdictions=known)
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
        raise InputError(problems)
    if not openings:
        raise CallError("openings-needed")
    return openings


def read_opening_changes(texts: Sequence[str], rules: RuleBook) -> dict[str, Any]:
    """Changes to an opening as `column=value`. Raises InputError with every one that is wrong."""
    return read_changes(texts, finishes=FinishBook(rules), jurisdictions=profile_words(rules))


def profile_words(rules: RuleBook) -> dict[str, str]:
    """Every word for a profile of force limits, with the profile it means."""
    names = {word: str(name) for word, name in rules.mapping("force-profile-names").items()}
    return names | {name: name for name in rules.mapping("force-profiles")}
