"""A house file that cannot be worked with is refused with its place; a good one shows."""

import pytest

from wholekit.domain.errors import InputError
from wholekit.intake.rulebook import load_rulebook
from wholekit.wording.problems import say_problem

SOURCE = (
    'source = {body = "the house", edition = "", clause = "", mark = "house", '
    "last_checked = 2026-01-01}"
)


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
    assert rules.source("parallel-adds").startswith("house rule: the house, in place of")
    assert rules.version != load_rulebook().version
