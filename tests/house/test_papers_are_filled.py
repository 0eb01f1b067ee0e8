"""Every field of a paper is declared, filled where papers are filled, and shown where they are."""

import ast
import re
from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path

import pytest

from wholekit.documents import (
    drilling_sheet,
    internal_sheet,
    kit_label,
    order_paper,
    papers,
    setting_card,
    submittal,
)
from wholekit.settings import bundled

DOCUMENTS = Path(papers.__file__).parent
SHAPES = {
    name: shape
    for module in (
        papers, kit_label, setting_card, drilling_sheet, submittal, internal_sheet, order_paper
    )
    for name, shape in vars(module).items()
    if isinstance(shape, type) and hasattr(shape, "__dataclass_fields__")
    and shape.__module__ == module.__name__
}  # fmt: skip


def calls() -> Iterator[tuple[str, ast.Call]]:
    for file in sorted(DOCUMENTS.glob("*.py")):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                yield node.func.id, node


def filled(name: str) -> set[str]:
    """The fields that some call in documents gives."""
    names = [field.name for field in fields(SHAPES[name])]
    found: set[str] = set()
    for called, node in calls():
        if called == name:
            starred = any(isinstance(argument, ast.Starred) for argument in node.args)
            found |= set(names if starred else names[: len(node.args)])
            found |= {keyword.arg for keyword in node.keywords if keyword.arg}
        if called == "replace":
            # What is the same for all of a kind is worded once; the rest is set at each.
            found |= {keyword.arg for keyword in node.keywords if keyword.arg}
    return found


@pytest.mark.parametrize("name", sorted(SHAPES))
def test_every_field_is_filled(name):
    assert {field.name for field in fields(SHAPES[name])} - filled(name) == set()


@pytest.mark.parametrize("name", sorted(SHAPES))
def test_every_field_is_shown(name):
    shown = "\n".join(
        file.read_text(encoding="utf-8")
        for file in [*bundled("templates").joinpath("papers").glob("*.html"),
                     *DOCUMENTS.glob("*flow*.py"), DOCUMENTS / "bags_alike.py",
                     DOCUMENTS / "card_sharing.py",
                     DOCUMENTS / "drilling_room.py", DOCUMENTS / "fill_drilling.py",
                     DOCUMENTS / "render.py"]
    )  # fmt: skip
    # A pair is taken apart by the name of its place, not of its field.
    said = set(re.findall(r"[.(\"](\w+)", shown))
    assert {field.name for field in fields(SHAPES[name])} - said == set()
