"""A job at the counter: a line in, what it would be, what it is."""

import pytest
from tests.support.accounts import proven

from wholekit.services import jobs

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
    assert ines.post("/jobs/1/change", mark=["101"], deed="remove").status_code == 303
    assert marks(desk) == ["102"]


def test_a_change_without_marks_or_words_says_what_is_wanted(ines):
    ines.post("/jobs/1/openings", lines=LINE)
    assert "Mark the openings" in ines.post("/jobs/1/change", words="fire 90").text
    nothing = ines.post("/jobs/1/change", mark=["101"], words="", deed="change")
    assert nothing.status_code == 422


def test_text_of_a_job_is_text_and_never_markup(ines):
    ines.post("/jobs/new", name="<script>alert(1)</script>", customer="saltmarsh")
    text = ines.get("/jobs").text
    assert "<script>alert" not in text
    assert "&lt;script&gt;alert(1)" in text


def test_a_job_that_is_not_there_is_told(ines):
    answer = ines.get("/jobs/99")
    assert answer.status_code == 404
    assert "99" in answer.text
