"""Whole kits first: what every answer holds to, against brute force and another solver."""

import subprocess
import sys
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from itertools import product

import highspy
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.allocation.scenes import NoSolver, short_scene

from wholekit.domain.allocation import (
    Allocation,
    Contest,
    HowFound,
    Solved,
    Split,
    Substitutes,
    Want,
    allocate,
    choose_first_come,
    choose_greedy,
    contest_of,
    rounded,
)
from wholekit.domain.allocation.bound import plain_bound
from wholekit.domain.allocation.orders import first_come
from wholekit.domain.allocation.tray import is_supplied
from wholekit.domain.catalog import ItemKey
from wholekit.solving.highs import HighsSolver, _Search

HIGHS = HighsSolver()
ITEMS: list[ItemKey] = [("maker", letter) for letter in "ABCDE"]


class WrongSolver:
    """Says that everything fits."""

    def solve(self, contest: Contest, seconds: float, start: Split) -> Solved | None:
        return Solved(Split(contest.everything), contest.value(contest.everything), True)


@st.composite
def small_scenes(draw):
    needs = st.dictionaries(st.sampled_from(ITEMS), st.integers(1, 3), min_size=1, max_size=4)
    kinds = draw(st.lists(needs, min_size=1, max_size=4))
    wants = [
        Want(f"B-{n}", tuple(kinds[kind % len(kinds)].items()), weight, (turn,))
        for n, (kind, weight, turn) in enumerate(
            draw(
                st.lists(
                    st.tuples(st.integers(0, 3), st.integers(1, 3), st.integers(0, 9)),
                    min_size=1,
                    max_size=7,
                )
            )
        )
    ]
    free = {item: draw(st.integers(0, 6)) for item in ITEMS}
    others = st.lists(st.sampled_from(ITEMS), max_size=2, unique=True)
    substitutes = {item: tuple(draw(others)) for item in draw(st.sets(st.sampled_from(ITEMS)))}
    return wants, free, substitutes


def can_supply(
    wanted: Mapping[ItemKey, int], free: Mapping[ItemKey, int], allowed: Substitutes
) -> bool:
    """Hall's theorem: all is supplied where every set of items wanted finds enough."""
    items = [item for item, packs in wanted.items() if packs]
    for chosen in product((False, True), repeat=len(items)):
        some = [item for item, is_in in zip(items, chosen, strict=True) if is_in]
        reach = set(some) | {other for item in some for other in allowed.get(item, ())}
        if sum(wanted[item] for item in some) > sum(free.get(item, 0) for item in reach):
            return False
    return True


def brute_force(wants: list[Want], free: Mapping[ItemKey, int], allowed: Substitutes) -> int:
    best = 0
    for chosen in product((False, True), repeat=len(wants)):
        some = [want for want, is_in in zip(wants, chosen, strict=True) if is_in]
        value = sum(want.weight for want in some)
        if value > best:
            wanted: Counter[ItemKey] = Counter()
            for want in some:
                wanted.update(dict(want.needs))
            if can_supply(wanted, free, allowed):
                best = value
    return best


def assert_holds(
    answer: Allocation, wants: list[Want], free: Mapping[ItemKey, int], allowed: Substitutes
) -> None:
    by_id = {want.id: want for want in wants}
    taken: Counter[ItemKey] = Counter()
    for bag in answer.chosen:
        got: Counter[ItemKey] = Counter()
        for wanted, item, packs in bag.items:
            assert packs > 0
            assert item == wanted or item in allowed.get(wanted, ())
            got[wanted] += packs
            taken[item] += packs
        assert got == Counter(dict(by_id[bag.id].needs))
    assert all(packs <= free.get(item, 0) for item, packs in taken.items())
    # Nothing stands in for what is left over itself.
    used = {wanted for bag in answer.chosen for wanted, item, _ in bag.items if item != wanted}
    assert all(taken[item] == free.get(item, 0) for item in used)
    ids = [*(bag.id for bag in answer.chosen), *(bag.id for bag in answer.waiting)]
    assert sorted(ids) == sorted(by_id)
    assert all(bag.short for bag in answer.waiting)
    assert answer.value == sum(by_id[bag.id].weight for bag in answer.chosen)
    assert max(answer.first_come, answer.greedy) <= answer.value <= answer.bound <= answer.total


@given(small_scenes())
def test_no_choice_of_bags_weighs_more(scene):
    wants, free, allowed = scene
    answer = allocate(wants, free, allowed, HIGHS)
    assert_holds(answer, wants, free, allowed)
    assert answer.found in (HowFound.ALL_FIT, HowFound.BEST)
    assert answer.value == answer.bound == brute_force(wants, free, allowed)
    assert answer.gap == 0


@settings(max_examples=40)
@given(small_scenes(), st.sampled_from([NoSolver(), WrongSolver()]))
def test_without_a_solver_that_is_right_the_answer_still_holds(scene, solver):
    wants, free, allowed = scene
    answer = allocate(wants, free, allowed, solver)
    assert_holds(answer, wants, free, allowed)
    assert answer.found in (HowFound.ALL_FIT, HowFound.NO_SOLVER)
    assert answer.bound >= brute_force(wants, free, allowed)


