"""Whatever a check asks has one question with a place for its answer; what was answered, none."""

import random
import re
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.openings.sheets import read
from tests.support.customer_words import texts
from tests.support.house import RULES, opening, shelf
from tests.support.messages import TEMPLATES
from tests.support.offers import DAY, offered

from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.make_flow import make_flow
from wholekit.documents.papers import QuotePaper
from wholekit.documents.quote_form import QuoteForm
from wholekit.domain.openings import (
    Door,
    Frame,
    Hand,
    Location,
    Opening,
    OpeningType,
    Swing,
    Traffic,
    marks_named,
)
from wholekit.domain.openings.sheet import not_used
from wholekit.domain.quantities import parse_speed
from wholekit.domain.quotes import Offer
from wholekit.services.schedules import Asker, work_up_schedule
from wholekit.services.snapshots import Headed, make_snapshot
from wholekit.wording.asked_in_checks import FrontQuestions, findings_told
from wholekit.wording.exports import mail_text, open_notes
from wholekit.wording.offers import HouseWords
from wholekit.wording.questions import QUESTIONS
from wholekit.wording.speech import speaking, tr
from wholekit.wording.to_customers import asking_of

POINTS = re.compile(r"Asked in question (\d+)\.")
NOTES = (
    "", "exit device", "hold open", "no hold open", "owner to supply wall stop", "wall stop",
    "wind swept corner", "narrow rail 2 in", "right leaf active", "Preferred arm: heavy duty",
    "ADA route", "rated door", "threshold wanted", "no parallel arm",
)  # fmt: skip
VALUES: dict[str, tuple[object, ...]] = {
    "leaves": (1, 1, 2),
    "door": (None, Door.HOLLOW_METAL, Door.ALUMINUM),
    "frame": (None, Frame.STEEL),
    "location": tuple(Location),
    "swing": (None, *Swing),
    "fire_minutes": (None, 0, 90),
    "accessible": (None, True),
    "egress": (None, True, False),
    "traffic": (None, Traffic.USUAL),
    "finish": (None, "626", "689"),
    "grade": (None, 1),
    "wind": (None, parse_speed("20 mph")),
}


def kinds(many: int) -> list[OpeningType]:
    """So many kinds at random, the same every time: what each asks is worked out once."""
    chance = random.Random(11)
    return [
        opening(
            chance.choice(("3070", "4080")),
            **{name: chance.choice(values) for name, values in VALUES.items()},
        )
        for _ in range(many)
    ]


KINDS = st.sampled_from(kinds(12))
HANDED = {Swing.IN: Hand.LH, Swing.OUT: Hand.RHR, None: None}


@cache
def book():
    return shelf("tarrowby")


def places_of(marks: tuple[str, ...], offer: Offer) -> set[str]:
    every = [each.place for each in offer.openings]
    if not marks:
        return {*every}
    found, unknown = marks_named(", ".join(marks).split(", "), every)
    assert not unknown
    return {*found}


def said_by(paper: QuotePaper, offer: Offer) -> list[tuple[str, set[str]]]:
    """What checks and reasons say, each with its openings."""
    notes = [
        (f"{note.note.text} {note.note.hint}", places_of((note.places,) * bool(note.places), offer))
        for note in paper.notes
    ]
    return notes + [
        (reason, places_of((one.places,), offer)) for one in paper.open for reason in one.reasons
    ]


@settings(max_examples=20)
@given(st.lists(st.tuples(KINDS, st.sampled_from(NOTES), st.booleans()), min_size=1, max_size=4))
def test_every_check_that_asks_points_to_one_question_of_its_openings_and_each_is_pointed_to(rows):
    openings = [
        Opening(f"{101 + at}", replace(kind, hand=HANDED[kind.swing]) if handed else kind, 1, note)
        for at, (kind, note, handed) in enumerate(rows)
    ]
    offer = offered(openings, book(), asks=True).offer
    paper = quote_paper(offer)
    pointed: dict[int, set[str]] = {}
    for text, places in said_by(paper, offer):
        assert "Please tell us" not in text
        assert "Please send us" not in text
        for number in map(int, POINTS.findall(text)):
            assert places <= places_of(paper.questions[number - 1].marks, offer)
            pointed.setdefault(number, set()).update(places)
    own = len(offer.words.questions)
    finishes = sum("Finish" in question.text for question in paper.questions[:2])
    front = FrontQuestions(offer, offer.words)
    for each in offer.openings:
        for finding, said in zip(each.of_note, offer.words.of_note(each), strict=True):
            # What a note says and a question says whole stands in no check.
            if front.says_whole(each, finding, said):
                (number,) = map(int, POINTS.findall(front.pointed(each, finding, said)[1]))
                pointed.setdefault(number, set()).add(each.place)
                assert said[0] not in {note.note.text for note in paper.notes}
    for number, question in enumerate(paper.questions[finishes + own :], finishes + own + 1):
        assert pointed[number] == places_of(question.marks, offer)
        assert [each.text for each in paper.questions].count(question.text) == 1
    # Nothing that a finding asks is lost on the way: it points somewhere, or is stated by now.
    for each in offer.openings:
        for finding, said in findings_told(offer, offer.words, each):
            name = {"state-traffic": "traffic", "ask-egress": "egress"}.get(
                asking := asking_of(finding.code, said[1]), ""
            )
            _, hint, _ = front.pointed(each, finding, said)
            stated = name and getattr(offer.kit_of(each).type, name) is not None
            stopped = asking == "ask-stop" and "stop" in each.note
            assert bool(POINTS.match(hint)) is (bool(asking) and not stated and not stopped)


