"""The parts of an allocation, each by itself on a case small enough to see."""

import highspy
import pytest

from wholekit.domain.allocation import (
    HowFound,
    Split,
    Want,
    allocate,
    choose_greedy,
    contest_of,
    rounded,
)
from wholekit.domain.allocation.bound import plain_bound
from wholekit.domain.allocation.settle import polished, settled
from wholekit.domain.allocation.tray import is_supplied, take
from wholekit.solving.highs import HighsSolver, _Search
from wholekit.solving.program import program_of, split_of

A, B, C, D = (("maker", letter) for letter in "ABCD")


def bag(name, *items, weight=1, came=0):
    return Want(name, tuple((item, 1) for item in items), weight, (came,))


def test_bags_alike_are_one_group_however_their_needs_are_written():
    wants = [
        Want("1", ((A, 1), (B, 2)), 5, (2,)),
        Want("2", ((B, 1), (A, 1), (B, 1)), 5, (1,)),
        Want("3", ((A, 1), (B, 2)), 6, (0,)),
    ]
    groups = contest_of(wants, {}, {}).groups
    assert [(group.weight, group.ids) for group in groups] == [(6, ("3",)), (5, ("2", "1"))]


def test_a_substitute_goes_back_where_the_item_itself_is_left_and_lets_another_bag_go():
    contest = contest_of([bag("1", A), bag("2", B)], {A: 1, B: 1}, {A: (B,)})
    needless = Split((1, 0), {(A, B): 1})
    assert is_supplied(contest, needless)
    assert settled(contest, needless) == Split((1, 0))
    assert polished(contest, needless) == Split((1, 1))


def test_the_last_substitute_allowed_goes_back_first():
    contest = contest_of([bag("1", A), bag("2", A), bag("3", D)], {A: 1, B: 5, C: 5}, {A: (B, C)})
    both = Split((2, 0), {(A, B): 1, (A, C): 1})
    assert settled(contest, both).instead == {(A, B): 1}


def test_the_lighter_gives_way_to_the_heavier_of_equal_needs():
    contest = contest_of([bag("1", A, weight=2), bag("2", A, weight=7)], {A: 1}, {})
    assert settled(contest, Split((0, 1))).counts == (1, 0)
    assert contest.groups[0].ids == ("2",)


@pytest.mark.parametrize(
    "split",
    [
        Split((3, 0)),
        Split((-1, 0)),
        Split((2, 1)),
        Split((0, 1), {(B, A): 1}),
        Split((0, 0), {(A, B): 1}),
        Split((1, 0), {(A, B): -1}),
    ],
    ids=["too-many", "below-none", "too-few-packs", "not-allowed", "not-wanted", "negative"],
)
def test_an_answer_that_no_shelf_supplies_is_told(split):
    contest = contest_of([bag("1", A), bag("2", A), bag("3", B)], {A: 1, B: 1}, {A: (B,)})
    assert is_supplied(contest, Split((2, 0), {(A, B): 1}))
    assert not is_supplied(contest, split)


def test_an_item_that_is_short_keeps_nothing_from_the_next():
    taken = take(((A, 2), (B, 2)), {A: 1, C: 2}, {B: (C,)})
    assert (taken.given, taken.short) == (((A, A, 1), (B, C, 2)), ((A, 1),))


def test_the_bound_of_one_short_item_cuts_the_bag_that_weighs_least_for_it():
    wants = [Want(name, ((A, 2),), 4, (0,)) for name in "12"]
    assert plain_bound(contest_of(wants, {A: 3}, {})) == 6
    lighter = [*wants, Want("3", ((A, 3), (B, 1)), 5, (0,))]
    assert plain_bound(contest_of(lighter, {A: 6, B: 1}, {})) == 11


def test_by_scarcity_one_bag_yields_to_two_that_take_less():
    wants = [bag("1", A, B, C, weight=3), bag("2", B, weight=2), bag("3", C, weight=2)]
    chosen = choose_greedy(wants, {A: 1, B: 1, C: 1}, {})
    assert [given.id for given in chosen] == ["2", "3"]


def test_of_two_bags_cut_in_half_the_heavier_is_made_whole():
    contest = contest_of([bag("1", A, B), bag("2", A, C, weight=9)], {A: 1, B: 1, C: 1}, {})
    assert rounded(contest, [0.5, 0.5]).counts == (0, 1)
    assert rounded(contest, [1 - 1e-9, 0.5]).counts == (1, 0)


def test_what_is_given_for_more_than_is_wanted_is_cut_off():
    contest = contest_of([bag("1", A), bag("2", A)], {B: 2}, {A: (B,)})
    program = program_of(contest)
    assert split_of(contest, program, [1, 2]) == Split((1,), {(A, B): 1})


def test_a_pack_that_nobody_wants_stands_in_for_nothing():
    """C for a B that no bag takes would free a B that is not there."""
    wants = [bag("1", A, weight=5), bag("2", D, weight=5), bag("3", B, ("maker", "none-left"))]
    answer = allocate(wants, {B: 1, C: 5}, {A: (B,), D: (B,), B: (C,)}, HighsSolver())
    assert (answer.value, answer.found) == (5, HowFound.BEST)


@pytest.mark.parametrize(("first", "second"), [("1", "2"), ("2", "1")])
def test_of_two_that_weigh_the_same_the_one_that_came_first_goes(first, second):
    needs = {"1": (A, B), "2": (A, C)}
    wants = [bag(first, *needs[first], came=1), bag(second, *needs[second], came=2)]
    answer = allocate(wants, {A: 1, B: 1, C: 1}, {}, HighsSolver())
    assert [given.id for given in answer.chosen] == [first]


def test_the_bound_of_the_relaxed_program_is_a_whole_weight_that_can_be_reached():
    contest = contest_of([bag("1", A, weight=6), bag("2", A, B, weight=3)], {A: 1, B: 1}, {})
    assert _Search(highspy, contest).relaxed(60) == ([1.0, 0.0], 6)
