"""From a job to a quote that was sent, accepted or lost."""

import pytest
from tests.support.accounts import proven
from tests.support.jobs import plain

from wholekit.services import job_openings, jobs


@pytest.fixture
def job(desk):
    made = jobs.create_job(desk, proven(), jobs.NewJob("Heron Quay School", "saltmarsh"))
    job_openings.add_openings(desk, proven(), made.label, [plain("101", 2), plain("102")])
    return made


def test_a_quote_is_looked_over_issued_shown_as_pdf_and_accepted(at, job):
    ines = at("ines")
    assert "Issue the quote" in ines.get("/jobs/1/review").text
    issued = ines.post("/jobs/1/issue", cover_note="As we talked.")
    assert (issued.status_code, issued.headers["location"]) == (303, "/quotes/Q-00001/1")
    page = ines.get("/quotes/Q-00001/1")
    assert "issued" in page.text
    assert "waits for its turn" in ines.get("/quotes/Q-00001/1/quote.pdf").text
    paper = ines.paper("/quotes/Q-00001/1/quote.pdf")
    assert paper.headers["content-type"] == "application/pdf"
    assert paper.content == ines.get("/quotes/Q-00001/1/quote.pdf").content
    done = ines.post("/quotes/Q-00001/1/close", deed="accept", order="4417", day="2026-11-25")
    assert done.status_code == 303
    assert "order 4417" in ines.get("/quotes/Q-00001/1").text


def test_a_quote_is_lost_for_a_reason_that_is_known(at, job):
    ines = at("ines")
    ines.post("/jobs/1/issue")
    wrong = ines.post("/quotes/Q-00001/1/close", deed="decline", because="weather")
    assert wrong.status_code == 422
    assert ines.post("/quotes/Q-00001/1/close", deed="decline", because="price").status_code == 303
    assert "declined" in ines.get("/quotes/Q-00001/1").text


def test_below_the_limits_an_owner_is_asked_and_their_word_lets_it_go(at, desk, job):
    from fractions import Fraction

    jobs.set_discount(desk, proven(), job.label, Fraction(30, 100), "large job")
    ines, odo = at("ines"), at("odo")
    asked = ines.post("/jobs/1/issue")
    assert asked.status_code == 409
    assert "An owner was asked" in asked.text
    assert "Heron Quay School" in odo.get("/waiting").text
    assert odo.post("/waiting/1", deed="agree", reason="").status_code == 422
    assert odo.post("/waiting/1", deed="agree", reason="a good customer").status_code == 303
    assert "Nothing waits" in odo.get("/waiting").text
    assert ines.post("/jobs/1/issue").status_code == 303


def test_a_picker_sees_papers_without_a_price_and_no_quote(at, job):
    at("ines").post("/jobs/1/issue")
    pia = at("pia")
    assert pia.paper("/papers/Q-00001/1/pick-list.pdf").status_code == 200
    assert pia.get("/quotes/Q-00001/1/quote.pdf").status_code == 403
    assert pia.get("/papers/Q-00001/1/quote.pdf").status_code == 403
    assert pia.get("/papers/Q-00001/1/no-paper.pdf").status_code == 404


def test_questions_are_asked_with_what_each_answer_costs_and_take_an_answer(at, job):
    ines = at("ines")
    page = ines.get("/jobs/1/questions").text
    assert "Is the opening on an accessible route?" in page
    answered = ines.post("/jobs/1/questions", field="accessible", answer="yes", mark=["101", "102"])
    assert answered.status_code == 303
    assert ines.get("/jobs/1").text.count("accessible route") >= 2
    assert ines.post("/jobs/1/questions", field="accessible").status_code == 422


def test_what_a_suppliers_rise_would_do_is_tried_without_loading_anything(at, job):
    at("ines").post("/jobs/1/issue")
    odo = at("odo")
    before = odo.get("/rises").text
    risen = odo.get("/rises?supplier=tarrowby&share=150%25").text
    assert "1 open quote falls under the floor" in risen
    assert odo.get("/rises").text == before
    assert odo.get("/rises?share=-5%25").status_code == 422


def test_margins_are_shown_by_each_key_in_plot_and_table(at, job):
    at("ines").post("/jobs/1/issue")
    odo = at("odo")
    for key in ("job", "kit", "customer", "supplier", "salesperson", "month"):
        page = odo.get(f"/margins?by={key}").text
        assert "<svg" in page
        assert "<tbody>" in page
    assert odo.get("/stock-value?on=2026-11-25").status_code == 200
