"""The cover is exact: held against scipy's MILP (HiGHS) and against plain enumeration."""

import random
from collections import Counter
from itertools import combinations_with_replacement, product

import pytest
from tests.support.milp import program_of, solve_with_scipy

from wholekit.domain.kits.cover import (
    Alternative,
    CoverItem,
    CoverNeed,
    Market,
)
from wholekit.domain.kits.cover import least_cover as cover_of


def least_cover(bodies, needs, boxes, loose):
    return cover_of(Alternative(bodies, tuple(needs)), Market(boxes, loose))


BATCHES, CASES = 10, 120


def random_shelf(seed: int, costs: int = 400):
    """A small catalogue: bodies loose and boxed, arm sets, screw packs, several alternatives.

    In some of them two needs may take the same piece.
    """
    draw = random.Random(seed)
    bodies = {f"b{n}": {f"b{n}": draw.choice((1, 1, 2))} for n in range(draw.randint(1, 4))}
    needs: list[CoverNeed] = []
    for number in range(draw.randint(1, 5)):
        pieces = tuple(f"p{number}{letter}" for letter in "abc"[: draw.randint(1, 3)])
        if needs and draw.random() < 0.25:
            pieces = (draw.choice(draw.choice(needs).pieces), *pieces[1:])
        needs.append(CoverNeed(draw.choice((1, 1, 2, 4, 5)), pieces))
    every = list(dict.fromkeys(piece for need in needs for piece in need.pieces))
    boxes: dict[str, list[CoverItem]] = {}
    loose: dict[str, list[CoverItem]] = {}
    for rank in range(draw.randint(3, 18)):
        count = draw.choice((1, 1, 1, 2, 3, 4))
        sampled = draw.sample(every, min(count, len(every)))
        supplies = {piece: draw.choice((1, 1, 2, 4, 10)) for piece in sampled}
        if draw.random() < 0.4:
            body = draw.choice(list(bodies))
            if draw.random() < 0.4:
                supplies = {}
            supplies[body] = draw.choice((1, 1, 1, 2))
            boxes.setdefault(body, []).append(CoverItem(rank, draw.randint(1, costs), supplies))
        else:
            item = CoverItem(rank, draw.randint(1, costs), supplies)
            for piece in supplies:
                loose.setdefault(piece, []).append(item)
    return bodies, needs, boxes, loose


@pytest.mark.parametrize("batch", range(BATCHES))
def test_the_cover_costs_what_an_outside_solver_says_is_least(batch):
    """Source of the answer: scipy.optimize.milp (HiGHS), a general-purpose solver."""
    complete = 0
    for case in range(CASES):
        bodies, needs, boxes, loose = random_shelf(batch * CASES + case)
        ours = least_cover(bodies, needs, boxes, loose)
        theirs = solve_with_scipy(program_of([Alternative(bodies, tuple(needs))], boxes, loose))
        if theirs is None:
            assert ours is None or ours.missing
        else:
            assert ours is not None
            assert not ours.missing
            assert ours.score == pytest.approx(theirs, abs=1e-6)
            complete += 1
    assert complete > CASES // 5


def test_the_shelves_of_the_next_test_have_answers_to_compare():
    seeds = range(150)
    assert sum(_comparable(*random_shelf(seed, costs=3)) for seed in seeds) > len(seeds) // 4


def _comparable(bodies, needs, boxes, loose):
    ours = least_cover(bodies, needs, boxes, loose)
    return ours is not None and not ours.missing and len(ours.ranks) <= 4


@pytest.mark.parametrize("seed", range(150))
def test_of_equal_covers_the_one_first_on_the_shelf_is_taken(seed):
    """Plain enumeration of every multiset of items, with few costs so that ties are many."""
    bodies, needs, boxes, loose = random_shelf(seed, costs=3)
    items = {item.rank: item for found in (*boxes.values(), *loose.values()) for item in found}
    if len(items) > 9:
        pytest_limit = sorted(items)[:9]
        items = {rank: items[rank] for rank in pytest_limit}
        boxes = {b: [i for i in found if i.rank in items] for b, found in boxes.items()}
        loose = {p: [i for i in found if i.rank in items] for p, found in loose.items()}
    ours = least_cover(bodies, needs, boxes, loose)
    if ours is None or ours.missing or len(ours.ranks) > 4:
        return
    best = min(
        (sum(items[rank].score for rank in ranks), ranks)
        for count in range(1, len(ours.ranks) + 2)
        for ranks in combinations_with_replacement(sorted(items), count)
        if _covers(ranks, items, bodies, needs, boxes)
    )
    assert (ours.score, ours.ranks) == best


def _covers(ranks, items, bodies, needs, boxes):
    supplied: Counter[str] = Counter()
    for rank in ranks:
        supplied.update(items[rank].supplies)
    held = {body for body, found in boxes.items() if any(item.rank in ranks for item in found)}
    if len(held) != 1:
        return False
    counts = bodies[held.pop()]
    return all(supplied[piece] >= count for piece, count in counts.items()) and any(
        all(supplied[piece] >= count for piece, count in _taken(chosen, needs).items())
        for chosen in product(*(need.pieces for need in needs))
    )


def _taken(chosen, needs):
    taken: Counter[str] = Counter()
    for piece, need in zip(chosen, needs, strict=True):
        taken[piece] += need.quantity
    return taken


def test_a_box_counts_before_anything_is_added():
    box = CoverItem(0, 100, {"body": 1, "screw": 4})
    pack = CoverItem(1, 5, {"screw": 10})
    cover = least_cover(
        {"body": {"body": 1}}, [CoverNeed(4, ("screw",))], {"body": [box]}, {"screw": [pack]}
    )
    assert cover is not None
    assert cover.ranks == (0,)


def test_a_joint_is_not_screwed_with_two_kinds_of_screw():
    half = CoverItem(0, 1, {"wood": 2})
    other = CoverItem(1, 1, {"metal": 2})
    body = CoverItem(2, 10, {"body": 1})
    cover = least_cover(
        {"body": {"body": 1}},
        [CoverNeed(4, ("wood", "metal"))],
        {"body": [body]},
        {"wood": [half], "metal": [other]},
    )
    assert cover is not None
    assert cover.ranks in ((0, 0, 2), (1, 1, 2))


@pytest.mark.parametrize("boxed", [True, False])
def test_one_set_of_screws_does_not_hold_two_joints(boxed):
    """Plates under body and shoe may take the same screw: what one joint has used is gone."""
    screws = CoverItem(0, 5, {"screw": 4})
    body = CoverItem(1, 100, {"body": 1, "screw": 4} if boxed else {"body": 1})
    cover = least_cover(
        {"body": {"body": 1}},
        [CoverNeed(4, ("screw",)), CoverNeed(2, ("screw", "bolt"))],
        {"body": [body]},
        {"screw": [screws]},
    )
    assert cover is not None
    assert cover.ranks == ((0, 1) if boxed else (0, 0, 1))


def test_what_nobody_sells_is_reported_and_not_paid_for():
    body = CoverItem(0, 10, {"body": 1})
    cover = least_cover({"body": {"body": 1}}, [CoverNeed(1, ("bracket",))], {"body": [body]}, {})
    assert cover is not None
    assert cover.missing == (0,)
    assert cover.chosen == (None,)


def test_a_pair_of_handed_bodies_takes_one_of_either_hand():
    left = CoverItem(0, 10, {"left": 1})
    right = CoverItem(1, 11, {"right": 1})
    cover = least_cover({"body": {"left": 1, "right": 1}}, [], {"body": [left, right]}, {})
    assert cover is not None
    assert cover.ranks == (0, 1)
