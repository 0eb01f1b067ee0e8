"""Case files: one TOML file per rule, its cases, and the words they are written in.

A file has the rule's `source`, and `[[case]]` tables. A case has a `side`, a `name` (a sentence),
what it drives (`opening`, `sizes`, `door`, `arms` or a figure, see `drive`) and what is expected.
`step`: the least change of a number that must be felt, where it is not the usual one. `unread`,
`unread_rows`: columns and rows of the rule on which nothing depends, told to the reader so.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from wholekit.domain.rules import RuleValue

FOLDER = Path(__file__).parent
# A limit or table is passed, refused (or answered from the other side), and met exactly.
LIMIT_SIDES = {"passes", "refused", "boundary"}
# A switch, word list or default applies or does not.
SWITCH_SIDES = {"applies", "not"}


@dataclass(frozen=True, slots=True)
class Case:
    """One case of a rule: which side of it, its sentence, what it drives and expects."""

    rule: str
    side: str
    name: str
    told: Mapping[str, object]


@dataclass(frozen=True, slots=True)
class CaseFile:
    """All cases of one rule."""

    rule: str
    source: str
    cases: tuple[Case, ...]
    step: float | None
    unread: frozenset[str]
    unread_rows: tuple[Mapping[str, RuleValue], ...]


@cache
def case_files() -> dict[str, CaseFile]:
    return {path.stem: _read(path) for path in sorted(FOLDER.glob("*.toml"))}


def _read(path: Path) -> CaseFile:
    text = tomllib.loads(path.read_text(encoding="utf-8"))
    cases = tuple(
        Case(
            path.stem,
            case["side"],
            case["name"],
            {key: value for key, value in case.items() if key not in ("side", "name")},
        )
        for case in text["case"]
    )
    return CaseFile(
        path.stem,
        text["source"],
        cases,
        text.get("step"),
        frozenset(text.get("unread", ())),
        tuple(text.get("unread_rows", ())),
    )


def is_statement(value: RuleValue) -> bool:
    """A rule that only says something: its value is never read, it is cited."""
    return value is True


def is_limit(rule_id: str, value: RuleValue) -> bool:
    """Whether a rule's value holds a number that something is measured against."""
    return not rule_id.startswith("default-") and _has_number(value)


def _has_number(value: RuleValue) -> bool:
    if isinstance(value, Mapping):
        return any(map(_has_number, value.values()))
    if isinstance(value, list | tuple):
        return any(map(_has_number, value))
    # The name of a table in place of a number: the table's numbers are the limit.
    named = isinstance(value, str) and value.endswith("-remembered")
    return named or (isinstance(value, int | float) and not isinstance(value, bool))
