"""Every problem the program can raise has a sentence, and every sentence is used.

The codes are gathered from the source by its syntax, so that a new one cannot be forgotten.
"""

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from string import Formatter

import pytest

import wholekit
from wholekit.wording.catalog_problems import SENTENCES as CATALOG
from wholekit.wording.force_sentences import PROBLEMS as GEOMETRY
from wholekit.wording.problems import SENTENCES
from wholekit.wording.schedule_problems import SENTENCES as SCHEDULE

SOURCE = Path(wholekit.__file__).parent
RAISING = {"Problem", "QuantityError", "RefusedCell", "Fault", "put", "refuse", "fault"}
CODE = re.compile(r"[a-z][a-z0-9]*(?:-[a-z0-9]+)+$")


# The store's own check of itself words its faults apart (tests/store/test_sentences.py).
APART = {Path("store/check.py")}


def modules() -> Iterator[tuple[Path, ast.Module]]:
    for path in sorted(SOURCE.rglob("*.py")):
        place = path.relative_to(SOURCE)
        if "wording" not in place.parts and place not in APART:
            yield path, ast.parse(path.read_text(encoding="utf-8"))


def name_of(call: ast.Call) -> str:
    match call.func:
        case ast.Name(id=name) | ast.Attribute(attr=name):
            return name
    return ""


def codes_in(node: ast.expr) -> Iterator[str | re.Pattern[str]]:
    """The codes an expression may stand for; a pattern where a part of one is computed."""
    match node:
        case ast.Constant(value=str(text)):
            yield text
        case ast.IfExp(body=one, orelse=other):
            yield from codes_in(one)
            yield from codes_in(other)
        case ast.JoinedStr(values=parts):
            yield re.compile(
                "".join(
                    re.escape(str(part.value)) if isinstance(part, ast.Constant) else ".+"
                    for part in parts
                )
                + "$"
            )


def raised() -> dict[str | re.Pattern[str], str]:
    """Every code of a raising call, and where it stands."""
    found: dict[str | re.Pattern[str], str] = {}
    for path, tree in modules():
        for node in ast.walk(tree):
            if not isinstance(node, ast.Call) or name_of(node) not in RAISING:
                continue
            given = [
                *node.args[:2],
                *(keyword.value for keyword in node.keywords if keyword.arg == "code"),
            ]
            # An option's reader is told the option first, then the code.
            first = given[0] if given else None
            if isinstance(first, ast.Constant) and str(first.value).startswith("--"):
                given = given[1:]
            for code in codes_in(given[0]) if given else ():
                found.setdefault(code, f"{path.relative_to(SOURCE)}:{node.lineno}")
    return found


RAISED = raised()
WHOLE = {code: place for code, place in RAISED.items() if isinstance(code, str)}
COMPUTED = {code: place for code, place in RAISED.items() if not isinstance(code, str)}


def test_the_codes_of_the_source_are_found_at_all():
    assert len(WHOLE) > 80
    assert {"size-run-together", "mark-repeated", "replacement-loop", "rule-twice"} <= WHOLE.keys()
    assert any(code.match("pressure-unreadable") for code in COMPUTED)


@pytest.mark.parametrize("code", sorted(WHOLE))
def test_every_code_that_is_raised_has_a_sentence(code):
    assert code in SENTENCES, WHOLE[code]


def test_every_computed_code_has_sentences():
    for code, place in COMPUTED.items():
        assert any(code.match(sentence) for sentence in SENTENCES), place


def test_every_sentence_is_used():
    written = {
        node.value
        for _, tree in modules()
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and CODE.match(node.value)
    }
    unused = [
        code
        for code in SENTENCES
        if code not in written and not any(one.match(code) for one in COMPUTED)
    ]
    assert not unused


def test_no_code_has_two_sentences():
    assert not SCHEDULE.keys() & CATALOG.keys()
    assert not SCHEDULE.keys() & GEOMETRY.keys()
    assert not CATALOG.keys() & GEOMETRY.keys()


@pytest.mark.parametrize("code", sorted(SENTENCES))
def test_a_sentence_is_printable_and_names_its_fields(code):
    assert CODE.match(code)
    sentence = SENTENCES[code]
    assert sentence.isprintable()
    assert all(name is None or name.isidentifier() for _, name, _, _ in Formatter().parse(sentence))
