"""Orders before any store: which openings get bags, what serves on, and when bags can be whole."""

from collections import Counter
from copy import deepcopy
from dataclasses import replace
from datetime import date
from fractions import Fraction
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.support.fake_store import FakeStore
from tests.support.house import sample
from tests.support.jobs import a_job, by, frozen, furnished, plain, set_stock

from wholekit.domain.buying import Coming
from wholekit.domain.catalog import Role
from wholekit.domain.orders import (
    BagState,
    Expected,
    LackingBag,
    ReleasedBag,
    ShortItem,
    bags_of,
    expected,
    needs_of,
    revised,
    with_elsewhere,
    without_bag,
)
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import Override, OverrideKind, State
from wholekit.domain.quotes.offer import OfferPiece
from wholekit.domain.tax import LineKind
from wholekit.domain.working_days import WorkingDays
from wholekit.services.job_lines import NewExtra, add_extra
from wholekit.services.job_openings import (
    add_openings,
    clear_override,
    edit_opening,
    override_opening,
    remove_openings,
)
from wholekit.services.jobs import edit_job, set_discount
from wholekit.services.orders import ToldRelease, release_order
from wholekit.services.quote_papers import order_shown
from wholekit.services.quotes import close_quote, issue_quote
from wholekit.services.stock import ToldItem, ToldPlace, adjust_stock, receive_stock, show_stock

WEEK = WorkingDays(frozenset(range(5)))
ASKED = date(2026, 11, 25)  # a Wednesday
A, B = ("maker", "A"), ("maker", "B")


def offer_of(*marks):
    desk = furnished(FakeStore())
    return frozen(issue_quote(desk, by(), a_job(desk, *marks).label).revision).offer


def test_an_opening_that_lacks_a_piece_has_no_bag_and_is_named():
    offer = offer_of("101", "102")
    lacking = replace(offer.kits[0], missing=(OfferPiece(Role.COVER, 1),))
    second = replace(offer.openings[1], kit=len(offer.kits))
    offer = replace(offer, kits=(*offer.kits, lacking), openings=(offer.openings[0], second))
    made = list(bags_of(offer, "order", 1))
    assert [opening.mark for opening, _ in made] == ["101"]
    assert [opening.mark for opening in without_bag(offer)] == ["102"]
    assert made[0][1][0].needs == needs_of(offer.kits[0])


def bag(number, needs, state=BagState.WAITING, mark="101"):
    return ReleasedBag(f"B{number}", "order", mark, 1, number, tuple(sorted(needs.items())), state)


def lacks(number, needs):
    each = bag(number, needs)
    return LackingBag(each, each.needs)


NEEDS = st.dictionaries(st.sampled_from([A, B]), st.integers(1, 2), min_size=1)
BAGS = st.lists(st.tuples(NEEDS, st.sampled_from(list(BagState)), st.sampled_from("12")))


@given(BAGS, BAGS)
def test_a_revision_keeps_what_serves_and_loses_no_bag(old, new):
    there = [bag(n, needs, state, mark) for n, (needs, state, mark) in enumerate(old, 1)]
    asked = [bag(100 + n, needs, mark=mark) for n, (needs, _, mark) in enumerate(new, 1)]
    change = revised(there, asked)
    assert len(change.kept) + len(change.fresh) == len(asked)
    alive = [each for each in there if each.state is not BagState.CANCELLED]
    parts = (*change.kept, *change.dropped, *change.surplus)
    assert sorted(each.id for each in parts) == sorted(each.id for each in alive)
    kinds = [(each.mark, each.needs) for each in asked]
    for each in change.kept:
        kinds.remove((each.mark, each.needs))
    left = {(each.mark, each.needs) for each in (*change.dropped, *change.surplus)}
    assert not left & set(kinds), "what is made anew is there in no bag that is let go"
    assert all(each.state in (BagState.WAITING, BagState.READY) for each in change.dropped)


def test_a_bag_waits_for_what_is_ordered_and_else_for_the_lead_days():
    coming = {A: [Coming(1, date(2026, 12, 1)), Coming(1, date(2026, 11, 20))]}
    bags = [lacks(n, {A: 1}) for n in range(1, 6)]
    found = expected(bags, {A: 1}, coming, {A: 3}, WEEK, ASKED)
    assert [each.day for each in found] == [
        ASKED,  # free
        ASKED,  # was due before
        date(2026, 12, 1),
        date(2026, 11, 30),  # three working days on
        date(2026, 11, 30),
    ]
    assert [len(each.short) for each in found] == [0, 1, 1, 1, 1]
    assert [each.short[0].ordered for each in found[1:]] == [True, True, False, False]
    (unknown,) = expected([lacks(1, {A: 1, B: 1})], {}, {}, {A: 3}, WEEK, ASKED)
    assert unknown.day is None, "nobody states when B can be here"


@given(st.integers(0, 6), st.integers(0, 6), st.integers(1, 6))
def test_more_on_the_shelf_is_never_later(free, more, count):
    bags = [lacks(n, {A: 1}) for n in range(count)]
    few = expected(bags, {A: free}, {}, {A: 3}, WEEK, ASKED)
    many = expected(bags, {A: free + more}, {}, {A: 3}, WEEK, ASKED)
    for late, soon in zip(few, many, strict=True):
        assert late.day is not None
        assert soon.day is not None
        assert late.day >= soon.day
    assert sum(not each.short for each in few) == min(free, count)


