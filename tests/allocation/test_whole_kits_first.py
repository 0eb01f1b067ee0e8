"""Whole kits first: what every answer holds to, against brute force and another solver."""

from collections import Counter
from collections.abc import Mapping
from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from wholekit.domain.allocation import (
    Allocation,
    Contest,
    HowFound,
    Solved,
    Split,
    Substitutes,
    Want,
    allocate,
)
from wholekit.domain.catalog import ItemKey
from wholekit.solving.highs import HighsSolver

HIGHS = HighsSolver()
ITEMS: list[ItemKey] = [("maker", letter) for letter in "ABCDE"]


class NoSolver:
    """As where the library is missing."""

    def solve(self, contest: Contest, seconds: float, start: Split) -> Solved | None:
        return None


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


@given(small_scenes(), st.sampled_from([NoSolver(), WrongSolver()]))
def test_without_a_solver_that_is_right_the_answer_still_holds(scene, solver):
    wants, free, allowed = scene
    answer = allocate(wants, free, allowed, solver)
    assert_holds(answer, wants, free, allowed)
    assert answer.bound >= brute_force(wants, free, allowed)
