"""Orders of the pick room on every store: released, promised, picked by scan, shipped."""

# mypy: disable-error-code="union-attr"

from collections import Counter
from dataclasses import replace

import pytest
from tests.support.jobs import a_job, by, plain

from wholekit.documents.fill_shipment import shipment_paper
from wholekit.documents.make_flow import make_flow
from wholekit.documents.packing_slip import SentBefore, SlipShipment
from wholekit.domain.errors import CallError
from wholekit.domain.orders import BagState, ShipWay
from wholekit.domain.picking import BagTurnedTo, ScanCounted, ScanRefused, kit_check
from wholekit.domain.quotes import Acceptance, Person, PersonRole, State
from wholekit.domain.walk import Stretch, Walk
from wholekit.services import buying, picks, shorts, substitutions, unpacking, waves
from wholekit.services.allocating import allocate_stock, take_promise
from wholekit.services.approvals import review_job
from wholekit.services.customers import set_person
from wholekit.services.job_openings import add_openings, edit_opening, remove_openings
from wholekit.services.jobs import list_jobs
from wholekit.services.order_port import BagFilter, OrderFilter
from wholekit.services.orders import (
    ToldRelease,
    cancel_order,
    list_orders,
    release_order,
    show_order,
)
from wholekit.services.paging import Page
from wholekit.services.ports import JobFilter
from wholekit.services.quotes import close_quote, issue_quote
from wholekit.services.shipping import Leaving, list_shipments, ship_bags, shipment_shown
from wholekit.services.stock import ToldItem, ToldPlace, adjust_stock, receive_stock, show_stock
from wholekit.settings import bundled


def accepted(desk, *marks, name="Heron Quay School"):
    """An accepted quote over openings alike."""
    job = a_job(desk, *marks, name=name)
    label = issued(desk, job.label)
    close_quote(desk, by(), label, State.ACCEPTED, acceptance=Acceptance((), "PO-1", by().day))
    return label


def issued(desk, job):
    issue = issue_quote(desk, by(), job)
    assert issue.revision is not None, issue.review
    return issue.revision.label


def set_free(desk, sku, packs):
    """Bring the free stock of an item to so many packs."""
    found = show_stock(desk, by("odo"), ToldItem(sku))
    place = next(iter(found.bins), None)
    there = sum(balance.free for balance in found.balances.values())
    where = ToldPlace(place.branch, place.bin) if place else ToldPlace()
    if packs != there:
        # Not received: goods that come in are promised to whoever waits at once.
        adjust_stock(desk, by("odo"), ToldItem(sku), packs - there, where, "for the test")


def needs_of_order(standing):
    return [dict(bag.needs) for bag in standing.bags]


def enough(desk, label):
    """Free stock for exactly the bags of one release, and the standing of it."""
    standing = release_order(desk, by(), label, ToldRelease())
    for item, packs in standing.bags[0].needs:
        set_free(desk, item[1], packs * len(standing.bags))
    allocate_stock(desk, by("odo"))
    return show_order(desk, by(), label)


def states(standing):
    return Counter(bag.state for bag in standing.bags)


def sums(desk):
    with desk.store.reading() as uow:
        bags = uow.orders.bags(BagFilter())
        held = uow.stock.bags([bag.id for bag in bags])
    return bags, held


def pick_whole(desk, wave, bag_id):
    """Scan a bag and all that goes into it, and close it."""
    turned = picks.scan(desk, by("pia"), wave, bag_id)
    assert isinstance(turned.answer, BagTurnedTo), turned.answer
    bag = turned.bag
    while bag.remaining:
        line = bag.remaining[0]
        done = picks.scan(desk, by("pia"), wave, f"{line.packs}*{line.ware.sku}", into=bag_id)
        assert isinstance(done.answer, ScanCounted), done.answer
        bag = done.bag
    done = picks.close_bag(desk, by("pia"), bag_id)
    assert not done.refused, done.answer
    return done.bag


@pytest.fixture(autouse=True)
def picker(desk):
    set_person(desk, by("odo"), Person("pia", PersonRole.PICKER))


