"""Slow and dead stock, on every store."""

from datetime import timedelta
from fractions import Fraction
from itertools import count

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.support.house import RULES, sample
from tests.support.jobs import START, by

from wholekit.domain.errors import CallError
from wholekit.domain.stock import Pace, ShelfMoves, Slips, StockPlace, slow_limits
from wholekit.services.stock import add_branch
from wholekit.services.stock_port import Branch
from wholekit.services.stock_slow import slow_stock

BOOK = sample("tarrowby")
ITEM = next(item for item in BOOK.items if BOOK.counts.get(item.sku, 0) == 0)
KEY = ITEM.supplier, ITEM.sku
HERE, NORTH = StockPlace("main", "A-91"), StockPlace("north", "N-1")
LIMITS = slow_limits(RULES)
TODAY = 2_000
_NUMBERS = count(1)


def moved(desk, day, *made):
    """What each asks of slips of its own, written down so many days after the start."""
    with desk.store.writing() as uow:
        slips = Slips(f"slow-{next(_NUMBERS)}", START + timedelta(days=day), "odo")
        uow.stock.move([one for each in made for one in each(slips)])
        uow.commit()


def shipped(packs, bag="bag-1", place=HERE, key=KEY):
    return lambda one: (
        one.reserve(key, packs, place.branch, bag),
        one.pick(key, packs, place, bag),
        one.ship(key, packs, place.branch, bag),
    )


def found(desk, key=KEY, **more):
    limits = slow_limits(RULES, **more)
    rows = slow_stock(desk, by("ines", TODAY), limits)
    return {row.moves.branch: row for row in rows if row.moves.item == key}


@pytest.fixture
def room(desk):
    add_branch(desk, by("odo"), Branch("north", "North yard"))
    moved(desk, TODAY - 500, lambda one: [one.receipt(KEY, 20, HERE)])
    return desk


def test_what_left_what_turns_and_what_it_lasts_are_those_of_the_movements(room):
    moved(room, TODAY - 400, shipped(8))
    moved(room, TODAY - 100, shipped(4))
    # What comes back is not what left; what is undone, moved or thrown away never went out.
    moved(room, TODAY - 90, lambda one: [one.returned(KEY, 2, HERE)])
    moved(
        room, TODAY - 80,
        lambda one: (one.reserve(KEY, 1, "main", "b"), one.pick(KEY, 1, HERE, "b"),
                     one.unpick(KEY, 1, HERE, "b"), one.unreserve(KEY, 1, "main", "b")),
    )  # fmt: skip
    moved(room, TODAY - 70, lambda one: [one.scrap(KEY, 1, HERE, "bent")])
    moved(room, TODAY - 60, lambda one: [one.transfer(KEY, 3, HERE, NORTH)])
    rows = found(room)
    here = rows["main"].moves
    assert (here.on_hand, here.before, here.left) == (20 - 8 - 4 + 2 - 1 - 3, 12, 2)
    assert here.turns == Fraction(2 * 2, 6 + 12)
    assert (rows["main"].idle, rows["main"].cover, rows["main"].pace) == (100, 365 * 3, Pace.SLOW)
    assert here.first_came == (START + timedelta(days=TODAY - 500)).date()
    # It has not lain at the other branch for long.
    assert "north" not in rows
    assert found(room, cover=60)["north"].moves.last_left is None
    # Looked at over fewer days, nothing left, and so long that it is dead.
    assert found(room, period=99, idle=100)["main"].pace is Pace.DEAD
    assert found(room, period=101, cover=303)["main"].cover == 303
    assert found(room, period=101, cover=304) == {}
    assert found(room, period=100, idle=101, cover=101) == {}


def test_what_never_left_is_dead_after_a_year_and_what_is_promised_is_not(room):
    assert (found(room)["main"].pace, found(room)["main"].idle) == (Pace.DEAD, 500)
    moved(room, TODAY, lambda one: [one.reserve(KEY, 19, "main", "bag-2")])
    assert found(room)["main"].moves.promised == 19
    moved(room, TODAY, lambda one: [one.reserve(KEY, 1, "main", "bag-3")])
    assert found(room) == {}


def test_the_dead_come_first_and_a_branch_is_asked_for_by_its_code(room):
    moved(room, TODAY - 200, lambda one: [one.receipt(KEY, 5, NORTH)])
    rows = slow_stock(room, by("ines", TODAY), LIMITS)
    paces = [row.pace for row in rows]
    assert paces == sorted(paces, key=[Pace.DEAD, Pace.SLOW].index)
    assert [row.idle for row in rows if row.pace is Pace.DEAD] == sorted(
        (row.idle for row in rows if row.pace is Pace.DEAD), reverse=True
    )
    assert found(room)["north"].pace is Pace.SLOW
    north = slow_stock(room, by("ines", TODAY), LIMITS, "north")
    assert [row.moves.item for row in north] == [KEY]
    with pytest.raises(CallError, match="branch-unknown"):
        slow_stock(room, by("ines", TODAY), LIMITS, "nowhere")


@given(st.integers(1, 99), st.integers(0, 99), st.integers(0, 99), st.integers(0, 900))
def test_more_that_leaves_never_makes_an_item_slower(packs, left, more, idle):
    def at(count):
        day = START.date()
        last = day - timedelta(days=idle)
        first = day - timedelta(days=1_000)
        return ShelfMoves(KEY, "", "main", packs, 0, packs, count, first, last)

    order = [Pace.MOVING, Pace.SLOW, Pace.DEAD]
    one, other = (at(count).pace(START.date(), LIMITS) for count in (left, left + more))
    assert order.index(other) <= order.index(one) or not left
    if left:
        cover = at(left).cover(START.date(), 365)
        # Stock that lies still at one height turns once in as many days as it lasts.
        assert cover * at(left).turns == 365
