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
    HoldOpen,
    Location,
    Opening,
    OpeningType,
    Swing,
    Traffic,
    marks_named,
)
from wholekit.domain.openings.sheet import not_used
from wholekit.domain.quantities import Length, parse_speed
from wholekit.domain.quotes import Offer
from wholekit.services.schedules import Asker, work_up_schedule
from wholekit.services.snapshots import Headed, make_snapshot
from wholekit.wording.asked_in_checks import FrontQuestions, findings_told
from wholekit.wording.exports import mail_text, open_notes
from wholekit.wording.offers import HouseWords
from wholekit.wording.questions import QUESTIONS
from wholekit.wording.speech import ENGLISH, speaking, tr
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
    finishes = sum(
        question.text.startswith(("Finish", "A hold-open arm")) for question in paper.questions[:3]
    )
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


@pytest.mark.parametrize("name", ["egress", "traffic", "swing"])
@settings(max_examples=2)
@given(kind=KINDS)
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
def of_sheet(locale: str, *, asks: bool = True) -> Offer:
    sheet = read(SHEET)
    assert not sheet.problems
    job = work_up_schedule(
        sheet.openings, book(), RULES, DAY, Asker(locale=locale), not_used=not_used(sheet.reading)
    )
    headed = Headed("Q-1", 0, DAY, DAY, "ines", "Fernhollow Door Supply", None)
    return make_snapshot(job, HouseWords(), RULES, headed, asks=asks).offer


@pytest.mark.parametrize("locale", ["en_US", "fr_CA", "es_MX"])
def test_what_a_sheet_says_and_no_kit_uses_stands_on_both_forms_and_in_the_mail(locale):
    offer = of_sheet(locale)
    with speaking(locale):
        said = tr("Columns and cells of your sheet that this quote does not use: {columns}.")
        # What is asked about is not called unused.
        said = said.format(columns="Keyed with")
        assert said in mail_text(offer)
        assert said in [*open_notes(offer)]
    for form in QuoteForm:
        paper = quote_paper(offer, form=form)
        assert " ".join(said.split()) in " ".join(texts(make_flow(paper, TEMPLATES)))
        # Each wish is asked about, by its own words or by its column's, and so is the pair.
        asked = " ".join(question.text for question in paper.questions)
        for words in ("“Preferred arm: heavy duty”", "hold open", "delayed action", "Weight: 140"):
            assert words.strip("“”") in asked
        with speaking(locale):
            assert tr("Which leaf of the pair is active, seen from the outside?") in asked
            assert tr(QUESTIONS["swing"]) in asked
            assert [one.places for one in paper.doubts if one.text == tr(
                "a pair whose swing nobody has stated")] == ["3"]  # fmt: skip


def test_a_cell_that_was_not_understood_is_asked_by_what_stands_there_with_its_marks():
    sheet = read(
        "Mark,Size,Door Matl,Frame Matl,Int/Ext,Weight,Finish,Keyed with,Preferred arm,Label\n"
        "1,3070,HM,HM,int,140,painted,MK-1,,\n"
        "2,3070,HM,HM,int,90 lb,painted,,hold open,45\n"
        "3,3070,HM,HM,int,140,689,,hold open,\n"
    )
    assert not sheet.problems
    job = work_up_schedule(
        sheet.openings, book(), RULES, DAY, Asker(), not_used=not_used(sheet.reading)
    )
    headed = Headed("Q-1", 0, DAY, DAY, "ines", "Fernhollow Door Supply", None)
    paper = quote_paper(make_snapshot(job, HouseWords(), RULES, headed, asks=True).offer)
    asked = {question.text: question for question in paper.questions}
    # A figure without its unit has a question of its own, a word that of its field.
    bare = asked["Your sheet says “Weight: 140”, and no unit stands with it. What is meant?"]
    assert bare.marks == ("1, 3",)
    (finish,) = (text for text in asked if "painted" in text)
    assert finish.startswith(QUESTIONS["finish"])
    assert finish.endswith("Your sheet says “Finish: painted” (1, 2).")
    assert [said.split(": ")[-1] for said in paper.not_used] == ["Keyed with."]
    # Where a fire label stands, no tick puts an arm on the door that holds it open.
    (held, free) = sorted(text for text in asked if "says “hold open”" in text)
    assert {asked[held].marks, asked[free].marks} == {("2",), ("3",)}
    for text in (held, free):
        assert text.startswith("Your sheet's column Preferred arm says")
        fire = asked[text].marks == ("2",)
        assert ("not allowed on a fire door (45 min)" in text) is fire
        assert ("arm" in asked[text].answers[0][0].replace("alarm", "")) is not fire


