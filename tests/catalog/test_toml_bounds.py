"""Numbers that TOML can write and nothing can work with are told, wherever a TOML file is read."""

import pytest
from tests.catalog.folders import SERIES, sound_copy
from tests.support.command import run

from wholekit.intake.toml_table import parse_toml


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("a = " + "9" * 5_000, "a whole number beyond 64 bits"),
        ("a = 0x" + "f" * 5_000, "a: a whole number beyond 64 bits"),
        ("a = 9223372036854775808", "a: a whole number beyond 64 bits"),
        ("[t]\nb = [1.0, nan]", "t.b[2]: nan is no number"),
        ("[[t]]\nb = -inf", "t[1].b: -inf is no number"),
        ("a = " + "[" * 5_000 + "]" * 5_000, "lists or tables too deep in each other"),
    ],
)
def test_a_number_out_of_bounds_is_named_with_its_place(text, said):
    with pytest.raises(ValueError, match=r".") as refused:
        parse_toml(text, finite=True)
    assert str(refused.value) == said


def test_the_largest_numbers_of_toml_are_read():
    most = 2**63 - 1
    assert parse_toml(f"a = {most}\nb = -{most}\nc = 1e300") == {"a": most, "b": -most, "c": 1e300}


@pytest.mark.parametrize(
    "line",
    [f"preload = {'9' * 4_000}", f"preload = {'9' * 5_000}"],
)
def test_a_catalogue_with_such_a_number_is_refused_in_a_sentence(tmp_path, line):
    folder = sound_copy(tmp_path)
    series = folder / SERIES
    text = series.read_text(encoding="utf-8")
    assert "preload = 35" in text
    series.write_text(text.replace("preload = 35", line, 1), encoding="utf-8")
    result = run("catalog", "check", str(folder))
    assert result.status == 2
    assert "is not TOML" in result.out
    assert len(result.out) < 1_000


def test_a_house_rule_with_such_a_number_is_refused_in_a_sentence(tmp_path):
    house = tmp_path / "house.toml"
    for value in ("nan", "9" * 5_000):
        house.write_text(f'[[rule]]\nid = "force-k"\nvalue = {value}\n', encoding="utf-8")
        result = run("rules", "--house", str(house))
        assert (result.status, result.out) == (2, "")
        assert "this is not TOML" in result.err


def test_more_screws_than_any_part_has_are_a_slip(tmp_path):
    """A thousand and more once brought the search for a cover down."""
    folder = sound_copy(tmp_path)
    series = folder / SERIES
    text = series.read_text(encoding="utf-8")
    for most, status in ((32, 0), (33, 2), (1_000, 2)):
        series.write_text(text.replace("holes = 4", f"holes = {most}", 1), encoding="utf-8")
        assert run("catalog", "check", str(folder)).status == status
