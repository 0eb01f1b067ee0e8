"""Faults of outside input in sentences: where, what, and what would be right."""

import re

from wholekit.domain.errors import Problem
from wholekit.domain.quantities import QuantityError
from wholekit.wording.catalog_problems import SENTENCES as CATALOG
from wholekit.wording.force_sentences import PROBLEMS as GEOMETRY
from wholekit.wording.house_problems import SENTENCES as HOUSE
from wholekit.wording.job_sentences import PROBLEMS as JOBS
from wholekit.wording.schedule_problems import SENTENCES as SCHEDULE
from wholekit.wording.speech import quoted
from wholekit.wording.words import listed

SENTENCES: dict[str, str] = {**SCHEDULE, **GEOMETRY, **CATALOG, **JOBS, **HOUSE}
MOST_NAMED = 40
# Files that have lines and no rows.
_LINED = (".html", ".css", ".svg")
_ESCAPED, _FOOT = "\\'", "'"
# What would steer a terminal or turn the direction of text, in words taken from a file.
_STEERING = re.compile("[\x00-\x1f\x7f-\x9f\u200e\u200f\u2028-\u202e\u2066-\u2069]")


def say_problem(problem: Problem) -> str:
    """`schedule.csv, row 3, column size: 31010 is not a leaf size; right would be …`."""
    place = [problem.where] if problem.where else []
    if problem.row is not None:
        line = problem.where.endswith(_LINED)
        place.append(f"{'line' if line else 'row'} {problem.row}")
    if problem.column:
        place.append(f"column {problem.column}" if problem.row is not None else problem.column)
    said = _fill(problem.code, dict(problem.fields))
    return _STEERING.sub("�", f"{', '.join(place)}: {said}" if place else said)


def say_quantity_error(error: QuantityError) -> str:
    """A quantity that was not one, in words."""
    return _fill(error.code, {"given": error.given, **error.fields})


def _fill(code: str, fields: dict[str, object]) -> str:
    words = {name: _word(name, value) for name, value in fields.items()}
    # Some sentences end in what is near, and not every problem brings any.
    words.setdefault("near", "")
    if code == "currency-unknown":
        words.setdefault("right", _word("known", fields.get("known", ())))
    return SENTENCES[code].format_map(words)


class _Quoted(str):
    """A text that a sentence puts in quotes, without a backslash before its feet and inches."""

    __slots__ = ()

    def __repr__(self) -> str:
        shown = str.__repr__(self)
        # Of a text with both kinds of quotes in it: 3'-0" x 7'-0".
        return quoted(shown[1:-1].replace(_ESCAPED, _FOOT)) if _ESCAPED in shown else shown


def _word(name: str, value: object) -> str:
    if not isinstance(value, tuple | list):
        return _Quoted(value)
    words = [str(part) for part in value]
    if name == "near":
        return f" (near: {listed(words, 'or')})" if words else ""
    shown = words[:MOST_NAMED]
    return ", ".join([*shown, "…"] if len(words) > len(shown) else shown)
