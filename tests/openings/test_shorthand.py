"""One opening in a line of trade terms, in any order; what is not understood is told."""

import itertools
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.openings.files import FINISHES, JURISDICTIONS, faults, outcome, sentences

from wholekit.domain.errors import InputError
from wholekit.domain.openings import (
    BodySide,
    Core,
    Door,
    Frame,
    Hand,
    HoldOpen,
    Location,
    Mount,
    OpeningType,
    Stop,
    Swing,
    Traffic,
)
from wholekit.domain.quantities import Length, Mass, parse_force, parse_pattern
from wholekit.intake.shorthand import read_shorthand
from wholekit.intake.shorthand_words import LEADS, PHRASES
from wholekit.wording.problems import say_problem


def read(text, ordinal=1):
    return read_shorthand(text, ordinal, finishes=FINISHES, jurisdictions=JURISDICTIONS)


def codes(text):
    return [(code, word) for code, _, word in faults(text, read)]


def said(text):
    """The fields of the opening that are known, the size aside."""
    kind = read(f"mark:T 3070 {text}").type
    names = OpeningType.__dataclass_fields__.keys() - {"width", "height"}
    known = {name: getattr(kind, name) for name in names}
    return {
        name: value
        for name, value in known.items()
        if value not in (None, ()) and (name, value) != ("leaves", 1)
    }


def test_the_usual_line_is_read_whole():
    opening = read("101 3070 hollow-metal/steel exterior out parallel 689 x2")
    assert (opening.mark, opening.quantity) == ("101", 2)
    assert opening.type == OpeningType(
        Length.inches(36), Length.inches(84), door=Door.HOLLOW_METAL, frame=Frame.STEEL,
        location=Location.EXTERIOR, swing=Swing.OUT, mount=Mount.PARALLEL, finish="689",
    )  # fmt: skip


def test_the_words_stand_in_any_order():
    parts = ["101", "3070", "hollow-metal/steel", "out", "parallel arm", "689", "x2", "reveal 4 in"]
    usual = read(" ".join(parts))
    chance = random.Random(5)
    for order in itertools.islice(iter(lambda: chance.sample(parts, len(parts)), None), 200):
        # `reveal 4 in` before `out` stays a reveal; a finish first needs a mark beside it.
        assert read(" ".join(order)) == usual, order


# Each says one thing, whatever stands beside it.
TERMS = (
    "mark:A7", "3070", "x3", "pair", "hollow-metal/steel", "mineral core", "exterior", "out", "RHR",
    "push", "parallel arm", "90 min", "accessible", "110 deg", "hold-open release", "backcheck",
    "delayed-action", "top_rail=4 in", "head 2 in", "ceiling 6 in", "reveal 4-3/4 in", "blade stop",
    "0.1 inwg", "20 mph", "dark bronze", "series harbor", "size 4", "100 lb", "1-3/4 in thick",
    "frame unreinforced", "reinforced", "jurisdiction oregon", "egress", "seals 10 lbf",
    "latch 9 N", "grade 1", "heavy traffic", "old holes 8-1/4 x 3-1/4",
    'note="by the stair"',
)  # fmt: skip


@given(st.permutations(TERMS))
def test_a_line_that_says_everything_says_the_same_in_every_order(terms):
    assert read(" ".join(terms)) == EVERYTHING


EVERYTHING = read(" ".join(TERMS))


def test_a_line_that_says_everything_leaves_nothing_unknown():
    assert (EVERYTHING.mark, EVERYTHING.quantity, EVERYTHING.note) == ("A7", 3, "by the stair")
    unknown = [
        name for name in OpeningType.__dataclass_fields__ if getattr(EVERYTHING.type, name) is None
    ]
    assert unknown == []


@pytest.mark.parametrize(
    "size",
    [
        "3070", "36x84", "36 x 84", "36 in x 84 in", "3'-0\" x 7'-0\"", "3-0 x 7-0", "3/0x7/0",
        "3 ft 0 in x 7 ft 0 in", "36 by 84", "size 3070", "size=3070", "width=36 height=84",
        "width 36 in height 84 in",
    ],
)  # fmt: skip
@pytest.mark.parametrize("around", ["101 {} wood", "{} 101 wood", "wood x2 101 {}"])
def test_a_size_is_read_in_every_spelling_and_place(size, around):
    opening = read(around.format(size))
    assert (opening.mark, opening.type.door) == ("101", Door.WOOD)
    assert (opening.type.width, opening.type.height) == (Length.inches(36), Length.inches(84))