def test_only_what_was_accepted_goes_to_the_pick_room(desk):
    job = a_job(desk, "101")
    label = issued(desk, job.label)
    with pytest.raises(CallError) as refused:
        release_order(desk, by(), label, ToldRelease())
    assert refused.value.code == "release-not-accepted"
    with pytest.raises(CallError) as refused:
        release_order(desk, by("pia"), label, ToldRelease())
    assert refused.value.code == "right-needed"


def test_a_release_promises_whole_kits_or_nothing(desk):
    label = accepted(desk, "101", "102", "103")
    standing = enough(desk, label)
    assert states(standing) == {BagState.READY: 3}
    bags, held = sums(desk)
    for bag in bags:
        assert {item: each.promised for (item, _), each in held[bag.id].items()} == dict(bag.needs)
    again = release_order(desk, by(), label, ToldRelease())
    assert states(again) == {BagState.READY: 3}, "released again nothing is promised twice"
    rows, count = list_orders(desk, by("pia"), OrderFilter(), Page())
    assert count == 1
    assert rows[0].bags == {BagState.READY: 3}


def test_two_orders_never_count_one_piece_and_a_receipt_completes_the_second(desk):
    first, second = accepted(desk, "1"), accepted(desk, "2", name="Dockside Clinic")
    standing = enough(desk, first)
    for item, _ in standing.bags[0].needs:
        set_free(desk, item[1], 0)
    other = release_order(desk, by(), second, ToldRelease())
    assert states(other) == {BagState.WAITING: 1}
    assert {each.item for each in other.expected[0].short} == {
        item for item, _ in other.bags[0].needs
    }
    _, held = sums(desk)
    assert other.bags[0].id not in held, "a bag that waits locks nothing away"
    for item, packs in other.bags[0].needs:
        set_free(desk, item[1], packs)
    told = allocate_stock(desk, by("odo"), dry_run=True)
    assert [bag.id for bag in told.ready] == [other.bags[0].id]
    assert states(show_order(desk, by(), second)) == {BagState.WAITING: 1}, "nothing moved"
    item, packs = other.bags[0].needs[0]
    set_free(desk, item[1], packs - 1)
    received = receive_stock(desk, by("pia"), ToldItem(item[1]), 1, ToldPlace(bin="Z-1"))
    assert received.completed == (other.bags[0].id,), "a receipt completes who waits, and says so"
    assert states(show_order(desk, by(), second)) == {BagState.READY: 1}


def test_a_wave_is_picked_by_scan_with_wrong_scans_refused_and_shipped(desk):
    label = accepted(desk, "101", "102")
    enough(desk, label)
    wave = waves.open_wave(desk, by("pia"))
    assert len(wave.bags) == 2
    assert sum(stop.packs for stop in wave.walk.stops) == sum(
        packs for row, _ in wave.bags for _, packs in row.needs
    )
    with pytest.raises(CallError) as refused:
        waves.open_wave(desk, by("pia"))
    assert refused.value.code == "wave-nothing-ready", "two pickers never get one piece"
    first, second = (row.id for row, _ in wave.bags)
    code = wave.bags[0][1].remaining[0].ware.sku
    assert picks.scan(desk, by("pia"), wave.number, code).answer.code == "scan-no-bag"
    picks.scan(desk, by("pia"), wave.number, first)
    wrong = picks.scan(desk, by("pia"), wave.number, "NO-SUCH", into=first)
    assert isinstance(wrong.answer, ScanRefused)
    one = picks.scan(desk, by("pia"), wave.number, code, "scan-1", first)
    same = picks.scan(desk, by("pia"), wave.number, code, "scan-1", first)
    assert one.answer.left == same.answer.left, "sent twice, counted once"
    assert same.answer.again
    assert picks.close_bag(desk, by("pia"), first).answer.code == "close-items-left"
    undone = picks.undo_last(desk, by("pia"), first)
    assert not undone.bag.packs_in
    pick_whole(desk, wave.number, first)
    pick_whole(desk, wave.number, second)
    row, _, packed = picks.bag_shown(desk, by("pia"), first)
    assert row.state is BagState.CLOSED
    assert {line.item: line.packs for line in packed.lines} == dict(row.needs)
    assert packed.closed.who == "pia"
    shut = picks.scan(desk, by("pia"), wave.number, code, into=first)
    assert shut.answer.code == "bag-closed"
    part = ship_bags(desk, by("pia"), label, [first], Leaving(reference="W-9"))
    assert [bag.id for bag in part.remaining] == [second]
    rest = ship_bags(desk, by("pia"), label)
    assert not rest.remaining
    assert len(list_shipments(desk, by("pia"), label)[1]) == 2
    with pytest.raises(CallError) as refused:
        ship_bags(desk, by("pia"), label)
    assert refused.value.code == "ship-nothing-closed"
    _, held = sums(desk)
    assert all(not any(map(bool, (each.promised, each.picked))) for items in held.values()
               for each in items.values())  # fmt: skip


