"""The ledger of stock: one suite, every store."""

from dataclasses import replace
from datetime import timedelta
from itertools import count
from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    rule,
    run_state_machine_as_test,
)
from tests.stock.moves import AT, BAGS, ITEMS, PLACES, movements
from tests.support.databases import ENGINES
from tests.support.fake_store import FakeStore
from tests.support.house import sample
from tests.support.jobs import put_catalog

from wholekit.domain.errors import CallError, ConflictError
from wholekit.domain.stock import (
    MAIN,
    Balance,
    InBag,
    Slips,
    StockPlace,
    Sums,
    deltas_of,
    require_sound,
    sums_of,
)
from wholekit.services.paging import Page
from wholekit.services.stock_port import Branch, StockFilter

ITEM = ITEMS[0]
SHELF = PLACES[1]
ALL = Page(0, 1_000)
_NUMBERS = count(1)


def slips(key=None):
    return Slips(key or f"deed-{next(_NUMBERS)}", AT, "pim")


def moved(store, *made):
    with store.writing() as uow:
        new = uow.stock.move(made)
        uow.commit()
    return new


def asked(store, ask):
    with store.reading() as uow:
        return ask(uow.stock)


@pytest.fixture
def stocked(store):
    """Ten on a shelf, four of them promised to two bags."""
    made = slips("start")
    moved(
        store,
        made.receipt(ITEM, 10, SHELF),
        made.reserve(ITEM, 3, "main", "bag-1"),
        made.reserve(ITEM, 1, "main", "bag-2"),
    )
    return store


def test_what_is_promised_is_not_free_and_what_is_picked_is_neither(stocked):
    moved(stocked, slips().pick(ITEM, 2, SHELF, "bag-1"))
    assert asked(stocked, lambda stock: stock.balances([ITEM])) == {ITEM: {"main": Balance(8, 2)}}
    assert asked(stocked, lambda stock: stock.free([ITEM, ITEMS[1]])) == {ITEM: 6}
    assert asked(stocked, lambda stock: stock.free([ITEM], "north")) == {ITEM: 0}
    assert asked(stocked, lambda stock: stock.bins_of([ITEM])) == {ITEM: {SHELF: 8}}
    assert asked(stocked, lambda stock: stock.bags(BAGS)) == {
        "bag-1": {(ITEM, "main"): InBag(1, 2)},
        "bag-2": {(ITEM, "main"): InBag(1, 0)},
    }


@pytest.mark.parametrize(
    ("made", "code"),
    [
        (lambda one: one.reserve(ITEM, 7, "main", "bag-3"), "stock-short"),
        (lambda one: one.scrap(ITEM, 7, SHELF, "bent"), "stock-short"),
        (lambda one: one.transfer(ITEM, 7, SHELF, PLACES[2]), "stock-short"),
        (lambda one: one.adjust(ITEM, -11, SHELF, "gone"), "bin-short"),
        (lambda one: one.scrap(ITEM, 1, PLACES[0], "bent"), "bin-short"),
        (lambda one: one.pick(ITEM, 4, SHELF, "bag-1"), "promise-short"),
        (lambda one: one.unreserve(ITEM, 2, "main", "bag-2"), "promise-short"),
        (lambda one: one.unpick(ITEM, 1, SHELF, "bag-1"), "bag-short"),
        (lambda one: one.ship(ITEM, 1, "main", "bag-1"), "bag-short"),
        (lambda one: one.reserve(ITEMS[1], 1, "main", "bag-1"), "stock-short"),
    ],
)
def test_what_would_fall_below_zero_is_refused_and_nothing_of_it_is_written(stocked, made, code):
    before = asked(stocked, lambda stock: (stock.balances(ITEMS), stock.history(ALL)))
    with pytest.raises(CallError) as refused, stocked.writing() as uow:
        uow.stock.move([slips().receipt(ITEM, 1, PLACES[2]), made(slips())])
    assert refused.value.code == code
    assert asked(stocked, lambda stock: (stock.balances(ITEMS), stock.history(ALL))) == before


def test_a_refused_deed_leaves_the_unit_of_work_as_it_was(stocked):
    with stocked.writing() as uow:
        with pytest.raises(CallError, match="stock-short"):
            uow.stock.move([slips().scrap(ITEM, 7, SHELF, "bent")])
        uow.stock.move([slips().scrap(ITEM, 1, SHELF, "bent")])
        uow.commit()
    assert asked(stocked, lambda stock: stock.free([ITEM])) == {ITEM: 5}


def test_movements_are_judged_by_what_they_come_to_together(stocked):
    made = slips()
    moved(stocked, made.count(ITEM, -8, SHELF), made.unreserve(ITEM, 2, "main", "bag-1", "counted"))
    assert asked(stocked, lambda stock: stock.balances([ITEM]))[ITEM]["main"] == Balance(2, 2)