def test_a_metric_size_keeps_its_unit():
    assert str(read("914 x 2134 mm").type.width) == "914 mm"


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("wood/steel", {"door": Door.WOOD, "frame": Frame.STEEL}),
        ("HM/HM", {"door": Door.HOLLOW_METAL, "frame": Frame.STEEL}),
        ("hollow metal / steel frame", {"door": Door.HOLLOW_METAL, "frame": Frame.STEEL}),
        ("aluminum/aluminum", {"door": Door.ALUMINUM, "frame": Frame.ALUMINUM}),
        ("wood", {"door": Door.WOOD}),
        ("steel", {"frame": Frame.STEEL}),
        ("wood door steel frame", {"door": Door.WOOD, "frame": Frame.STEEL}),
        ("hollow metal", {"door": Door.HOLLOW_METAL}),
        ("aluminum", {"door": Door.ALUMINUM}),
        ("wood mineral core", {"door": Door.WOOD, "core": Core.MINERAL}),
        ("SCL", {"core": Core.SCL}),
        ("exterior out LHR push", {
            "location": Location.EXTERIOR, "swing": Swing.OUT, "hand": Hand.LHR,
            "body_side": BodySide.PUSH,
        }),
        ("regular", {"mount": Mount.REGULAR}),
        ("top jamb", {"mount": Mount.TOP_JAMB}),
        ("top-jamb", {"mount": Mount.TOP_JAMB}),
        ("90 min", {"fire_minutes": 90}),
        ("90min", {"fire_minutes": 90}),
        ("fire 90", {"fire_minutes": 90}),
        ("fire label 1-1/2 h", {"fire_minutes": 90}),
        ("3/4 hr", {"fire_minutes": 45}),
        ("non-rated", {"fire_minutes": 0}),
        ("accessible pair", {"accessible": True, "leaves": 2}),
        ("100 lb", {"weight": Mass.lb(100)}),
        ("45kg", {"weight": Mass.kg(45)}),
        ("reinforced frame unreinforced", {"door_reinforced": True, "frame_reinforced": False}),
        ("steel frame unreinforced", {"frame": Frame.STEEL, "frame_reinforced": False}),
        ("wood door steel frame reinforced", {
            "door": Door.WOOD, "frame": Frame.STEEL, "frame_reinforced": True,
        }),
        ("wood/steel frame unreinforced", {
            "door": Door.WOOD, "frame": Frame.STEEL, "frame_reinforced": False,
        }),
        ("wood/steel unreinforced", {
            "door": Door.WOOD, "frame": Frame.STEEL, "door_reinforced": False,
        }),
        ("size 3", {"spring_size": 3}),
        ("110 deg", {"opening_degrees": 110.0}),
        ("110°", {"opening_degrees": 110.0}),
        ("hold-open", {"hold_open": HoldOpen.ARM}),
        ("hold open release", {"hold_open": HoldOpen.RELEASE}),
        ("egress", {"egress": True}),
        ("exit", {"egress": True}),
        ("not egress", {"egress": False}),
        ("grade1", {"grade": 1}),
        ("grade 3", {"grade": 3}),
        ("heavy traffic", {"traffic": Traffic.HEAVY}),
        ("traffic light", {"traffic": Traffic.LIGHT}),
        ("traffic=usual", {"traffic": Traffic.USUAL}),
        ("seals 10 lbf out", {"seals": parse_force("10 lbf"), "swing": Swing.OUT}),
        ("latch=9N", {"latch": parse_force("9N")}),
        ("delayed-action backcheck", {"delayed_action": True, "backcheck": True}),
        ("no backcheck", {"backcheck": False}),
        ("reveal 4 in", {"reveal": Length.inches(4)}),
        ("reveal 4-3/4 in in", {"reveal": Length.inches(4, 3, 4), "swing": Swing.IN}),
        ("reveal 4 out", {"reveal": Length.inches(4), "swing": Swing.OUT}),
        ("holes 8-1/4 x 3-1/4 in", {"existing_holes": parse_pattern("8-1/4 x 3-1/4")}),
        ("existing holes 210 x 83 mm in", {
            "existing_holes": parse_pattern("210x83mm"), "swing": Swing.IN,
        }),
        ('existing_holes="6-1/2 x 2-1/8"', {"existing_holes": parse_pattern("6-1/2 x 2-1/8")}),
        ("rail 3 in", {"top_rail": Length.inches(3)}),
        ("head 2 in ceiling 6 in", {
            "head_face": Length.inches(2), "ceiling_clearance": Length.inches(6),
        }),
        ("1-3/4 in thick", {"thickness": Length.inches(1, 3, 4)}),
        ("blade stop", {"stop": Stop.BLADE}),
        ("series harbor", {"series": "harbor"}),
        ("689", {"finish": "689"}),
        ("US26D on steel", {"finish": "652"}),
        ("US26D steel", {"finish": "626", "frame": Frame.STEEL}),
        ("dark bronze", {"finish": "690"}),
        ("finish aluminum", {"finish": "689"}),
        ("jurisdiction oregon", {"jurisdiction": "us-or"}),
        ("fire_minutes=90 hand=RH", {"fire_minutes": 90, "hand": Hand.RH}),
        ("PR ADA exit", {"leaves": 2, "accessible": True, "egress": True}),
        ("RHRA", {"hand": Hand.RHR, "leaves": 2}),
        ("LHR/RHR", {"leaves": 2, "swing": Swing.OUT}),
        ("RH/LH no exit", {"leaves": 2, "swing": Swing.IN, "egress": False}),
        ("reveal=4 in in", {"reveal": Length.inches(4), "swing": Swing.IN}),
        ("wood, steel frame, 689", {"door": Door.WOOD, "frame": Frame.STEEL, "finish": "689"}),
    ],
)  # fmt: skip
def test_every_term_says_its_field(text, fields):
    assert said(text) == fields


