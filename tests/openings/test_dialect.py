"""Cells as somebody wrote them, in the clean form: every row of the dialect does what it says."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.openings.dialect_cases import PATTERNS
from tests.openings.files import FINISHES, JURISDICTIONS

from wholekit.domain.errors import Problem
from wholekit.domain.quantities import QuantityError
from wholekit.intake.cells import (
    USUAL_HEIGHTS,
    clean,
    quantity,
    readers,
    refuse_two_readings,
)
from wholekit.intake.dialect import CellReading, checked_dialect, clean_readers, translate
from wholekit.intake.dialect_check import row_problems
from wholekit.intake.dialect_rows import load_dialect, read_rows
from wholekit.intake.tables import RefusedCell
from wholekit.intake.unclear import OR, UNCLEAR_FIELDS

DIALECT = load_dialect()
STRICT = {**readers(FINISHES, JURISDICTIONS), "quantity": quantity}
WORDS = [
    (row.id, column, word) for row in DIALECT.rows for column in row.columns for word in row.words
]
EXAMPLES = [
    (name, *case) for name, cases in PATTERNS.items() for case in cases
]  # row, column, cell, unit, cells
COLUMNS = sorted(DIALECT.columns())
# A column, a cell and the unit of its heading.
Cell = tuple[str, str, str | None]
UNITS = st.sampled_from([None, "mm", "cm", "m", "in", "ft", "lb", "kg", "h", "min", "deg"])


def read(column: str, cell: str, unit: str | None = None) -> CellReading:
    """The reading of a cell that some row knows."""
    reading = translate(column, cell, unit)
    assert reading is not None, (column, cell, unit)
    return reading


def two_readings(width, height):
    """What the strict reader says a bare pair may mean; nothing if it may mean one thing only."""
    try:
        refuse_two_readings(width, height, "")
    except QuantityError as error:
        return error.fields["feet"], error.fields["inches"]
    return ()


def reads(column, text):
    try:
        return STRICT[column](clean(text)) is not None
    except QuantityError:
        return False


@pytest.mark.parametrize(("row", "column", "word"), WORDS)
def test_every_word_is_translated_by_its_own_row(row, column, word):
    assert read(column, word).rule == row


@pytest.mark.parametrize(("row", "column", "cell", "unit", "gives"), EXAMPLES)
def test_every_pattern_gives_what_it_should(row, column, cell, unit, gives):
    reading = read(column, cell, unit)
    assert (reading.rule, dict(reading.cells)) == (row, gives)


def test_every_row_of_patterns_has_a_case():
    assert set(PATTERNS) == {row.id for row in DIALECT.rows if row.patterns}


def test_whatever_a_row_gives_is_clean():
    cells: list[Cell] = [(column, word, None) for _, column, word in WORDS]
    cells += [(column, cell, unit) for _, column, cell, unit, _ in EXAMPLES]
    for column, cell, unit in cells:
        reading = read(column, cell, unit)
        for name, text in reading.cells.items():
            assert not text or reads(name, text), (column, cell, name, text)
        for text in reading.asked:
            assert reads(column, text), (column, cell, text)


# What stands there twice is asked only where the two differ.
AGREE = ("label-time-letter",)


def test_a_row_that_asks_always_asks_and_never_takes_one():
    asking = [row for row in DIALECT.rows if row.asked]
    assert len(asking) > 15
    for row in asking:
        cells: list[Cell] = [(column, word, None) for column in row.columns for word in row.words]
        cells += [(column, cell, unit) for column, cell, unit, _ in PATTERNS.get(row.id, ())]
        for column, cell, unit in cells:
            reading = read(column, cell, unit)
            if row.id in AGREE and not reading.asked:
                continue
            assert len(reading.asked) > 1, (row.id, cell)
            said = reading.cells.get(column, "")
            if column in UNCLEAR_FIELDS:
                assert said == OR.join(reading.asked)
            else:
                assert not said


@pytest.mark.parametrize("letter", ["A", "B", "C", "D", "E", "F", "G", "L", "N", "V", "A60", "FG"])
def test_a_letter_is_a_label_in_a_column_of_labels_alone(letter):
    for column in COLUMNS:
        reading = translate(column, letter)
        if column != "fire_minutes" and reading is not None:
            assert "fire_minutes" not in reading.cells
    label = translate("fire_minutes", letter)
    assert (label is not None) == (letter in "ABCDE")


@pytest.mark.parametrize(
    ("letter", "minutes"),
    [
        ("A", "180"),
        ("B", "60 or 90"),
        ("C", "45"),
        ("D", "90"),
        ("E", "45"),
        ("class b", "60 or 90"),
    ],
)
def test_letters_of_labels(letter, minutes):
    assert read("fire_minutes", letter).cells["fire_minutes"] == minutes


def test_a_bare_pair_asks_exactly_where_the_strict_reader_refuses_two_readings():
    for width in range(20, 99):
        for height in range(60, 110):
            text = f"{width}x{height}"
            reading = translate("size", text)
            asked = () if reading is None else reading.asked
            assert asked == two_readings(str(width), str(height)), text
    assert len(USUAL_HEIGHTS) == 6


@settings(max_examples=300)
@given(st.sampled_from(COLUMNS), st.text(max_size=30), UNITS)
def test_no_text_breaks_the_reading(column, text, unit):
    reading = translate(column, text, unit)
    if reading is not None:
        assert reading.cells or reading.asked


@settings(max_examples=300)
@given(
    st.sampled_from(COLUMNS), st.from_regex(r"[0-9'\"x/ .,-]{1,12}(in|mm|cm|m|hr)?", fullmatch=True)
)
def test_a_clean_cell_is_left_as_it_stands(column, text):
    if reads(column, text) and column not in ("size", "width"):
        assert translate(column, text) is None


@pytest.mark.parametrize("number", ["30", "36", "42.5", "36-1/2"])
def test_a_heading_with_a_unit_holds_for_a_number_that_would_be_inches(number):
    assert read("width", number, "in").cells == {"width": f"{number} in"}
    assert translate("width", number, None) is None


def test_what_a_workbook_refuses_is_not_read_though_its_text_was_read_before():
    assert translate("fire_minutes", "B") is not None
    assert translate("fire_minutes", RefusedCell("cell-formula", "B")) is None


def test_nothing_is_read_from_a_remark_or_a_mark():
    for column in ("note", "mark", "series", "jurisdiction"):
        assert translate(column, "90 MIN") is None


ROW = """
[[row]]
id = "door-steel"
columns = ["door"]
language = "en"
words = ["STLX"]
gives = {it = "hollow-metal"}
mark = "practice"
source = "usage"
"""
HARSHEST = dict.fromkeys(UNCLEAR_FIELDS, "first")


def faults(text, harshest=HARSHEST):
    problems: list[Problem] = []
    rows, _ = read_rows(text, "rows.toml", problems)
    problems += row_problems(rows, clean_readers(), harshest)
    return {(problem.code, problem.column) for problem in problems}


def test_the_programs_own_rows_have_no_fault():
    assert checked_dialect() is DIALECT


def test_a_sound_row_has_no_fault():
    assert faults(ROW) == set()


@pytest.mark.parametrize(
    ("old", "new", "code", "key"),
    [
        ('["door"]', '["dor"]', "dialect-column", "columns"),
        ("{it =", "{dor =", "dialect-column", "gives"),
        ('words = ["STLX"]\n', "", "dialect-empty", "words"),
        ('gives = {it = "hollow-metal"}\n', "", "dialect-empty", "gives"),
        ('source = "usage"', 'source = " "', "dialect-empty", "source"),
        ('gives = {it = "hollow-metal"}', 'asked = ["wood"]', "dialect-empty", "asked"),
        ('words = ["STLX"]', "patterns = ['(x']", "dialect-pattern", "patterns"),
        ('"hollow-metal"}', '"{w}"}', "dialect-template", "gives"),
        ('"hollow-metal"}', '"{0|dor}"}', "dialect-template", "gives"),
        ('"hollow-metal"}', '"tin"}', "dialect-unclean", "gives"),
        ('["STLX"]', '["STLX", "stlx."]', "dialect-word-twice", "words"),
        ('["STLX"]', '["HM"]', "dialect-clean", "words"),
        ('mark = "practice"\n', "", "key-missing", "mark"),
        ('"practice"', '"hearsay"', "word-unknown", "mark"),
        ('language = "en"', 'langage = "en"', "key-unknown", "langage"),
    ],
)
def test_a_row_is_refused_for_each_fault(old, new, code, key):
    assert (code, f"row[door-steel].{key}") in faults(ROW.replace(old, new))


def test_a_row_twice_and_a_word_in_two_rows_are_refused():
    again = ROW.replace("door-steel", "door-iron")
    assert ("dialect-word-twice", "row[door-iron].words") in faults(ROW + again)
    assert ("dialect-twice", "row[door-steel].id") in faults(ROW + ROW)


def test_a_field_of_unclear_values_without_its_harshest_is_refused():
    assert ("dialect-harshest", "row[harshest].field") in faults(ROW, {"fire_minutes": "most"})
