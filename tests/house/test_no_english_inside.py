"""Domain and services hold codes and values; every sentence stands in wording."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[2] / "src" / "wholekit"
# Three words in a row, as a sentence or a phrase has them and a code has not.
PHRASE = re.compile(r"\b[A-Za-z]+,? [a-z]+ [a-z]+\b")
# Not read by anybody: what a programmer sees when a call was wrong.
RAISED = ("TypeError", "ValueError", "RuntimeError", "AssertionError", "QuantityError")


def phrases(source: str) -> Iterator[str]:
    """Phrases among the texts of a module, docstrings and a programmer's errors apart."""
    tree = ast.parse(source)
    apart = {
        id(text)
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in RAISED
        for text in ast.walk(node)
    }
    apart |= {
        id(node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in apart:
            yield from (node.value for _ in PHRASE.findall(node.value)[:1])


@pytest.mark.parametrize("layer", ["domain", "services"])
def test_no_phrase_of_english(layer):
    found = {
        f"{path.relative_to(SOURCE)}: {phrase}"
        for path in sorted((SOURCE / layer).rglob("*.py"))
        for phrase in phrases(path.read_text(encoding="utf-8"))
    }
    assert found == set()


def test_a_phrase_is_found_and_a_docstring_is_none():
    source = 'def ask():\n    """Asks for the reason why."""\n    return f"Give a reason, {1}"\n'
    assert list(phrases(source)) == ["Give a reason, "]
