"""Stock in a store that is kept: questions counted, writers at once, and the check of its sums."""

import random
import threading

import pytest
from sqlalchemy import text
from tests.stock.moves import AT, ITEMS, PLACES
from tests.store.test_backup import _without_guards as without_guards
from tests.store.test_lists import questions

from wholekit.domain.errors import CallError
from wholekit.domain.stock import Balance, Slips
from wholekit.services.paging import Page
from wholekit.services.stock_port import StockFilter
from wholekit.store.check import check_store

ITEM, SHELF = ITEMS[0], PLACES[1]


def stocked(store, items=ITEMS, packs=10):
    made = Slips("start", AT, "pim")
    with store.writing() as work:
        work.stock.move([made.receipt(item, packs, SHELF) for item in items])
        work.commit()


@pytest.mark.parametrize("items", [1, 2, 40])
def test_a_deed_takes_as_many_statements_for_some_items_as_for_many(store, items):
    known = [("Averlund", f"I-{number}") for number in range(items)]
    stocked(store, known)
    made = Slips("wave", AT, "pim")
    reserved = [made.reserve(item, 2, "main", "bag-1") for item in known]
    picked = [made.pick(item, 1, SHELF, "bag-1") for item in known]
    with store.writing() as work:
        with questions(store) as first:
            work.stock.move(reserved)
        with questions(store) as then:
            work.stock.move(picked)
        work.commit()
    # To a server all that is written of one item goes at once; but for the latest promise.
    alone = items == 1 and store.place.file is None
    assert (len(first), len(then)) == ((4, 3) if alone else (6, 6))


@pytest.mark.parametrize("items", [1, 60])
def test_lists_take_as_many_questions_however_long_they_are(store, items):
    known = [("Averlund", f"I-{number}") for number in range(items)]
    stocked(store, known)
    with store.reading() as work:
        for ask, most in (
            (lambda: work.stock.page(StockFilter(text="i-", bin="A-01"), Page(0, 50)), 3),
            (lambda: work.stock.history(Page(0, 50), known[0]), 2),
            (lambda: work.stock.history(Page(0, 50)), 2),
            (lambda: work.stock.balances(known), 1),
            (lambda: work.stock.bins_of(known), 1),
            (lambda: work.stock.bags(["bag-1", "bag-2"]), 1),
            (lambda: work.stock.moved_over(AT.date(), "main"), 3),
            (lambda: work.stock.shipped(known[0], ["bag-1", "bag-2"]), 1),
            (work.stock.every_free, 1),
            (work.stock.stamp, 1),
        ):
            with questions(store) as asked:
                ask()
            assert len(asked) == most


def test_writers_at_once_promise_no_pack_twice_and_none_is_told_of_a_lock(store):
    """Each takes several items in an order of its own, as pickers do."""
    stocked(store)
    refused, lost = [], []
    start = threading.Barrier(4)

    def take(number):
        draw = random.Random(number)
        start.wait()
        for turn in range(12):
            made = Slips(f"{number}-{turn}", AT, "pim")
            items = draw.sample(ITEMS, k=draw.randint(1, 3))
            bag = f"bag-{number}"
            try:
                with store.writing() as work:
                    new = [made.reserve(item, 1, "main", bag) for item in items]
                    work.stock.move([*new, *(made.pick(item, 1, SHELF, bag) for item in items)])
                    work.commit()
            except CallError as error:
                refused.append(error.code)
            except Exception as error:  # noqa: BLE001  # whatever it is, it fails the test
                lost.append(error)

    writers = [threading.Thread(target=take, args=(number,)) for number in range(4)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert lost == []
    assert set(refused) <= {"stock-short", "bin-short"}
    assert refused
    with store.reading() as work:
        in_bags = sum(
            held.picked
            for of_bag in work.stock.bags([f"bag-{number}" for number in range(4)]).values()
            for held in of_bag.values()
        )
        left = [each["main"] for each in work.stock.balances(ITEMS).values()]
    assert in_bags == 30 - sum(each.on_hand for each in left)
    assert {each.promised for each in left} == {0}
    assert check_store(store.place).faults == ()


def test_two_who_enter_the_same_new_item_at_once_both_find_it_entered(store):
    start = threading.Barrier(2)
    lost = []

    def enter(number, items):
        made = Slips(f"r-{number}", AT, "pim")
        start.wait()
        try:
            with store.writing() as work:
                work.stock.move([made.receipt(item, 1, SHELF) for item in items])
                work.commit()
        except Exception as error:  # noqa: BLE001  # whatever it is, it fails the test
            lost.append(error)

    writers = [
        threading.Thread(target=enter, args=(0, ITEMS)),
        threading.Thread(target=enter, args=(1, ITEMS[::-1])),
    ]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert lost == []
    with store.reading() as work:
        balances = work.stock.balances(ITEMS)
    assert balances == {item: {"main": Balance(2, 0)} for item in ITEMS}


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE stock_balance SET promised = 11",
        "UPDATE stock_balance SET on_hand = -1",
        "UPDATE stock_bin SET on_hand = -1",
    ],
)
def test_no_statement_at_all_takes_a_sum_below_zero(store, statement):
    stocked(store)
    with pytest.raises(Exception, match="ck_stock"), store.place.writing() as connection:
        connection.execute(text(statement))


@pytest.mark.parametrize(
    ("statement", "said"),
    [
        ("UPDATE stock_bin SET on_hand = 8", "main A-01: bin off by 1"),
        ("UPDATE stock_bin SET on_hand = 8", "main: on hand off by -1"),
        ("UPDATE stock_balance SET promised = 1", "main: promised in all off by 1"),
        ("UPDATE stock_bag SET promised = 1", "main bag-1: promised off by 1"),
        ("UPDATE stock_bag SET picked = 3", "main bag-1: picked off by -2"),
        ("UPDATE stock_movement SET packs = 4 WHERE kind = 'receipt'", "main A-01: bin off by -6"),
        ("UPDATE stock_movement SET packs = 9 WHERE kind = 'receipt'", "main A-01: bin off by -1"),
    ],
)
def test_the_check_finds_a_sum_that_is_not_its_movements(store, statement, said):
    stocked(store)
    made = Slips("k", AT, "pim")
    with store.writing() as work:
        work.stock.move([made.reserve(ITEM, 3, "main", "bag-1")])
        work.stock.move([made.pick(ITEM, 1, SHELF, "bag-1")])
        work.commit()
    assert check_store(store.place).faults == ()
    without_guards(store, "stock_movement", statement)
    found = [(fault.code, fault.what) for fault in check_store(store.place).faults]
    assert ("stock-differs", f"Averlund A-1, {said}") in found
