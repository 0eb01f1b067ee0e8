"""A fire label, access or exit that could mean several things: worked, told, held, answered."""

import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.support.house import RULES, codes, opening, shelf
from tests.support.openings import random_opening

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.findings import Severity
from wholekit.domain.kits import build_kit
from wholekit.domain.openings import (
    ANSWER_NEEDED,
    Door,
    Facts,
    Frame,
    Opening,
    OpeningType,
    Unclear,
    stated_of,
    unclear_findings,
)
from wholekit.domain.plain import from_plain, to_plain
from wholekit.domain.quantities import QuantityError
from wholekit.intake.cells import readers
from wholekit.intake.changes import changed, read_changes
from wholekit.intake.dialect_rows import load_dialect
from wholekit.intake.openings import read_opening_changes
from wholekit.intake.unclear import UNCLEAR_FIELDS, Several, as_written, harshest, settle
from wholekit.wording.findings import say_finding
from wholekit.wording.openings import stated
from wholekit.wording.reasons import say_reason

READ = readers(FinishBook(RULES), None)
B = Unclear("fire_minutes", "B", ("60", "90"))
VALUES: dict[str, list[int | bool | str]] = {
    "fire_minutes": [0, 15, 20, 30, 45, 60, 90, 120, 180, 240],
    "accessible": [True, False],
    "egress": [True, False],
    "door": list(Door),
    "frame": list(Frame),
}
# The fields whose values stand in an order of more and less.
ORDERED = ("fire_minutes", "accessible", "egress")


def unclear_door() -> OpeningType:
    return opening(fire_minutes=90, unclear=(B,))


def stated_as(door: OpeningType, field: str, value: int | bool | str) -> OpeningType:
    """The door with a field stated."""
    return replace(door, **{field: value})  # type: ignore[arg-type]  # a name that varies


@pytest.mark.parametrize(
    ("field", "text", "candidates", "worked"),
    [
        ("fire_minutes", "60 or 90", ("60", "90"), 90),
        ("fire_minutes", "180 or none or 20", ("180", "0", "20"), 180),
        ("fire_minutes", "1 h or 3/4 h", ("60", "45"), 60),
        ("accessible", "yes or no", ("yes", "no"), True),
        ("egress", "no or yes", ("no", "yes"), True),
        ("door", "aluminum or hm or wood", ("aluminum", "hollow-metal", "wood"), Door.WOOD),
        ("frame", "steel or aluminum", ("steel", "aluminum"), Frame.ALUMINUM),
    ],
)
def test_the_strict_readers_take_the_clean_form(field, text, candidates, worked):
    read = READ[field](text)
    assert isinstance(read, Several)
    assert (read.unclear, read.worked) == (Unclear(field, text, candidates), worked)


@pytest.mark.parametrize(
    ("field", "text", "value"),
    [("fire_minutes", "90 or 1-1/2 h", 90), ("egress", "no or n", False)],
)
def test_one_value_said_twice_is_clear(field, text, value):
    assert READ[field](text) == value


@pytest.mark.parametrize("field", ["core", "location", "leaves", "thickness", "door_reinforced"])
def test_no_other_column_takes_several(field):
    with pytest.raises(QuantityError):
        READ[field]("yes or no")


@pytest.mark.parametrize(
    "text", ["60 or", "or 90", "60 or soon", "60 or 61", " or ".join(["60"] * 40)]
)
def test_what_is_no_list_of_values_is_refused(text):
    with pytest.raises(QuantityError):
        READ["fire_minutes"](text)


def test_an_unclear_label_stops_the_kit_and_says_what_it_is_worked_as():
    kit = build_kit(unclear_door(), shelf(), RULES)
    assert kit.stopped
    assert codes(kit)[ANSWER_NEEDED] == "stop"
    (finding,) = unclear_findings(kit.type)
    said = say_finding(finding, RULES)
    assert "“B”" in said.text
    assert "60 min or 90 min" in said.text
    assert "Worked as 90 min" in said.text
    assert "fire_minutes: 60 or 90" in said.hint


def test_apart_from_the_stop_the_kit_is_that_of_the_harshest():
    unclear, clear = (
        build_kit(door, shelf(), RULES) for door in (unclear_door(), opening(fire_minutes=90))
    )
    assert [(line.item.sku, line.quantity) for line in unclear.lines] == [
        (line.item.sku, line.quantity) for line in clear.lines
    ]
    rest = tuple(finding for finding in unclear.findings if finding.code != ANSWER_NEEDED)
    assert rest == clear.findings


def test_what_is_stated_and_why_say_that_it_is_unclear():
    assert dict(stated(unclear_door()))["fire label"] == "60 min or 90 min (“B”)"
    why = Facts(unclear_door(), RULES).why("fire_minutes")
    assert say_reason(why) == "fire label unclear (“B”): worked as 90 min until answered"
    assert "unclear" not in stated_of(unclear_door())


