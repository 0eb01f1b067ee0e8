"""The customer's own sheet sent back: theirs as it was, ours behind it; read by openpyxl, csv."""

import csv
import io
import zipfile
from decimal import Decimal

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.openings.files import FINISHES, JURISDICTIONS, saved
from tests.openings.sheets import CLINIC, METRIC, REPEATED, merged_workbook

from wholekit.domain.errors import InputError
from wholekit.intake.sent_back import OurColumns, with_columns
from wholekit.intake.sheet import read_sheet

HEADINGS = ("Kit", "Price")


def placed(data):
    return read_sheet(
        data, "sent", finishes=FINISHES, jurisdictions=JURISDICTIONS, placed=True
    )  # fmt: skip


def sent_back(data, cells=("=1 × A <&>", Decimal("1234.50"))):
    """The sheet with two cells in each row of an opening; what was read of it."""
    found = placed(data)
    rows = {row: cells for row, _ in found.placed}
    ours = OurColumns(HEADINGS, found.headed, rows)
    return with_columns(data, "sent", found.reading.sheet, ours), found


def records(data, separator=",", encoding="utf-8"):
    return list(csv.reader(io.StringIO(data.decode(encoding), newline=""), delimiter=separator))


@pytest.mark.parametrize(
    ("text", "separator", "price"),
    [(CLINIC, ",", "1234.50"), (METRIC, ";", "1234,50"), (REPEATED, ",", "1234.50")],
    ids=["clinic", "metric", "repeated"],
)
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_a_text_keeps_its_rows_separator_and_encoding(text, separator, price, encoding):
    data = text.replace("\n", "\r\n").encode(encoding)
    back, found = sent_back(data, ("=1 x A", Decimal("1234.50")))
    assert sent_back(data, ("=1 x A", Decimal("1234.50")))[0] == back
    theirs, all_of_it = records(data, separator, encoding), records(back, separator, encoding)
    assert back.decode(encoding).count("\r\n") == len(theirs)
    assert len(all_of_it) == len(theirs)
    width = max(map(len, theirs))
    marks = dict(found.placed)
    assert len(marks) == len(found.placed) > 1
    for row, (before, after) in enumerate(zip(theirs, all_of_it, strict=True), start=1):
        assert after[: len(before)] == before
        if row in marks:
            assert after[width:] == ["'=1 x A", price]
        elif row in found.headed:
            assert after[width:] == list(HEADINGS)
        else:
            assert after == before


def test_signs_that_the_senders_encoding_lacks_come_in_utf_8():
    back, _ = sent_back(METRIC.encode("cp1252"), ("\N{BLACK STAR}", None))
    assert "\N{BLACK STAR}" in back.decode("utf-8-sig")


def test_a_repeated_mark_goes_by_the_name_it_was_given():
    assert dict(placed(REPEATED.encode()).placed) == {2: "A1", 3: "A1", 4: "B1 (1)", 5: "B1 (2)"}


def test_a_workbook_keeps_all_but_the_cells_that_join(tmp_path):
    data = merged_workbook()
    back, found = sent_back(data)
    assert sent_back(data)[0] == back
    old, new = (zipfile.ZipFile(io.BytesIO(each)) for each in (data, back))
    assert old.namelist() == new.namelist()
    changed = [name for name in old.namelist() if old.read(name) != new.read(name)]
    assert len(changed) == 1
    before, after = (openpyxl.load_workbook(io.BytesIO(each)) for each in (data, back))
    ours: dict[int, list[object]] = {}
    for sheet in before:
        same = after[sheet.title]
        assert same.merged_cells.ranges == sheet.merged_cells.ranges
        width = sheet.max_column
        for cells in same.iter_rows():
            for cell in cells:
                there = sheet[cell.coordinate]
                if cell.column > width:
                    ours.setdefault(cell.row, []).append(cell.value)
                else:
                    assert (cell.value, cell.style_id) == (there.value, there.style_id)
    marks = dict(found.placed)
    assert all(ours[row] == ["=1 × A <&>", 1234.5] for row in marks)
    assert [ours[row] for row in found.headed] == [list(HEADINGS)]
    # The reader of before reads what comes back, our columns set aside.
    again = placed(back)
    assert (again.openings, again.placed) == (found.openings, found.placed)


CELL = st.none() | st.integers(-9, 9) | st.text("ab<&\"'\u00e9\U0001f6aa ", max_size=5)


@settings(max_examples=25)
@given(st.lists(st.lists(CELL, max_size=4), max_size=6), st.text("=x<&\x0b\ud7ff ", max_size=4))
def test_any_sheet_is_as_it_was_before_our_cells(rows, text):
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "S"
    sheet.append(["mark"])
    for row in rows:
        sheet.append(["m", *row])
    data = saved(book)
    # Nothing joins the last row, which may be the widest.
    numbers = range(2, 1 + len(rows))
    ours = OurColumns(("K",), (1,), dict.fromkeys(numbers, (text, 7)))
    after = openpyxl.load_workbook(io.BytesIO(with_columns(data, "s", "S", ours)))["S"]
    before = openpyxl.load_workbook(io.BytesIO(data))["S"]
    width = before.max_column
    clean = text.replace("\x0b", "")
    for number in (1, *numbers):
        cells = [cell.value for cell in after[number]]
        assert cells[:width] == [cell.value for cell in before[number]]
        assert cells[width] == ("K" if number == 1 else clean or None)
    assert all(after.cell(number, width + 2).value == 7 for number in numbers)


def test_names_with_a_prefix_and_rows_without_a_number_are_found():
    book = openpyxl.Workbook()
    book.active.append(["mark", "size"])
    book.active.append(["1", "3070"])
    data = saved(book)
    part = "xl/worksheets/sheet1.xml"
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w") as new:
        for name in old.namelist():
            xml = old.read(name)
            if name == part:
                xml = xml.replace(b'<row r="2"', b'<row spans="1:2"').replace(b' r="1"', b"")
                for tag in (b"worksheet", b"sheetData", b"row", b"c", b"v", b"is", b"t"):
                    for sign in (b" ", b">"):
                        xml = xml.replace(b"<" + tag + sign, b"<x:" + tag + sign)
                    xml = xml.replace(b"</" + tag + b">", b"</x:" + tag + b">")
                xml = xml.replace(b"xmlns=", b"xmlns:x=")
            new.writestr(name, xml)
    ours = OurColumns(("K",), (1,), {2: (5,)})
    back = with_columns(out.getvalue(), "s", "Sheet", ours)
    xml = zipfile.ZipFile(io.BytesIO(back)).read(part)
    assert b'<x:c r="C2"><x:v>5</x:v></x:c></x:row>' in xml
    assert b"spans" not in xml


def test_a_sheet_that_is_formatted_to_its_far_end_is_refused():
    book = openpyxl.Workbook()
    book.active.append(["mark", "size"])
    book.active.cell(1, 1_001).font = openpyxl.styles.Font(bold=True)
    ours = OurColumns(("K",), (1,), {})
    with pytest.raises(InputError):
        with_columns(saved(book), "s", "Sheet", ours)
