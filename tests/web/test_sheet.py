"""A contractor's sheet, dropped on a job."""

import re

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


@pytest.mark.parametrize(("language", "said"), [("en", "“B9”"), ("fr", "«\u00a0B9\u00a0»")])
def test_a_cell_is_asked_about_between_the_marks_of_the_language(ines, language, said):
    read = ines.client.post(
        "/jobs/1/sheet",
        data={"form_key": ines.key("/password")},
        files={"sheet": ("sheet.csv", SHEET.replace(b"90 MIN", b"B9"))},
        headers={"accept-language": language},
    )
    asked = re.findall('<label class="asked-cell"><strong>(.*?)</strong>', read.text)
    assert [one for one in asked if one.endswith(said)]


def mends(page):
    """The boxes of single cells: row, heading, text."""
    names = ("row", "in", "fill")
    return {name: re.findall(rf'name="{name}" value="([^"]*)"', page) for name in names}


def test_an_empty_or_wrong_cell_is_filled_in_on_the_page(ines, desk):
    whole: dict[str, object] = {}
    # Of a sheet that is clean but for it, and of one under headings of its own.
    for sheet in (
        b"mark,size,door,frame\n101,3070,hm,steel\n102,seven,hm,steel\n,3070,hm,steel\n",
        SHEET.replace(b"3070,2", b"seven,2") + b",3070,1,HM,HM,INT,\n",
    ):
        read = send(ines, sheet)
        assert read.status_code == 422
        boxes = mends(read.text)
        assert boxes["row"] == ["3", "4"]
        assert boxes["fill"] == ["seven", ""]
        form = {"data": field(read.text, "data"), "name": "sheet.csv", **boxes}
        half = ines.post("/jobs/1/sheet", **{**form, "fill": ["4070", ""]})
        assert half.status_code == 422
        assert mends(half.text)["fill"] == ["4070", ""], "what was filled in stays"
        whole = {**form, "fill": ["4070", "103"]}
        assert "3 openings read" in ines.post("/jobs/1/sheet", **whole).text
    assert ines.post("/jobs/1/sheet/take", **whole).status_code == 303
    taken = jobs.job_contents(desk, proven(), "1").openings
    assert [each.mark for each in taken] == ["101", "102", "103"]
    assert f"{taken[1].opening.type.width}" == "48 in"


def test_what_is_told_wrongly_of_a_cell_leaves_the_sheet_in_sight(ines):
    data = field(send(ines, SHEET).text, "data")
    wrong = ines.post("/jobs/1/sheet", data=data, name="s.csv", values="Colour of it:B=60")
    assert wrong.status_code == 422
    assert "2 openings read" in wrong.text
    said = wrong.text.split('role="alert"')[1].split("</div>")[0]
    assert "neither a heading of this sheet nor a column" in said
    assert "_" not in said, "no inner name of a column"
    assert "Put 2 openings" not in wrong.text
    by_heading = ines.post("/jobs/1/sheet", data=data, name="s.csv", values="Qty:2=3")
    assert by_heading.status_code == 200
    assert '<td class="r">3</td>' in by_heading.text


def test_what_is_left_out_and_what_is_renamed_is_told_where_it_is_put_in(ines):
    twice = SHEET + b"101,3080,1,HM,HM,INT,\n"
    read = send(ines, twice)
    assert "101 stands in rows 2, 4: put in as" in read.text
    form = {"data": field(read.text, "data"), "name": "s.csv", "left_out": "3"}
    again = ines.post("/jobs/1/sheet", **form)
    assert "Left out as told: rows 3" in again.text
    assert ines.post("/jobs/1/sheet/take", **form).status_code == 303
    assert "102" in ines.get("/jobs/1").text, "the job names the door that was left out"


@pytest.mark.parametrize(
    ("data", "what"), [(b"%PDF-1.7\n\0", "a PDF"), (b"\x89PNG\r", "a picture")]
)
def test_a_file_of_another_kind_is_named_by_its_kind(ines, data, what):
    answer = send(ines, data, "doors.csv")
    assert answer.status_code == 422
    assert f"This is {what}; a sheet is CSV or XLSX." in answer.text
    assert "NUL" not in answer.text


