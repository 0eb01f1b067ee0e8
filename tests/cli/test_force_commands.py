"""`wholekit door-force` and `wholekit sweep`, on an application of their own."""

import json
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
import typer
from tests.support.house import sample_folders
from typer.testing import CliRunner, Result

from wholekit.cli import door_force, sweep
from wholekit.domain.errors import CallError, InputError
from wholekit.wording.errors import say_error
from wholekit.wording.force_sentences import PROBLEMS

TARROWBY = next(str(folder) for folder in sample_folders() if folder.name == "tarrowby")
RUNNER = CliRunner()


def _app() -> typer.Typer:
    app = typer.Typer()
    door_force.register(app)
    sweep.register(app)
    return app


def _force(*options: str) -> Result:
    return RUNNER.invoke(_app(), ["door-force", *options])


def _sweep(*options: str) -> Result:
    return RUNNER.invoke(_app(), ["sweep", "--catalog", TARROWBY, *options])


DOOR = ("--width", "36 in", "--height", "84 in")


@pytest.mark.parametrize(
    ("options", "pounds"),
    [
        (("--width", "36 in", "--height", "84 in", "--pressure", "0.20 inwg",
          "--closer-force", "8 lbf"), 19.91),
        (("--width", "48 in", "--height", "84 in", "--pressure", "0.10 in w.g.",
          "--closer-force", "10 lbf"), 17.77),
    ],
)  # fmt: skip
def test_the_worked_values_in_pounds(options: tuple[str, ...], pounds: float) -> None:
    result = _force(*options, "--json")
    assert result.exit_code == 0
    answer = json.loads(result.stdout)
    assert round(answer["opening_force_lbf"], 2) == pounds
    assert answer["opening_force_n"] == pytest.approx(pounds * 4.44822, abs=0.03)


@pytest.mark.parametrize(
    ("width", "height", "handle", "closer", "pressure", "newtons"),
    [("0.914 m", "2.134 m", "0.076 m", "45 N", "50 Pa", 98.18),
     ("0.9 m", "2100 mm", "75 mm", "40 N", "60 Pa", 101.85)],
)  # fmt: skip
def test_the_worked_values_in_newtons(
    width: str, height: str, handle: str, closer: str, pressure: str, newtons: float
) -> None:
    result = _force(
        "--width", width, "--height", height, "--handle", handle,
        "--closer-force", closer, "--pressure", pressure, "--json",
    )  # fmt: skip
    assert round(json.loads(result.stdout)["opening_force_n"], 2) == newtons


def test_wind_and_size_give_the_figures_of_the_contract() -> None:
    result = _force(*DOOR, "--wind", "20 mph", "--size", "3", "--json")
    answer = json.loads(result.stdout)
    assert answer["pressure_pa"] == pytest.approx(49.0, abs=0.05)
    moment = answer["pressure_pa"] * 0.9144 * 2.1336 * 0.9144 / 2
    assert answer["closing_moment_needed_nm"] == pytest.approx(moment, abs=1e-3)
    assert answer["largest_pressure_pa"] == pytest.approx(18 * answer["pressure_pa"] / moment)
    assert {"code", "severity", "text", "source", "hint"} <= set(answer["findings"][0])


def test_a_force_over_a_limit_that_holds_is_status_one() -> None:
    result = _force(*DOOR, "--pressure", "0.5 inwg", "--closer-force", "8 lbf", "--fire", "--json")
    assert result.exit_code == 1
    first = json.loads(result.stdout)["findings"][0]
    assert (first["code"], first["severity"]) == ("force-over-limit", "stop")
    assert "30 lbf" in first["text"]


def test_an_accessible_door_in_the_wind_says_that_the_needs_exclude_each_other() -> None:
    result = _force(*DOOR, "--wind", "20 mph", "--size", "2", "--location", "exterior",
                    "--jurisdiction", "Oregon", "--accessible")  # fmt: skip
    assert result.exit_code == 1
    assert "exclude each other" in " ".join(result.stdout.split())
    assert "check with a gauge" in result.stdout


def test_forces_say_where_they_are_read_and_what_they_leave_out() -> None:
    plain = " ".join(_force(*DOOR, "--pressure", "5 Pa", "--size", "3").stdout.split())
    assert "at the handle, without seals or latch" in plain
    latches = r"Latches up to [\d.]+ lbf/ft² \([\d.]+ Pa\), without seals or latch"
    assert re.search(latches, plain)
    options = ("--pressure", "5 Pa", "--size", "3", "--jurisdiction", "uk", "--seals", "4 N")
    assert "at the leading edge, without latch" in " ".join(_force(*DOOR, *options).stdout.split())
    answer = json.loads(_force(*DOOR, *options, "--latch", "0 N", "--json").stdout)
    assert (answer["read_at"], answer["without"]) == ("edge", [])
    assert answer["closing_moment_needed_nm"] == pytest.approx(
        5 * 0.9144 * 2.1336 * 0.9144 / 2 + 4 * 0.9144, abs=1e-3
    )


