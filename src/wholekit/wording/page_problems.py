"""Faults as a page tells them, where the sentence of the command line names its options."""

import re
from collections.abc import Sequence
from dataclasses import replace

from wholekit.domain.errors import Problem, WholekitError
from wholekit.domain.openings.sheet import AskedOfSheet
from wholekit.wording.errors import say_error
from wholekit.wording.problems import say_problem
from wholekit.wording.reading import asked_text
from wholekit.wording.speech import tr
from wholekit.wording.words import field_name, listed

# What a line of shorthand is called in a call, before its number.
OPTION = "--opening "
_OPTIONS = ("--column", "--value")
_CALL = re.compile(r"\bwholekit [a-z]|(?<![^\s(])--[a-z]")
_GIVEN_WITH = re.compile(r" (?:with|avec|con) --[a-z-]+(?: [A-Z][A-Z=-]+)?")
_PARTS = re.compile(r"(?<=[.;])\s+")
# Words that lead to a call, and say nothing without it.
_LEADS = frozenset(
    ("with", "avec", "con", "by", "par", "see", "voir", "voyez", "vea", "tells", "dit", "dice")
)
# Codes whose sentence tells an option, and the same without.
ON_PAGE = {
    "table-not-found": "No row looks like the heading of a schedule; nearest comes: {text}. Right "
    "would be a heading for the mark and one for the size.",
    "column-asked": "No column is known to be the {given}; perhaps {right}. Tell it under “How it "
    "was read”.",
    "columns-asked": "More than one column seems to be the {given} ({right}). Leave all but one "
    "untaken.",
    "choice-column-unknown": "“{given}” is neither a heading of this sheet nor a column. Write the "
    "heading as it stands there, or choose the column under “How it was read”.",
    "choice-of-value": "“{given}” tells nothing of a cell. Write the heading, a colon, what stands "
    "in the cell, = and what it means: Label:B=60.",
    "value-asked": "“{given}” may be {right}; answer it under “Asked”.",
}
# Errors whose sentence tells an option or a command, and what whoever sits at a screen does.
CALLS_ON_PAGE = {
    "name-asked": "Sign in under your own name: not everybody may {what}.",
    "name-needed": "Sign in under your own name: {deed} goes by name.",
    "owner-needed": "Only an owner may {what}; {who} is none. Ask an owner to do it.",
    "owner-unknown": "The house has entered no owner who could approve.",
    "person-taken": "{name} was entered by somebody else just now; load the page anew.",
    "person-unknown": "The house knows nobody named {who} any more who could {what}. An owner "
    "enters people under House, People.",
    "request-none": "Nobody waits for an owner's word on {label} any more.",
    "right-needed": "{who} may not {what}; that is for {having}. Ask one of them to do it.",
    "sign-in-needed": "Sign in before you {what}.",
    "signed-in-as-other": "{who} is signed in here, not {given}. Sign out, and in as {given}.",
}


def say_error_on_page(error: WholekitError) -> str:
    """An error as a page tells it, in no words of the command line."""
    said = say_error(error, CALLS_ON_PAGE)
    return said if error.code in CALLS_ON_PAGE else without_commands(said)


def without_commands(said: str) -> str:
    """A sentence without what of it tells how to call a command, or to give it an option: that is
    for a terminal. What it says besides stays; all of it where there is nothing besides.

    >>> without_commands("J-1 has no draft; make one with: wholekit quote draft J-1.")
    'J-1 has no draft.'
    >>> without_commands("Give a reason with --reason: approval stays visible.")
    'Give a reason: approval stays visible.'
    """
    kept = []
    for part in _PARTS.split(_GIVEN_WITH.sub("", said)):
        if not _CALL.search(part):
            kept.append(part)
            continue
        head, colon, _ = part.partition(": ")
        if colon and not _CALL.search(head) and head.casefold().split()[-1] not in _LEADS:
            kept.append(f"{head}.")
    found = " ".join(kept).rstrip(" ;:,")
    if not found:
        return said
    return found if found[-1] in ".?!" else f"{found}."


def asked_on_page(question: AskedOfSheet) -> str:
    """What a sheet leaves open that no field of its page asks; empty where one does."""
    if question.what in ("repeat", "total", "merged-quantity"):
        return asked_text(question)
    if question.what in ("mixed", "hinted"):
        return tr("“{heading}” is not read as {field}, but may say it: {cells}").format(
            heading=question.written,
            field=field_name(question.column),
            cells=listed(question.candidates),
        )
    return ""


def say_on_page(problem: Problem, lines: Sequence[str] = ()) -> str:
    """A fault in words; of a line of shorthand by its number, where there are several, and by the
    place of the word in it.

    lines: of shorthand, as they were sent.

    >>> say_on_page(Problem("value-needed", {"given": "door"}, "--opening 1", None, "door="),
    ...             ["101 3070 door="]).partition(":")[0]
    'word 3, door='
    """
    if problem.where.startswith(OPTION):
        number = int(problem.where.removeprefix(OPTION))
        place = [tr("line {number}").format(number=number)] if len(lines) > 1 else []
        words = lines[number - 1].split() if number <= len(lines) else []
        first = problem.column.split()[:1]
        if first and first[0] in words:
            place.append(tr("word {number}").format(number=words.index(first[0]) + 1))
        problem = replace(problem, where=", ".join(place))
        return _unknown_word(problem, in_line=True) or say_problem(problem)
    if unknown := _unknown_word(replace(problem, where=""), in_line=False):
        return unknown
    if problem.where in _OPTIONS:
        problem = replace(problem, where="")
    if problem.code not in ON_PAGE:
        return say_problem(problem)
    fields = {
        name: ", ".join(map(str, value)) if isinstance(value, tuple | list) else value
        for name, value in problem.fields.items()
    }
    if problem.code == "choice-column-unknown":
        # As it was written, not as columns are compared.
        fields["given"] = str(fields["given"]).replace("_", " ")
    place = [problem.where] if problem.where else []
    if problem.row is not None:
        place.append(tr("row {row}").format(row=problem.row))
    said = tr(ON_PAGE[problem.code]).format(**fields)
    return f"{', '.join(place)}: {said}" if place else said


def _unknown_word(problem: Problem, *, in_line: bool) -> str:
    """The sentence of a word that is none of the trade's, with its place; empty for other problems.
    in_line: of a line of openings, and not where one of them is changed."""
    if problem.code != "word-not-understood":
        return ""
    said = tr("{given} is not understood; “What may be said” lists the words and columns.")
    if in_line:
        more = tr("The mark stands first; a room is said as room={given}.")
        said = f"{said} {more}"
    said = said.format(given=problem.fields["given"])
    near = problem.fields.get("near")
    if isinstance(near, tuple | list) and near:
        said = f"{said} {tr('Near it comes: {words}.').format(words=', '.join(map(str, near)))}"
    place = ", ".join(each for each in (problem.where, problem.column) if each)
    return f"{place}: {said}" if place else said