ITEMS_THERE = st.dictionaries(st.sampled_from(["C-1", "A-4", "P-2"]), st.integers(0, 6), max_size=3)


@given(
    st.lists(st.tuples(st.sampled_from(["main", "north"]), ITEMS_THERE), min_size=1, max_size=6),
    st.fixed_dictionaries({"main": ITEMS_THERE, "north": ITEMS_THERE, "quay": ITEMS_THERE}),
)
def test_what_lies_elsewhere_is_proposed_once_and_never_from_the_bags_own_branch(bags, spare):
    waits = [
        Expected(
            f"bag {at}",
            None,
            tuple(ShortItem(("maker", sku), packs, None) for sku, packs in lacks.items() if packs),
        )
        for at, (_, lacks) in enumerate(bags)
    ]
    at = {f"bag {number}": branch for number, (branch, _) in enumerate(bags)}
    free = {
        branch: {("maker", sku): packs for sku, packs in items.items()}
        for branch, items in spare.items()
    }
    taken: Counter[tuple[str, str]] = Counter()
    for before, after in zip(waits, with_elsewhere(waits, at, free), strict=True):
        for short, told in zip(before.short, after.short, strict=True):
            assert replace(told, elsewhere=()) == short
            brought = sum(packs for _, packs in told.elsewhere)
            assert brought <= short.packs
            for branch, packs in told.elsewhere:
                assert branch != at[before.bag]
                assert packs > 0
                taken[branch, short.item[1]] += packs
            left = sum(
                items.get(short.item, 0) - taken[branch, short.item[1]]
                for branch, items in free.items()
                if branch != at[before.bag]
            )
            assert brought == short.packs or left == 0, "all that could be brought is told"
    for (branch, sku), packs in taken.items():
        assert packs <= spare[branch][sku]


GOODS = ("TP-B3.689", "TP-B4.689", "T-PS", "TP-AR.689")
CHANGES = {
    "size": lambda desk, job: edit_opening(
        desk, by(), job, "101", lambda _: plain("101", size="3080")
    ),
    "condition": lambda desk, job: edit_opening(
        desk, by(), job, "101", lambda _: plain("101", accessible=True)
    ),
    "count": lambda desk, job: edit_opening(desk, by(), job, "101", lambda _: plain("101", 3)),
    "note": lambda desk, job: edit_opening(
        desk, by(), job, "101", lambda was: replace(was, note="Nurse")
    ),
    "more": lambda desk, job: add_openings(desk, by(), job, [plain("103")]),
    "fewer": lambda desk, job: remove_openings(desk, by(), job, ["102"]),
    "by hand": lambda desk, job: override_opening(
        desk, by(), job, "101", Override(OverrideKind.SIZE, "windy", "", by().at, size=4)
    ),
    "item by hand": lambda desk, job: override_opening(
        desk, by(), job, "101",
        Override(OverrideKind.ITEM, "asked", "", by().at, other_sku="T-PS", quantity=1),
    ),
    "other goods": lambda desk, job: add_extra(
        desk, by(), job, NewExtra(LineKind.HARDWARE, "Hinges", 3, Money(2_600, "USD"))
    ),
    "place": lambda desk, job: edit_job(desk, by(), job, {"site": "Dock 4"}),
}  # fmt: skip


@pytest.mark.parametrize("stock_first", [True, False])
def test_stock_never_makes_a_paper_say_changed_and_what_is_asked_always_does(stock_first):
    desk = furnished(FakeStore())
    set_stock(desk.store, sample("tarrowby"), 4)
    job = a_job(desk, "101", "102").label
    edit_job(desk, by(), job, {"stock_first": stock_first})
    # A price agreed by hand, before and after, is no other order.
    agreed = Override(
        OverrideKind.PRICE, "agreed", "", by().at, sku="T-PS", price=Money(100, "USD")
    )
    override_opening(desk, by("odo"), job, "102", agreed)
    owner = by("odo")
    issue = issue_quote(desk, owner, job)
    assert issue.revision is not None, issue.review.stops
    close_quote(desk, by(), "Q-1", State.ACCEPTED)
    release_order(desk, by(), "Q-1", ToldRelease())
    at_random = Random(stock_first)
    for _ in range(6):
        sku, packs = at_random.choice(GOODS), at_random.randint(1, 4)
        found = show_stock(desk, owner, ToldItem(sku))
        here = next(iter(found.bins.items()), None)
        if here is not None and at_random.random() < 0.6:
            place = ToldPlace(here[0].branch, here[0].bin)
            adjust_stock(desk, owner, ToldItem(sku), -here[1], place, "lost")
        else:
            receive_stock(desk, owner, ToldItem(sku), packs, ToldPlace(bin="S-1"))
        assert not order_shown(desk, by(), "Q-1").changed, "only the shelf is another"
    set_discount(desk, by(), job, Fraction(1, 100), "loyal")
    clear_override(desk, owner, job, "102", OverrideKind.PRICE, "T-PS")
    assert not order_shown(desk, by(), "Q-1").changed, "only the price is another"
    for name, change in CHANGES.items():
        other = replace(desk, store=deepcopy(desk.store))
        change(other, job)
        assert order_shown(other, by(), "Q-1").changed, name
