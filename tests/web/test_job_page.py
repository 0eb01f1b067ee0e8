"""A job at the counter: a line in, what it would be, what it is."""

import re
from dataclasses import replace
from fractions import Fraction

import pytest
from tests.support.accounts import proven
from tests.support.house import RULES

from wholekit.intake.openings import read_openings
from wholekit.services import customers, job_openings, jobs
from wholekit.services.ports import Page
from wholekit.web.entry_words import sayable

LINE = "101 3070 hollow-metal/steel interior in LH accessible 689 x2"


@pytest.fixture
def ines(at, desk):
    jobs.create_job(desk, proven(), jobs.NewJob("Heron Quay School", "saltmarsh"))
    return at("ines")


def marks(desk):
    return [each.mark for each in jobs.job_contents(desk, proven(), "1").openings]


def test_a_job_is_begun_and_stands_in_the_list(at):
    ines = at("ines")
    answer = ines.post("/jobs/new", name="Tern Lane", customer="saltmarsh", due="2026-12-10")
    assert (answer.status_code, answer.headers["location"]) == (303, "/jobs/1")
    assert "Tern Lane" in ines.get("/jobs").text
    assert "No job holds that text" in ines.get("/jobs?text=heron").text
    assert "<html" not in ines.get("/jobs?text=tern", headers={"x-part": "1"}).text


def test_what_was_typed_stays_where_a_job_cannot_be_begun(at):
    answer = at("ines").post("/jobs/new", name="Tern Lane", customer="saltmarsh", due="soon")
    assert answer.status_code == 422
    assert 'value="Tern Lane"' in answer.text
    assert "soon is not a date" in answer.text


def test_a_job_is_begun_for_a_customer_whose_name_alone_is_known(at, desk):
    ines = at("ines")
    new = {"name": "Tern Lane", "customer": "", "new_name": "Pêche & Fils", "site": "Pier 4"}
    none = ines.post("/jobs/new", **{**new, "new_name": ""})
    assert "Choose a customer, or enter the name of a new one" in none.text
    wrong = ines.post("/jobs/new", **{**new, "due": "soon"})
    assert wrong.status_code == 422
    assert 'name="new_name" value="Pêche &amp; Fils"' in wrong.text
    unknown = customers.list_customers(desk, proven(), "peche", Page(0, 9))
    assert unknown[1] == 0, "none without their job"
    assert ines.post("/jobs/new", **new).status_code == 303
    assert jobs.job_header(desk, proven(), "1").customer == "peche-fils"
    assert customers.customer_of(desk, proven(), "peche-fils").name == "Pêche & Fils"
    # A second of the name is refused with the code in its field, to be changed there.
    again = ines.post("/jobs/new", **new)
    assert again.status_code == 409
    assert 'name="new_code" value="peche-fils"' in again.text
    assert ines.post("/jobs/new", **new, new_code="peche-2").status_code == 303
    assert ines.post("/jobs/new", **{**new, "customer": "saltmarsh"}).status_code == 422, "both"


def test_a_line_shows_kit_size_and_price_before_it_is_put_in(ines, desk):
    part = {"x-part": "1"}
    form = {"form_key": ines.key("/password"), "lines": LINE}
    shown = ines.client.post("/jobs/1/preview", data=form, headers=part).text
    assert "101" in shown
    assert "USD" in shown
    assert "regular arm" in shown
    assert marks(desk) == [], "looking wrote something"
    assert ines.post("/jobs/1/openings", lines=LINE).status_code == 303
    page = ines.get("/jobs/1").text
    price = shown.split("<strong>")[1].split("</strong>")[0]
    assert page.count(price) >= 1, "what it would be is what it is"
    again = ines.client.post("/jobs/1/preview", data=form, headers=part).text
    assert "of this mark already" in again


