"""What a customer must have read before signing: each once, and where more is told of it."""

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.documents.test_submittal import TEMPLATES, sample
from tests.support import house
from tests.support.customer_words import texts
from tests.support.offers import offered

from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.make_flow import make_flow
from wholekit.documents.quote_form import QuoteForm
from wholekit.domain.openings import Door, Location, Opening, marks_named
from wholekit.domain.quotes.asking import Asking, Assumed, JobQuestion, QuotedAs
from wholekit.wording.asked_cells import BLOWS
from wholekit.wording.questions import assumed_text, question_text, unmended_text
from wholekit.wording.speech import speaking, tr


@st.composite
def noted_jobs(draw: st.DrawFn) -> tuple[Opening, ...]:
    """Openings with remarks, some of which ask for what their columns do not say."""
    said = ("hold open wanted", "heavy duty closer", "wind 12 mph", "smoke seals", "ADA route",
            "parallel arm", "delayed action", "narrow rail 2 in", "right leaf active",
            "stop at wall", "rated door", "by the stair")  # fmt: skip
    notes = draw(st.lists(st.lists(st.sampled_from(said), max_size=3), min_size=1, max_size=5))
    places = st.sampled_from([Location.INTERIOR, Location.EXTERIOR])
    labels = st.sampled_from([None, 0, 20])
    return tuple(
        Opening(
            str(at),
            house.opening("3070", door=Door.WOOD, location=draw(places), fire_minutes=draw(labels)),
            1,
            "; ".join(note),
        )
        for at, note in enumerate(notes, 101)
    )


@pytest.mark.parametrize("form", QuoteForm)
@given(rows=noted_jobs())
@settings(max_examples=15, deadline=None)
def test_a_remark_that_is_asked_about_is_to_be_read_before_signing_where_its_question_stands(
    form, rows
):
    """Whatever a remark asks for and no kit holds, with the number of the question or the note."""
    offer = offered(rows, house.shelf(), asks=True).offer
    paper = quote_paper(offer, form=form)
    every = [each.mark for each in offer.openings]
    told = {
        mark
        for one in (*paper.doubts, *paper.by_others)
        for mark in marks_named(one.places.split(", "), every)[0]
    }
    asks = {"note-says-more", "note-wish", "note-asks-piece"}
    for opening in offer.openings:
        if offer.is_firm(opening) and asks & {each.code for each in opening.of_note}:
            assert opening.mark in told
    # The short form prints what asks for a check and no more, and its numbers are of that.
    notes = {one.note.severity for one in paper.notes}
    assert form is QuoteForm.FULL or "note" not in notes
    for one in paper.doubts:
        for part in one.stands.split("; "):
            marks, _, stands = part.partition(": ")
            where = {*marks_named(marks.split(", "), every)[0]}
            for kind, number in re.findall(r"(question|note) (\d+)", stands):
                at = int(number) - 1
                # Without marks it is of all.
                found = paper.questions[at].marks if kind == "question" else ()
                if kind == "note" and paper.notes[at].places:
                    found = (paper.notes[at].places,)
                assert where <= ({*marks_named(", ".join(found).split(", "), every)[0]} or {*every})
            assert stands or one.text == "your schedule gives next to nothing"


def test_what_may_help_is_told_of_doors_that_may_not_latch_and_that_no_answer_settles():
    asking = Asking((), (), ("1", "2", "3", "4"), (), ("1", "2", "3"), ("2", "3"), ("2",))
    assert re.findall(
        r"\d: no single answer below \w+ it (?:latch|within)", unmended_text(asking, ", ".join)
    ) == [
        "2: no single answer below makes it latch",
        "3: no single answer below keeps it within",
    ]
    assert unmended_text(replace(asking, unmended=(), unlatched=()), ", ".join) == ""
    assert "seals" not in unmended_text(replace(asking, unlatched=()), ", ".join)


@pytest.mark.parametrize(
    ("note", "unit"),
    [("wind 12 mph", "mph"), ("vent 10 m/s", "m/s"), ("wind 20 km/h", "km/h"), ("30 MPH", "mph")],
)
@pytest.mark.parametrize("size", ["3070", "900 mm x 2100 mm"])
@pytest.mark.parametrize("locale", ["en_US", "fr_CA", "es_MX"])
def test_a_wind_is_answered_in_the_unit_that_the_note_has_it_in(note, unit, size, locale):
    outside = house.opening(size, door=Door.WOOD, location=Location.EXTERIOR)
    openings = [Opening("1", outside, 1, note)]
    paper = quote_paper(offered(openings, house.shelf(), locale=locale, asks=True).offer)
    with speaking(locale):
        asks = tr(BLOWS).partition("{wind}")[2]
        yes, no, other = tr("yes"), tr("no"), tr("yes, at another speed:")
    (asked,) = [each for each in paper.questions if asks in each.text]
    assert asked.answers == ((f"{yes} ☐ {no}", ""), ("", f"☐ {other} ({unit})"))
    # The unit stands behind what is written.
    front = " ".join(texts(make_flow(paper, TEMPLATES)))
    assert " ".join(f"☐ {other} {unit}".split()) in " ".join(front.split())


def test_an_exit_that_nobody_states_is_told_alike_wherever_it_stands():
    kind = house.opening("3070", door=Door.WOOD, location=Location.INTERIOR)
    asked = JobQuestion("egress", (QuotedAs("", ("1",)),), ("1",), 1, ())
    among = Asking((asked,), (Assumed("egress", "", ("1",)),), ("1",))
    paper = quote_paper(offered([Opening("1", kind, 1)], house.shelf()).offer)
    (assumed,) = [text for text in paper.assumptions if "egress" in text]
    (idle,) = (assumed_text(each, among) for each in among.assumed)
    for said in (question_text(asked, among), assumed, idle):
        assert "not stated, worked out as none" in said


def test_a_site_that_is_called_what_the_job_is_stands_there_once():
    offer = sample()[0]
    named = replace(offer, site=offer.job_name, site_address=("3 Causeway Road",))
    assert quote_paper(named).site == ("3 Causeway Road",)
    assert quote_paper(replace(named, site="Gate 2")).site == ("Gate 2", "3 Causeway Road")
