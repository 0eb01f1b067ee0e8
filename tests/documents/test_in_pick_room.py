"""Papers of an order that was released: what is packed or gone is not picked again, and no bag that
is whole says that it waits, whatever the shelf of the quote's day had."""

import re
from collections import Counter
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.support.customer_words import words_of
from tests.support.fake_store import FakeStore
from tests.support.house import RULES, opening, shelf
from tests.support.jobs import by, furnished
from tests.support.offers import offered
from tests.support.pick_room import accepted_quote, pack

from wholekit.documents.fill_labels import labels_as_released, labels_paper
from wholekit.documents.fill_pick import pick_list_paper
from wholekit.documents.fill_slip import packing_slip_paper
from wholekit.documents.make_flow import make_flow
from wholekit.documents.paper_set import KIT_LABELS, PICK_LIST, Ordered
from wholekit.domain.openings import Mount, Opening
from wholekit.domain.orders import DONE, BagState, bags_of
from wholekit.domain.orders.in_room import InRoom, StandIn
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import Person, PersonRole
from wholekit.domain.quotes.offer import OfferExtra
from wholekit.domain.tax import LineKind
from wholekit.services import waves
from wholekit.services.allocating import allocate_stock
from wholekit.services.customers import set_person
from wholekit.services.orders import ToldRelease, cancel_order, release_order, show_order
from wholekit.services.quote_papers import order_shown
from wholekit.services.shipping import ship_bags
from wholekit.services.stock import ToldItem, ToldPlace, adjust_stock
from wholekit.settings import bundled

DAY = date(2026, 12, 4)
TEMPLATES = bundled("templates")


def two_kinds():
    kinds = [
        opening("3070", mount=Mount.REGULAR, weight="100 lb"),
        opening("3670", mount=Mount.PARALLEL, weight="150 lb"),
    ]
    rows = [Opening(f"10{at}", kinds[at % 2], many) for at, many in enumerate((3, 2, 1, 4), 1)]
    return offered(rows, shelf("tarrowby")).offer


OFFER = replace(two_kinds(), quote="Q-00007", revision=2)
BAGS = tuple(bag for _, bags in bags_of(OFFER, "order", 7) for bag in bags)
STATES = st.sampled_from([*BagState])
# Often the same for all.
FEW_STATES = st.sets(STATES, min_size=1, max_size=2).flatmap(
    lambda some: st.lists(st.sampled_from(sorted(some)), min_size=len(BAGS), max_size=len(BAGS))
)


def test_the_sample_order_has_bags_of_every_opening():
    assert Counter(bag.mark for bag in BAGS) == {"101": 3, "102": 2, "103": 1, "104": 4}


@settings(max_examples=40)
@given(st.lists(STATES, min_size=len(BAGS), max_size=len(BAGS)), st.integers(0, 3))
def test_the_list_is_of_what_is_left_with_the_numbers_of_its_bags(states, unreleased):
    bags = [
        replace(bag, state=state)
        for bag, state in zip(BAGS, states, strict=True)
        if bag.place != unreleased
    ]
    room = InRoom.of(DAY, bags)
    standing = [bag for bag in bags if bag.state is not BagState.CANCELLED]
    left = [bag for bag in standing if bag.state not in DONE]
    paper = pick_list_paper(OFFER, in_room=room)
    listed = {(one.mark, number, one.waits) for one in paper.openings for number in one.numbers}
    assert listed == {(bag.mark, bag.number, bag.state is BagState.WAITING) for bag in left}
    assert paper.bags == len(left)
    assert all(len(one.numbers) == one.bags for one in paper.openings)
    wanted = Counter[str]()
    for bag in left:
        if bag.state is not BagState.WAITING:
            wanted.update({sku: packs for (_, sku), packs in bag.needs})
    assert {one.sku: one.take for one in paper.walk if one.take} == +wanted
    told = paper.in_hand
    assert told is not None
    assert (told.bags, told.packed, told.shipped) == (
        len(standing),
        states_of(standing)[BagState.CLOSED],
        states_of(standing)[BagState.SHIPPED],
    )
    # A waiting bag has nothing promised; every other one is whole on its label and on the slip.
    there = {(bag.mark, bag.number): bag for bag in standing}
    for label in labels_as_released(labels_paper(OFFER, issued=OFFER), room).labels:
        now = there.get((label.mark, label.bag))
        if now is not None:
            assert label.waits is (now.state is BagState.WAITING)
            assert label.bag_id == now.id
    whole = Counter(bag.mark for bag in standing if bag.state is not BagState.WAITING)
    for kit in packing_slip_paper(OFFER, in_room=room).kits:
        for mark in kit.marks:
            assert mark.waits == mark.bags - whole[mark.mark]