@pytest.mark.parametrize("locale", ["en_US", "fr_CA", "es_MX"])
@pytest.mark.parametrize(
    ("pair", "size", "note", "leaves", "boxes"),
    [
        ("yes", "6070", "right leaf active", 2, ("3'-0\"", "6'-0\"")),
        ("oui", "1800x2100 mm", "", 2, ("900 mm", "1800 mm")),
        ("", "6070", "right leaf active", 1, ("3'-0\"", "6'-0\"")),
        ("sí", "3070", "", 2, ()),
        ("non", "3070", "", 1, ()),
    ],
)
def test_whether_a_width_is_of_one_leaf_or_of_a_pair_is_one_question_with_both_as_boxes(
    pair, size, note, leaves, boxes, locale
):
    rows = f"1,{size},{pair},HM,HM,EXT,out,RHR,{note}\n"
    sheet = read(f"Mark,Size,Pair,Door Matl,Frame Matl,Int/Ext,Swing,Hand,Remarks\n{rows}")
    (kind,) = (each.type for each in sheet.openings)
    assert (kind.leaves, sheet.openings[0].note, not_used(sheet.reading)) == (leaves, note, ())
    asker = Asker(locale=locale)
    job = work_up_schedule(sheet.openings, book(), RULES, DAY, asker)
    headed = Headed("Q-1", 0, DAY, DAY, "ines", "Fernhollow Door Supply", None)
    paper = quote_paper(make_snapshot(job, HouseWords(), RULES, headed, asks=True).offer)
    of_width = {
        at: each.answers[0][0]
        for at, each in enumerate(paper.questions, 1)
        if each.answers and all(f" {box}" in each.answers[0][0] for box in boxes)
    }
    if not boxes:
        assert not paper.open
        return
    ((number, answer),) = of_width.items()
    assert len(answer.split(" ☐ ")) == 2
    (one,) = paper.open
    assert re.search(rf"\b{number}\.", " ".join(one.reasons))
    # Nothing else asks how many leaves there are.
    assert sum("3'-0\"" in each.text or "900 mm" in each.text for each in paper.questions) == 1
    assert all(note not in each.text for each in paper.questions if note)


def test_what_is_said_of_a_latch_or_of_the_wind_is_not_asked_again():
    heads = "Mark,Size,Door Matl,Frame Matl,Int/Ext,Hand,Latch Force,Remarks\n"
    rows = ("1,3070,HM,HM,INT,LH,latch,", "2,3070,HM,HM,EXT,RHR,panic,wind 12 mph",
            "3,3070,HM,HM,INT,LH,yes,", "4,3070,AL,AL,EXT,RHR,,narrow rail 2 in; windy",
            "5,3070,HM,HM,INT,LH,stiff,")  # fmt: skip
    sheet = read(heads + "\n".join(rows))
    assert [each.type.egress for each in sheet.openings] == [None, True, None, None, None]
    assert not_used(sheet.reading) == ("Latch Force: stiff",)
    asks = Asker(), not_used(sheet.reading)
    job = work_up_schedule(sheet.openings, shelf(), RULES, DAY, asks[0], not_used=asks[1])
    headed = Headed("Q-1", 0, DAY, DAY, "ines", "Fernhollow Door Supply", None)
    offer = make_snapshot(job, HouseWords(), RULES, headed, asks=True).offer
    asked = {each.text: each for each in quote_paper(offer).questions}
    (unread,) = (text for text in asked if "do not know" in text)
    assert "stiff" in unread
    # A figure that is stated is asked whether it holds, and none how strong it is.
    (blows,) = (text for text in asked if "12 mph" in text)
    assert blows.startswith("“wind 12 mph”: does it blow against this door?")
    assert asked[blows].answers == (("yes ☐ no", ""), ("", "☐ yes, at another speed: (mph)"))
    (windy,) = (text for text in asked if "How strong" in text)
    assert asked[windy].marks == ("4",)
    (rail,) = (text for text in asked if text.startswith(QUESTIONS["top_rail"]))
    assert rail.endswith(" Quoted as: 4 in. Your note says “narrow rail 2 in” (4).")
    # Where no question of the quote's own asks for it, that of the note tells the same.
    kind = opening("3070", door=Door.ALUMINUM, frame=Frame.ALUMINUM, location=Location.INTERIOR,
                   top_rail=Length.inches(6))  # fmt: skip
    other = offered([Opening("1", kind, 1, "rail 4 in")], shelf(), asks=True).offer
    (told,) = (each.text for each in quote_paper(other).questions if "rail 4 in" in each.text)
    assert told.endswith(" Quoted as: 6 in; your note says “rail 4 in”.")