def test_a_packing_slip_is_of_just_its_shipment_and_the_same_whenever_it_is_made(desk):
    job = a_job(desk, "101", "102", name="Part by part")
    add_openings(desk, by(), job.label, [replace(plain("103"), quantity=2)])
    label = issued(desk, job.label)
    close_quote(desk, by(), label, State.ACCEPTED, acceptance=Acceptance((), "PO-7", by().day))
    enough(desk, label)
    set_free(desk, "T-PS-P25", 1)
    wave = waves.open_wave(desk, by("pia"))
    bags = {row.mark: row.id for row, _ in wave.bags}
    picks.scan(desk, by("pia"), wave.number, bags["102"])
    given = substitutions.substitute_item(
        desk, by("pia"), bags["102"], "T-PS", "T-PS-P25", "none left"
    )
    assert not given.refused
    for row, _ in wave.bags:
        pick_whole(desk, wave.number, row.id)
    one_of_103 = next(row.id for row, _ in wave.bags if row.mark == "103")
    way = Leaving(ShipWay.WILL_CALL, "W-9", "Ola")
    first = ship_bags(desk, by("pia"), label, [bags["102"], one_of_103], way).shipment
    slip = shipment_paper(shipment_shown(desk, by("pia"), first.label))
    assert {mark.mark: mark.ids for kit in slip.kits for mark in kit.marks} == {
        "102": (bags["102"],), "103": (one_of_103,),
    }  # fmt: skip
    held = Counter[str]()
    for bag in (bags["102"], one_of_103):
        held.update(
            {line.item[1]: line.packs for line in picks.bag_shown(desk, by(), bag)[2].lines}
        )
    told = Counter[str]()
    for kit in slip.kits:
        told.update({line.sku: line.quantity for line in kit.lines})
    assert told == held, "what was scanned, not what was planned"
    instead = [(x.sku, x.instead) for kit in slip.kits for x in kit.lines if x.instead]
    assert instead == [("T-PS-P25", "T-PS")]
    assert [(each.places, each.bags) for each in slip.later] == [("101, 103", 2)]
    assert (slip.order, slip.bags, slip.part) == ("PO-7", 2, True)
    assert slip.shipment == SlipShipment(first.label, by().day, True, "W-9", "Ola")
    rest = ship_bags(desk, by("pia"), label).shipment
    last = shipment_paper(shipment_shown(desk, by("pia"), f"{rest.number}"))
    assert not last.later
    assert last.shipment.before == (SentBefore(first.label, "102, 103", 2),)
    assert [mark.mark for kit in last.kits for mark in kit.marks] == ["101", "103"]
    again = shipment_paper(shipment_shown(desk, by("pia"), first.label.lower()))
    assert again == slip, "whatever has left since"
    html = "".join(block.html for block in make_flow(slip, bundled("templates")).blocks)
    for said in (first.label, "Still to come:", "in place of T-PS", one_of_103, "Called for"):
        assert said in html
    assert "$" not in html
    # The shelf is empty; what has left wants nothing of it any more.
    for item, _ in picks.bag_shown(desk, by(), one_of_103)[0].needs:
        set_free(desk, item[1], 0)
    ready = review_job(desk, by("odo"), job.label).workup.base_ready()
    assert (ready.kits, ready.today) == (4, 4)
    edit_opening(desk, by(), job.label, "102", lambda _: plain("102", size="3080"))
    ready = review_job(desk, by("odo"), job.label).workup.base_ready()
    assert (ready.kits, ready.today) == (4, 3), "an opening that was changed does"
    edit_opening(desk, by(), job.label, "102", lambda _: plain("102"))
    # A newer revision goes on with the order: what had left is still told with it.
    add_openings(desk, by(), job.label, [plain("201")])
    newer = issued(desk, job.label)
    close_quote(desk, by(), newer, State.ACCEPTED, acceptance=Acceptance((), "PO-8", by().day))
    now = release_order(desk, by(), newer, ToldRelease())
    assert not now.surplus, "what stood in serves on"
    assert Counter(bag.state for bag in now.bags) == {BagState.SHIPPED: 4, BagState.WAITING: 1}
    assert shipment_paper(shipment_shown(desk, by(), first.label)) == slip
    assert [each.label for each, _ in list_shipments(desk, by(), newer)[1]] == [
        first.label, rest.label,
    ]  # fmt: skip
    for wrong in ("S-99", "", "S-", "S-99999999999999999999", "x"):
        with pytest.raises(CallError) as refused:
            shipment_shown(desk, by(), wrong)
        assert refused.value.code == "shipment-unknown"