@settings(max_examples=40)
@given(small_scenes())
def test_plain_answers_are_as_the_allocation_tells_them(scene):
    wants, free, allowed = scene
    weights = {want.id: want.weight for want in wants}
    answer = allocate(wants, free, allowed, NoSolver())
    first = choose_first_come(wants, free, allowed)
    assert answer.first_come == sum(weights[bag.id] for bag in first)
    assert answer.greedy == sum(weights[bag.id] for bag in choose_greedy(wants, free, allowed))
    turns = sorted(wants, key=lambda want: (want.arrival, want.id))
    if can_supply(Counter(dict(turns[0].needs)), free, {}):
        assert first[0].id == turns[0].id


@settings(max_examples=40)
@given(small_scenes(), st.sampled_from([NoSolver(), HIGHS]))
def test_among_bags_of_equal_needs_the_heavier_then_the_earlier_goes_first(scene, solver):
    wants, free, allowed = scene
    answer = allocate(wants, free, allowed, solver)
    goes = {bag.id for bag in answer.chosen}
    for one in wants:
        for other in wants:
            if one.needs == other.needs and other.id in goes and one.id not in goes:
                assert (-other.weight, other.arrival, other.id) < (-one.weight, one.arrival, one.id)


@settings(max_examples=40)
@given(small_scenes())
def test_no_later_bag_of_the_same_weight_could_give_way_to_an_earlier_one(scene):
    wants, free, _ = scene
    goes = {bag.id for bag in allocate(wants, free, {}, HIGHS).chosen}
    for late in (want for want in wants if want.id in goes):
        for early in (want for want in wants if want.id not in goes):
            if early.weight == late.weight and early.arrival < late.arrival:
                others = [want for want in wants if want.id in goes - {late.id}]
                packs = sum((Counter(dict(want.needs)) for want in [*others, early]), Counter())
                assert not can_supply(packs, free, {})


@settings(max_examples=40)
@given(small_scenes(), st.randoms(use_true_random=False))
def test_the_order_in_which_wants_and_stock_are_named_changes_nothing(scene, chance):
    wants, free, allowed = scene
    shuffled, stock = list(wants), list(free.items())
    chance.shuffle(shuffled)
    chance.shuffle(stock)
    again = allocate(
        [replace(want, needs=tuple(reversed(want.needs))) for want in shuffled],
        dict(stock),
        dict(reversed(allowed.items())),
        HIGHS,
    )
    assert again == allocate(wants, free, allowed, HIGHS)


@settings(max_examples=40)
@given(small_scenes(), st.sampled_from(ITEMS))
def test_more_stock_is_never_worse(scene, item):
    wants, free, allowed = scene
    more = allocate(wants, {**free, item: free[item] + 1}, allowed, HIGHS)
    assert more.value >= allocate(wants, free, allowed, HIGHS).value


@settings(max_examples=40)
@given(small_scenes())
def test_what_a_waiting_bag_is_short_of_lets_it_go_once_it_comes(scene):
    wants, free, allowed = scene
    answer = allocate(wants, free, allowed, HIGHS)
    left = Counter(free)
    for bag in answer.chosen:
        for _, item, packs in bag.items:
            left[item] -= packs
    by_id = {want.id: want for want in wants}
    for waits in answer.waiting:
        come = left + Counter(dict(waits.short))
        assert can_supply(Counter(dict(by_id[waits.id].needs)), come, allowed)
    rest = [by_id[waits.id] for waits in answer.waiting]
    wanted = sum((Counter(dict(want.needs)) for want in rest), Counter())
    assert can_supply(wanted, left + Counter(dict(answer.lacking)), allowed)


@given(small_scenes(), st.data())
def test_an_answer_rounded_holds_and_loses_no_whole_bag(scene, data):
    wants, free, allowed = scene
    contest = contest_of(wants, free, allowed)
    cut = [data.draw(st.floats(0, group.size)) for group in contest.groups]
    assert is_supplied(contest, rounded(contest, cut))
    first = first_come(contest_of(wants, free, {}))
    near = rounded(contest_of(wants, free, {}), [count - 1e-9 for count in first.counts])
    assert all(a >= b for a, b in zip(near.counts, first.counts, strict=True))


def test_a_substitute_of_a_substitute_is_none_and_what_is_wanted_itself_comes_first():
    a, b, c = ITEMS[:3]
    allowed = {a: (b,), b: (c,)}
    one = [Want("1", ((a, 1),), 1, (0,))]
    assert allocate(one, {c: 9}, allowed, HIGHS).waiting[0].short == ((a, 1),)
    assert allocate(one, {a: 1, b: 1}, allowed, HIGHS).chosen[0].items == ((a, a, 1),)
    # The first bag gives way to a substitute, so that the second can be whole.
    two = [*one, Want("2", ((a, 1), (b, 1)), 1, (1,))]
    answer = allocate(two, {a: 1, b: 1, c: 1}, allowed, HIGHS)
    assert [bag.id for bag in answer.chosen] == ["1", "2"]
    assert_holds(answer, two, {a: 1, b: 1, c: 1}, allowed)