@pytest.mark.parametrize(
    ("locale", "stated", "said"),
    [
        ("en_US", None, ""),
        ("en", None, ""),
        ("fr_CA", None, "Canada"),
        ("es_MX", None, "México"),
        ("en_GB", None, "United Kingdom"),
        ("fr_CA", "us", ""),
        ("en_GB", "uk", ""),
    ],
)
@pytest.mark.parametrize("outside", [True, False])
def test_limits_of_another_country_than_the_customers_are_asked_about(
    locale, stated, said, outside
):
    """The territories are ISO 3166's; a leaf outside is asked for its limits anyway."""
    place = Location.EXTERIOR if outside else Location.INTERIOR
    kind = opening("3070", door=Door.HOLLOW_METAL, frame=Frame.STEEL, location=place,
                   hand=Hand.RHR, accessible=True, finish="626",
                   jurisdiction=stated)  # fmt: skip
    offer = offered([Opening("1", kind, 1)], shelf(), asks=True, locale=locale).offer
    asked = [each for each in quote_paper(offer).questions if said and said in each.text]
    assert len(asked) == bool(said)
    own = speaking(offer.sent.language) if offer.sent else speaking(ENGLISH)
    with own:
        limits = tr(QUESTIONS["jurisdiction"])
    assert all(each.text.startswith(limits) is outside for each in asked)


@pytest.mark.parametrize("size", ["3070", "1000x2100 mm"])
@pytest.mark.parametrize(
    ("note", "units"),
    [("wind swept corner", ("mph", "km/h")), ("weatherstripped", ("lbf", "N")),
     ("low ceiling", ("in", "mm")), ("kept at pressure", ("inwg", "Pa"))],
)  # fmt: skip
def test_what_only_a_figure_answers_has_a_blank_with_its_unit(note, units, size):
    kind = opening(size, door=Door.HOLLOW_METAL, frame=Frame.STEEL, location=Location.INTERIOR)
    paper = quote_paper(offered([Opening("1", kind, 1, note)], book(), asks=True).offer)
    (question,) = (each for each in paper.questions if "The note says" in each.text)
    assert question.answers == (("", f"({units[size != '3070']})"),)
    assert "Is it so?" not in question.text


@pytest.mark.parametrize("delayed", [None, True])
def test_a_fire_door_with_a_hold_open_arm_is_asked_with_what_each_answer_adds(delayed):
    kind = opening(
        "3070", door=Door.HOLLOW_METAL, frame=Frame.STEEL, location=Location.INTERIOR,
        hand=Hand.LH, fire_minutes=90, hold_open=HoldOpen.ARM, delayed_action=delayed,
    )  # fmt: skip
    offer = offered([Opening("122", kind, 2)], book(), asks=True).offer
    paper = quote_paper(offer)
    (number,) = (at for at, one in enumerate(paper.questions, 1) if "hold-open arm" in one.text)
    assert f"Asked in question {number}." in paper.open[0].reasons[0]
    (told,) = paper.questions[number - 1].answers
    ways = {"no hold-open": HoldOpen.NONE, "hold-open released by the": HoldOpen.RELEASE}
    for box in told[0].split(" ☐ "):
        (way,) = (way for said, way in ways.items() if box.startswith(said))
        then = offered([Opening("122", replace(kind, hold_open=way), 2)], book()).offer
        assert then.is_firm(then.openings[0])
        assert f"+${then.kit_of(then.openings[0]).price.decimal}" in told[1]
    # With delayed action a released hold-open is none of them.
    assert len(told[0].split(" ☐ ")) == (1 if delayed else 2)


def test_an_exit_named_in_a_note_joins_the_question_that_others_are_asked_with_a_price():
    plain = {"door": Door.WOOD, "frame": Frame.STEEL, "location": Location.INTERIOR}
    priced = opening("3070", hand=Hand.RH, fire_minutes=0, accessible=False, **plain)
    rated = opening("3070", hand=Hand.LHR, fire_minutes=90, **plain)
    # A labelled pair of unknown swing is open and has no price that could stay.
    pair = opening("3680", leaves=2, fire_minutes=90, **plain)
    rows = [
        Opening("205", priced),
        Opening("103", rated, 1, "exit device"),
        Opening("105", pair, 1, "exit device"),
    ]
    offer = offered(rows, book(), asks=True).offer
    assert [offer.is_firm(each) for each in offer.openings] == [True, True, False]
    (asked,) = (
        one for one in quote_paper(offer).questions if one.text.startswith(QUESTIONS["egress"])
    )
    assert places_of(asked.marks, offer) == {"205", "103", "105"}
    # Asked there, it is not to be confirmed below too.
    assert not [said for said in quote_paper(offer).assumptions if "egress" in said]
    assert asked.text.endswith(
        "The same price whatever is answered: 103. Open, so without a price yet: 105."
    )


def test_an_assumption_to_be_confirmed_has_a_box_and_a_blank():
    paper = quote_paper(of_sheet("en_US", asks=False))
    html = make_flow(paper, TEMPLATES).blocks[0].html
    listed = html.partition("Assumed, to be confirmed")[2].partition("Cautions")[0]
    # The blank stays with the last word before it.
    boxes = re.findall(
        r'<li>☐ .*?<span class="or">(?:<span class="c">)?[^ <]+(?:</span>)?[^ <]* '
        r'<span class="blank"></span></span></li>',
        listed,
    )
    assert len(boxes) == len(paper.assumptions) > 2
