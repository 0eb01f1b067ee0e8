"""Workbooks: the sheet that is meant, and cells that only look empty or like values."""

import datetime
import io
import zipfile

import openpyxl
import pytest
from tests.openings.files import (
    FINISHES,
    faults,
    outcome,
    read,
    saved,
    sentences,
    with_part,
    workbook,
    xlsx,
)

from wholekit.domain.errors import InputError
from wholekit.intake.schedule import read_schedule
from wholekit.intake.tables import MOST_ROWS
from wholekit.intake.workbook import MOST_COLUMNS

HEADER = ("mark", "size", "quantity", "fire_minutes", "reveal")
ROW = ("101", 3070, 1, 90, "4 in")
SHEET = "xl/worksheets/sheet1.xml"


def test_a_workbook_is_known_by_its_content_not_by_its_name(tmp_path):
    path = tmp_path / "schedule.csv"
    path.write_bytes(xlsx(HEADER, ROW))
    assert read_schedule(path, finishes=FINISHES)[0].mark == "101"
    path = tmp_path / "schedule.xlsx"
    path.write_text("mark,size\n101,3070\n", encoding="utf-8")
    assert read_schedule(path, finishes=FINISHES)[0].mark == "101"


def test_the_sheet_with_the_header_is_read_wherever_it_stands():
    legend = ("Legend", [("HM", "hollow metal")])
    book = workbook(legend, ("Level 1", [HEADER, ROW]), ("Empty", []))
    assert [opening.mark for opening in read(saved(book))] == ["101"]


def test_faults_name_the_sheet_where_there_are_several():
    book = workbook(("Legend", [("HM", "hollow metal")]), ("Level 1", [HEADER, ("1", "tall")]))
    assert "standard input, sheet Level 1, row 2, column size" in sentences(saved(book))


def test_two_sheets_with_the_header_are_refused_so_that_none_goes_unread():
    book = workbook(("Level 1", [HEADER, ROW]), ("Level 2", [HEADER, ("201", 3070)]))
    assert faults(saved(book)) == [("two-sheets", None, "")]
    assert "Level 1, Level 2" in sentences(saved(book))


def test_hidden_sheets_are_left_alone():
    book = workbook(("Level 1", [HEADER, ROW]), ("Old", [HEADER, ("x", "tall")]))
    book["Old"].sheet_state = "hidden"
    assert [opening.mark for opening in read(saved(book))] == ["101"]


def test_a_workbook_without_a_schedule_is_told_what_its_header_lacks():
    assert faults(xlsx(("door", "wall"), ("a", "b"))) == [
        ("column-unknown", 1, "wall"),
        ("column-missing", 1, "mark"),
        ("size-column-needed", 1, "size"),
    ]
    assert faults(xlsx()) == [("file-empty", None, "")]


def test_rows_keep_their_number_under_blank_ones():
    book = workbook(("Openings", []))
    sheet = book["Openings"]
    for column, name in enumerate(HEADER, start=2):
        sheet.cell(4, column, name)
    sheet.cell(7, 2, "101")
    sheet.cell(7, 3, "tall")
    sheet.cell(4, 1, "note")
    assert faults(saved(book)) == [("size-unreadable", 7, "size")]


def test_a_formula_is_refused_whether_or_not_its_result_is_stored():
    never = xlsx(HEADER, ("101", 3070, 1, "=45*2", "4 in"), ("102", "=A1", 1))
    assert faults(never) == [("cell-formula", 2, "fire_minutes"), ("cell-formula", 3, "size")]
    assert "'=45*2'" in sentences(never)
    stored = with_part(
        xlsx(HEADER, ("101", 3070, 1, "=45*2", "4 in")), SHEET, b"</f>", b"</f><v>90</v>"
    )
    assert faults(stored) == [("cell-formula", 2, "fire_minutes")]


def test_a_formula_that_shows_an_empty_text_is_an_empty_cell():
    data = with_part(
        xlsx(HEADER, ROW, (None, None, None, "=45*2")), SHEET, b'<c r="D3">', b'<c r="D3" t="str">'
    )
    assert [opening.mark for opening in read(data)] == ["101"]


def test_a_formula_in_a_mark_quantity_or_note_is_told_too():
    data = xlsx(("mark", "size", "quantity", "note"), ("=A9", 3070, "=1+1", '="x"'))
    assert faults(data) == [
        ("cell-formula", 2, "mark"),
        ("cell-formula", 2, "quantity"),
        ("cell-formula", 2, "note"),
    ]


def test_a_row_of_nothing_but_a_formula_is_no_blank_row():
    assert faults(xlsx(HEADER, ROW, (None, "=A1"))) == [
        ("mark-needed-in-row", 3, "mark"),
        ("cell-formula", 3, "size"),
    ]