def test_where_all_fit_no_solver_is_asked():
    class Nobody:
        def solve(self, contest: Contest, seconds: float, start: Split) -> Solved | None:
            raise AssertionError

    wants, free, allowed = short_scene(1, 40, 12)
    plenty = dict.fromkeys(free, 1000)
    answer = allocate(wants, plenty, allowed, Nobody())
    assert (answer.found, answer.waiting, answer.lacking) == (HowFound.ALL_FIT, (), ())
    assert answer.value == answer.bound == answer.total
    assert allocate([], {}, {}, Nobody()).chosen == ()


@pytest.mark.parametrize("seconds", [-1.0, 0.0, 0.3])
def test_when_the_time_runs_out_the_answer_holds_and_says_so(seconds):
    wants, free, allowed = short_scene(3, 600, 150)
    answer = allocate(wants, free, allowed, HIGHS, seconds)
    assert_holds(answer, wants, free, allowed)
    assert answer.found == HowFound.TIME
    assert answer.bound < answer.total


def test_the_relaxed_answer_rounded_is_near_the_bound():
    wants, free, allowed = short_scene(2, 600, 150)
    contest = contest_of(wants, free, allowed)
    relaxed = _Search(highspy, contest).relaxed(60)
    assert relaxed is not None
    counts, bound = relaxed
    assert contest.value(rounded(contest, counts).counts) >= 0.97 * bound
    assert bound <= plain_bound(contest)


def test_a_solver_that_is_missing_is_none(monkeypatch):
    monkeypatch.setitem(sys.modules, "highspy", None)
    wants, free, allowed = short_scene(1, 60, 20)
    answer = allocate(wants, free, allowed, HIGHS)
    assert_holds(answer, wants, free, allowed)
    assert answer.found == HowFound.NO_SOLVER


def test_a_solver_that_takes_no_model_is_none(monkeypatch):
    def broken(library, program, *, integrality):
        model = highspy.HighsLp()
        model.num_col_ = 1
        return model

    monkeypatch.setattr("wholekit.solving.highs._model", broken)
    wants, free, allowed = short_scene(1, 60, 20)
    assert allocate(wants, free, allowed, HIGHS).found == HowFound.NO_SOLVER


@pytest.mark.parametrize("seed", range(2))
def test_another_solver_finds_nothing_better(seed):
    """CP-SAT (OR-tools), one variable for every bag."""
    wants, free, allowed = short_scene(seed, 60, 20)
    answer = allocate(wants, free, allowed, HIGHS, 60)
    assert_holds(answer, wants, free, allowed)
    assert answer.found == HowFound.BEST
    assert answer.bound == answer.value == best_by_cp_sat(wants, free, allowed)


def best_by_cp_sat(wants: list[Want], free: Mapping[ItemKey, int], allowed: Substitutes) -> int:
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    goes = [model.new_bool_var(want.id) for want in wants]
    wanted = {
        item: sum(
            packs * var
            for var, want in zip(goes, wants, strict=True)
            for key, packs in want.needs
            if key == item
        )
        for item in free
    }
    pairs = {
        (item, other): model.new_int_var(0, free[other], "")
        for item, others in allowed.items()
        for other in others
    }
    for item in free:
        own = model.new_int_var(0, free[item], "")
        model.add(own + sum(n for (want, _), n in pairs.items() if want == item) == wanted[item])
        model.add(own + sum(n for (_, give), n in pairs.items() if give == item) <= free[item])
    model.maximize(sum(want.weight * var for var, want in zip(goes, wants, strict=True)))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    return round(solver.objective_value)


@pytest.mark.parametrize(
    ("wants", "free"),
    [
        ([Want("1", ((ITEMS[0], 0),), 1, (0,))], {}),
        ([Want("1", ((ITEMS[0], 1),), 0, (0,))], {}),
        ([Want("1", ((ITEMS[0], 1),), 1, (0,)), Want("1", ((ITEMS[1], 1),), 1, (0,))], {}),
        ([Want("1", ((ITEMS[0], 1),), 1, (0,))], {ITEMS[0]: -1}),
    ],
)
def test_what_no_shelf_can_hold_and_no_kit_can_need_is_refused(wants, free):
    with pytest.raises(ValueError, match=r"need|weigh|id|free"):
        allocate(wants, free, {}, HIGHS)


def test_the_library_is_imported_when_it_is_needed_and_prints_nothing():
    code = (
        "import sys; from wholekit.solving.highs import HighsSolver, _Search;"
        "print({'highspy', 'numpy'} & set(sys.modules));"
        "from wholekit.domain.allocation import *; a = ('m', 'A');"
        "w = [Want(str(n), ((a, n),), n, (n,)) for n in (2, 3, 4)];"
        "print(allocate(w, {a: 6}, {}, HighsSolver()).value)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert (done.stdout, done.stderr) == ("set()\n6\n", "")
