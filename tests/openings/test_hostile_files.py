"""Files that would make a reader hang, fall over or fill the memory are refused in a sentence."""

import io
import os
import subprocess
import sys
import warnings
import zipfile

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.openings.files import faults, read, sentences, with_part, xlsx
from tests.openings.test_workbooks import HEADER, ROW, SHEET

from wholekit.domain.errors import InputError
from wholekit.intake.faults import Faults
from wholekit.intake.sheet_xml import (
    FarCellError,
    SheetXmlError,
    elements,
    letters_of,
    number_of,
    odd_cells,
)
from wholekit.intake.tables import RowTable, whole_rows

UNREADABLE = [("workbook-unreadable", None, "")]


class Counted(list[str]):
    """A row that counts how often it is cut."""

    cuts = 0

    def __getitem__(self, place):
        if isinstance(place, slice):
            Counted.cuts += 1
            return Counted(super().__getitem__(place))
        return super().__getitem__(place)


def test_empty_cells_behind_a_row_are_cut_at_once_however_many():
    Counted.cuts = 0
    rows = iter([(2, Counted(["101", "3070", *[""] * 16_382]))])
    found = list(whole_rows(RowTable(1, ["mark", "size"], rows), Faults("here")))
    assert found == [(2, ["101", "3070"])]
    assert Counted.cuts == 1


def test_a_row_wider_than_the_header_is_told_by_what_is_filled():
    rows = iter([(2, ["101", "3070", "", "x", "", ""])])
    faulty = Faults("here")
    assert list(whole_rows(RowTable(1, ["mark", "size"], rows), faulty)) == []
    with pytest.raises(InputError) as caught:
        faulty.raise_if_any()
    assert caught.value.problems[0].fields == {"given": 4, "wanted": 2}


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        (b'r="E2"', b'r = "XFD2"', ("sheet-too-wide", None, "")),
        (b'r="E2"', b'r="xfd2"', ("sheet-too-wide", None, "")),
        (b'r="E2"', b"r='cw2'", ("sheet-too-wide", None, "")),
        (b'r="E2"', b'r="&#67;W2"', ("sheet-too-wide", None, "")),
        (b'r="E2"', b'r\n=\n"E1048576"', ("rows-over-limit", 1_048_576, "")),
        (b'r="E2"', b'r="E99999999999999999999"', *UNREADABLE),
        (b'r="E2"', b'r="ZZZZZZZZZZ2"', *UNREADABLE),
        (b'r="E2"', b'r="-"', *UNREADABLE),
        (b'r="E2"', b'r="E0"', ("rows-over-limit", 0, "")),
        (b'<row r="2"', b'<row r="99999999999999999999"', *UNREADABLE),
        (b'<row r="2"', b'<row r="0"', *UNREADABLE),
    ],
)
def test_a_reference_out_of_bounds_is_seen_however_it_is_written(old, new, expected):
    assert faults(with_part(xlsx(HEADER, ROW), SHEET, old, new)) == [expected]


@pytest.mark.parametrize("reference", ["A1:XFDXFD99999999999", "A1:B99999999999999999999", "-"])
def test_ranges_are_held_to_the_same_bounds(reference):
    for part in ("dimension", "mergeCell"):
        given = f'<{part} ref="{reference}"/>'.encode()
        data = with_part(xlsx(HEADER, ROW), SHEET, b"<sheetData>", given + b"<sheetData>")
        assert faults(data) == UNREADABLE


@pytest.mark.parametrize(
    "formula",
    [b"<f\n>45*2</f>", b"<f\t>45*2</f>", b"<f ca='1'\n>45*2</f>", b"<f><![CDATA[45*2]]></f>"],
)
def test_a_formula_is_seen_however_its_tag_is_spaced(formula):
    data = xlsx(HEADER, ("101", 3070, 1, "=45*2", "4 in"))
    told = with_part(data, SHEET, b"<f>45*2</f>", formula + b"<v>90</v>")
    assert faults(told) == [("cell-formula", 2, "fire_minutes")]
    assert "'=45*2'" in sentences(told)


@pytest.mark.parametrize("kind", [b't = "e"', b"t\n='e'"])
def test_an_error_is_seen_however_its_type_is_spaced(kind):
    data = with_part(
        xlsx(HEADER, ROW), SHEET, b'r="D2" t="n"><v>90</v>', b'r="D2" ' + kind + b"><v>#N/A</v>"
    )
    assert faults(data) == [("cell-error", 2, "fire_minutes")]
    assert "#N/A" in sentences(data)