def test_a_row_that_was_shown_before_is_shown_as_it_is_now_to_whoever_looks(ines, at, desk):
    """Rows are kept by what they show, who may change them, and the language."""
    ines.post("/jobs/1/openings", lines=LINE)

    def row(browser, **asked):
        page = browser.get("/jobs/1", **asked).text
        return page.split('<tr id="o-101"')[1].split("</tr>")[0]

    first = row(ines)
    assert row(ines) == first
    assert "tickcell" in first
    french = row(ines, headers={"accept-language": "fr"})
    assert french != first
    assert "Prix" in french
    job_openings.edit_opening(desk, proven(), "1", "101", lambda old: replace(old, quantity=3))
    assert ">3</td>" in row(ines)
    terms = Fraction(9, 10)
    customers.edit_customer(
        desk, proven("odo"), "saltmarsh", lambda old: replace(old, multiplier=terms)
    )
    dearer = row(ines)
    assert dearer != first
    assert row(at("odo")) == dearer, "the owner's prices are the counter's"


def test_a_line_that_is_not_understood_is_told_and_stays(ines, desk):
    answer = ines.post("/jobs/1/openings", lines=f"{LINE}\n102 3070 gold-plated")
    assert answer.status_code == 422
    assert "gold-plated" in answer.text
    assert LINE in answer.text
    assert marks(desk) == []


def test_openings_that_are_chosen_are_changed_or_taken_out_together(ines, desk):
    ines.post("/jobs/1/openings", lines=f"{LINE}\n102 3070 hollow-metal/steel interior in")
    answer = ines.post("/jobs/1/change", mark=["101", "102"], words="fire 90", deed="change")
    assert answer.status_code == 303
    assert ines.get("/jobs/1").text.count("90 min fire label") == 2
    # Taking out is asked once, by name; the answer holds for those that it named alone.
    asked = ines.post("/jobs/1/change", mark=["101"], deed="remove")
    assert "Yes, take out 101" in asked.text
    assert 'name="sure" value="101"' in asked.text
    other = ines.post("/jobs/1/change", mark=["102"], deed="remove", sure="101")
    assert "Yes, take out 102" in other.text
    assert marks(desk) == ["101", "102"]
    assert ines.post("/jobs/1/change", mark=["101"], deed="remove", sure="101").status_code == 303
    assert marks(desk) == ["102"]


def test_a_mark_read_from_right_to_left_turns_none_beside_it_and_is_sent_back_as_written(
    ines, desk
):
    names = ["101", "مدخل-1", "103"]
    ines.post("/jobs/1/openings", lines="\n".join(f"{one} 3070 interior in" for one in names))
    assert marks(desk) == names
    asked = ines.post("/jobs/1/change", mark=names, deed="remove").text
    apart = "101, \u2067مدخل-\u20661\u2069\u2069, 103"
    assert f"{apart}?" in asked
    assert f"Yes, take out {apart}" in asked
    sent = re.findall(r'(?:value|name)="([^"]*)"', asked)
    assert "مدخل-1" in sent
    assert not re.search("[\u2066-\u2069]", "".join(sent)), "nothing that is kept has such signs"


def test_a_change_without_marks_or_words_says_what_is_wanted(ines):
    ines.post("/jobs/1/openings", lines=LINE)
    assert "Mark the openings" in ines.post("/jobs/1/change", words="fire 90").text
    nothing = ines.post("/jobs/1/change", mark=["101"], words="", deed="change")
    assert nothing.status_code == 422
    # What was typed and ticked stays.
    wrong = ines.post("/jobs/1/change", mark=["101"], words="finish 689 stair", deed="change").text
    assert 'name="words" value="finish 689 stair"' in wrong
    assert 'value="101" checked' in wrong
    assert "stair is not understood" in wrong


def test_text_of_a_job_is_text_and_never_markup(ines):
    ines.post("/jobs/new", name="<script>alert(1)</script>", customer="saltmarsh")
    text = ines.get("/jobs").text
    assert "<script>alert" not in text
    assert "&lt;script&gt;alert(1)" in text


def test_a_job_that_is_not_there_is_told(ines):
    answer = ines.get("/jobs/99")
    assert answer.status_code == 404
    assert "99" in answer.text


def cell(ines, mark, column, value, version="1"):
    form = {"form_key": ines.key("/password"), "column": column, "value": value}
    return ines.client.post(
        f"/jobs/1/openings/{mark}/cell",
        data={**form, "version": version, "alternate": ""},
        headers={"x-part": "1"},
    )


