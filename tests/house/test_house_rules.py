"""A house file that cannot be worked with is refused with its place; a good one shows."""

import re
from pathlib import Path

import pytest
from tests.support.command import run

from wholekit.domain.errors import InputError
from wholekit.intake.rulebook import _RULE_KEYS, _SOURCE_KEYS, load_rulebook
from wholekit.wording.problems import say_problem
from wholekit.wording.sources import rule_source

SOURCE = (
    'source = {body = "the house", edition = "", clause = "", mark = "house", '
    "last_checked = 2026-01-01}"
)


DOC = (Path(__file__).parents[2] / "docs" / "house-rules.md").read_text("utf-8")
PUBLISHED = load_rulebook()
SETTABLE = sorted(rule.id for rule in PUBLISHED.rules.values() if rule.value is not True)


@pytest.mark.parametrize("rule", SETTABLE)
def test_the_entry_a_rule_is_printed_with_loads_and_sets_just_what_it_says(tmp_path, rule):
    said = run("rules", rule).out
    path = tmp_path / "house.toml"
    path.write_text(said[said.index("[[rule]]") :], encoding="utf-8")
    book = load_rulebook(path)
    assert book[rule].value == PUBLISHED[rule].value
    assert (book[rule].unit, book[rule].valid_from) == (
        PUBLISHED[rule].unit,
        PUBLISHED[rule].valid_from,
    )
    assert rule_source(book, rule).startswith("house rule: our house, in place of")
    assert [each for each in book.rules if book[each] != PUBLISHED[each]] == [rule]


def test_a_statement_is_printed_without_an_entry():
    assert "[[rule]]" not in run("rules", "room-side").out


def test_the_house_file_of_the_document_does_what_it_says(tmp_path):
    (text,) = re.findall(r"```toml\n(.*?)```", DOC, re.DOTALL)
    path = tmp_path / "house.toml"
    path.write_text(text, encoding="utf-8")
    book = load_rulebook(path)
    changed = {rule: book[rule].value for rule in book.rules if book[rule] != PUBLISHED[rule]}
    assert changed == {"parallel-adds": 2, "default-traffic": "heavy", "default-reveal": "5 in"}
    assert all(PUBLISHED[one].value != value for one, value in changed.items())
    assert "house rule: our counter" in " ".join(run("rules", "--house", str(path)).out.split())


def test_the_document_names_every_key_and_only_those():
    keys = re.findall(r"^\| (`.*?`) \|", DOC.split("## Its keys")[1], re.MULTILINE)
    named = set(re.findall(r"`([^`]+)`", " ".join(keys)))
    assert named == {*_RULE_KEYS, *(f"source.{key}" for key in _SOURCE_KEYS)}


def house(tmp_path, rule, value, source=SOURCE, since="2026-01-01", unit=""):
    path = tmp_path / "house.toml"
    path.write_text(
        f'[[rule]]\nid = "{rule}"\ntitle = "t"\nunit = "{unit}"\nvalid_from = {since}\n'
        f"value = {value}\n{source}\n",
        encoding="utf-8",
    )
    return path


@pytest.mark.parametrize(
    ("rule", "value", "code"),
    [
        ("no-such-rule", "1", "rule-replaces-nothing"),
        ("parallel-adds", '"two"', "rule-value-other-kind"),
        ("default-door", '{aluminum = "aluminum", other = "tin"}', "rule-value-unfit"),
        ("default-door", '{other = "wood"}', "rule-value-other-kind"),
        ("push-side-mounts", "[]", "rule-value-other-kind"),
        ("push-side-mounts", '["sideways"]', "rule-value-unfit"),
        ("default-reveal", '"deep"', "rule-value-unfit"),
        ("us-width-interior", "[{to = 38, size = 3}, {to = 34, size = 2}]", "rule-value-unfit"),
        ("room-side", "false", "rule-is-a-statement"),
    ],
)
def test_a_value_the_program_could_not_use_is_refused_with_what_would_be_right(
    tmp_path, rule, value, code
):
    with pytest.raises(InputError) as caught:
        load_rulebook(house(tmp_path, rule, value))
    assert code in {problem.code for problem in caught.value.problems}
    for problem in caught.value.problems:
        assert "house.toml" in say_problem(problem)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("[[rule]\n", "toml-unreadable"),
        ("[[rules]]\n", "rule-key-unknown"),
        ('[[rule]]\nid = "parallel-adds"\nvalue = 2\n', "rule-key-missing"),
    ],
)
def test_a_file_that_is_no_rule_book_is_refused(tmp_path, text, code):
    path = tmp_path / "house.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load_rulebook(path)
    assert code in {problem.code for problem in caught.value.problems}


def test_a_house_value_stands_and_says_whose_it_is(tmp_path):
    rules = load_rulebook(house(tmp_path, "parallel-adds", "2"))
    assert rules.whole("parallel-adds") == 2
    assert rule_source(rules, "parallel-adds").startswith("house rule: the house, in place of")
    assert rules.version != load_rulebook().version


HOLIDAYS = """
[[holiday]]
day = 2026-12-25
name = "Christmas Day"

[[holiday]]
day = 2026-12-24
name = "Stocktaking"
"""


def test_a_house_file_of_holidays_alone_sets_no_rule_anew(tmp_path):
    path = tmp_path / "house.toml"
    path.write_text(HOLIDAYS, encoding="utf-8")
    book = load_rulebook(path)
    assert book.rules == PUBLISHED.rules
    assert [(f"{one.day}", one.name) for one in book.holidays] == [
        ("2026-12-24", "Stocktaking"), ("2026-12-25", "Christmas Day"),
    ]  # fmt: skip
    assert PUBLISHED.holidays == ()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('day = "2026-12-25"\nname = "x"', "2026-12-25 is no day; right would be year-month-day"),
        ('day = 2026-12-25T08:00:00\nname = "x"', "is no day"),
        ('day = 2026-12-25\nname = " "', "the name must be one line of text"),
        ("day = 2026-12-25\nname = 5", "the name must be one line of text"),
        ("day = 2026-12-25", "the key name is missing"),
        ('day = 2026-12-25\nname = "x"\nevery = "year"', "there is no key every in a holiday"),
        ('day = 2026-12-24\nname = "x"', "2026-12-24 is a holiday already, Stocktaking"),
    ],
)
def test_a_holiday_that_is_none_is_refused_with_its_place(tmp_path, text, said):
    path = tmp_path / "house.toml"
    path.write_text(f"{HOLIDAYS}\n[[holiday]]\n{text}\n", encoding="utf-8")
    with pytest.raises(InputError) as refused:
        load_rulebook(path)
    (problem,) = refused.value.problems
    assert f"{path}, holiday 3: " in say_problem(problem)
    assert said in say_problem(problem)


def test_holidays_that_are_no_tables_are_refused(tmp_path):
    path = tmp_path / "house.toml"
    path.write_text("holiday = 5\n", encoding="utf-8")
    with pytest.raises(InputError) as refused:
        load_rulebook(path)
    assert [problem.code for problem in refused.value.problems] == ["holiday-not-table"]