# What may stand in, of one of which nothing is known.
STAND_INS = {("Other", "X-1"): StandIn("a body in its place", "690", "Z-9"), ("Other", "X-2"): None}


@settings(max_examples=40)
@given(
    st.lists(STATES, min_size=len(BAGS), max_size=len(BAGS)),
    st.lists(st.integers(0, 3), min_size=len(BAGS), max_size=len(BAGS)),
    st.integers(0, 2),
)
def test_walk_and_bags_name_what_is_really_taken_where_an_item_stands_in(states, exchanged, line):
    """Nobody is sent for a quoted item that the wave no longer takes."""
    bags = [
        with_stand_in(replace(bag, state=state), which, line)
        for bag, state, which in zip(BAGS, states, exchanged, strict=True)
    ]
    known = {key: ware for key, ware in STAND_INS.items() if ware}
    paper = pick_list_paper(OFFER, in_room=InRoom.of(DAY, bags, known))
    left = [bag for bag in bags if bag.state not in (*DONE, BagState.CANCELLED)]
    listed = {
        (one.mark, number): {line.sku: line.each for line in one.lines}
        for one in paper.openings
        for number in one.numbers
    }
    assert listed == {
        (bag.mark, bag.number): {sku: packs for (_, sku), packs in bag.needs} for bag in left
    }
    taken, short = Counter[str](), Counter[str]()
    for bag in left:
        into = short if bag.state is BagState.WAITING else taken
        into.update({sku: packs for (_, sku), packs in bag.needs})
    assert {one.sku: one.take for one in paper.walk if one.take} == taken
    assert {one.sku: one.short for one in paper.walk if one.short} == short
    assert all(sum(packs for _, packs in one.split) == one.take for one in paper.walk)
    walked = {one.sku: (one.description, one.finish, one.bin) for one in paper.walk}
    assert walked.get("X-1", ("a body in its place", "690", "Z-9")) == (
        "a body in its place",
        "690",
        "Z-9",
    )
    assert make_flow(paper, TEMPLATES).blocks


@settings(max_examples=40)
@given(
    st.lists(STATES, min_size=len(BAGS), max_size=len(BAGS)),
    st.lists(st.integers(0, 3), min_size=len(BAGS), max_size=len(BAGS)),
    st.integers(0, 2),
)
def test_the_slip_names_what_is_really_in_the_bags_and_what_it_stands_in_for(
    states, exchanged, line
):
    bags = [
        with_stand_in(replace(bag, state=state), which, line)
        for bag, state, which in zip(BAGS, states, exchanged, strict=True)
    ]
    known = {key: ware for key, ware in STAND_INS.items() if ware}
    paper = packing_slip_paper(OFFER, in_room=InRoom.of(DAY, bags, known))
    quoted = {bag.mark: dict(bag.needs) for bag in BAGS}
    # A bag that was cancelled is as it was quoted.
    wanted = Counter[tuple[str, frozenset[tuple[str, int]]]]()
    for old, bag in zip(BAGS, bags, strict=True):
        needs = (old if bag.state is BagState.CANCELLED else bag).needs
        wanted[bag.mark, frozenset((sku, packs) for (_, sku), packs in needs)] += 1
    told = Counter[tuple[str, frozenset[tuple[str, int]]]]()
    for kit in paper.kits:
        holds = Counter[str]()
        for each in kit.lines:
            holds[each.sku] += each.each
        for mark in kit.marks:
            told[mark.mark, frozenset(holds.items())] += mark.bags
            skus = {sku for _, sku in quoted[mark.mark]}
            for each in kit.lines:
                # An item that was not ordered is told with the one in whose place it is.
                assert each.sku in skus or each.instead in skus - {*holds}
                assert not each.instead or each.instead not in holds
                assert bool(each.of_each) == bool(each.instead and each.sku in skus)
    assert told == wanted
    assert paper.bags == len(BAGS)
    assert make_flow(paper, TEMPLATES).blocks