def test_a_cell_is_changed_where_it_stands_and_the_totals_with_it(ines, desk):
    ines.post("/jobs/1/openings", lines=LINE)
    before = ines.get("/jobs/1", headers={"x-part": "1"}).text
    assert "<html" not in before
    after = cell(ines, "101", "quantity", "4")
    assert after.status_code == 200
    assert 'data-version="2"' in after.text
    totals = [text.split("Total with tax")[1] for text in (before, after.text)]
    assert totals[0] != totals[1]
    assert cell(ines, "101", "words", "fire 90 exterior", "2").status_code == 200
    assert cell(ines, "101", "mark", "101A", "3").status_code == 200
    (entry,) = jobs.job_contents(desk, proven(), "1").openings
    assert (entry.mark, entry.opening.quantity, entry.opening.type.fire_minutes) == ("101A", 4, 90)


@pytest.mark.parametrize(
    ("column", "value", "version", "status", "said"),
    [
        ("size", "31010", "1", 422, "31010"),
        ("mark", "102", "1", 409, "There is an opening 102 already"),
        ("quantity", "3", "7", 409, "Somebody else has changed"),
        ("price", "1", "1", 422, "role="),
    ],
)
def test_what_cannot_be_put_into_a_cell_is_told_and_not_written(
    ines, desk, column, value, version, status, said
):
    ines.post("/jobs/1/openings", lines=f"{LINE}\n102 3070 hollow-metal/steel interior in")
    answer = cell(ines, "101", column, value, version)
    assert answer.status_code == status
    assert said in answer.text
    assert [each.version for each in jobs.job_contents(desk, proven(), "1").openings] == [1, 1]


def ines_with(ines):
    ines.post("/jobs/1/openings", lines=LINE)
    return ines


@pytest.mark.parametrize("words", [each for _, columns in sayable() for each in columns])
def test_every_word_that_the_page_offers_is_read_as_what_it_says(words):
    for word in words.words:
        line = f"7 {word}" if words.column == "size" else f"7 3070 {word}"
        (opening,) = read_openings(
            None, [word + " 3070"] if words.column == "mark" else [line], RULES
        )
        if words.column not in ("mark", "quantity", "room", "note", "size"):
            assert getattr(opening.type, words.column) is not None, word


def test_the_totals_show_what_the_discount_takes_off(ines, desk):
    ines.post("/jobs/1/openings", lines=LINE)
    assert "Discount 10%" not in ines.get("/jobs/1").text
    jobs.set_discount(desk, proven(), "1", Fraction(10, 100), "large job")
    page = ines.get("/jobs/1").text
    rows = dict(re.findall(r'scope="row">([^<]*)</th><td class="r">([-\d.,]+) USD', page))
    whole, off, left = (
        Fraction(rows[name].replace(",", ""))
        for name in ("Hardware at the customer&#39;s prices", "Discount 10%: large job", "Hardware")
    )
    assert whole + off == left
    assert abs(off + whole / 10) < 1, "each item is rounded by itself"


def test_a_fault_in_a_line_is_told_by_its_place(ines):
    one = ines.post("/jobs/1/openings", lines="102 3070 gold-plated").text
    assert "word 3, gold-plated" in one
    assert "--opening" not in one
    assert "room=gold-plated" in one
    assert "The mark stands first" not in cell(ines_with(ines), "101", "words", "stair").text
    two = ines.post("/jobs/1/openings", lines=f"{LINE}\n102 3070 gold-plated").text
    assert "line 2, word 3, gold-plated" in two


def test_the_table_shows_the_closer_with_its_mount_and_what_a_note_says_once(ines):
    line = '103 3070 hollow-metal/steel interior in note="90 min"'
    ines.post("/jobs/1/openings", lines=f"{LINE}\n{line}")
    page = ines.get("/jobs/1").text
    row = page.split('id="o-101"')[1].split("</tr>")[0]
    assert "body" in row
    assert "regular arm" in row
    assert page.count("The note says") == 1
    assert "its note says more" not in page
