"""What is asked changes a kit, and what is not asked changes none, whatever is answered."""

import random
from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.support.house import RULES, opening, shelf
from tests.support.openings import openings

from wholekit.domain.kits import build_kit
from wholekit.domain.kits.decisive import Decided, questions_on
from wholekit.domain.kits.outcome import Outcome, outcome_of
from wholekit.domain.kits.unknowns import answered, unknowns_of
from wholekit.domain.openings import Core, Door, Location, OpeningType, Unclear
from wholekit.domain.quantities import Length


def decided(kind: OpeningType) -> Decided:
    return questions_on(shelf(), RULES).of(kind)


def built(kind: OpeningType, answers: dict[str, object]) -> Outcome:
    """The outcome of the kit itself, built anew without any short cut."""
    return outcome_of(build_kit(answered(kind, answers), shelf(), RULES))


@settings(max_examples=40)
@given(openings(), st.randoms(use_true_random=False))
def test_no_answers_to_what_is_not_asked_change_a_kit_however_many_are_given(kind, draw):
    found = decided(kind)
    assert found.outcome == built(kind, {})
    assert found.outcome.near_edge == built(kind, {}).near_edge
    for _ in range(3):
        answers = {
            each.field: draw.choice(each.answers) for each in found.idle if draw.random() < 0.9
        }
        assert built(kind, answers) == found.outcome, answers


@settings(max_examples=25)
@given(openings())
def test_what_is_asked_changes_a_kit_alone_or_with_what_stands_beside_it(kind):
    for asked in decided(kind).asked:
        told = [
            {asked.unknown.field: effect.answer, **dict(effect.given)} for effect in asked.effects
        ]
        outcomes = [built(kind, answers) for answers in told]
        assert outcomes == [effect.outcome for effect in asked.effects]
        near = [effect.outcome.near_edge for effect in asked.effects]
        assert near == [outcome.near_edge for outcome in outcomes]
        assert any(outcome != decided(kind).outcome for outcome in outcomes), asked.unknown.field


def test_two_fields_that_matter_only_together_are_both_asked():
    """Outside no access limit holds under the model codes, and California's holds for access."""
    kind = opening("3670", weight="180 lb", location=Location.EXTERIOR, opening_degrees=120.0)
    found = decided(kind)
    pair = {"accessible": True, "jurisdiction": "us-ca"}
    assert built(kind, pair) != found.outcome
    for name, value in pair.items():
        assert built(kind, {name: value}) == found.outcome
    asked = {each.unknown.field: each for each in found.asked}
    assert pair.keys() <= asked.keys()
    beside = [dict(effect.given) for effect in asked["accessible"].effects if effect.given]
    assert [others.keys() for others in beside] == [{"jurisdiction"}]


def test_an_unclear_value_is_asked_with_what_it_may_mean_and_settled_by_an_answer():
    unclear = Unclear("fire_minutes", "B", ("60", "90"))
    kind = replace(opening("3070", fire_minutes=90, door=Door.HOLLOW_METAL), unclear=(unclear,))
    asked = {each.unknown.field: each for each in decided(kind).asked}["fire_minutes"]
    assert asked.unknown.unclear
    assert [effect.answer for effect in asked.effects] == [60, 90]
    for effect in asked.effects:
        assert "answer-needed" not in {code for code, _ in effect.outcome.stops}
    assert "answer-needed" in {code for code, _ in decided(kind).outcome.stops}


@pytest.mark.parametrize(
    ("conditions", "opened", "closed"),
    [
        ({"leaves": 2}, {"swing"}, {"hand", "core", "top_rail"}),
        ({"door": Door.WOOD}, {"core", "hand"}, {"swing", "top_rail", "door"}),
        ({"door": Door.WOOD, "core": Core.STAVE}, set(), {"core"}),
        ({"door": Door.ALUMINUM}, {"top_rail"}, {"core"}),
    ],
)
def test_only_what_an_opening_can_have_is_open(conditions, opened, closed):
    fields = {each.field for each in unknowns_of(opening("3070", **conditions), RULES)}
    assert opened <= fields
    assert not closed & fields


def test_no_two_fields_that_are_not_asked_change_the_sample_jobs_barest_opening():
    kind = opening("3070")
    found = decided(kind)
    draw = random.Random(1)
    for first, second in combinations(found.idle, 2):
        answers = {each.field: draw.choice(each.answers) for each in (first, second)}
        assert built(kind, answers) == found.outcome


def test_an_opening_is_worked_out_once_and_told_in_the_units_it_is_written_in():
    inches = opening("3070", thickness=Length.inches(1, 3, 4))
    metric = replace(inches, width=Length(inches.width.nm, "mm"))
    assert inches == metric
    assert decided(inches) is decided(replace(inches))
    # Equal, and yet another spelling: what one is quoted as must not be told of the other.
    assert decided(metric) is not decided(inches)
