"""docs/schedule-format.md: every spelling and example on it is read, every column is on it."""

import io
import re
from pathlib import Path

import pytest
from tests.openings.files import FINISHES, JURISDICTIONS

from wholekit.intake import cells
from wholekit.intake.kit_file import COLUMNS as KIT_COLUMNS
from wholekit.intake.kit_file import read_kit_file
from wholekit.intake.schedule import COLUMNS, read_schedule
from wholekit.intake.shorthand import read_shorthand
from wholekit.intake.tables import LARGEST_FILE, MOST_ROWS
from wholekit.intake.workbook import LARGEST_UNPACKED, MOST_COLUMNS

DOC = (Path(__file__).parents[2] / "docs" / "schedule-format.md").read_text("utf-8")
READERS = {
    **cells.readers(FINISHES, JURISDICTIONS),
    "quantity": cells.quantity,
}


def section(heading):
    return re.split(r"^## ", DOC.split(f"## {heading}\n", 1)[1], maxsplit=1, flags=re.MULTILINE)[0]


def table(heading):
    """The rows of a section's table: cells, with the bars inside code kept."""
    lines = re.findall(r"^\| (`.*) \|$", section(heading), re.MULTILINE)
    return [line.split(" | ") for line in lines]


def code(text):
    return re.findall(r"`([^`]+)`", text)


SPELLINGS = [(code(row[0])[0], text) for row in table("Columns") for text in code(row[1])]
TERMS = [text for row in table("Shorthand") for text in code(row[0])]


def test_every_column_is_on_the_page_and_no_other():
    assert tuple(code(row[0])[0] for row in table("Columns")) == COLUMNS
    assert [code(row[0])[0] for row in table("The kit file")] == list(KIT_COLUMNS)


@pytest.mark.parametrize(("column", "text"), SPELLINGS)
def test_every_spelling_on_the_page_is_read(column, text):
    assert READERS[column](text) is not None


@pytest.mark.parametrize("text", TERMS)
def test_every_term_of_the_shorthand_on_the_page_is_read(text):
    size = "" if re.search(r"^(?!.*holes).*(x \d|x\d{2}|3070)", text) else "3070"
    mark = "" if re.match(r"mark:|#|101", text) else "mark:T"
    read_shorthand(f"{mark} {size} {text}", 1, finishes=FINISHES, jurisdictions=JURISDICTIONS)


def test_the_examples_are_read():
    schedule, kit = re.findall(r"```csv\n(.*?)```", DOC, re.DOTALL)
    openings = read_schedule(None, stdin=io.BytesIO(schedule.encode()), finishes=FINISHES)
    assert [opening.mark for opening in openings] == ["101", "102", "103"]
    assert len(read_kit_file(None, stdin=io.BytesIO(kit.encode()))) == 2
    (lines,) = re.findall(r"```text\n(.*?)```", DOC, re.DOTALL)
    marks = [read_shorthand(line, 1, finishes=FINISHES).mark for line in lines.strip().splitlines()]
    assert marks == ["101", "A-12", "B2", "opening-1", "612"]


def test_the_limits_on_the_page_are_those_that_hold():
    (limits,) = re.findall(r"^- Limits: (.*?)\n\n", DOC, re.DOTALL | re.MULTILINE)
    figures = [int(one.replace(",", "")) for one in re.findall(r"\d[\d,]*(?<!,)", limits)]
    assert figures == [
        MOST_ROWS, MOST_COLUMNS, LARGEST_FILE, LARGEST_UNPACKED,
        cells.LONGEST_CELL, cells.LONGEST_MARK, cells.LONGEST_NOTE,
    ]  # fmt: skip
    (fire,) = (row for row in table("Columns") if row[0] == "`fire_minutes`")
    assert [int(figure) for figure in re.findall(r"\d+", fire[2])] == list(cells.FIRE_MINUTES)
