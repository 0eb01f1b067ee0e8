"""From a job to a quote that was sent, accepted or lost."""

import re
from dataclasses import replace
from email import message_from_bytes
from io import BytesIO
from xml.etree import ElementTree
from zipfile import ZipFile

import pytest
from tests.support.accounts import proven
from tests.support.jobs import plain

from wholekit.services import job_openings, jobs
from wholekit.services.customers import edit_customer
from wholekit.services.jobs import job_contents
from wholekit.services.quote_reading import issued_revision


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
    # Without an order number it is asked once, and nothing that was typed is lost.
    unsure = ines.post("/quotes/Q-00001/1/close", deed="accept", remark="by phone")
    assert unsure.status_code == 422
    assert 'name="no_order"' in unsure.text
    assert 'value="by phone"' in unsure.text
    assert "order –" not in ines.get("/quotes/Q-00001/1").text
    done = ines.post("/quotes/Q-00001/1/close", deed="accept", order="4417", day="2026-11-25")
    assert done.status_code == 303
    accepted = ines.get("/quotes/Q-00001/1").text
    assert "order 4417" in accepted
    # Accepted it is a promise: the page leads on to the pick room, and says what became of it.
    assert "Release it to the pick room" in accepted
    assert ines.post("/quotes/Q-00001/1/release").status_code == 303
    released = ines.get("/quotes/Q-00001/1").text
    assert "Release it" not in released
    assert re.search("In the pick room:.*3 (ready|waiting)", released)


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
    # An owner has no limits, and sees those that the counter would pass; with the margin's figure.
    assert "Limits of the counter that this exceeds" in (seen := odo.get("/jobs/1/review").text)
    assert "counter may go down to" in seen or "counter may give" in seen
    assert "Limits of the counter" not in ines.get("/jobs/1/review").text
    # Nobody is asked unannounced: it takes a press of its own.
    refused = ines.post("/jobs/1/issue", deed="issue", cover_note="As we talked.")
    assert refused.status_code == 409
    assert "Not issued: a limit is exceeded" in refused.text
    assert 'value="As we talked."' in refused.text
    assert "Nothing waits" in odo.get("/waiting").text
    assert ">Ask the owner<" in ines.get("/jobs/1/review").text
    assert "Waiting for the owner" not in ines.get("/").text
    ask = {"deed": "ask", "cover_note": "As we talked.", "reason": "first of four schools"}
    assert ines.post("/jobs/1/issue", **ask).status_code == 303
    for page in ("/jobs/1/review", "/jobs/1", "/"):
        assert "Waiting for the owner" in ines.get(page).text
    review = ines.get("/jobs/1/review").text
    assert 'value="As we talked."' in review
    assert "Heron Quay School" in (waiting := odo.get("/waiting").text)
    assert "first of four schools" in waiting
    assert odo.post("/waiting/1", deed="agree", reason="").status_code == 422
    assert odo.post("/waiting/1", deed="agree", reason="a good customer").status_code == 303
    assert "Nothing waits" in odo.get("/waiting").text
    assert "Waiting for the owner" not in ines.get("/jobs/1").text
    assert ines.post("/jobs/1/issue", deed="issue").status_code == 303


