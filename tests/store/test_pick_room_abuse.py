"""Many at once in the pick room, and killed in the middle: sums hold, nothing is promised twice."""

import random

from tests.store.test_lists import questions
from tests.support.deeds import address_of, desk_on, run_together
from tests.support.goods import ITEM, purchase_sent
from tests.support.jobs import by, furnished
from tests.support.pick_room import (
    accepted_quote,
    deed_at_random,
    require_sound,
    work_at_random,
)
from tests.support.turns import watched

from wholekit.domain.picking import GoodsCounted, ScanCounted, ScanRefused
from wholekit.services import picks, unpacking, waves
from wholekit.services.allocating import take_promise
from wholekit.services.goods_scans import scan_goods
from wholekit.services.orders import ToldRelease, release_order
from wholekit.services.receiving import ToldDelivery, receive_delivery
from wholekit.services.stock import ToldItem, ToldPlace, receive_stock
from wholekit.store.check import check_store


def test_a_scan_id_of_another_bag_or_of_before_a_bag_was_unpacked_counts_nothing(store):
    furnished(store)
    desk = desk_on(store)
    label = accepted_quote(desk, ["A", "B"], "Job")
    standing = release_order(desk, by(), label, ToldRelease())
    for item, packs in standing.bags[0].needs:
        receive_stock(desk, by("odo"), ToldItem(item[1]), packs * 9, ToldPlace(bin="S-1"))
    wave = waves.open_wave(desk, by("odo"), orders=[standing.order.id])
    (first, bag), (second, _) = wave.bags
    for row in (first, second):
        picks.scan(desk, by("odo"), wave.number, row.id)

    def scanned(into):
        sku = bag.remaining[0].ware.sku
        return picks.scan(desk, by("odo"), wave.number, sku, "s-1", into).answer

    assert isinstance(scanned(first.id), ScanCounted)
    assert scanned(first.id).again
    assert scanned(second.id).code == "scan-id-used"
    unpacking.unpack_bag(desk, by("odo"), first.id, "taken apart")
    assert scanned(first.id).code == "scan-id-used"
    require_sound(store)


def test_many_processes_release_pick_lose_receive_and_ship_at_random(store):
    furnished(store)
    desk = desk_on(store)
    labels = [accepted_quote(desk, [f"{job}{n}" for n in range(4)], f"Job {job}") for job in "AB"]
    for label in labels:
        release_order(desk, by(), label, ToldRelease())
    at = address_of(store.place)
    seeds = random.Random(12)
    run_together([(work_at_random, (at, labels, seeds.random(), 8)) for _ in range(5)])
    found = require_sound(store)
    assert sum(found.values()) >= 8
    assert check_store(store.place).faults == ()


def test_whoever_moves_promises_takes_a_turn_then_holds_bags_then_goods(store, monkeypatch):
    furnished(store)
    desk = desk_on(store)
    labels = [accepted_quote(desk, [f"{job}{n}" for n in range(3)], f"Job {job}") for job in "AB"]
    with watched(monkeypatch) as found:
        at_random = random.Random(7)
        for label in labels:
            release_order(desk, by(), label, ToldRelease())
        needed = release_order(desk, by(), labels[0], ToldRelease()).bags[0].needs
        for item, packs in needed:
            receive_stock(desk, by("odo"), ToldItem(item[1]), 2 * packs, ToldPlace(bin="R-1"))
        # What the deeds at random seldom meet: a wave of several idle bags, a promise taken.
        idle = waves.open_wave(desk, by("odo"))
        assert len(waves.end_wave(desk, by("odo"), idle.number)) > 1
        taking = release_order(desk, by(), labels[1], ToldRelease()).bags[-1]
        take_promise(desk, by("odo"), idle.bags[0][0].id, taking.id, "sooner")
        # What is held, and when, is the same on either engine.
        for turn in range(240 if store.place.file else 40):
            if not turn % 30:
                for item, packs in needed:
                    receive_stock(
                        desk, by("odo"), ToldItem(item[1]), 2 * packs, ToldPlace(bin="R-1")
                    )
            deed_at_random(desk, at_random, labels)
    if not store.place.file:
        return
    kinds = {(each.turn, bool(each.bags), bool(each.goods)) for each in found}
    assert kinds >= {(True, True, True), (False, True, True), (False, True, False)}
    assert any(len(each.bags) > 2 and len(each.goods) > 2 for each in found)


def test_goods_are_scanned_in_as_many_statements_however_much_has_come_and_is_ordered(store):
    furnished(store)
    desk = desk_on(store)
    order, told = purchase_sent(desk), ToldDelivery((), bin="R-1")
    counts = []
    for number in range(8):
        with questions(store) as asked:
            done = scan_goods(desk, by("odo"), order.label, f"3*{ITEM.sku}", told, f"s-{number}")
        assert not isinstance(done.answer, ScanRefused)
        counts.append(len(asked))
    with questions(store) as asked:
        again = scan_goods(desk, by("odo"), order.label, f"3*{ITEM.sku}", told, "s-7")
    assert isinstance(again.answer, GoodsCounted)
    assert again.answer.again
    assert len(set(counts)) == 1, counts
    assert len(asked) < counts[0] <= 22, counts
    # A list of one line and of all, too.
    lines = [line.sku for line in order.order.lines]
    assert len(lines) > 1
    taken = []
    for skus in (lines[:1], lines):
        with questions(store) as asked:
            packs = ToldDelivery([(sku, 1) for sku in skus], bin="R-1")
            receive_delivery(desk, by("odo"), order.label, packs)
        # A row of each line's receipt.
        taken.append(len(asked) - len(skus))
    # To a server all that is written of one item goes at once.
    assert taken[1] - taken[0] == (0 if store.place.file else 2)


def test_a_scan_is_one_transaction_of_as_many_statements_whatever_the_wave_holds(store):
    furnished(store)
    desk = desk_on(store)
    counts = {}
    for bags in (1, 5):
        label = accepted_quote(desk, [f"{bags}{n}" for n in range(bags)], f"Job of {bags}")
        standing = release_order(desk, by(), label, ToldRelease())
        for item, packs in standing.bags[0].needs:
            receive_stock(
                desk, by("odo"), ToldItem(item[1]), packs * (bags + 5), ToldPlace(bin="S-1")
            )
        wave = waves.open_wave(desk, by("odo"), orders=[standing.order.id])
        assert len(wave.bags) == bags
        row, bag = wave.bags[0]
        picks.scan(desk, by("odo"), wave.number, row.id)
        scans = []
        for line in bag.remaining:
            with questions(store) as asked:
                done = picks.scan(desk, by("odo"), wave.number, line.ware.sku, into=row.id)
            assert not done.refused
            scans.append(len(asked))
        counts[bags] = set(scans)
    assert counts[1] == counts[5], counts
    assert len(counts[1]) == 1, "the first scan of a bag and the last take as many"
    # Right, bag, what happened to it, item; then what is written, to a server all of it at once.
    assert counts[1] == ({9} if store.place.file else {5})
