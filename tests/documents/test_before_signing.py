"""What a customer must have read before signing: each once, and where more is told of it."""

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.support import house
from tests.support.offers import offered

from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.quote_form import QuoteForm
from wholekit.domain.openings import Door, Location, Opening, marks_named
from wholekit.domain.quotes.asking import Asking
from wholekit.wording.questions import unmended_text


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
    assert re.findall(r"at \d|keeps \d", unmended_text(asking)) == ["at 2", "keeps 3"]
    assert unmended_text(replace(asking, unmended=(), unlatched=())) == ""
    assert "seals" not in unmended_text(replace(asking, unlatched=()))
