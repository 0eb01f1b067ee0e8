"""One name, one thing: no two classes of one name, and the glossary names those of the code."""

import ast
import re
from collections import Counter
from pathlib import Path

import wholekit

SOURCE = Path(wholekit.__file__).parent
GLOSSARY = SOURCE.parents[1] / "docs" / "glossary.md"
# Whose every class has an entry.
EXPLAINED = ("domain/quotes/offer.py", "domain/quotes/own.py", "domain/quotes/job.py")


def classes(*files: Path) -> list[str]:
    return [
        node.name
        for file in files
        for node in ast.parse(file.read_text(encoding="utf-8")).body
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_")
    ]


def entries() -> set[str]:
    return set(re.findall(r"`([A-Z]\w+)`", GLOSSARY.read_text(encoding="utf-8")))


def test_no_two_classes_have_one_name():
    counted = Counter(classes(*SOURCE.rglob("*.py")))
    assert {name for name, count in counted.items() if count > 1} == set()


def test_the_glossary_names_what_there_is():
    assert entries() <= set(classes(*SOURCE.rglob("*.py")))


def test_what_a_quote_is_made_of_is_in_the_glossary():
    named = set(classes(*(SOURCE / name for name in EXPLAINED)))
    assert named <= entries()


def test_the_glossary_is_in_order():
    terms = re.findall(r"^\*\*([^*]+)\*\*", GLOSSARY.read_text(encoding="utf-8"), re.MULTILINE)
    assert terms == sorted(terms, key=str.lower)
    assert len(terms) == len(set(terms))