@pytest.mark.parametrize(
    ("door", "first", "behind"),
    [(("--width", "36 in", "--height", "84 in"), ("lbf", "lbf/ft²", "lbf·ft"), True),
     (("--width", "0.914 m", "--height", "2.134 m"), ("N", "Pa", "N·m"), False)],
)  # fmt: skip
def test_figures_come_in_the_units_the_leaf_was_given_in(door, first, behind) -> None:
    called = _force(*door, "--pressure", "60 Pa", "--size", "3")
    plain = " ".join(called.stdout.partition("limit ")[0].split())
    for unit in first:
        assert re.search(rf"[\d.]+ {re.escape(unit)}(?![\w·/])", plain), unit
    # What stands in brackets only is the other's.
    bare = re.sub(r"\([^()]*\)", "", plain)
    others = r" (?:Pa|N·m|N)\b" if behind else r" lbf"
    assert not re.search(others, bare.partition("limits:")[2])
    findings = called.stdout.rpartition("The place")[2] or called.stdout
    for said in re.findall(r"[\d.]+\s+(?:Pa|N·m)", findings):
        assert (f"({said})" in called.stdout) == behind, said


def test_editions_are_published_and_no_more_is_known_of_them() -> None:
    result = _force(*DOOR, "--pressure", "5 Pa", "--size", "3")
    assert "Limits as published" in result.stdout
    assert "in force" not in result.stdout
    answer = json.loads(_force(*DOOR, "--pressure", "5 Pa", "--size", "3", "--json").stdout)
    assert answer["editions"] == "published"


def test_a_stated_exit_is_stopped_by_the_five_pounds_and_a_stated_other_is_not() -> None:
    options = (*DOOR, "--pressure", "0 Pa", "--closer-force", "8 lbf")
    assert _force(*options).exit_code == 0
    assert _force(*options, "--egress").exit_code == 1
    assert _force(*options, "--no-egress").exit_code == 0


def test_a_profile_of_accessible_limits_is_held_without_being_asked_twice() -> None:
    result = _force(*DOOR, "--pressure", "0 Pa", "--size", "4", "--jurisdiction", "ada", "--json")
    limits = json.loads(result.stdout)["limits"]
    assert [limit["applies"] for limit in limits] == [True]


def test_text_fits_eighty_columns() -> None:
    result = _force(*DOOR, "--wind", "20 mph", "--size", "2", "--accessible")
    assert max(map(len, result.stdout.splitlines())) <= 80


@pytest.mark.parametrize(
    ("options", "faults"),
    [
        (("--width", "36", "--height", "84", "--pressure", "50 Pa", "--size", "3"),
         [("--width", "length-without-unit"), ("--height", "length-without-unit")]),
        ((*DOOR, "--pressure", "50", "--size", "3"), [("--pressure", "pressure-without-unit")]),
        ((*DOOR, "--pressure", "-5 Pa", "--size", "3"), [("--pressure", "pressure-negative")]),
        ((*DOOR, "--wind", "20 knots-ish", "--size", "3"), [("--wind", "speed-unknown-unit")]),
        ((*DOOR, "--pressure", "5 Pa", "--handle", "36 in", "--size", "3"),
         [("--handle", "handle-outside-leaf")]),
        ((*DOOR, "--pressure", "5 Pa", "--size", "9"), [("--size", "size-not-made")]),
        ((*DOOR, "--pressure", "5 Pa"), [("--closer-force", "exactly-one-of")]),
        ((*DOOR, "--pressure", "5 Pa", "--size", "3", "--closer-force", "8 lbf"),
         [("--closer-force", "exactly-one-of")]),
        ((*DOOR, "--pressure", "5 Pa", "--wind", "5 mph", "--size", "3"),
         [("--pressure", "at-most-one-of")]),
        (("--width", "0 in", "--height", "-84 in", "--pressure", "1 Pa", "--size", "3"),
         [("--width", "length-not-positive"), ("--height", "length-not-positive")]),
        ((*DOOR, "--pressure", "5 Pa", "--size", "3", "--jurisdiction", "mars"),
         [("--jurisdiction", "jurisdiction-unknown")]),
        ((*DOOR, "--pressure", "5 Pa", "--closer-force", "8"),
         [("--closer-force", "force-without-unit")]),
    ],
)  # fmt: skip
def test_bad_options_are_all_told_at_once(
    options: tuple[str, ...], faults: list[tuple[str, str]]
) -> None:
    result = _force(*options)
    assert isinstance(result.exception, InputError)
    assert [(problem.where, problem.code) for problem in result.exception.problems] == faults
    assert result.stdout == ""
    for problem in result.exception.problems:
        if problem.code in PROBLEMS:
            assert "{" not in PROBLEMS[problem.code].format_map(problem.fields)


