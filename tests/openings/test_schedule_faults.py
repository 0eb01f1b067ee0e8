"""What is wrong with a schedule is told all at once, with row, column and what would be right."""

import io

import pytest
from tests.openings.files import FINISHES, faults, read, sentences

from wholekit.intake.faults import MOST_PROBLEMS
from wholekit.intake.schedule import read_schedule
from wholekit.intake.tables import MOST_ROWS


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "file-empty"),
        (b"  \r\n\r\n", "file-empty"),
        (b"\xef\xbb\xbf", "file-empty"),
        (b",,,\n,,\n", "file-empty"),
        ("mark,size\n101,3070\n".encode("utf-16"), "text-utf-16"),
        ("mark,size\n101,3070\n".encode("utf-16-le"), "text-nul"),
        (b"mark,size\n101,30\x0070\n", "text-nul"),
        ("mark,size,note\n101,3070,Café\n".encode("cp1252"), "text-not-utf-8"),
        (b'mark,size\n101,"3070\n102,3068\n', "text-not-csv"),
        (b'mark,size\n101,"3070"x\n', "text-not-csv"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600, "workbook-old"),
        (b"PK\x03\x04 no archive", "workbook-unreadable"),
        (b"mark,size\n", "table-without-rows-below"),
        (b"mark,size\n,\n\n", "table-without-rows-below"),
    ],
)
def test_a_file_that_is_no_schedule_is_refused_with_the_reason(data, code):
    assert [fault[0] for fault in faults(data)] == [code]


def test_a_wrong_byte_is_told_with_its_row():
    assert faults("mark,size\n1,3070\n2,3070é\n".encode("cp1252")) == [("text-not-utf-8", 3, "")]


def test_a_file_that_is_not_there_or_a_folder_is_told(tmp_path):
    assert faults("x", lambda _: read_schedule(tmp_path / "no.csv", finishes=FINISHES)) == [
        ("file-not-there", None, "")
    ]
    assert faults("x", lambda _: read_schedule(tmp_path, finishes=FINISHES)) == [
        ("file-not-readable", None, "")
    ]


@pytest.mark.parametrize(
    ("header", "expected"),
    [
        ("size,door", [("column-missing", 1, "mark")]),
        ("mark,door", [("size-column-needed", 1, "size")]),
        ("mark,width", [("column-missing", 1, "height")]),
        ("mark,size,colour", [("column-unknown", 1, "colour")]),
        ("mark,size,Mark", [("column-twice", 1, "mark")]),
        ("mark,size,,door", [("column-unnamed", 1, "")]),
        (
            "marks,dimension",
            [
                ("column-unknown", 1, "marks"),
                ("column-unknown", 1, "dimension"),
                ("column-missing", 1, "mark"),
                ("size-column-needed", 1, "size"),
            ],
        ),
    ],
)
def test_a_wrong_header_is_told_column_by_column(header, expected):
    row = ",".join(["101", "3070", "x", "wood"][: header.count(",") + 1])
    assert faults(f"{header}\n{row}\n") == expected


def test_rows_under_an_unknown_column_are_read_all_the_same():
    assert faults("mark,size,colour\n101,3070,red\n102,tall,red\n101,3068,\n") == [
        ("column-unknown", 1, "colour"),
        ("size-unreadable", 3, "size"),
        ("mark-repeated", 4, "mark"),
    ]


@pytest.mark.parametrize(
    ("given", "meant"),
    [("Qty", "quantity"), ("Fire Rating", "fire_minutes"), ("hnad", "hand"), ("finsh", "finish")],
)
def test_an_unknown_column_is_told_with_the_one_that_is_meant(given, meant):
    assert f"there is no column {given}; right would be: {meant}" in sentences(
        f"mark,size,{given}\n1,3070,x\n"
    )


def test_every_fault_of_every_row_is_told_at_once():
    data = (
        "mark,size,quantity,door,fire_minutes,note\n"
        "101,3070,1,wood,20,\n"
        "101,3070,0,wod,25,\n"
        ",31010,1.5,,,\n"
        "104,3070,x,,-,=A1\n"
    )
    assert faults(data) == [
        ("mark-repeated", 3, "mark"),
        ("whole-number", 3, "quantity"),
        ("word-unknown", 3, "door"),
        ("fire-label", 3, "fire_minutes"),
        ("mark-needed-in-row", 4, "mark"),
        ("whole-number", 4, "quantity"),
        ("size-run-together", 4, "size"),
        ("whole-number", 5, "quantity"),
        ("unknown-not-empty", 5, "fire_minutes"),
        ("cell-formula", 5, "note"),
    ]