@settings(max_examples=8)
@given(KINDS, st.sampled_from(("egress", "traffic", "swing")))
def test_what_was_answered_is_asked_by_nothing(kind, name):
    answers = {"egress": True, "traffic": Traffic.HEAVY, "swing": Swing.OUT}
    kind = replace(kind, hand=None, **{name: answers[name]})
    note = {"egress": "exit device", "traffic": "busy", "swing": "outswing"}[name]
    offer = offered([Opening("101", kind, 1, note)], book(), asks=True).offer
    for question in quote_paper(offer).questions:
        assert not question.text.startswith(QUESTIONS[name])
        assert note not in question.text


@pytest.mark.parametrize(
    ("note", "asked"),
    [("", 1), ("owner to supply wall stop", 0), ("existing door stop", 0), ("no stop", 1),
     ("bring a wall stop", 0), ("threshold by owner", 1)],
)  # fmt: skip
def test_what_stops_the_leaf_is_asked_unless_the_note_says_it(note, asked):
    kind = opening(
        door=Door.HOLLOW_METAL, frame=Frame.STEEL, location=Location.EXTERIOR, hand=Hand.RHR,
        swing=Swing.OUT, wind=parse_speed("30 mph"),
    )  # fmt: skip
    offer = offered([Opening("E7", kind, 1, note)], book(), asks=True).offer
    said = [each for each in quote_paper(offer).questions if each.text == "What stops the leaf?"]
    assert len(said) == asked
    for each in said:
        assert each.answers[0][0] == "floor or wall stop ☐ overhead stop ☐ stop arm, to be quoted"


SHEET = (
    "Mark,Size,Pair,Door Matl,Frame Matl,Int/Ext,Keyed with,Preferred arm,Weight,Hardware\n"
    "1,3070,,HM,HM,int,MK-1,heavy duty,140,HW-1\n"
    "2,3070,,HM,HM,int,,hold open,,HW-2 delayed action\n"
    "3,3070,PR,HM,HM,int,,,,\n"
)


@cache
def of_sheet(locale: str) -> Offer:
    sheet = read(SHEET)
    assert not sheet.problems
    job = work_up_schedule(
        sheet.openings, book(), RULES, DAY, Asker(locale=locale), not_used=not_used(sheet.reading)
    )
    headed = Headed("Q-1", 0, DAY, DAY, "ines", "Fernhollow Door Supply", None)
    return make_snapshot(job, HouseWords(), RULES, headed, asks=True).offer


@pytest.mark.parametrize("locale", ["en_US", "fr_CA", "es_MX"])
def test_what_a_sheet_says_and_no_kit_uses_stands_on_both_forms_and_in_the_mail(locale):
    offer = of_sheet(locale)
    unused = "Keyed with; Preferred arm; Hardware; Weight: 140"
    with speaking(locale):
        said = tr("Columns and cells of your sheet that this quote does not use: {columns}.")
        said = said.format(columns=unused)
        assert said in mail_text(offer)
        assert said in [*open_notes(offer)]
    for form in QuoteForm:
        paper = quote_paper(offer, form=form)
        assert " ".join(said.split()) in " ".join(texts(make_flow(paper, TEMPLATES)))
        # Each wish is asked about, by its own words or by its column's, and so is the pair.
        asked = " ".join(question.text for question in paper.questions)
        for words in ("“Preferred arm: heavy duty”", "hold open", "delayed action"):
            assert words.strip("“”") in asked
        with speaking(locale):
            assert tr("Which leaf of the pair is active, seen from the outside?") in asked
            assert tr(QUESTIONS["swing"]) in asked
            assert [one.places for one in paper.doubts if one.text == tr(
                "a pair whose swing nobody has stated")] == ["3"]  # fmt: skip


def test_an_assumption_to_be_confirmed_has_a_box_and_a_blank():
    paper = quote_paper(of_sheet("en_US"))
    html = make_flow(paper, TEMPLATES).blocks[0].html
    listed = html.partition("Assumed, to be confirmed")[2].partition("Cautions")[0]
    boxes = re.findall(r'<li>☐ .*?<span class="blank"></span></li>', listed)
    assert len(boxes) == len(paper.assumptions) > 2
