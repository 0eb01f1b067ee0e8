"""Movements and what they add up to, against books kept another way."""

from collections import Counter
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.stock.moves import AT, ITEMS, movements

from wholekit.domain.errors import CallError
from wholekit.domain.stock import (
    SIDES,
    Account,
    Kind,
    Movement,
    Side,
    Slips,
    StockPlace,
    deltas_of,
    given_back,
    require_sound,
    sums_of,
)

LISTS = st.lists(movements(), max_size=25)
ITEM = ITEMS[0]
SHELF = StockPlace("main", "A-01")


@given(LISTS)
def test_what_leaves_one_side_reaches_the_other(moved):
    """Double entry: the accounts of each item together come to nothing (common practice)."""
    books: Counter[Any] = Counter()
    for one in moved:
        books[one.item, one.source] -= one.packs
        books[one.item, one.target] += one.packs
    for item in ITEMS:
        assert sum(packs for (of, _), packs in books.items() if of == item) == 0
    sums = sums_of(moved)
    for (item, branch, name), packs in sums.bins.items():
        assert packs == books[item, Account(Side.SHELF, StockPlace(branch, name))]
    for (item, branch, bag), held in sums.bags.items():
        assert held.picked == books[item, Account(Side.BAG, StockPlace(branch), bag)]
        # A promise ends where it is taken back or its pieces reach the bag.
        taken = Counter(
            {
                kind: sum(
                    one.packs
                    for one in moved
                    if (one.kind, one.item, one.bag) == (kind, item, bag)
                    and branch in (one.source.place.branch, one.target.place.branch)
                )
                for kind in (Kind.PICK, Kind.UNPICK)
            }
        )
        promised = books[item, Account(Side.PROMISED, StockPlace(branch), bag)]
        assert held.promised == promised - taken[Kind.PICK] + taken[Kind.UNPICK]


@given(LISTS)
def test_a_branch_holds_what_its_bins_hold_and_promises_what_its_bags_were_promised(moved):
    sums = sums_of(moved)
    bins: Counter[Any] = Counter()
    bags: Counter[Any] = Counter()
    for (item, branch, _), packs in sums.bins.items():
        bins[item, branch] += packs
    for (item, branch, _), held in sums.bags.items():
        bags[item, branch] += held.promised
    for key, balance in sums.branches.items():
        assert (balance.on_hand, balance.promised) == (bins[key], bags[key])
        assert balance.free == balance.on_hand - balance.promised


@given(LISTS, st.integers(0, 25))
def test_sums_and_changes_add_up_wherever_the_list_is_cut(moved, cut):
    whole = sums_of(moved)
    assert sums_of(moved[:cut]).plus(deltas_of(moved[cut:])) == whole


@given(movements(kinds=(Kind.PICK, Kind.TRANSFER, Kind.RESERVE, Kind.ADJUST)))
def test_the_counter_movement_undoes_all_of_it(moved):
    back = {Kind.PICK: Kind.UNPICK, Kind.RESERVE: Kind.UNRESERVE}.get(moved.kind, moved.kind)
    undone = replace(moved, key="back", kind=back, source=moved.target, target=moved.source)
    sums = sums_of([moved, undone])
    assert not any(sums.bins.values())
    assert not any(each.on_hand or each.promised for each in sums.branches.values())
    assert not any(each.promised or each.picked for each in sums.bags.values())


@given(LISTS)
def test_nothing_below_zero_is_let_through_and_all_else_is(moved):
    kept: list[Movement] = []
    for one in moved:
        sums = sums_of(kept)
        after = sums_of([*kept, one])
        sound = all(
            count >= 0
            for count in (
                *after.bins.values(),
                *(each.free for each in after.branches.values()),
                *(part for each in after.bags.values() for part in (each.promised, each.picked)),
            )
        )
        if sound:
            require_sound(sums, deltas_of([one]))
            kept.append(one)
        else:
            with pytest.raises(CallError, match="-short"):
                require_sound(sums, deltas_of([one]))


@pytest.mark.parametrize("kind", Kind)
def test_each_kind_goes_between_its_own_sides_and_no_others(kind):
    every = {
        (source, target)
        for source in Side
        for target in Side
    }  # fmt: skip
    for source, target in every - SIDES[kind]:
        with pytest.raises(ValueError, match="Movement"):
            Movement("k", kind, ITEM, 1, _side(source), _side(target, "B-02"), AT, "pim", "why")


def _side(side, name="A-01"):
    place = StockPlace("main", name if side is Side.SHELF else "")
    in_branch = side in (Side.SHELF, Side.FREE, Side.PROMISED, Side.BAG)
    bag = "bag-1" if side in (Side.PROMISED, Side.BAG) else ""
    return Account(side, place if in_branch else StockPlace(""), bag)


@pytest.mark.parametrize(
    "wrong",
    [{"packs": 0}, {"packs": -1}, {"key": ""}, {"who": ""}, {"reason": ""}],
)
def test_a_movement_says_how_many_by_whom_and_why(wrong):
    sound = Slips("k", AT, "pim").adjust(ITEM, 2, SHELF, "found behind the rack")
    with pytest.raises(ValueError, match="Movement"):
        replace(sound, **wrong)


def test_a_deed_written_down_again_has_the_same_keys():
    def deed():
        slips = Slips("scan-7", AT, "pim")
        return slips.reserve(ITEM, 1, "main", "bag-1"), slips.pick(ITEM, 1, SHELF, "bag-1")

    assert deed() == deed()
    assert [one.key for one in deed()] == ["scan-7/1", "scan-7/2"]


def test_every_kind_can_be_written_down():
    slips = Slips("k", AT, "pim")
    other = StockPlace("north")
    made = [
        slips.opening(ITEM, 5, SHELF),
        slips.receipt(ITEM, 5, SHELF),
        slips.reserve(ITEM, 2, "main", "bag-1"),
        slips.unreserve(ITEM, 1, "main", "bag-1"),
        slips.pick(ITEM, 1, SHELF, "bag-1"),
        slips.unpick(ITEM, 1, SHELF, "bag-1"),
        slips.pick(ITEM, 1, SHELF, "bag-1"),
        slips.ship(ITEM, 1, "main", "bag-1"),
        slips.returned(ITEM, 1, SHELF),
        slips.returned_scrap(ITEM, 1),
        slips.returned_on(ITEM, 1),
        slips.transfer(ITEM, 3, SHELF, other),
        slips.adjust(ITEM, -1, other, "lost"),
        slips.count(ITEM, 2, other),
        slips.scrap(ITEM, 1, other, "bent"),
        slips.to_supplier(ITEM, 1, other),
    ]
    assert {one.kind for one in made} == set(Kind)
    sums = sums_of(made)
    assert sums.bins == {(ITEM, "main", "A-01"): 7, (ITEM, "north", ""): 2}
    assert sums.bags[ITEM, "main", "bag-1"].promised == 0
    assert sums.bags[ITEM, "main", "bag-1"].picked == 0


@given(st.lists(st.tuples(st.sampled_from("abc"), st.integers(0, 5))), st.integers(0, 30))
def test_the_latest_promises_give_way_first_and_no_more_than_is_short(latest, short):
    back = given_back(latest, short)
    total = sum(promised for _, promised in latest)
    assert sum(packs for _, packs in back) == min(short, total)
    # Only the last of those that give way may keep some.
    whole = [(bag, promised) for bag, promised in latest if promised]
    assert back[:-1] == whole[: max(len(back) - 1, 0)]