def test_a_bag_that_was_left_is_gone_on_with_by_its_label_and_by_a_new_wave(desk):
    label = accepted(desk, "101", "102")
    enough(desk, label)
    wave = waves.open_wave(desk, by("pia"), most=1)
    bag = wave.bags[0][0].id
    picks.scan(desk, by("pia"), wave.number, bag)
    picks.leave_bag(desk, by("pia"), bag, "lunch")
    assert not waves.wave_shown(desk, by("pia"), wave.number).bags
    again = picks.scan(desk, by("pia"), wave.number, bag)
    assert isinstance(again.answer, BagTurnedTo), "in its own wave, which was empty"
    picks.leave_bag(desk, by("pia"), bag)
    new = waves.open_wave(desk, by("pia"), most=1)
    assert [row.id for row, _ in new.bags] == [bag], "a new wave takes it up"
    (other,) = (row.id for row, _ in waves.open_wave(desk, by("pia")).bags)
    strange = picks.scan(desk, by("pia"), new.number, other)
    assert (strange.answer.code, strange.answer.fields["wave"]) == ("bag-in-other-wave", 3)
    with pytest.raises(CallError) as refused:
        waves.open_wave(desk, by("pia"), bags=[other])
    assert refused.value.code == "bag-in-wave"
    pick_whole(desk, new.number, bag)


def test_an_open_bag_that_lost_its_promise_is_told_bought_and_given_goods_before_others(desk):
    label = accepted(desk, "101")
    enough(desk, label)
    wave = waves.open_wave(desk, by("pia"))
    row, bag = wave.bags[0]
    first, second = bag.remaining[:2]
    picks.scan(desk, by("pia"), wave.number, row.id)
    picks.scan(desk, by("pia"), wave.number, first.ware.sku, into=row.id)
    (place,) = show_stock(desk, by("odo"), ToldItem(second.ware.sku)).bins
    where = ToldPlace(place.branch, place.bin)
    adjust_stock(desk, by("odo"), ToldItem(second.ware.sku), -second.packs, where, "bent")
    picks.leave_bag(desk, by("pia"), row.id)
    other = release_order(desk, by(), accepted(desk, "2", name="Dockside Clinic"), ToldRelease())
    assert states(other) == {BagState.WAITING: 1}
    (waits,) = show_order(desk, by(), label).expected
    assert [(each.item, each.packs) for each in waits.short] == [(second.item, second.packs)]
    listed = buying.buy_list(desk, by("odo"))
    lines = [line for each in listed.suppliers for line in each.lines]
    assert row.id in {why.bag for line in lines for why in line.shortages}
    come = receive_stock(desk, by("pia"), ToldItem(second.ware.sku), second.packs, where)
    assert come.completed == (row.id,)
    assert not show_order(desk, by(), label).expected
    assert states(show_order(desk, by(), other.order.label)) == {BagState.WAITING: 1}
    new = waves.open_wave(desk, by("pia"), orders=[row.order])
    pick_whole(desk, new.number, row.id)