def test_pressure_and_wind_are_told_by_their_unit():
    kind = read("101 3070 0.2 inwg 20 mph").type
    assert (str(kind.pressure), str(kind.wind)) == ("0.2 inwg", "20 mph")


@pytest.mark.parametrize("text", ["x3", "×3", "x 3", "qty 3", "quantity 3", "quantity=3"])
def test_openings_alike_are_counted(text):
    assert read(f"101 3070 {text}").quantity == 3


@pytest.mark.parametrize(
    ("text", "mark"),
    [
        ("101 3070", "101"),
        ("3070 101", "101"),
        ("A-12 3070 wood", "A-12"),
        ("3070 wood 101.2B", "101.2B"),
        ("Lobby 3070", "Lobby"),
        ("3070 mark:Lobby", "Lobby"),
        ("3070 #612", "612"),
        ("3070 mark=612", "612"),
        ("mark 612 3070", "612"),
        ('3070 mark="Lobby east"', "Lobby east"),
        ("1070 3070", "1070"),
        ("612 3070 689", "612"),
        ("3070", "opening-7"),
        ("3070 689", "opening-7"),
    ],
)
def test_the_mark_is_named_or_first_or_has_a_digit(text, mark):
    opening = read(text, 7)
    assert (opening.mark, opening.type.width) == (mark, Length.inches(36))


def test_a_note_is_kept_as_text():
    assert read('101 3070 note="<i>see</i> stair 2"').note == "<i>see</i> stair 2"
    assert read("101 3070 note='5 lb \"easy\"'").note == '5 lb "easy"'


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", [("shorthand-empty", "")]),
        ("   ", [("shorthand-empty", "")]),
        ("101 " + "x" * 500, [("shorthand-too-long", "")]),
        ("101 wood", [("shorthand-size-needed", "size")]),
        ("101 31010", [("size-run-together", "31010")]),
        ("101 3O70", [("word-not-understood", "3O70")]),
        ("101 36 x 840", [("size-not-sensible", "36 x 840")]),
        ("101 914x2134", [("size-not-sensible", "914x2134")]),
        ("101 3070 width=40", [("size-twice", "width")]),
        ("101 width=40", [("side-needed", "height")]),
        ("101 3070 paralel", [("word-not-understood", "paralel")]),
        ("paralel 3070", [("word-not-understood", "paralel")]),
        ("3070 wood lobby", [("word-not-understood", "lobby")]),
        ("101 3070 exterior interior", [("said-twice", "interior")]),
        ("101 3070 3068", [("said-twice", "3068")]),
        ("101 3070 wood/steel aluminum", [("said-twice", "aluminum")]),
        ("101 3070 90 min fire 20", [("said-twice", "fire 20")]),
        ("101 3070 90", [("number-alone", "90")]),
        ("3070 90", [("number-alone", "90")]),
        ("689 3070", [("mark-or-finish", "689")]),
        ("101 3070 colour=red", [("column-unknown", "colour=red")]),
        ("101 3070 reveal=", [("value-needed", "reveal=")]),
        ("101 3070 reveal=deep", [("length-unreadable", "reveal=deep")]),
        ("101 3070 x0", [("whole-number", "x0")]),
        ("101 3070 x99999", [("whole-number", "x99999")]),
        ("101 3070 75 min", [("fire-label", "75 min")]),
        ("101 3070 200 deg", [("angle-out-of-range", "200 deg")]),
        ("101 3070 5000 lb", [("weight-out-of-range", "5000 lb")]),
        ("101 3070 reveal 90 ft", [("size-not-sensible", "reveal 90 ft")]),
        ("101 3070 size 9", [("whole-number", "size 9")]),
        ("101 3070 wod/steel", [("word-unknown", "wod/steel")]),
        ("101 3070 jurisdiction atlantis", [
            ("word-needs-value", "jurisdiction"), ("word-not-understood", "atlantis"),
        ]),
        ("101 3070 paralel exteror 90", [
            ("word-not-understood", "paralel"), ("word-not-understood", "exteror"),
            ("number-alone", "90"),
        ]),
        ("=1+1 3070", [("word-not-understood", "=1+1")]),
    ],
)  # fmt: skip
def test_what_is_not_one_clear_thing_is_told_word_by_word(text, expected):
    assert codes(text) == expected