def test_a_repeated_mark_points_to_the_first_row_of_it():
    assert "mark 101 stands in row 2 already" in sentences(
        "mark,size\n101,3070\n102,3070\n101,3068\n"
    )


@pytest.mark.parametrize(
    ("size", "code"),
    [
        ("31010", "size-run-together"),
        ("tall", "size-unreadable"),
        ("36", "size-unreadable"),
        ("0070", "size-unreadable"),
        ("0x84", "length-not-positive"),
        ("-36x84", "length-not-positive"),
        ("3x84", "size-not-sensible"),
        ("914x2134", "size-not-sensible"),
        ("36x8400 mm", "size-not-sensible"),
        ("11.7x84", "size-not-sensible"),
        ("36x177.3", "size-not-sensible"),
        ("3O70", "letter-for-digit"),
        ("3'-12\" x 7'-0\"", "length-inches-over-eleven"),
    ],
)
def test_a_size_no_leaf_can_have_is_refused(size, code):
    quoted = size.replace('"', '""')
    assert faults(f'mark,size\n101,"{quoted}"\n') == [(code, 2, "size")]


@pytest.mark.parametrize("size", ["300x900 mm", "2500x4500 mm", "11.82x35.5"])
def test_a_size_on_the_limit_is_taken(size):
    assert len(read(f"mark,size\n101,{size}\n")) == 1


def test_a_size_run_together_is_told_how_to_be_written():
    assert "3'-0\" x 10'-10\"" in sentences("mark,size\n101,31010\n")


def test_an_inch_figure_that_was_meant_as_millimetres_is_told_so():
    assert "a number without a unit is inches" in sentences("mark,size\n101,914x2134\n")


def test_a_letter_for_a_digit_is_told_with_what_was_meant():
    said = sentences("mark,size,quantity,weight\n1,3O70,1O,1O1 lb\n")
    assert all(right in said for right in ("right may be 3070", "right may be 10", "101 lb"))


@pytest.mark.parametrize(
    ("row", "expected"),
    [
        ("1,3070,37,", [("size-twice", 2, "width")]),
        ("1,3070,36,80", [("size-twice", 2, "height")]),
        ("1,,36,", [("side-needed", 2, "height")]),
        ("1,,,84", [("side-needed", 2, "width")]),
        ("1,,,", [("size-needed", 2, "size")]),
    ],
)
def test_size_width_and_height_must_agree_and_be_whole(row, expected):
    assert faults(f"mark,size,width,height\n{row}\n") == expected


