"""Goods of a purchase order scanned one by one, on every store."""

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.contract.test_purchases_in_a_store import (
    BOOK,
    CODED,
    OTHER,
    RandomIds,
    came,
    on_hand,
    ordered,
    placed,
    prepared,
    receive,
)
from tests.support.fake_store import FakeStore
from tests.support.jobs import by, furnished

from wholekit.domain.errors import CallError, ConflictError
from wholekit.domain.picking import GoodsCounted, ScanRefused
from wholekit.domain.stock import Slips, StockPlace
from wholekit.services import buying, goods_scans, stock
from wholekit.services.paging import Page
from wholekit.services.receiving import ToldDelivery
from wholekit.services.stock import ToldItem, ToldPlace
from wholekit.store.check import check_store

KEY = CODED.supplier, CODED.sku
IN_A = ToldDelivery((), bin="A-1")


@pytest.fixture
def room(desk):
    return prepared(desk)


def scan(desk, order, typed, scan_id="", told=IN_A):
    return goods_scans.scan_goods(desk, by("pia"), order.label, typed, told, scan_id)


def undo(desk, order, scan_id=""):
    return goods_scans.undo_goods(desk, by("pia"), order.label, scan_id)


def code(done):
    return done.answer.code if isinstance(done.answer, ScanRefused) else ""


def at(order):
    return [line.sku for line in order.order.lines].index(CODED.sku)


def now(desk, order):
    return buying.show_order(desk, by("odo"), order.label).purchase


def test_a_scan_is_on_the_shelf_when_it_is_answered_and_once_however_often_it_is_sent(room):
    order = placed(room)
    first = scan(room, order, f"3*{CODED.barcode}\r\n", "s-1")
    assert (first.answer, first.place, first.purchase.state) == (
        GoodsCounted(at(order), CODED.sku, 3, 3, ordered(order, CODED)), "A-1", "part",
    )  # fmt: skip
    assert (on_hand(room, CODED), came(now(room, order), CODED)) == (3, 3)
    again = scan(room, order, f"3*{CODED.sku}", "s-1")
    assert isinstance(again.answer, GoodsCounted)
    assert again.answer.again
    assert code(scan(room, order, f"2*{CODED.sku}", "s-1")) == "scan-id-used"
    assert on_hand(room, CODED) == 3
    done = undo(room, order, "s-1")
    assert (on_hand(room, CODED), done.purchase.state, done.place) == (0, "sent", "A-1")
    assert code(undo(room, order, "s-1")) == "undo-unknown"
    assert code(scan(room, order, f"3*{CODED.sku}", "s-1")) == "scan-id-used"
    with room.store.reading() as uow:
        kinds = [one.kind.value for one in uow.stock.history(Page(0, 2), KEY)[0]]
    assert kinds == ["to-supplier", "receipt"]
    assert code(undo(room, order)) == "undo-unknown"


def test_over_short_and_wrong_are_said_at_once_and_nothing_of_them_is_written(room):
    order = placed(room)
    most = ordered(order, CODED)
    skus = {line.sku for line in order.order.lines}
    strange = next(item for item in BOOK.items if item.sku not in skus)
    for typed, wanted in (
        (f"{most + 1}*{CODED.sku}", "goods-over"),
        (strange.sku, "goods-not-ordered"),
        ("NO-SUCH", "scan-unknown"),
        (CODED.barcode[:6], "scan-half"),
        ("Q12R2P7B3B", "goods-bag-label"),
        ("0*" + CODED.sku, "scan-count-none"),
        ("\x00\x01", "scan-garbled"),
        ("9" * 10_000, "scan-too-long"),
        (CODED.barcode[:-1] + str((int(CODED.barcode[-1]) + 1) % 10), "scan-gtin-misread"),
        ("", "scan-empty"),
    ):
        assert code(scan(room, order, typed)) == wanted, typed
    assert now(room, order) == order
    done = scan(room, order, f"{most + 1}*{CODED.sku}", told=replace(IN_A, over=True))
    assert done.answer.over == 1
    for line in order.order.lines:
        if line.sku != CODED.sku:
            scan(room, order, f"{line.packs}*{line.sku}")
    assert now(room, order).state == "closed"
    assert code(scan(room, order, OTHER.sku)) == "goods-over"
    assert code(scan(room, order, "NO-SUCH")) == "goods-unknown"
    # Taken back, it is open again.
    assert undo(room, order, done.scan).purchase.state == "part"
    assert now(room, order).open_packs[at(order)] == most


