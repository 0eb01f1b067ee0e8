"""Tables that fit the width, whatever stands in them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wholekit.cli.console import page_line, table

HEADS = ("code", "name", "net")
WORD = st.text("abcdefgh-", min_size=1, max_size=30)
TEXT = st.lists(WORD, max_size=8).map(" ".join)


@pytest.fixture(autouse=True, scope="module")
def _eighty_columns():
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("COLUMNS", "80")
        yield


@given(st.lists(st.tuples(TEXT, TEXT, st.from_regex(r"[0-9]{1,9}", fullmatch=True)), max_size=4))
def test_a_table_fits_and_loses_nothing(rows):
    lines = list(table(rows, HEADS, frozenset({2}), (0, 1)))
    assert max(map(len, lines)) <= 80
    letters = sorted("".join("".join(row) for row in rows).replace(" ", ""))
    shown = "".join(lines[2:])
    assert sorted(shown.replace(" ", "")) == letters


def test_columns_that_fit_are_left_as_they_are_and_words_are_not_broken():
    rows = [("a-1", "Dune Point Contracting and Development Company of the North", "12.50")]
    lines = list(table([*rows, ("salt", "S", "3")], HEADS, frozenset({2}), (0, 1)))
    assert len(lines) == 4
    wide = [("saltmarsh", "Contracting " * 12, "12.50")]
    found = list(table(wide, HEADS, frozenset({2}), (0, 1)))
    assert " ".join(found[2:]).split().count("Contracting") == 12
    assert found[2].startswith("saltmarsh  Contracting"), "the wider column gives way first"


def test_a_text_stands_below_its_row_and_only_there():
    rows = [("101", "x", "1"), ("102", "y", "2")]
    lines = list(table(rows, HEADS, frozenset(), 1, ["", "behind the stage " * 9]))
    assert lines[2].split() == ["101", "x", "1"]
    assert lines[3].split() == ["102", "y", "2"]
    assert " ".join(lines[4:]).split().count("stage") == 9
    assert max(map(len, lines)) <= 80


@pytest.mark.parametrize(
    ("shown", "count", "page", "size", "words"),
    [
        (0, 0, 1, 50, "0 of 0, page 1 of 1"),
        (50, 50, 1, 50, "50 of 50, page 1 of 1"),
        (1, 51, 2, 50, "1 of 51, page 2 of 2"),
        (0, 51, 3, 50, "0 of 51, page 3 of 2: past the end"),
    ],
)
def test_a_list_says_which_page_of_how_many(shown, count, page, size, words):
    assert page_line(shown, count, page, size) == words