def test_the_same_movement_sent_twice_counts_once(stocked):
    first = slips("scan-1").pick(ITEM, 1, SHELF, "bag-1")
    assert moved(stocked, first) == (first,)
    again = replace(first, at=AT + timedelta(milliseconds=40))
    other = slips().receipt(ITEM, 1, SHELF)
    assert moved(stocked, again, other, other) == (other,)
    assert asked(stocked, lambda stock: stock.bags(["bag-1"]))["bag-1"][ITEM, "main"].picked == 1
    assert asked(stocked, lambda stock: stock.history(ALL, bag="bag-1"))[1] == 2
    with pytest.raises(ConflictError, match="movement-differs"):
        moved(stocked, replace(first, packs=2))


def test_the_latest_promise_is_told_first_whatever_the_clock_says(stocked):
    early = replace(slips().reserve(ITEM, 1, "main", "bag-1"), at=AT - timedelta(days=2))
    latest = asked(stocked, lambda stock: stock.latest_promises(ITEM, "main"))
    assert latest == [("bag-2", 1), ("bag-1", 3)]
    moved(stocked, early)
    moved(stocked, slips().pick(ITEM, 1, SHELF, "bag-2"))
    moved(stocked, slips().unpick(ITEM, 1, SHELF, "bag-2"))
    latest = asked(stocked, lambda stock: stock.latest_promises(ITEM, "main"))
    assert latest == [("bag-1", 4), ("bag-2", 1)]


def test_history_tells_of_an_item_or_a_bag_the_latest_first_page_by_page(stocked):
    last = slips().pick(ITEM, 1, SHELF, "bag-1")
    moved(stocked, last, slips().receipt(ITEMS[1], 2, SHELF))
    found, total = asked(stocked, lambda stock: stock.history(Page(0, 2), item=ITEM))
    assert (found[0], total) == (last, 4)
    assert [one.packs for one in found] == [1, 1]
    rest, _ = asked(stocked, lambda stock: stock.history(Page(2, 2), item=ITEM))
    assert [one.packs for one in rest] == [3, 10]
    of_bag, total = asked(stocked, lambda stock: stock.history(ALL, bag="bag-1"))
    assert ([one.kind for one in of_bag], total) == (["pick", "reserve"], 2)
    assert asked(stocked, lambda stock: stock.history(ALL))[1] == 5


def test_the_list_is_by_sku_and_found_by_branch_bin_text_and_what_is_short(stocked):
    made = slips()
    moved(stocked, made.receipt(ITEMS[2], 1, PLACES[2]), made.receipt(ITEMS[1], 4, PLACES[0]))

    def listed(**wanted):
        rows, total = asked(stocked, lambda stock: stock.page(StockFilter(**wanted), ALL))
        assert len(rows) == total
        return [(row.item, row.branch, row.balance.free, row.bins) for row in rows]

    north, none = (ITEMS[2], "north", 1, (("A-01", 1),)), (ITEMS[2], "main", 0, ())
    first = (ITEM, "main", 6, (("A-01", 10),))
    assert listed() == [first, none, north, (ITEMS[1], "main", 4, (("", 4),))]
    assert listed(branch="north") == [north]
    assert listed(bin="A-01") == [first, north]
    assert listed(text="a-") == [first, none, north]
    assert listed(text="%") == []
    assert listed(short=True) == [none]
    rows, total = asked(stocked, lambda stock: stock.page(StockFilter(), Page(1, 2)))
    assert ([row.branch for row in rows], total) == (["main", "north"], 4)
    assert asked(stocked, lambda stock: stock.of_sku("A-1")) == [(ITEM, ""), (ITEMS[2], "")]


def test_the_stamp_changes_with_every_balance_and_with_nothing_else(stocked):
    seen = [asked(stocked, lambda stock: stock.stamp())]
    for made in (
        slips().reserve(ITEM, 1, "main", "bag-1"),
        slips().unreserve(ITEM, 1, "main", "bag-1"),
        slips().receipt(ITEMS[1], 1, SHELF),
    ):
        moved(stocked, made)
        seen.append(asked(stocked, lambda stock: stock.stamp()))
    assert len(set(seen)) == 4
    moved(stocked, slips("start").receipt(ITEM, 10, SHELF))
    assert asked(stocked, lambda stock: stock.stamp()) == seen[-1]
    assert asked(stocked, lambda stock: stock.every_free()) == {ITEM: 6, ITEMS[1]: 1}


def test_a_branch_is_entered_once_and_the_main_one_is_always_there(store):
    with store.writing() as uow:
        uow.stock.add_branch(Branch("north", "North yard"))
        uow.commit()
    assert [each.code for each in asked(store, lambda stock: stock.branches())] == [MAIN, "north"]
    for code in (MAIN, "north"):
        with pytest.raises(ConflictError, match="branch-taken"), store.writing() as uow:
            uow.stock.add_branch(Branch(code, "Another"))