def test_what_stands_in_the_box_for_the_customer_is_what_is_printed(at, desk, job):
    ines = at("ines")
    stopped = plain("402", size="4090", spring_size=1)
    job_openings.add_openings(desk, proven(), job.label, [stopped])
    stopped = ines.post("/jobs/1/issue", deed="issue", cover_note="First words.")
    assert stopped.status_code == 409
    assert "Not issued: 402 is stopped" in stopped.text
    assert 'value="First words."' in stopped.text
    # Given up with it: nothing is kept that nobody sees.
    assert "First words." not in ines.get("/jobs/1/review").text
    issued = ines.post("/jobs/1/issue", cover_note="Second words.", without_stopped="1")
    assert issued.status_code == 303
    assert issued_revision(desk, proven(), "Q-1/1").cover_note == "Second words."
    # The next revision begins with them, in sight, and without them where the box is emptied.
    assert 'value="Second words."' in ines.get("/jobs/1/review").text
    assert ines.post("/jobs/1/issue", cover_note="").status_code == 409
    ines.post("/jobs/1/change", mark="402", deed="remove", sure="402")
    ines.post("/jobs/1/openings", lines="403 3070 hollow-metal/steel interior in LH 689")
    assert ines.post("/jobs/1/issue", cover_note="").status_code == 303
    assert issued_revision(desk, proven(), "Q-1/2").cover_note == ""


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
    # It is said what was set where, from the job as it stands now, and how it is changed.
    told = ines.get(answered.headers["location"]).text
    assert "101: yes" in told
    assert 'href="/jobs/1/openings/102"' in told


def test_an_answer_goes_to_the_openings_that_are_ticked_or_to_each_its_own(at, desk, job):
    ines = at("ines")
    page = ines.get("/jobs/1/questions").text
    assert 'name="mark" value="101" checked' in page
    asked = {"field": "accessible", "place": "0"}
    assert ines.post("/jobs/1/questions", **asked, answer="yes").status_code == 422, "none ticked"
    one = ines.post("/jobs/1/questions", **asked, answer="yes", mark=["102"])
    assert one.headers["location"].endswith("#q0")

    def accessible():
        openings = job_contents(desk, proven(), "1").openings
        return [each.opening.type.accessible for each in openings]

    assert accessible() == [None, True]
    job_openings.add_openings(desk, proven(), "1", [plain("103"), plain("104")])
    each = {"by_mark": ["101", "103", "104"], "by_value": ["no", "", "yes"]}
    wrong = ines.post("/jobs/1/questions", **asked, **{**each, "by_value": ["no", "", "so"]},
                      deed="by-mark", mark=["101", "103", "104"])  # fmt: skip
    assert wrong.status_code == 422
    # Enter in one of the fields is as good as the button beside them.
    done = ines.post("/jobs/1/questions", **asked, **each, deed="typed", other="")
    assert done.status_code == 303
    assert accessible() == [False, True, None, True]


def test_what_was_typed_as_another_answer_stays(at, job):
    ines = at("ines")
    page = ines.get("/jobs/1/questions").text
    fields = re.findall(r'name="field" value="([^"]+)"', page)
    place = fields.index("accessible")
    wrong = ines.post("/jobs/1/questions", field="accessible", place=place, deed="other",
                      other="perhaps", mark=["102"])  # fmt: skip
    assert wrong.status_code == 422
    form = wrong.text.split(f'id="q{place}"')[1].split("</form>")[0]
    assert 'name="other" value="perhaps"' in form
    assert 'value="102" checked' in form
    assert 'value="101" checked' not in form
    assert 'role="alert"' in form, "told at its question"


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


def test_a_quote_leaves_in_every_open_format_and_margins_for_the_owner_alone(at, desk, job):
    edit_customer(desk, proven("odo"), "saltmarsh", lambda old: replace(old, email="a@b.example"))
    ines = at("ines")
    ines.post("/jobs/1/issue")
    quote = "/quotes/Q-00001/1"
    mail = message_from_bytes(ines.get(f"{quote}/as/eml").content)
    assert "a@b.example" in mail["To"]
    assert [part.get_content_type() for part in mail.walk()][-1] == "application/pdf"
    assert ines.get(f"{quote}/as/ics").text.startswith("BEGIN:VCALENDAR")
    assert ElementTree.fromstring(ines.get(f"{quote}/as/ubl").text).tag.endswith("}Quotation")  # noqa: S314  # made here
    assert ines.get(f"{quote}/as/csv").status_code == 422, "not accepted"
    assert ines.get(f"{quote}/as/doc").status_code == 404
    for path in (f"{quote}/as/xlsx", "/papers/Q-00001/1/pick-list.xlsx"):
        with ZipFile(BytesIO(ines.get(path).content)) as book:
            text = "".join(book.read(name).decode() for name in book.namelist())
        assert "Cost" not in text
    assert ines.get(f"{quote}/margins.xlsx").status_code == 403
    assert "margins.xlsx" not in ines.get(quote).text
    odo = at("odo")
    assert "margins.xlsx" in odo.get(quote).text
    assert odo.get(f"{quote}/margins.xlsx").content[:2] == b"PK"
    ines.post(f"{quote}/close", deed="accept", order="PO 7")
    assert "PO 7" in ines.get(f"{quote}/as/csv").text