@pytest.mark.parametrize(
    ("column", "text", "code"),
    [
        ("quantity", "0", "whole-number"),
        ("quantity", "-2", "whole-number"),
        ("quantity", "1.5", "whole-number"),
        ("quantity", "10000", "whole-number"),
        ("quantity", "9" * 30, "whole-number"),
        ("quantity", "1e3", "whole-number"),
        ("quantity", "TRUE", "whole-number"),
        ("leaves", "3", "word-unknown"),
        ("weight", "100", "mass-without-unit"),
        ("weight", "1 lb", "weight-out-of-range"),
        ("weight", "0 kg", "mass-not-positive"),
        ("accessible", "maybe", "word-unknown"),
        ("hold_open", "yes", "word-unknown"),
        ("fire_minutes", "25", "fire-label"),
        ("fire_minutes", "1/5 h", "fire-label"),
        ("fire_minutes", "A label", "fire-label"),
        ("fire_minutes", "-90", "fire-label"),
        ("opening_degrees", "0", "angle-out-of-range"),
        ("opening_degrees", "181", "angle-out-of-range"),
        ("opening_degrees", "-90", "angle-negative"),
        ("spring_size", "8", "whole-number"),
        ("spring_size", "0", "whole-number"),
        ("pressure", "50", "pressure-without-unit"),
        ("pressure", "50 bar", "pressure-unknown-unit"),
        ("pressure", "6 kPa", "physical-out-of-range"),
        ("wind", "-5 mph", "speed-negative"),
        ("wind", "400 mph", "physical-out-of-range"),
        ("seals", "10", "force-without-unit"),
        ("seals", "10 kg", "force-unknown-unit"),
        ("latch", "-5 N", "force-negative"),
        ("latch", "200 lbf", "physical-out-of-range"),
        ("grade", "0", "whole-number"),
        ("grade", "4", "whole-number"),
        ("traffic", "some", "word-unknown"),
        ("egress", "maybe", "word-unknown"),
        ("finish", "grey", "finish-unknown"),
        ("jurisdiction", "atlantis", "word-unknown"),
        ("reveal", "5 ft", "size-not-sensible"),
        ("top_rail", "0", "length-not-positive"),
        ("existing_holes", "8-1/4", "pattern-unreadable"),
        ("existing_holes", "8 x 3 x 1", "pattern-unreadable"),
        ("existing_holes", "210 x 83", "size-not-sensible"),
        ("existing_holes", "0 x 3", "length-not-positive"),
        ("thickness", "44", "size-not-sensible"),
        ("hand", "left", "word-unknown"),
        ("swing", "n/a", "unknown-not-empty"),
        ("door", "TBD", "unknown-not-empty"),
        ("door", "=B7", "cell-formula"),
        ("door", "wo\x07od", "cell-control"),
        ("note", "\u202ereversed", "cell-control"),
        ("note", "lost \ufffd letter", "cell-control"),
        ("series", "x" * 201, "cell-too-long"),
        ("note", "x" * 2001, "cell-too-long"),
        ("mark", "x" * 61, "cell-too-long"),
        ("mark", "=1+1", "cell-formula"),
    ],
)
def test_a_cell_that_is_no_value_of_its_column_is_refused(column, text, code):
    cells = {"mark": "101", "size": "3070", column: text}
    data = f"{','.join(cells)}\n{','.join(cells.values())}\n"
    assert faults(data) == [(code, 2, column)]


@pytest.mark.parametrize(
    ("column", "text", "right"),
    [
        ("mount", "paralel", "parallel"),
        ("door", "hollow mettal", "hollow-metal"),
        ("frame", "aluminim", "aluminum"),
        ("location", "exteror", "exterior"),
        ("finish", "drak bronze", "dark-bronze"),
    ],
)
def test_a_slip_of_the_pen_is_told_with_the_word_that_was_meant(column, text, right):
    assert right in sentences(f"mark,size,{column}\n1,3070,{text}\n").partition("right would be")[2]


def test_ragged_rows_are_told_with_their_row():
    assert faults("mark,size,door\n1,3070\n2,3070,wood,extra\n3,3070,wood\n") == [
        ("row-ragged", 2, ""),
        ("row-ragged", 3, ""),
    ]


def test_rows_count_as_a_spreadsheet_shows_them():
    data = 'mark,size,note\n1,3070,"two\nlines"\n\n2,bad,\n'
    assert faults(data) == [("size-unreadable", 4, "size")]


def test_alike_rows_with_a_fault_are_each_told():
    assert faults("mark,size\n1,tall\n2,tall\n") == [
        ("size-unreadable", 2, "size"),
        ("size-unreadable", 3, "size"),
    ]


def test_after_two_hundred_problems_reading_stops_and_says_so():
    found = faults("mark,size\n" + "".join(f"{n},tall\n" for n in range(5000)))
    assert len(found) == MOST_PROBLEMS + 1
    assert found[-1][0] == "too-many-problems"


def test_a_hundred_thousand_rows_are_read_and_one_more_is_refused():
    rows = "".join(f"A-{n},3070,wood\n" for n in range(MOST_ROWS))
    assert len(read(f"mark,size,door\n{rows}")) == MOST_ROWS
    assert faults(f"mark,size,door\n{rows}last,3070,wood\n") == [
        ("rows-over-limit", MOST_ROWS + 2, "")
    ]


def test_a_file_over_the_limit_of_bytes_is_refused_unread():
    class Endless(io.BytesIO):
        def read(self, size=-1, /):
            assert size is not None
            assert size > 0, "never read without a limit"
            return b"x" * size

    def endless(_):
        return read_schedule(None, stdin=Endless(), finishes=FINISHES)

    assert faults("", endless) == [("file-over-limit", None, "")]


def test_what_a_cell_holds_cannot_steer_the_terminal():
    assert "\x1b" not in sentences("mark,size,do\x1b[31mor\n1,\x1b[2J3070,x\n")
