"""One opening, the terms of its job, what changed."""

import json
import re
from fractions import Fraction
from html import unescape

import pytest
from tests.support.accounts import proven
from tests.support.jobs import plain

from wholekit.intake.changes import changed
from wholekit.intake.openings import read_opening_changes, read_openings
from wholekit.services import job_openings, jobs, quotes
from wholekit.views.facts import fact_texts


@pytest.fixture
def ines(at, desk):
    job = jobs.create_job(desk, proven(), jobs.NewJob("Heron Quay School", "saltmarsh"))
    # Too small for its leaf by the hand that fixed it, so that a stop is there.
    stopped = plain("102", size="4090", spring_size=1)
    job_openings.add_openings(desk, proven(), job.label, [plain("101", 2), stopped])
    return at("ines")


def test_kits_stand_side_by_side_and_one_is_taken(ines):
    page = ines.get("/jobs/1/openings/101").text
    words = re.findall(r'name="word" value="([^"]+)"', page)
    assert words
    assert "Why this kit" in page
    assert "<cite>" in page
    assert ines.post("/jobs/1/openings/101", deed="choose", word=words[0]).status_code == 303
    assert f'value="{words[0]}"' not in ines.get("/jobs/1/openings/101").text
    wrong = ines.post("/jobs/1/openings/101", deed="choose", word="gold")
    assert wrong.status_code == 422


def test_a_stop_is_let_go_for_a_reason_alone(ines):
    page = ines.get("/jobs/1/openings/102").text
    code = re.findall(r'name="code" value="([^"]+)"', page)[0]
    at = "/jobs/1/openings/102"
    assert ines.post(at, deed="release", code=code, reason="").status_code == 422
    assert ines.post(at, deed="release", code=code, reason="architect's word").status_code == 303
    after = ines.get(at).text
    assert f'value="{code}"' not in after
    assert "architect&#39;s word" in after


def test_terms_are_set_and_stand_in_the_history(ines):
    at = "/jobs/1/terms"
    assert ines.post(at, deed="discount", share="3%", reason="repeat job").status_code == 303
    line = {"description": "Hinges", "quantity": "3", "price": "12.50", "kind": "hardware"}
    assert ines.post(at, deed="line", **line).status_code == 303
    assert "3 × Hinges" in ines.get(at).text
    assert ines.post(at, deed="line", description="", price="x").status_code == 422
    assert ines.post(at, remove="1").status_code == 303
    assert "Hinges" not in ines.get(at).text
    assert "repeat job" in ines.get("/jobs/1/history").text


def test_what_is_typed_for_one_button_stays_when_another_is_pressed_or_refused(ines, desk):
    at = "/jobs/1/terms"
    typed = {"name": "Heron Quay School", "customer": "saltmarsh", "was_customer": "saltmarsh",
             "site": "Pier 4", "quantity": "1", "kind": "hardware", "description": "Credit",
             "price": "-300", "share": "3%", "reason": "repeat job"}  # fmt: skip
    refused = ines.post(at, **typed, deed="line")
    assert refused.status_code == 422
    for text in ("Pier 4", "Credit", "-300", "3%", "repeat job"):
        assert f'value="{text}"' in refused.text, text
    assert jobs.job_header(desk, proven(), "1").site == ""
    done = ines.post(at, **typed, deed="discount")
    assert "not saved yet" in done.text
    assert 'value="Pier 4"' in done.text
    assert 'value="Credit"' in done.text
    assert 'value="repeat job"' not in done.text, "that is set"
    head = {**typed, "share": "", "reason": "", "description": "", "price": ""}
    assert ines.post(at, **head, deed="typed").status_code == 303, "Enter in the site's field"
    assert jobs.job_header(desk, proven(), "1").site == "Pier 4"
    assert jobs.job_header(desk, proven(), "1").discount == Fraction(3, 100)


def test_what_changed_since_the_quote_is_told(ines, desk):
    job_openings.remove_opening(desk, proven(), "1", "102")
    quotes.issue_quote(desk, proven("odo"), "1")
    ines.post("/jobs/1/terms", deed="discount", share="3%", reason="repeat job")
    page = ines.get("/jobs/1/compare").text
    assert "What changed" in page
    assert "3%" in page


def facts_of(page):
    """What the form of facts holds: version, what it showed, and each field."""
    form = page.split('class="facts-form"')[1].split("</form>")[0]
    fields = dict(re.findall(r'<input (?:type="hidden" )?name="([a-z_]+)" value="([^"]*)"', form))
    chosen = r'<select name="([a-z_]+)"[^>]*>.*?<option value="([^"]*)" selected>'
    fields |= dict(re.findall(chosen, form, re.DOTALL))
    return {name: unescape(text) for name, text in fields.items()}