@pytest.mark.parametrize("error", ["#REF!", "#N/A", "#VALUE!", "#DIV/0!"])
def test_a_cell_in_error_is_not_an_empty_cell(error):
    book = workbook(("Openings", [HEADER, ROW]))
    book["Openings"]["D2"] = error
    book["Openings"]["D2"].data_type = "e"
    assert faults(saved(book)) == [("cell-error", 2, "fire_minutes")]
    assert error in sentences(saved(book))


def test_text_that_begins_like_a_formula_is_refused():
    book = workbook(("Openings", [HEADER, ROW]))
    book["Openings"]["E2"] = "=4 in"
    book["Openings"]["E2"].data_type = "s"
    assert faults(saved(book)) == [("cell-formula", 2, "reveal")]


@pytest.mark.parametrize(
    "value",
    [
        datetime.date(2026, 3, 4),
        datetime.datetime(2026, 3, 4, 5, 6),  # noqa: DTZ001  # as a spreadsheet holds it
        datetime.time(3, 4),
    ],
)
def test_a_date_that_the_spreadsheet_made_is_told(value):
    assert faults(xlsx(HEADER, ("101", 3070, 1, 90, value))) == [("cell-date", 2, "reveal")]
    assert "format it as text" in sentences(xlsx(HEADER, ("101", 3070, 1, 90, value)))


def test_merged_cells_are_refused_for_only_the_first_has_the_value():
    book = workbook(("Openings", [HEADER, ROW, ("102", 3070)]))
    book["Openings"].merge_cells("E2:E3")
    assert faults(saved(book)) == [("cells-merged", 2, "reveal")]
    assert "E2:E3" in sentences(saved(book))


def test_one_far_cell_cannot_make_a_sheet_of_millions():
    book = workbook(("Openings", [HEADER, ROW]))
    book["Openings"]["XFD1048576"] = "x"
    assert faults(saved(book)) == [("sheet-too-wide", None, "")]
    book = workbook(("Openings", [HEADER, ROW]))
    book["Openings"]["A1048576"] = "x"
    assert faults(saved(book)) == [("rows-over-limit", 1_048_576, "")]


def test_the_last_column_and_row_are_taken():
    book = workbook(("Openings", [HEADER, ROW]))
    book["Openings"].cell(MOST_ROWS + 1, 1, "last")
    book["Openings"].cell(MOST_ROWS + 1, 2, 3068)
    assert [opening.mark for opening in read(saved(book))] == ["101", "last"]
    book["Openings"].cell(2, MOST_COLUMNS, "x")
    assert faults(saved(book)) == [("row-ragged", 2, "")]
    book["Openings"].cell(2, MOST_COLUMNS + 1, "x")
    assert faults(saved(book)) == [("sheet-too-wide", None, "")]


def test_an_archive_that_is_no_workbook_is_refused():
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("readme.txt", "mark,size")
    assert faults(out.getvalue()) == [("workbook-unreadable", None, "")]


def test_entities_of_a_workbook_are_never_expanded():
    bomb = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaa">]><x>&a;</x>'
    data = xlsx(HEADER, ROW)
    for part in ("xl/workbook.xml", SHEET):
        out = io.BytesIO()
        with zipfile.ZipFile(io.BytesIO(data)) as given, zipfile.ZipFile(out, "w") as made:
            for name in given.namelist():
                made.writestr(name, bomb if name == part else given.read(name))
        assert faults(out.getvalue()) == [("workbook-unreadable", None, "")]


def test_an_archive_that_unpacks_to_too_much_is_refused_packed():
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for number in range(9):
            archive.writestr(f"xl/{number}", bytes(50_000_000))
    assert faults(out.getvalue()) == [("file-over-limit", None, "")]


def test_a_damaged_workbook_is_read_or_refused_never_worse():
    data = xlsx(HEADER, ROW)
    for place in range(0, len(data), 7):
        damaged = data[:place] + bytes([data[place] ^ 0xFF]) + data[place + 1 :]
        openings, problems = outcome(damaged)
        assert openings or problems
    for length in range(4, len(data), 97):
        with pytest.raises(InputError):
            read(data[:length])


def test_the_reader_of_workbooks_is_loaded_only_for_a_workbook():
    import subprocess
    import sys

    code = (
        "import io, sys; from tests.openings.files import FINISHES;"
        "from wholekit.intake.schedule import read_schedule;"
        "read_schedule(None, stdin=io.BytesIO(b'mark,size\\n1,3070\\n'), finishes=FINISHES);"
        "sys.exit('python_calamine' in sys.modules or 'zipfile' not in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], check=False)
    assert done.returncode == 0


def test_values_openpyxl_writes_come_back_as_they_were():
    book = openpyxl.load_workbook(io.BytesIO(xlsx(HEADER, ROW)))
    assert read(saved(book)) == read(xlsx(HEADER, ROW))