def test_an_alternate_is_offered_priced_changed_and_dropped(at, desk, job):
    ines = at("ines")
    path = "/jobs/1/alternates"
    assert ines.post(path, deed="set", code="alt-1", title="").status_code == 422
    assert (
        ines.post(path, deed="set", code="alt-1", title="Dark bronze", deduct="101").status_code
        == 303
    )
    assert "No opening is in it" in ines.get(path).text
    assert ines.post(path, deed="copy", code="alt-1", mark="101").status_code == 303
    line = "A1 3070 hollow-metal/steel interior in LH accessible 690"
    assert ines.post(path, deed="put-in", code="alt-1", line=line).status_code == 303
    assert ines.post(path, deed="put-in", code="alt-1", line="no such thing").status_code == 422
    page = ines.get(path).text
    assert "takes out 101" in page
    assert "?alternate=alt-1" in page
    assert "Alternate Dark bronze, net" in ines.get("/jobs/1").text
    assert ines.post(path, deed="drop", code="alt-1").status_code == 422, "not empty"
    for mark in ("101", "A1"):
        assert ines.post(path, deed="take-out", code="alt-1", mark=mark).status_code == 303
    assert ines.post(path, deed="drop", code="alt-1").status_code == 303
    assert "There is none" in ines.get(path).text


def test_two_revisions_are_held_against_each_other(at, desk, job):
    ines = at("ines")
    ines.post("/jobs/1/issue")
    ines.post("/jobs/1/openings", lines="777 3070 hollow-metal/steel interior in LH 689")
    ines.post("/jobs/1/issue")
    both = ines.get("/jobs/1/compare?first=Q-00001/2&second=Q-00001/1").text
    assert "777" in both
    assert "777" not in ines.get("/jobs/1/compare").text, "nothing since"
    assert ines.get("/jobs/1/compare?first=Q-9/1&second=Q-00001/1").status_code == 200
    # How many there are is told, with the money it moves.
    job_openings.edit_opening(desk, proven(), "1", "777", lambda old: replace(old, quantity=3))
    said = " ".join(re.sub("<[^>]+>", " ", ines.get("/jobs/1/compare").text).split())
    assert re.search(r"777 changed, .* 1 → 3 openings [\d.,]+ [\d.,]+ \+[\d.,]+", said), said


def test_the_revision_in_the_pick_room_is_told_on_each_of_its_quote(at, desk, job):
    ines = at("ines")
    for number in (1, 2):
        if number == 2:
            ines.post("/jobs/1/openings", lines="777 3070 hollow-metal/steel interior in LH 689")
        assert ines.post("/jobs/1/issue").status_code == 303
        at_quote = f"/quotes/Q-00001/{number}"
        ines.post(f"{at_quote}/close", deed="accept", order="4417", day="2026-11-25")
        before = ines.get(at_quote).text
        assert ("Q-00001/1 is in the pick room: this one takes its place" in before) is (
            number == 2
        )
        assert "Release it to the pick room" in before
        assert ines.post(f"{at_quote}/release").status_code == 303
        assert "In the pick room:" in ines.get(at_quote).text
    earlier = ines.get("/quotes/Q-00001/1").text
    assert "Replaced in the pick room by" in earlier
    assert "Release it" not in earlier