def test_cells_without_references_count_on_from_the_last():
    plain = with_part(xlsx(HEADER, ROW), SHEET, b' r="D2"', b"")
    assert read(plain) == read(xlsx(HEADER, ROW))
    wide = b"<row><c><v>1</v></c>" + b"<c><v>1</v></c>" * 100 + b"</row></sheetData>"
    assert faults(with_part(xlsx(HEADER, ROW), SHEET, b"</sheetData>", wide)) == [
        ("sheet-too-wide", None, "")
    ]


def test_far_cells_with_nothing_in_them_are_let_be():
    styled = b'<c r="XFD2" s="0"></c></row></sheetData>'
    data = with_part(xlsx(HEADER, ROW), SHEET, b"</row></sheetData>", styled)
    assert read(data) == read(xlsx(HEADER, ROW))


def test_a_text_that_is_not_among_the_shared_ones_ends_in_a_sentence():
    data = xlsx(HEADER, ROW)
    for index in (b"999999", b"99999999999999999999", b"-1", b"x"):
        told = with_part(
            data, SHEET, b'<c r="D2" t="n"><v>90</v>', b'<c r="D2" t="s"><v>' + index + b"</v>"
        )
        with pytest.raises(Exception, match="input-refused"):
            read(told)


def test_a_document_type_is_refused_in_any_coding():
    bomb = '<?xml version="1.0" encoding="UTF-16"?><!DOCTYPE x [<!ENTITY a "b">]><worksheet/>'
    for coding in ("utf-16", "utf-16-le", "utf-16-be", "utf-8"):
        for part in (SHEET, "xl/workbook.xml", "xl/_rels/workbook.xml.rels"):
            assert faults(_with_whole_part(part, bomb.encode(coding))) == UNREADABLE


def test_two_parts_of_one_name_are_refused_for_two_readers_may_differ():
    data = xlsx(HEADER, ROW)
    for name in (SHEET, SHEET.upper()):
        out = io.BytesIO(data)
        with warnings.catch_warnings(), zipfile.ZipFile(out, "a") as archive:
            warnings.simplefilter("ignore")
            archive.writestr(name, "<worksheet/>")
        assert faults(out.getvalue()) == UNREADABLE


@given(st.integers(1, 16_384), st.integers(1, 9_999_999))
def test_a_cell_is_far_exactly_beyond_the_bounds(column, row):
    xml = f'<s><row><c r="{letters_of(column)}{row}"><v>1</v></c></row></s>'.encode()
    if column <= 100 and row <= 1000:
        assert odd_cells(xml, 1000, 100) == {}
        return
    with pytest.raises(FarCellError) as far:
        odd_cells(xml, 1000, 100)
    assert (far.value.row, far.value.column) == (row, column)


@given(st.integers(1, 18_278))
def test_letters_of_a_column_are_read_back(column):
    assert number_of(letters_of(column)) == number_of(letters_of(column).lower()) == column


@given(st.binary(max_size=60))
def test_no_bytes_bring_the_parser_down(data):
    for read_part in (elements, lambda given: odd_cells(given, 10, 10)):
        try:
            read_part(data)
        except SheetXmlError:
            continue


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes there")
def test_a_pipe_or_a_device_named_as_a_file_is_refused_at_once(tmp_path):
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    catalog = ("--catalog", "catalog_samples/tarrowby")
    calls = [
        ("kit", str(pipe), *catalog),
        ("kit", "/dev/zero", *catalog),
        ("kit", "--opening", "101 3070", *catalog, "--house", str(pipe)),
        ("kit", "--opening", "101 3070", "--catalog", str(_folder_with_pipe(tmp_path))),
    ]
    for call in calls:
        done = subprocess.run(
            [sys.executable, "-m", "wholekit", *call],
            capture_output=True,
            text=True,
            timeout=60,
            check=False,
        )
        assert done.returncode == 2, done.stderr
        assert "Not a plain file" in done.stderr


def _folder_with_pipe(tmp_path):
    folder = tmp_path / "catalog"
    (folder / "series").mkdir(parents=True)
    os.mkfifo(folder / "catalog.toml")
    os.mkfifo(folder / "prices.csv")
    os.mkfifo(folder / "series" / "a.toml")
    return folder


def _with_whole_part(part, content):
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(xlsx(HEADER, ROW))) as kept, zipfile.ZipFile(out, "w") as made:
        for name in kept.namelist():
            made.writestr(name, content if name == part else kept.read(name))
    return out.getvalue()