def books(desk, sku):
    """Packs by bin, and how many of them are promised."""
    found = show_stock(desk, by("odo"), ToldItem(sku))
    return {at.bin: packs for at, packs in found.bins.items()}, sum(
        each.promised for each in found.balances.values()
    )


def test_a_short_is_a_count_of_the_bin_told_to_all_and_taken_back(desk):
    label = accepted(desk, "101", "102")
    enough(desk, label)
    wave = waves.open_wave(desk, by("pia"))
    (first, bag), (second, _) = wave.bags
    line = bag.remaining[0]
    before = books(desk, line.ware.sku)
    picks.scan(desk, by("pia"), wave.number, second.id)
    picks.scan(desk, by("pia"), wave.number, first.id)
    told = shorts.tell_short(desk, by("pia"), first.id, line.ware.sku, line.packs)
    assert told.lacks == line.packs
    assert [each.id for each in told.waiting] == [second.id]
    assert books(desk, line.ware.sku) == ({}, 0), "an empty bin is empty in the books"
    assert {each.bag for each in show_order(desk, by(), label).expected} == {first.id, second.id}
    gone = picks.scan(desk, by("pia"), wave.number, line.ware.sku, into=first.id)
    assert gone.answer.code == "item-short-here"
    again = shorts.tell_short(desk, by("pia"), first.id, line.ware.sku, line.packs)
    assert again.answer.answer.code == "short-told", "a trigger pulled twice tells one short"
    other = picks.scan(desk, by("pia"), wave.number, line.ware.sku, into=second.id)
    assert (other.answer.code, other.answer.fields["told"]) == ("item-told-short", first.mark)
    undone = picks.undo_last(desk, by("pia"), first.id)
    assert undone.places == tuple(before[0].items())
    assert not undone.bag.missing
    assert books(desk, line.ware.sku) == before, "and promised to whom it was"
    assert not show_order(desk, by(), label).expected
    pick_whole(desk, wave.number, first.id)
    pick_whole(desk, wave.number, second.id)


@pytest.mark.parametrize("at_hand", [0, 1])
def test_a_bin_that_holds_fewer_than_the_books_leaves_the_rest_to_the_bag_at_hand(desk, at_hand):
    label = accepted(desk, "101", "102")
    enough(desk, label)
    wave = waves.open_wave(desk, by("pia"))
    first, bag = wave.bags[at_hand]
    second, _ = wave.bags[1 - at_hand]
    line = bag.remaining[0]
    sku, each = line.ware.sku, line.packs
    picks.scan(desk, by("pia"), wave.number, first.id)
    found = shorts.short_bin(desk, by("pia"), first.id, sku)
    assert found is not None
    place, held = found
    assert held == 2 * each
    for lying in (held, held + 1):
        told = shorts.tell_short(desk, by("pia"), first.id, sku, 0, lying=lying)
        assert told.answer.answer.code == "short-all-there"
    told = shorts.tell_short(desk, by("pia"), first.id, sku, 0, lying=each)
    assert told.answer.answer.gone == ((place, each),)
    assert (told.answer.answer.packs, told.lacks, told.answer.bag.missing) == (0, 0, {})
    assert [waits.id for waits in told.waiting] == [second.id], "the bag at hand gives way last"
    assert books(desk, sku) == ({place: each}, each)
    undone = picks.undo_last(desk, by("pia"), first.id)
    assert [whole.id for whole in undone.whole] == [second.id]
    shorts.tell_short(desk, by("pia"), first.id, sku, 0, lying=each)
    pick_whole(desk, wave.number, first.id)
    assert shorts.short_bin(desk, by("pia"), second.id, sku) is None