def test_the_first_book_opens_the_stock_of_an_item_and_no_later_one_adds_to_it(store):
    book = sample("tarrowby")
    items = {(item.supplier, item.sku): item for item in book.items}
    put_catalog(store, book)
    opened = asked(store, lambda stock: stock.free(list(items)))
    assert opened == {key: book.counts.get(key[1], 0) for key in items}
    assert 0 in opened.values()
    key, item = next(each for each in items.items() if book.counts.get(each[0][1], 0) > 1)
    assert asked(store, lambda stock: stock.bins_of([key])) == {
        key: {StockPlace(MAIN, item.bin): book.counts[item.sku]}
    }
    (first,), _ = asked(store, lambda stock: stock.history(ALL, item=key))
    assert (first.kind, first.who) == ("opening", "odo")
    moved(store, slips().scrap(key, 1, StockPlace(MAIN, item.bin), "bent"))
    more = replace(
        book,
        items=tuple(replace(each, description="Renamed") for each in book.items[:-1]),
        counts={each.sku: 50 for each in book.items},
    )
    put_catalog(store, more)
    assert asked(store, lambda stock: stock.free(list(items))) == {**opened, key: opened[key] - 1}
    assert asked(store, lambda stock: stock.of_sku(key[1])) == [(key, "Renamed")]


class _Machine(RuleBasedStateMachine):
    """Movements at random, some of them sent again, against a plain list of them."""

    made: Any = None

    @initialize()
    def start(self):
        self.store = type(self).made()
        self.kept = []

    def _judged(self, one):
        sums = sums_of(self.kept)
        try:
            require_sound(sums, deltas_of([one]))
        except CallError as error:
            return error.code
        return None

    @rule(one=movements(most=4))
    def moves(self, one):
        wanted = self._judged(one)
        try:
            assert moved(self.store, one) == (one,)
            found = None
        except CallError as error:
            found = error.code
        assert found == wanted
        if wanted is None:
            self.kept.append(one)

    @rule(item=st.sampled_from(ITEMS), place=st.sampled_from(PLACES), packs=st.integers(1, 5))
    def receives(self, item, place, packs):
        one = slips().receipt(item, packs, place)
        moved(self.store, one)
        self.kept.append(one)

    @rule(data=st.data())
    def picks_what_was_promised(self, data):
        item, place = data.draw(st.sampled_from(ITEMS)), data.draw(st.sampled_from(PLACES))
        self.moves_all(
            (one := slips()).reserve(item, 1, place.branch, BAGS[0]),
            one.pick(item, 1, place, BAGS[0]),
        )

    def moves_all(self, *made):
        try:
            require_sound(sums_of(self.kept), deltas_of(made))
        except CallError:
            with pytest.raises(CallError):
                moved(self.store, *made)
            return
        assert moved(self.store, *made) == made
        self.kept += made

    @rule(data=st.data())
    def sends_again(self, data):
        if self.kept:
            assert moved(self.store, data.draw(st.sampled_from(self.kept))) == ()

    @rule()
    def holds(self):
        sums = sums_of(self.kept)
        with self.store.reading() as uow:
            assert _kept(uow.stock) == _nothing_left_out(sums)
            assert uow.stock.history(ALL)[0] == self.kept[::-1]
            free = uow.stock.free(ITEMS)
            assert uow.stock.every_free() == {item: packs for item, packs in free.items() if packs}

    def teardown(self):
        if hasattr(self, "store"):
            self.holds()
            getattr(self.store, "close", lambda: None)()


def _kept(stock):
    branches = {
        (item, branch): balance
        for item, of_item in stock.balances(ITEMS).items()
        for branch, balance in of_item.items()
        if balance != Balance()
    }
    bins = {
        (item, place.branch, place.bin): packs
        for item, places in stock.bins_of(ITEMS).items()
        for place, packs in places.items()
    }
    bags = {
        (item, branch, bag): held
        for bag, of_bag in stock.bags(BAGS).items()
        for (item, branch), held in of_bag.items()
    }
    return Sums(branches, bins, bags)


def _nothing_left_out(sums):
    return Sums(
        {key: each for key, each in sums.branches.items() if each != Balance()},
        {key: packs for key, packs in sums.bins.items() if packs},
        {key: held for key, held in sums.bags.items() if held != InBag()},
    )


@pytest.mark.parametrize(
    ("name", "runs", "steps"), [("fake", 12, 40), ("sqlite", 12, 40), ("postgresql", 4, 25)]
)
def test_no_order_of_movements_makes_the_sums_differ_from_a_plain_list(
    name, runs, steps, tmp_path_factory
):

    def made():
        return FakeStore() if name == "fake" else ENGINES[name](tmp_path_factory.mktemp("stock"))

    machine = type("Machine", (_Machine,), {"made": staticmethod(made)})
    run_state_machine_as_test(
        machine, settings=settings(max_examples=runs, stateful_step_count=steps, deadline=None)
    )
