"""A contractor's sheet, dropped on a job."""

import pytest
from tests.support.accounts import proven

from wholekit.services import jobs

SHEET = (
    b"Door No,Size,Qty,Mat'l,Frame,Int/Ext,Fire Rating\n"
    b"101,3070,1,HM,HM,INT,90 MIN\n102,3070,2,HM,HM,INT,\n"
)


@pytest.fixture
def ines(at, desk):
    jobs.create_job(desk, proven(), jobs.NewJob("Heron Quay School", "saltmarsh"))
    return at("ines")


def send(ines, data, name="sheet.csv"):
    return ines.client.post(
        "/jobs/1/sheet", data={"form_key": ines.key("/password")}, files={"sheet": (name, data)}
    )


def field(page, name):
    return page.split(f'name="{name}" value="')[1].split('"')[0]


def test_a_sheet_is_shown_as_it_was_read_and_taken_whole(ines, desk):
    read = send(ines, SHEET)
    assert read.status_code == 200
    assert "2 openings read" in read.text
    assert "90 min fire label" in read.text
    assert jobs.job_contents(desk, proven(), "1").openings == ()
    taken = ines.post(
        "/jobs/1/sheet/take",
        data=field(read.text, "data"),
        name=field(read.text, "name"),
        column="",
        values="",
        left_out="",
        page="",
    )
    assert taken.status_code == 303
    marks = [each.mark for each in jobs.job_contents(desk, proven(), "1").openings]
    assert marks == ["101", "102"]


def test_what_a_sheet_leaves_unclear_is_told_and_nothing_is_taken(ines, desk):
    read = send(ines, SHEET.replace(b"3070,2", b"seven,2"))
    assert read.status_code == 422
    assert "seven" in read.text
    taken = ines.post("/jobs/1/sheet/take", data=field(read.text, "data"), name="sheet.csv")
    assert taken.status_code == 422
    assert jobs.job_contents(desk, proven(), "1").openings == ()


@pytest.mark.parametrize("data", [b"", b"\x00" * 200, b"PK\x03\x04 no workbook", "é,ü\n".encode()])
def test_a_file_that_is_no_sheet_is_refused_in_words(ines, data):
    answer = send(ines, data, "sheet.xlsx" if data.startswith(b"PK") else "sheet.csv")
    assert answer.status_code == 422
    assert 'role="alert"' in answer.text