@pytest.mark.parametrize(
    ("word", "right"),
    [
        ("paralel", "parallel"),
        ("exteror", "exterior"),
        ("hollow-mettal", "hollow-metal"),
        ("698", "689"),
        ("finish=698", "689"),
    ],
)
def test_a_slip_of_the_pen_is_told_with_the_word_that_was_meant(word, right):
    said = sentences(f"101 3070 {word}", read)
    assert right in said.partition("near:" if "near:" in said else "right would be")[2]


def test_the_place_of_a_problem_is_the_option_it_stands_in():
    with pytest.raises(InputError) as caught:
        read("101 3070 paralel", 2)
    assert caught.value.problems[0].where == "--opening 2"


def test_saying_the_same_twice_is_no_fault():
    assert read("101 3070 36x84 wood wood out swings out").type == read("101 3070 wood out").type


@pytest.mark.parametrize("phrase", sorted(PHRASES))
def test_every_phrase_is_read_by_the_column_it_fills(phrase):
    fields = said(phrase.replace("-", " "))
    assert {column for column, _ in PHRASES[phrase]} >= fields.keys()


WORDS = st.sampled_from(
    [
        *(phrase.replace("-", " ") for phrase in PHRASES), *LEADS, "3070", "36", "x", "84", "in",
        "x2", "101", "689", "90", "min", "lb", "4", "1-3/4", "/", "=", "mark:", "#", '"', "note=",
    ]
)  # fmt: skip


@given(st.one_of(st.text(max_size=40), st.lists(WORDS, max_size=12).map(" ".join)))
def test_any_line_is_an_opening_or_refused_with_problems(text):
    opening, problems = outcome(text, read)
    assert problems or (opening.mark and opening.quantity >= 1)


@pytest.mark.parametrize("first", ["X1", "x12", "×3"])
def test_a_first_word_that_may_be_mark_or_quantity_is_asked_for(first):
    with pytest.raises(InputError) as refused:
        read(f"{first} 3070 wood 689")
    (problem,) = refused.value.problems
    assert problem.code == "mark-or-quantity"
    assert f"mark:{first}, or quantity={first[1:]}" in say_problem(problem)
    assert read(f"mark:{first} 3070 wood 689").mark == first
    assert read(f"{first} 3070 A7 wood 689").quantity == int(first[1:])
    assert read(f"3070 {first} wood 689").quantity == int(first[1:])


@pytest.mark.parametrize("lead", ["weight", "reveal", "pressure", "traffic"])
@pytest.mark.parametrize("unknown", ["TBD", "?", "unknown", "not known", "n/a"])
def test_what_is_said_to_be_unknown_is_unknown(lead, unknown):
    assert read(f"101 3070 {lead} {unknown} 689") == read("101 3070 689")


@pytest.mark.parametrize(
    ("text", "worked", "candidates"),
    [
        ("label B", 90, ("60", "90")),
        ("fire class B", 90, ("60", "90")),
        ("fire_minutes=B", 90, ("60", "90")),
        ("fire_minutes='60 or 90'", 90, ("60", "90")),
        ("fire TBD", 180, ("0", "20", "45", "60", "90", "180")),
        ("label X", 180, ("20", "45", "60", "90", "180")),
    ],
)
def test_an_unclear_label_is_worked_under_its_longest(text, worked, candidates):
    kind = read(f"101 3070 {text} 689").type
    assert kind.fire_minutes == worked
    assert [one.candidates for one in kind.unclear] == [candidates]


@pytest.mark.parametrize(
    ("text", "minutes"),
    [("label C", 45), ("label A", 180), ("fire C (3/4 HR)", 45), ("fire NR", 0), ("fire FD30", 30)],
)
def test_a_label_as_schedules_write_it_is_clear(text, minutes):
    kind = read(f"101 3070 {text} 689").type
    assert (kind.fire_minutes, kind.unclear) == (minutes, ())


@pytest.mark.parametrize("field", ["accessible", "egress"])
def test_an_access_or_exit_to_be_decided_is_worked_as_one(field):
    kind = read(f"101 3070 {field}=TBD 689").type
    assert getattr(kind, field) is True
    assert [(one.field, one.written) for one in kind.unclear] == [(field, f"{field}=TBD")]


def test_hollow_metal_may_be_said_short():
    assert read("101 3070 HM/HMF") == read("101 3070 hollow-metal/steel")
    assert read("101 3070 HMD HMF") == read("101 3070 hollow-metal steel")
    assert read("101 3070 HMD/HMF").type.frame is Frame.STEEL