def opening_of(desk, mark="101"):
    every = jobs.job_contents(desk, proven(), "1").openings
    return next(each for each in every if each.mark == mark)


def test_a_way_out_is_taken_by_one_press_and_is_none_the_second_time(ines, desk):
    at = "/jobs/1/openings/102"
    page = ines.get(at).text
    names = re.findall(r'name="remedy" value="([^"]+)" data-key="1"', page)
    assert len(names) == 1
    assert ines.post(at, remedy=names[0]).status_code == 303
    assert "What stands in the way" not in ines.get(at).text
    again = ines.post(at, remedy=names[0])
    assert again.status_code == 409
    assert "way out is none any more" in again.text
    part = ines.get(f"{at}/ways", headers={"x-part": "1"}).text
    assert "Nothing stands in the way" in part


def test_facts_are_tried_with_kit_and_price_and_then_saved(ines, desk):
    at = "/jobs/1/openings/101"
    shown = facts_of(ines.get(at).text)
    wanted = {**shown, "fire_minutes": "90", "quantity": "3"}
    tried = ines.post(at, **wanted, deed="try")
    part = ines.post(f"{at}/try", **wanted).text
    for answer in (tried.text, part):
        assert "As it would be" in answer
        assert "90 min fire label" in answer
        assert "size 3 at least for a fire label of 90 min" in answer, "why it would be so"
    assert 'value="90"' in tried.text
    assert opening_of(desk).opening.type.fire_minutes is None, "looking wrote something"
    assert ines.post(at, **wanted, deed="facts").status_code == 303
    saved = opening_of(desk).opening
    assert (saved.type.fire_minutes, saved.quantity) == (90, 3)


def test_a_fact_that_cannot_be_read_is_told_at_its_field_and_nothing_is_saved(ines, desk):
    at = "/jobs/1/openings/101"
    shown = facts_of(ines.get(at).text)
    wrong = ines.post(at, **{**shown, "width": "31010", "quantity": "4"}, deed="facts")
    assert wrong.status_code == 422
    assert 'id="wrong-width"' in wrong.text
    assert 'value="31010" spellcheck="false" autocapitalize="none" aria-invalid' in wrong.text
    assert opening_of(desk).opening.quantity == 2


def test_what_somebody_else_changed_is_told_and_not_put_back(ines, desk):
    at = "/jobs/1/openings/101"
    shown = facts_of(ines.get(at).text)
    job_openings.edit_opening(
        desk, proven(), "1", "101", lambda old: changed(old, {"room": "Lobby"})
    )
    told = ines.post(at, **{**shown, "quantity": "5"}, deed="facts")
    assert told.status_code == 409
    assert "Somebody else has changed" in told.text
    now = facts_of(told.text)
    assert (now["quantity"], now["room"]) == ("5", "Lobby"), "both stand in the form"
    assert json.loads(now["shown"])["quantity"] == "2"
    assert ines.post(at, **now, deed="facts").status_code == 303
    saved = opening_of(desk).opening
    assert (saved.quantity, saved.room) == (5, "Lobby")


def test_every_fact_reads_back_as_it_was(desk):
    line = (
        "101 3070 wood/steel exterior out RHR accessible 689 x2 weight=120lb thickness=1-3/4in "
        "opening_degrees=110 top_rail=4in head_face=2in reveal=3in ceiling_clearance=6in "
        "core=stave pressure=25Pa wind=10m/s seals=5N latch=10N grade=1 traffic=heavy "
        "stop=blade egress=yes "
        'existing_holes="2-3/4in x 9in" series=granite spring_size=4 backcheck=yes hold_open=arm '
        'delayed_action=no body_side=push mount=parallel room=Lobby note="a note" fire B '
        "door_reinforced=yes frame_reinforced=no jurisdiction=us-ca"
    )
    (opening,) = read_openings(None, [line], desk.rules)
    texts = fact_texts(opening)
    assert [name for name, text in texts.items() if not text] == []
    other = changed(plain("9"), read_opening_changes(
        [f"{name}={text}" for name, text in texts.items()], desk.rules
    ))  # fmt: skip
    # What was unclear is so still; how the customer wrote it is not among the values.
    assert fact_texts(other) == texts
    assert other.type.unclear[0].candidates == opening.type.unclear[0].candidates