@pytest.mark.parametrize("data", [b"", b"\x00" * 200, b"PK\x03\x04 no workbook", "é,ü\n".encode()])
def test_a_file_that_is_no_sheet_is_refused_in_words(ines, data):
    answer = send(ines, data, "sheet.xlsx" if data.startswith(b"PK") else "sheet.csv")
    assert answer.status_code == 422
    assert 'role="alert"' in answer.text


ROWS = "201\t3070\tHM\tHM\tINT\t2\tB\n202\t3070\tHM\tHM\tEXT\t1\t90\n"


def selected(page):
    """What each heading is read as, with what was told of it."""
    rows = re.findall(
        r'name="heading" value="([^"]*)"><input type="hidden" name="was" value="([^"]*)">'
        r'<select name="ours".*?</select>',
        page,
        re.DOTALL,
    )
    ours = [
        (re.findall(r'<option value="([^"]*)" selected', each) or [""])[0]
        for each in re.findall(r'<select name="ours".*?</select>', page, re.DOTALL)
    ]
    return [heading for heading, _ in rows], [was for _, was in rows], ours


def test_pasted_rows_without_a_heading_are_looked_over_told_and_taken(ines, desk):
    read = ines.post("/jobs/1/sheet", rows=ROWS)
    assert read.status_code == 200
    assert "2 openings read" in read.text
    headings, was, ours = selected(read.text)
    assert ours == ["mark", "size", "door", "frame", "location", "quantity", "fire_minutes"]
    assert "B" in read.text.split("Asked")[1], "what may mean several things is asked"
    assert jobs.job_contents(desk, proven(), "1").openings == ()
    form = {
        "data": field(read.text, "data"), "name": "rows", "heading": headings, "was": was,
        "ours": ["mark", "size", "door", "frame", "", "quantity", "fire_minutes"],
        "cell": "fire_minutes:B", "means": "60",
    }  # fmt: skip
    again = ines.post("/jobs/1/sheet", **form)
    assert "60 min fire label" in again.text
    assert "Exterior" not in again.text, "a column that was set aside is not read"
    assert ines.post("/jobs/1/sheet/take", **form).status_code == 303
    taken = jobs.job_contents(desk, proven(), "1").openings
    assert [(each.mark, each.opening.quantity) for each in taken] == [("201", 2), ("202", 1)]
    assert [each.opening.type.fire_minutes for each in taken] == [60, 90]


def test_pasted_rows_under_a_heading_are_read_by_it(ines):
    read = ines.post("/jobs/1/sheet", rows=f"Door\tSize\tMat'l\tFrame\tLoc\tQty\tLabel\n{ROWS}")
    assert "2 openings read" in read.text
    assert selected(read.text)[0][0] == "Door"


def test_one_mark_that_is_taken_keeps_all_pasted_rows_out(ines, desk):
    ines.post("/jobs/1/openings", lines="202 3070 hollow-metal/steel interior in")
    read = ines.post("/jobs/1/sheet", rows=ROWS)
    headings, was, ours = selected(read.text)
    taken = ines.post("/jobs/1/sheet/take", data=field(read.text, "data"), name="rows",
                      heading=headings, was=was, ours=ours)  # fmt: skip
    assert taken.status_code == 409
    assert "There is an opening 202 already" in taken.text
    assert [each.mark for each in jobs.job_contents(desk, proven(), "1").openings] == ["202"]


def test_rows_whose_size_nobody_knows_are_told_by_their_columns(ines):
    read = ines.post("/jobs/1/sheet", rows="101\tseven\tHM\n102\tnine\tHM\n")
    assert read.status_code == 422
    assert "No column is known to be the size" in read.text
    assert "--column" not in read.text
    headings, was, _ = selected(read.text)
    assert headings == ["Column A", "Column B", "Column C"]
    told = {"data": field(read.text, "data"), "name": "rows", "heading": headings, "was": was}
    again = ines.post("/jobs/1/sheet", **told, ours=["mark", "size", ""])
    assert "seven" in again.text.split("Not done")[1], "told as no size, in its row"
    assert ines.post("/jobs/1/sheet", data="Q29sdW1uIEH/", name="x").status_code == 422