def test_after_a_short_the_walk_goes_to_another_bin_and_the_books_take_it_there(desk):
    label = accepted(desk, "101")
    enough(desk, label)
    wave = waves.open_wave(desk, by("pia"))
    row, bag = wave.bags[0]
    sku = bag.remaining[0].ware.sku
    set_free(desk, sku, 0)
    for name in ("", "Z-2", "Z-9"):
        where = ToldPlace(bin=name)
        adjust_stock(desk, by("odo"), ToldItem(sku), 2, where, "found")
    # Not by name: this house walks to Z-9 first.
    round_about = Walk((Stretch("Z-9"),))
    shown = waves.wave_shown(desk, by("pia"), wave.number, round_about)
    picks.scan(desk, by("pia"), wave.number, row.id)
    bins = shown.walk.bins_of(bag.id, bag.remaining[0].item)
    done = picks.scan(desk, by("pia"), wave.number, sku, into=row.id, walk=shown.walk)
    assert [at for at, _ in done.places] == list(bins) == ["Z-9"], "walk and books name one bin"
    undone = picks.undo_last(desk, by("pia"), row.id)
    assert undone.places == done.places
    told = shorts.tell_short(desk, by("pia"), row.id, sku, 1, walk=shown.walk)
    assert [at for at, _ in told.answer.answer.gone] == list(bins)
    assert not told.lacks
    now = waves.wave_shown(desk, by("pia"), wave.number)
    assert now.walk.bins_of(bag.id, bag.remaining[0].item) != bins
    pick_whole(desk, wave.number, row.id)


def test_what_is_unpacked_goes_to_its_bins_and_is_promised_at_once(desk):
    label = accepted(desk, "101")
    enough(desk, label)
    wave = waves.open_wave(desk, by("pia"))
    row = wave.bags[0][0]
    before = {item: books(desk, item[1])[0] for item, _ in row.needs}
    picks.scan(desk, by("pia"), wave.number, row.id)
    picks.scan(desk, by("pia"), wave.number, row.needs[0][0][1], into=row.id)
    picks.undo_last(desk, by("pia"), row.id)
    picks.leave_bag(desk, by("pia"), row.id)
    pick_whole(desk, wave.number, row.id)
    done = unpacking.unpack_bag(desk, by("pia"), row.id, "amiss")
    assert {item: sum(n for _, n in parts) for item, parts in done.back.items()} == dict(row.needs)
    assert {item: books(desk, item[1])[0] for item, _ in row.needs} == before
    assert done.bag.state is BagState.READY, "its goods are free, and nobody else waits"
    assert [bag.id for bag in done.completed] == [row.id]


def test_stock_that_is_lost_takes_the_latest_promise_back_whole(desk):
    label = accepted(desk, "101", "102")
    standing = enough(desk, label)
    item = standing.bags[0].needs[0][0]
    found = show_stock(desk, by("odo"), ToldItem(item[1]))
    place = next(iter(found.bins))
    moved = adjust_stock(
        desk, by("odo"), ToldItem(item[1]), -1, ToldPlace(place.branch, place.bin), "bent"
    )
    assert len(moved.waiting) == 1
    standing = show_order(desk, by(), label)
    assert states(standing) == {BagState.READY: 1, BagState.WAITING: 1}
    (waiting,) = (bag for bag in standing.bags if bag.state is BagState.WAITING)
    assert moved.waiting[0][0] == waiting.id
    _, held = sums(desk)
    assert not any(each.promised for each in held.get(waiting.id, {}).values())


def test_only_an_owner_takes_from_a_promise_and_says_why(desk):
    first, second = accepted(desk, "1"), accepted(desk, "2", name="Dockside Clinic")
    ready = enough(desk, first).bags[0]
    for item, _ in ready.needs:
        set_free(desk, item[1], 0)
    waits = release_order(desk, by(), second, ToldRelease()).bags[0]
    with pytest.raises(CallError) as refused:
        take_promise(desk, by(), ready.id, waits.id, "burst pipe")
    assert refused.value.code == "owner-needed"
    with pytest.raises(CallError) as refused:
        take_promise(desk, by("odo"), ready.id, waits.id, " ")
    assert refused.value.code == "reason-needed"
    given, taken = take_promise(desk, by("odo"), ready.id, waits.id, "burst pipe")
    assert (given.state, taken.state) == (BagState.WAITING, BagState.READY)