@pytest.mark.parametrize(
    ("change", "stands"),
    [
        ("fire_minutes=60", ()),
        ("fire_minutes=", ()),
        ("finish=690", (B,)),
        ("fire_minutes=45 or 60", (Unclear("fire_minutes", "45 or 60", ("45", "60")),)),
        ("egress=yes or no", (B, Unclear("egress", "yes or no", ("yes", "no")))),
    ],
)
def test_an_answer_settles_its_own_field(change, stands):
    new = changed(Opening("101", unclear_door()), read_opening_changes([change], RULES))
    assert new.type.unclear == stands


def test_answers_to_both_settle_both():
    door = Opening("101", unclear_door())
    asked = changed(door, read_opening_changes(["egress=yes or no"], RULES))
    done = changed(
        asked, read_changes(["egress=no", "fire_minutes=60"], finishes=FinishBook(RULES))
    )
    assert (done.type.egress, done.type.fire_minutes, done.type.unclear) == (False, 60, ())


def test_what_was_written_takes_the_place_of_the_clean_form():
    door = opening(fire_minutes=90, unclear=(Unclear("fire_minutes", "60 or 90", ("60", "90")),))
    assert as_written(door, {"fire_minutes": "B label"}).unclear[0].written == "B label"
    assert as_written(door, {"egress": "X"}) == door


def test_plain_data_carry_it_and_older_data_read_as_clear():
    plain = to_plain(unclear_door())
    assert from_plain(OpeningType, plain) == unclear_door()
    older = {name: value for name, value in plain.items() if name != "unclear"}
    assert from_plain(OpeningType, older) == opening(fire_minutes=90)
    assert to_plain(opening(fire_minutes=90)) == older, "a clear opening is written as before"


@given(st.sampled_from(UNCLEAR_FIELDS), st.data())
def test_no_candidate_is_above_the_harshest(field, data):
    values = data.draw(st.lists(st.sampled_from(VALUES[field]), min_size=1, unique=True))
    worked = harshest(field, values)
    assert worked in values
    assert harshest(field, values[::-1]) == worked
    if field in ORDERED:
        assert all(value <= worked for value in values)


@pytest.mark.parametrize(("field", "materials"), [("door", Door), ("frame", Frame)])
def test_every_material_has_its_place_in_the_order(field, materials):
    assert set(load_dialect().harshest[field].order) == set(materials)


@settings(max_examples=40)
@given(st.integers(0, 10**6), st.sampled_from(["door", "frame"]))
def test_a_material_that_is_asked_is_never_for_order(seed, field):
    told = Unclear(field, "glass", tuple(map(str, VALUES[field])))
    door = replace(random_opening(random.Random(seed)), unclear=(told,))
    kit = build_kit(stated_as(door, field, harshest(field, VALUES[field])), shelf(), RULES)
    assert kit.stopped
    assert ANSWER_NEEDED in codes(kit)


def stops(door: OpeningType) -> frozenset[str]:
    kit = build_kit(door, shelf(), RULES)
    found = {finding.code for finding in kit.findings if finding.severity is Severity.STOP}
    return frozenset(found | ({"missing"} if kit.missing else set()))


@settings(max_examples=60)
@given(st.integers(0, 10**6), st.sampled_from([20, 45, 60, 90, 180]))
def test_a_longer_label_never_has_fewer_stops_than_a_shorter(seed, minutes):
    door = random_opening(random.Random(seed))
    assert stops(replace(door, fire_minutes=minutes)) <= stops(replace(door, fire_minutes=180))


# What only another answer may bring, as the data say where it differs (dialect/harshest.toml).
ONLY_OTHERWISE = {
    "fire_minutes": {"force-over-limit", "limit-excludes-latching", "missing", "piece-missing"},
    "accessible": {"size-too-small", "finish-unavailable", "missing", "piece-missing"},
    "egress": {"size-too-small", "finish-unavailable", "missing", "piece-missing"},
}


@settings(max_examples=60)
@given(st.integers(0, 10**6), st.sampled_from(ORDERED))
def test_another_answer_brings_no_stop_but_those_the_data_tell_of(seed, field):
    door = random_opening(random.Random(seed))
    worked, other = (
        build_kit(stated_as(door, field, value), shelf(), RULES)
        for value in (max(VALUES[field]), min(VALUES[field]))
    )
    beyond = stops(other.type) - stops(worked.type)
    assert beyond <= ONLY_OTHERWISE[field]
    # Both leave the required size alone: it is the setting that a limit holds down.
    if worked.size_required and other.size_required:
        assert worked.size_required >= other.size_required


@given(st.sampled_from(UNCLEAR_FIELDS), st.data())
def test_settling_leaves_what_was_not_said(field, data):
    value = data.draw(st.sampled_from(VALUES[field]))
    kept = tuple(Unclear(name, "?", ("yes", "no")) for name in UNCLEAR_FIELDS)
    settled = settle({field: value}, kept)
    assert settled[field] == value
    left = [name for name in OpeningType.__dataclass_fields__ if name in UNCLEAR_FIELDS]
    assert [one.field for one in settled["unclear"]] == [name for name in left if name != field]