def with_stand_in(bag, which, line):
    """A bag with another item in place of one of its own; 0: as it was released."""
    if not which:
        return bag
    at = line % len(bag.needs)
    (_, packs), others = bag.needs[at], (*bag.needs[:at], *bag.needs[at + 1 :])
    if which < 3:
        return replace(bag, needs=(*others, (("Other", f"X-{which}"), packs)))
    (first, more), *rest = others
    return replace(bag, needs=((first, more + packs), *rest))


@settings(max_examples=40)
@given(FEW_STATES, st.integers(0, 4))
def test_goods_beside_the_kits_are_listed_until_the_last_bag_has_left(states, unreleased):
    hinge = OfferExtra(LineKind.HARDWARE, "hinges", 3, Money(100, "USD"), Money(300, "USD"))
    bags = [
        replace(bag, state=state)
        for bag, state in zip(BAGS, states, strict=True)
        if bag.place != unreleased
    ]
    room = InRoom.of(DAY, bags)
    stands = [bag for bag in room.bags if bag.state is not BagState.SHIPPED]
    missing = {one.place for one in OFFER.openings} - {bag.mark for bag in room.bags}
    paper = pick_list_paper(replace(OFFER, extras=(hinge,)), in_room=room)
    assert bool(paper.extras) is bool(stands or missing)


def states_of(bags) -> Counter[BagState]:
    return Counter(bag.state for bag in bags)


@pytest.fixture
def desk():
    house = furnished(FakeStore())
    set_person(house, by("odo"), Person("pia", PersonRole.PICKER))
    return house


def papers_of(desk, label):
    shown = order_shown(desk, by(), label)
    of = Ordered(shown.snapshot, RULES, shown.floor, accepted=shown.accepted, in_room=shown.in_room)
    return of.paper(PICK_LIST), of.paper(KIT_LABELS)


def test_papers_of_a_quote_follow_its_order_from_release_to_the_last_shipment(desk):
    label = accepted_quote(desk, ["101", "102"], "Heron Quay School", 2)
    before, _ = papers_of(desk, label)
    assert before.in_hand is None
    assert before.bags == 4
    release_order(desk, by(), label, ToldRelease(marks=("101",)))
    released, _ = papers_of(desk, label)
    assert released.bags == 2
    assert released.in_hand.not_released == "102"
    said = words_of(make_flow(released, TEMPLATES))
    assert "of 2 bags, 0 packed and still here, 0 shipped" in said
    assert "Not released, so not on this list: 102." in said
    assert all(one.waits for one in released.openings)
    for (_, sku), packs in show_order(desk, by(), label).bags[0].needs:
        there = ToldItem(sku), 2 * packs, ToldPlace()
        adjust_stock(desk, by("odo"), *there, "for the test")
    allocate_stock(desk, by("odo"))
    assert not any(one.waits for one in papers_of(desk, label)[0].openings)
    wave = waves.open_wave(desk, by("pia"))
    first = wave.bags[0][0]
    pack(desk, by("pia"), wave.number, first.id)
    packed, _ = papers_of(desk, label)
    assert [one.numbers for one in packed.openings] == [(2,)]
    assert [one.bags for one in packed.openings] == [1]
    second = wave.bags[1][0]
    pack(desk, by("pia"), wave.number, second.id)
    ship_bags(desk, by("pia"), label)
    gone, labels = papers_of(desk, label)
    assert (gone.bags, gone.walk, gone.in_hand.shipped) == (0, (), 2)
    said = words_of(make_flow(gone, TEMPLATES))
    assert re.search(r"0 packed and still here, 2 shipped\..* Nothing left to pack for 101\.", said)
    assert not [one for one in labels.labels if one.mark == "101" and one.waits]
    # What is cancelled is no order any more: the quote's papers are as quoted again.
    assert show_order(desk, by(), label).bags
    other = accepted_quote(desk, ["201"], "Heron Quay Annex")
    release_order(desk, by(), other, ToldRelease())
    cancel_order(desk, by(), other, "not wanted")
    assert papers_of(desk, other)[0].in_hand is None