def test_a_cancelled_order_frees_its_goods_and_names_the_bags_that_hold_some(desk):
    label = accepted(desk, "101", "102")
    enough(desk, label)
    wave = waves.open_wave(desk, by("pia"), most=1)
    bag = wave.bags[0][0].id
    pick_whole(desk, wave.number, bag)
    stopped = cancel_order(desk, by(), label, "job stopped")
    assert [each.id for each in stopped.surplus] == [bag]
    unpacked = unpacking.unpack_bag(desk, by("pia"), bag, "job stopped")
    assert unpacked.bag.packed is None
    cancel_order(desk, by(), label, "job stopped")
    _, held = sums(desk)
    assert not any(
        each.promised or each.picked for items in held.values() for each in items.values()
    )


def test_a_newer_accepted_revision_keeps_the_bags_that_serve_on(desk):
    label = accepted(desk, "101", "102")
    standing = enough(desk, label)
    wave = waves.open_wave(desk, by("pia"), most=1)
    packed = wave.bags[0][0]
    pick_whole(desk, wave.number, packed.id)
    job = list_jobs(desk, by(), JobFilter(), Page())[0][0]
    add_openings(desk, by(), f"J-{job.number}", [plain("201")])
    remove_openings(desk, by(), f"J-{job.number}", ["102"])
    newer = issued(desk, f"J-{job.number}")
    close_quote(desk, by(), newer, State.ACCEPTED, acceptance=Acceptance((), "PO-2", by().day))
    now = release_order(desk, by(), newer, ToldRelease())
    live = {bag.mark: bag for bag in now.bags if bag.state is not BagState.CANCELLED}
    assert set(live) == {"101", "201"}
    kept = {bag.id for bag in standing.bags}
    assert live["101"].id in kept, "its label still holds"
    assert live["201"].id not in kept
    assert not now.surplus


def test_what_is_short_gives_way_to_what_supplies_the_same_and_the_kit_is_checked_again(
    desk, monkeypatch
):
    label = accepted(desk, "101")
    enough(desk, label)
    wave = waves.open_wave(desk, by("pia"))
    bag = wave.bags[0][0].id
    picks.scan(desk, by("pia"), wave.number, bag)
    told = shorts.tell_short(desk, by("pia"), bag, "T-PS", 1, "bin is empty")
    assert not told.answer.refused
    allowed = substitutions.substitutes_for(desk, by("pia"), bag, "T-PS")
    assert [ware.sku for ware in allowed] == ["T-PS-P25"]
    other = substitutions.substitute_item(desk, by("pia"), bag, "T-PS", "TP-AR.689", "none left")
    assert other.refused
    set_free(desk, "T-PS-P25", 0)
    none = substitutions.substitute_item(desk, by("pia"), bag, "T-PS", "T-PS-P25", "none left")
    assert none.answer.code == "substitute-not-free"
    set_free(desk, "T-PS-P25", 1)
    asked = []

    def noted(*given):
        check = kit_check(*given)

        def one(packs):
            asked.append(packs)
            return check(packs)

        return one

    monkeypatch.setattr(substitutions, "kit_check", noted)
    done = substitutions.substitute_item(desk, by("pia"), bag, "T-PS", "T-PS-P25", "none left")
    assert not done.refused, done.answer
    ((packs,),) = (asked,)
    assert "T-PS-P25" in {sku for _, sku in packs}, "held against the opening by the house's check"
    whole = pick_whole(desk, wave.number, bag)
    assert whole.closed is not None
    row, _, packed = picks.bag_shown(desk, by("pia"), bag)
    assert {line.item[1] for line in packed.lines} == {sku for (_, sku), _ in row.needs}
    assert [(each.item[1], each.reason) for each in packed.substitutions] == [("T-PS", "none left")]
    found = show_stock(desk, by("odo"), ToldItem("T-PS"))
    assert all(balance.promised == 0 for balance in found.balances.values()), "let go again"
