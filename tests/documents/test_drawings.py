"""Drawings: fresh in the docs, escaped, and refused where there is nothing to draw."""

import math
from pathlib import Path
from xml.etree import ElementTree

import pytest
import typer
from tests.linkage.placings import SQUARE
from tests.support.house import sample_folders
from typer.testing import CliRunner

from wholekit.cli import door_force, sweep
from wholekit.documents.drawings import CurvePoint, draw_curve, draw_plan
from wholekit.documents.drawings.canvas import LEAF

DRAWINGS = Path(__file__).parents[2] / "docs" / "drawings"
TARROWBY = next(str(folder) for folder in sample_folders() if folder.name == "tarrowby")


@pytest.mark.parametrize(
    ("file", "options"),
    [
        *(
            (f"plan-{mount}.svg", ["--mount", mount, "--angle", "60", "--plan"])
            for mount in ("regular", "parallel", "top-jamb")
        ),
        ("curve-parallel.svg", ["--mount", "parallel", "--svg"]),
    ],
)
def test_the_drawings_in_the_docs_are_what_the_program_draws(
    file: str, options: list[str], tmp_path: Path
) -> None:
    app = typer.Typer()
    sweep.register(app)
    door_force.register(app)
    drawn = tmp_path / file
    call = ["sweep", "--catalog", TARROWBY, "--series", "granite", "--size", "3"]
    result = CliRunner().invoke(app, [*call, *options, str(drawn)])
    assert result.exit_code == 0, result.output
    assert drawn.read_text(encoding="utf-8") == (DRAWINGS / file).read_text(encoding="utf-8")


def test_names_with_signs_of_markup_are_shown_as_they_are() -> None:
    name = 'A & B <script>"x"</script>'
    for drawing in (
        draw_plan(SQUARE, 40.0, 0.9, name, name),
        draw_curve([CurvePoint(0, 18, 40), CurvePoint(90, 9, 20)], name, name, 90),
    ):
        root = ElementTree.fromstring(drawing)  # noqa: S314  # the program's own drawing
        texts = [element.text for element in root.iter() if element.text]
        assert texts.count(name) >= 2
        assert "<script" not in drawing


def test_the_leaf_is_drawn_to_one_scale_with_its_arms() -> None:
    """The drawn main arm is to the drawn leaf as 200 mm to 900 mm, at every angle."""
    for angle in (0.0, 40.0, 75.0):
        root = ElementTree.fromstring(draw_plan(SQUARE, angle, 0.9, "t", "s"))  # noqa: S314  # our own
        shapes = [
            (element.attrib, [_point(pair) for pair in element.attrib["points"].split()])
            for element in root.iter()
            if "points" in element.attrib
        ]
        arm = next(points for given, points in shapes if given["stroke-width"] == "7")
        leaf = next(points for given, points in shapes if given["fill"] == LEAF)
        drawn = math.dist(*arm) / math.dist(leaf[0], leaf[1])
        assert drawn == pytest.approx(0.2 / (0.9 - SQUARE.edge_gap), rel=1e-3)


def _point(pair: str) -> tuple[float, float]:
    x, y = pair.split(",")
    return float(x), float(y)


@pytest.mark.parametrize(("angle", "width"), [(179.9, 0.9), (40.0, 0.0), (40.0, float("nan"))])
def test_what_cannot_be_drawn_is_refused(angle: float, width: float) -> None:
    with pytest.raises(ValueError, match="no position"):
        draw_plan(SQUARE, angle, width, "t", "s")


def test_a_curve_of_one_point_is_refused() -> None:
    with pytest.raises(ValueError, match="two points"):
        draw_curve([CurvePoint(0, 18, 40)], "t", "s", None)
