"""Every rule has a case file of its id; every case holds, and fails where its rule is changed."""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest
from tests.rules.cases import (
    LIMIT_SIDES,
    SWITCH_SIDES,
    Case,
    case_files,
    is_limit,
    is_statement,
)
from tests.rules.drive import observe
from tests.rules.mutants import mutants, mutated
from tests.support.house import RULES

import wholekit
from wholekit.domain.errors import WholekitError
from wholekit.domain.quantities import QuantityError
from wholekit.domain.rules import RuleBook, RuleValue
from wholekit.wording.sources import rule_source

# Rules that no code reads and nothing cites: there is nothing to drive.
UNUSED: set[str] = set()
SOURCE = Path(wholekit.__file__).parent
# Statements behind every size: they are cited whether or not the opening turns on them.
BEHIND_EVERY_SIZE = {"boundary-smaller", "size-combination"}
# How the program refuses a rule that no longer makes sense.
REFUSALS = (
    WholekitError, QuantityError, ValueError, KeyError, IndexError, TypeError, AttributeError,
)  # fmt: skip
FILES = case_files()
CASES = [case for file in FILES.values() for case in file.cases]


def test_a_rule_called_unused_is_named_nowhere_in_the_program():
    texts = [path.read_text(encoding="utf-8") for path in SOURCE.rglob("*.py")]
    assert {rule for rule in UNUSED if any(f'"{rule}"' in text for text in texts)} == set()


def test_every_rule_has_its_case_file_and_every_case_file_its_rule():
    assert set(FILES) | UNUSED == set(RULES.rules)
    assert not set(FILES) & UNUSED


@pytest.mark.parametrize("rule", sorted(FILES))
def test_a_case_file_names_the_source_of_its_rule(rule):
    assert FILES[rule].source == rule_source(RULES, rule)


@pytest.mark.parametrize("rule", sorted(FILES))
def test_each_side_of_a_rule_has_a_case(rule):
    wanted = LIMIT_SIDES if is_limit(rule, RULES[rule].value) else SWITCH_SIDES
    assert {case.side for case in FILES[rule].cases} == wanted


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.rule}: {case.name}")
def test_the_case_holds(case):
    expected, seen = observe(case, RULES)
    assert expected
    assert {key: seen.get(key) for key in expected} == expected


@pytest.mark.parametrize(
    "rule", sorted(file for file in FILES if not is_statement(RULES[file].value))
)
def test_a_changed_rule_is_felt_by_one_of_its_cases(rule):
    """Each figure up and down, each word, each row dropped, one at a time."""
    changes = dict(mutants(RULES[rule].value, FILES[rule]))
    assert changes
    assert _unfelt(rule, changes) == []


@pytest.mark.parametrize(
    "rule", sorted(file.rule for file in FILES.values() if file.unread or file.unread_rows)
)
def test_what_is_called_unread_is_not_felt(rule):
    """Else it has come to be read, and wants cases of its own."""
    told = FILES[rule]
    read = dict(mutants(RULES[rule].value, told))
    every = dict(mutants(RULES[rule].value, replace(told, unread=frozenset(), unread_rows=())))
    unread = {what: value for what, value in every.items() if what not in read}
    assert unread
    assert _unfelt(rule, unread) == list(unread)


def _unfelt(rule: str, changes: Mapping[str, RuleValue]) -> list[str]:
    """The changes under which every case that holds today still holds."""
    sound = [case for case in FILES[rule].cases if _holds(case, RULES)]
    unfelt = []
    for what, value in changes.items():
        book = mutated(RULES, rule, value)
        feels = next((case for case in sound if not _holds(case, book)), None)
        if feels is None:
            unfelt.append(what)
        else:
            # The next change is often of the same row, which the same case feels.
            sound.remove(feels)
            sound.insert(0, feels)
    return unfelt


def _holds(case: Case, rules: RuleBook) -> bool:
    try:
        expected, seen = observe(case, rules)
    except REFUSALS:
        return False
    return {key: seen.get(key) for key in expected} == expected


@pytest.mark.parametrize("rule", sorted(file for file in FILES if is_statement(RULES[file].value)))
def test_a_rule_that_only_states_is_cited_where_it_applies_and_only_there(rule):
    for case in FILES[rule].cases:
        if case.side == "not" and rule in BEHIND_EVERY_SIZE:
            continue
        shown = "cites" if case.side == "applies" else "silent"
        assert rule in case.told.get(shown, ()), case.name  # type: ignore[operator]