def test_a_sweep_tells_moment_force_and_reach() -> None:
    result = _sweep("--series", "granite", "--mount", "regular", "--size", "3", "--json")
    assert result.exit_code == 0
    answer = json.loads(result.stdout)
    rows = {row["angle"]: row for row in answer["rows"]}
    assert rows[2.0]["closing_moment_nm"] == pytest.approx(18.0, abs=0.1)
    # 18 N·m at 55 % and 33 in
    assert rows[2.0]["opening_force_n"] == pytest.approx(18 / 0.55 / (33 * 0.0254), abs=0.3)
    assert answer["greatest_angle"] >= answer["stated_angle"] == 100
    assert answer["share_of_regular_arm"] == 1.0


def test_the_template_that_just_reaches_the_angle_is_taken() -> None:
    for wanted, template in (("90", "100"), ("105", "120"), ("130", "140")):
        result = _sweep("--series", "granite", "--mount", "regular", "--angle", wanted, "--json")
        assert json.loads(result.stdout)["template"].endswith(f"granite-regular-{template}")


def test_drawings_are_well_formed_and_say_what_they_show(tmp_path: Path) -> None:
    curve, plan = tmp_path / "curve.svg", tmp_path / "plan.svg"
    for mount in ("regular", "parallel", "top-jamb"):
        result = _sweep("--series", "granite", "--mount", mount,
                        "--svg", str(curve), "--plan", str(plan), "--angle", "75")  # fmt: skip
        assert result.exit_code == 0, result.output
        for path in (curve, plan):
            root = ElementTree.fromstring(path.read_text(encoding="utf-8"))  # noqa: S314  # our own
            names = {element.tag.rpartition("}")[2] for element in root.iter()}
            assert {"title", "desc", "polyline", "text"} <= names
            assert "nan" not in path.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("options", "code"),
    [
        (("--series", "nothing", "--mount", "regular"), "series-not-there"),
        (("--series", "pebble", "--mount", "top-jamb"), "no-template"),
        (("--series", "granite", "--mount", "regular", "--template", "nope"), "no-template"),
        (("--series", "granite", "--mount", "regular", "--size", "7"), "size-not-made"),
        (("--series", "granite", "--mount", "regular", "--angle", "179"), "angle-beyond-swing"),
        (("--series", "granite", "--mount", "regular", "--width", "36"), "length-without-unit"),
        (("--series", "granite", "--mount", "top-jamb", "--reveal", "30 in"),
         "template-reveal-unserved"),
    ],
)  # fmt: skip
def test_a_sweep_that_cannot_be_is_refused_and_writes_nothing(
    options: tuple[str, ...], code: str, tmp_path: Path
) -> None:
    drawing = tmp_path / "curve.svg"
    result = _sweep(*options, "--svg", str(drawing))
    assert isinstance(result.exception, InputError), result.output
    assert [problem.code for problem in result.exception.problems] == [code]
    assert not drawing.exists()
    assert result.stdout == ""


def test_a_folder_that_is_not_there_is_told_before_anything_is_written(tmp_path: Path) -> None:
    good, bad = tmp_path / "curve.svg", tmp_path / "no" / "plan.svg"
    result = _sweep("--series", "granite", "--mount", "regular",
                    "--svg", str(good), "--plan", str(bad))  # fmt: skip
    assert isinstance(result.exception, InputError)
    assert [(problem.where, problem.code) for problem in result.exception.problems] == [
        ("--plan", "svg-not-written")
    ]
    assert not good.exists()


def test_values_that_no_door_has_are_refused_in_a_sentence() -> None:
    for options, word in (
        ((*DOOR, "--pressure", "1e12 Pa", "--size", "3"), "pressure"),
        ((*DOOR, "--pressure", "1 Pa", "--closer-force", "1e9 lbf"), "closer-force"),
        (("--width", "0.5 mm", "--height", "84 in", "--handle", "0.1 mm", "--pressure", "1 Pa",
          "--size", "3"), "width"),
    ):  # fmt: skip
        result = _force(*options)
        assert isinstance(result.exception, CallError), result.output
        assert word in say_error(result.exception)
        assert result.stdout == ""


def test_without_pressure_and_wind_there_is_none() -> None:
    call = (*DOOR, "--size", "3", "--json")
    assert json.loads(_force(*call).output) == json.loads(
        _force(*call, "--pressure", "0 Pa").output
    )