def test_a_delivery_is_a_list_or_scans_under_one_note_and_never_both(room):
    order = placed(room)
    told = replace(IN_A, note=" DN 1")
    scan(room, order, f"4*{CODED.sku}", "s-1", told)
    scan(room, order, CODED.sku, "s-2", told)
    undo(room, order, "s-2")
    assert receive(room, order, (CODED, 4), note="dn 1").again
    with pytest.raises(ConflictError, match="delivery-differs"):
        receive(room, order, (CODED, 5), note="DN 1")
    receive(room, order, (CODED, 1), note="DN 2")
    with pytest.raises(ConflictError, match="delivery-entered"):
        scan(room, order, CODED.sku, "s-3", replace(IN_A, note="dn 2"))
    assert on_hand(room, CODED) == 5


def test_bags_that_wait_are_completed_when_the_delivery_ends(room, monkeypatch):
    order = placed(room)
    scan(room, order, f"2*{CODED.sku}", "s-1")

    def complete(uow, desk, deed, slips, held):
        uow.stock.move([slips.reserve(KEY, 2, "north", "bag-1")])
        return type("Found", (), {"ready": [type("Bag", (), {"id": "bag-1"})]})

    monkeypatch.setattr(goods_scans, "complete_waiting", complete)
    told = replace(IN_A, close_short=True)
    ended = goods_scans.end_delivery(room, by("pia"), order.label, told)
    assert (ended.completed, ended.purchase.state) == (("bag-1",), "closed")
    # A scan that was wrong is taken back all the same, and the promise gives way.
    done = undo(room, order, "s-1")
    assert (done.waiting, done.purchase.state) == ((("bag-1", 2),), "closed")
    scan(room, order, CODED.sku, "s-2", replace(IN_A, over=True))
    where = ToldPlace("north", "A-1"), ToldPlace("north", "A-2")
    stock.move_stock(room, by("pia"), ToldItem(CODED.sku), 1, *where)
    with pytest.raises(CallError, match="bin-short"):
        undo(room, order, "s-2")


WORDS = st.one_of(
    st.tuples(st.just("scan"), st.sampled_from([CODED, OTHER]), st.integers(1, 40)),
    st.tuples(st.just("again"), st.integers(0, 9), st.just(0)),
    st.tuples(st.just("undo"), st.integers(0, 9), st.just(0)),
    st.tuples(st.just("junk"), st.text(max_size=90), st.just(0)),
)


@settings(max_examples=25)
@given(st.lists(WORDS, max_size=12))
def test_what_has_come_is_what_was_confirmed_and_not_taken_back(script):
    desk = replace(prepared(furnished(FakeStore())), ids=RandomIds())
    order = placed(desk)
    stand: dict[str, tuple[str, int]] = {}
    gone: set[str] = set()
    for turn, (word, what, packs) in enumerate(script):
        names = [*stand, *gone]
        if word == "scan":
            done = scan(desk, order, f"{packs}*{what.sku}", f"s{turn}")
            if isinstance(done.answer, GoodsCounted):
                stand[f"s{turn}"] = what.sku, packs
        elif word == "junk":
            typed = what if what.strip().upper() not in (CODED.sku, OTHER.sku) else "?"
            assert isinstance(scan(desk, order, typed, f"s{turn}").answer, ScanRefused)
        elif names and word == "again":
            name = names[what % len(names)]
            sku, count = stand.get(name, (CODED.sku, 1))
            done = scan(desk, order, f"{count}*{sku}", name)
            assert isinstance(done.answer, ScanRefused) or done.answer.again
        elif names:
            name = names[what % len(names)]
            assert code(undo(desk, order, name)) == ("undo-unknown" if name in gone else "")
            if stand.pop(name, None):
                gone.add(name)
    wanted: Counter[str] = Counter()
    for sku, packs in stand.values():
        wanted[sku] += packs
    for item in (CODED, OTHER):
        assert on_hand(desk, item) == came(now(desk, order), item) == wanted[item.sku]
        assert wanted[item.sku] <= ordered(order, item)


def test_the_books_of_orders_and_stock_agree_after_scans_taken_back(room):
    order = placed(room)
    for name in ("s-1", "s-2", "s-3"):
        scan(room, order, f"2*{CODED.sku}", name)
    undo(room, order, "s-2")
    if isinstance(room.store, FakeStore):
        assert on_hand(room, CODED) == 4
        return
    assert check_store(room.store.place).faults == ()
    with room.store.writing() as uow:
        uow.stock.move([Slips("P-00001/x", by().at, "odo").receipt(KEY, 1, _place())])
        uow.commit()
    (fault,) = check_store(room.store.place).faults
    assert "received off by -1" in fault.what


def _place():
    return StockPlace("north", "A-1")
