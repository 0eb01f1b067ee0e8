"""Purchase orders placed, sent and received, on every store."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import date
from fractions import Fraction
from types import SimpleNamespace
from uuid import uuid4

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import text
from tests.support.databases import ENGINES
from tests.support.fake_store import FakeStore
from tests.support.house import sample
from tests.support.jobs import by, furnished

from wholekit.domain.buying import OPEN, PurchaseState, Shortage
from wholekit.domain.catalog import Item
from wholekit.domain.errors import CallError, ConflictError
from wholekit.domain.quotes import Person, PersonRole
from wholekit.domain.stock import Balance
from wholekit.services import buying, receiving, stock
from wholekit.services.buying import OrderWords
from wholekit.services.customers import set_person
from wholekit.services.paging import Page
from wholekit.services.purchase_port import PurchaseFilter
from wholekit.services.receiving import ToldDelivery
from wholekit.services.stock_port import Branch
from wholekit.store.check import check_store


class RandomIds:
    """Ids that several may take at once."""

    def new(self) -> str:
        return uuid4().hex


BOOK = sample("tarrowby")
CODED = next(item for item in BOOK.items if item.barcode and item.lead_days)
OTHER = next(item for item in BOOK.items if item.lead_days and item.sku != CODED.sku)
NEEDED = date(2026, 12, 8)


def short(item, packs, bag="O-1-101"):
    return Shortage((item.supplier, item.sku), Fraction(packs), NEEDED, "O-1", bag)


WANTS = (short(CODED, 50), short(OTHER, 20))


def prepared(desk):
    set_person(desk, by("odo"), Person("pia", PersonRole.PICKER))
    stock.add_branch(desk, by("odo"), Branch("north", "North yard"))
    return desk


@pytest.fixture
def room(desk):
    return prepared(desk)


def placed(desk, *wants, branch="north", send=True, **words):
    """An order of what is wanted; north has nothing, and no reorder point counts there twice."""
    (order,) = buying.place_orders(
        desk, by("odo"), branch, wants or WANTS, [BOOK.supplier], OrderWords(**words)
    )
    return buying.send_order(desk, by("odo"), order.label) if send else order


def ordered(purchase, item):
    return next(line.packs for line in purchase.order.lines if line.sku == item.sku)


def came(purchase, item):
    at = [line.sku for line in purchase.order.lines].index(item.sku)
    return purchase.received[at]


def receive(desk, purchase, *packs, **told):
    delivery = ToldDelivery([(item.sku, count) for item, count in packs], **told)
    return receiving.receive_delivery(desk, by("pia"), purchase.label, delivery)


def on_hand(desk, item, branch="north"):
    with desk.store.reading() as uow:
        key = item.supplier, item.sku
        return uow.stock.balances([key]).get(key, {}).get(branch, Balance()).on_hand


def test_an_order_is_kept_as_it_was_placed_and_told_in_lists(room):
    wide = placed(room, send=False, supplier_address=("9 Mill Lane", "Tarrow"), note="Dock 2")
    assert (wide.label, wide.state, wide.order.number) == ("P-00001", "draft", "P-00001")
    assert wide.order.ship_to == ("North yard",)
    assert wide.order.wanted_by == NEEDED
    assert ordered(wide, CODED) >= 50
    shown = buying.show_order(room, by("odo"), " p-1 ")
    assert (shown.purchase, list(shown.receipts)) == (wide, [])
    sent = buying.send_order(room, by("odo", days=1), "P-00001")
    assert (sent.state, sent.sent_by, sent.sent_at) == ("sent", "odo", by(days=1).at)
    again = placed(room, short(CODED, 500), send=False)
    found, count = buying.list_orders(room, by("odo"), PurchaseFilter(), Page())
    assert ([each.label for each in found], count) == (["P-00002", "P-00001"], 2)
    wanted = PurchaseFilter(frozenset({PurchaseState.DRAFT}), BOOK.supplier, "north")
    assert buying.list_orders(room, by("odo"), wanted, Page()) == ((again,), 1)
    said = [event.action for event in buying.show_order(room, by("odo"), "1").events]
    assert said == ["purchase-placed", "purchase-sent"]


def test_what_is_ordered_is_not_ordered_again(room):
    before = buying.buy_list(room, by("odo"), "north", WANTS)
    assert {line.item.sku for buy in before.suppliers for line in buy.lines} >= {
        CODED.sku, OTHER.sku
    }  # fmt: skip
    order = placed(room, send=False)
    assert buying.buy_list(room, by("odo"), "north", WANTS).suppliers == ()
    with pytest.raises(CallError, match="nothing-to-buy"):
        placed(room)
    with room.store.reading() as uow:
        assert buying.coming(uow) == []  # a draft is not under way
    buying.send_order(room, by("odo"), order.label)
    receive(room, order, (CODED, 3))
    with room.store.reading() as uow:
        (left,) = buying.coming(uow, [(CODED.supplier, CODED.sku)], "north")
        assert buying.coming(uow, None, "main") == []
        assert [each.packs for each in uow.purchases.coming(OPEN, None, "")] != []
    assert (left.packs, left.order) == (ordered(order, CODED) - 3, order.label)
    assert left.day == next(line.expected for line in order.order.lines if line.sku == CODED.sku)
    # Three lie there now, and bags wait for three fewer.
    still = (short(CODED, 47), short(OTHER, 20))
    buying.cancel_order(room, by("odo"), placed(room, short(CODED, 500), send=False).label)
    assert buying.buy_list(room, by("odo"), "north", still).suppliers == ()


def test_part_deliveries_fill_an_order_and_close_it(room):
    order = placed(room)
    first = receive(room, order, (CODED, 5), note=" DN  1 ")
    assert (first.purchase.state, came(first.purchase, CODED)) == ("part", 5)
    assert on_hand(room, CODED) == 5
    with pytest.raises(CallError, match="purchase-received"):
        buying.cancel_order(room, by("odo"), order.label)
    rest = [
        (line.sku, left)
        for line, left in zip(order.order.lines, first.purchase.open_packs, strict=True)
    ]
    # By its GTIN, as it is scanned.
    rest = [(CODED.barcode if sku == CODED.sku else sku, left) for sku, left in rest]
    last = receiving.receive_delivery(
        room, by("pia"), order.label, ToldDelivery(rest, "DN 2", bin="A-01")
    )
    assert (last.purchase.state, set(last.purchase.open_packs)) == ("closed", {0})
    assert on_hand(room, CODED) == ordered(order, CODED)
    shown = buying.show_order(room, by("odo"), order.label)
    assert shown.purchase == last.purchase
    assert {each.note for each in shown.receipts} == {"DN 1", "DN 2"}
    assert sum(each.packs for each in shown.receipts) == sum(
        line.packs for line in order.order.lines
    )


def test_a_delivery_entered_twice_counts_once(room):
    order = placed(room)
    receive(room, order, (CODED, 5), note="DN 1")
    again = receive(room, order, (CODED, 5), note="dn 1")
    assert (again.again, again.movements, on_hand(room, CODED)) == (True, (), 5)
    with pytest.raises(ConflictError, match="delivery-differs"):
        receive(room, order, (CODED, 6), note="DN 1")
    assert came(buying.show_order(room, by("odo"), order.label).purchase, CODED) == 5
    # Without a number nobody can know; and another order's note of that number is another's.
    receive(room, order, (CODED, 1))
    receive(room, order, (CODED, 1))
    other = placed(room, short(CODED, 200))
    receive(room, other, (CODED, 5), note="DN 1")
    assert on_hand(room, CODED) == 12


def test_more_than_is_open_comes_only_where_it_is_said(room):
    order = placed(room)
    most = ordered(order, CODED)
    with pytest.raises(CallError, match="delivery-over") as refused:
        receive(room, order, (CODED, most), (CODED, 1))
    assert refused.value.fields["open"] == most
    assert (on_hand(room, CODED), on_hand(room, OTHER)) == (0, 0)
    done = receive(room, order, (CODED, most + 1), over=True)
    assert (came(done.purchase, CODED), done.purchase.state) == (most + 1, "part")
    assert on_hand(room, CODED) == most + 1
    with room.store.reading() as uow:
        assert buying.coming(uow, [(CODED.supplier, CODED.sku)]) == []
    closed = receive(room, order, (OTHER, 2), close_short=True)
    assert (closed.purchase.state, set(closed.purchase.open_packs)) == ("closed", {0})
    with pytest.raises(CallError, match="delivery-over"):
        receive(room, order, (OTHER, 1))
    late = receive(room, order, (OTHER, 1), over=True)
    assert (late.purchase.state, came(late.purchase, OTHER)) == ("closed", 3)


def test_an_order_is_closed_short_with_nothing_more(room):
    order = placed(room)
    assert receive(room, order, close_short=True).purchase.state == "closed"
    assert buying.buy_list(room, by("odo"), "north", WANTS).suppliers != ()
    with pytest.raises(CallError, match="purchase-over"):
        receive(room, order, close_short=True)


def test_bags_that_wait_get_what_came_in_the_same_step(room, monkeypatch):
    order = placed(room)
    key = CODED.supplier, CODED.sku

    def complete(uow, desk, deed, slips, held):
        uow.stock.move([slips.reserve(key, 2, "north", "bag-1")])
        return SimpleNamespace(ready=[SimpleNamespace(id="bag-1")])

    monkeypatch.setattr(receiving, "complete_waiting", complete)
    assert receive(room, order, (CODED, 2)).completed == ("bag-1",)
    with room.store.reading() as uow:
        assert uow.stock.balances([key])[key]["north"] == Balance(2, 2)

    def fails(*_):
        raise CallError("stock-short")

    monkeypatch.setattr(receiving, "complete_waiting", fails)
    with pytest.raises(CallError, match="stock-short"):
        receive(room, order, (CODED, 1))
    assert on_hand(room, CODED) == 2
    assert came(buying.show_order(room, by("odo"), order.label).purchase, CODED) == 2


@pytest.mark.parametrize("engine", sorted(ENGINES))
def test_a_delivery_that_several_enter_at_once_counts_once(engine, tmp_path):
    store = ENGINES[engine](tmp_path)
    desk = replace(prepared(furnished(store)), ids=RandomIds())
    order = placed(desk)
    with ThreadPoolExecutor(4) as pool:
        done = list(
            pool.map(lambda _: receive(desk, order, (CODED, 5), note="DN 1").again, range(4))
        )
    assert sorted(done) == [False, True, True, True]
    assert on_hand(desk, CODED) == 5
    # And of as many that are more than was ordered together, some are refused.
    left = ordered(order, CODED) - 5
    with ThreadPoolExecutor(4) as pool:
        codes = list(pool.map(lambda _: _code(desk, order, left), range(4)))
    assert sorted(codes) == ["", *["delivery-over"] * 3]
    assert on_hand(desk, CODED) == ordered(order, CODED)
    assert check_store(store.place).faults == ()
    with store.place.changing() as connection:
        connection.execute(
            text(
                "INSERT INTO purchase_receipt SELECT order_number, 'x', line, 1, branch, bin, at, "
                "who, note FROM purchase_receipt WHERE note <> ''"
            )
        )
        connection.commit()
    (fault,) = check_store(store.place).faults
    assert (fault.code, fault.what[-17:]) == ("stock-differs", "received off by 1")
    store.close()


def _code(desk, order, packs):
    try:
        receive(desk, order, (CODED, packs))
    except CallError as refused:
        return refused.code
    return ""


@pytest.mark.parametrize(
    ("state", "call", "code"),
    [
        ("draft", lambda d, o: receive(d, o, (CODED, 1)), "purchase-not-sent"),
        ("cancelled", lambda d, o: receive(d, o, (CODED, 1), over=True), "purchase-cancelled"),
        ("cancelled", lambda d, o: buying.send_order(d, by("odo"), o.label), "purchase-not-draft"),
        ("cancelled", lambda d, o: buying.cancel_order(d, by("odo"), o.label), "purchase-over"),
        ("sent", lambda d, o: buying.send_order(d, by("odo"), o.label), "purchase-not-draft"),
        ("sent", lambda d, o: receive(d, o), "delivery-empty"),
        ("sent", lambda d, o: receive(d, o, (CODED, 0)), "packs-out-of-range"),
        ("sent", lambda d, o: receive(d, o, (CODED, 1), branch="south"), "branch-unknown"),
        ("sent", lambda d, o: receive(d, o, (CODED, 1), note="x" * 200), "text-too-long"),
        ("sent", lambda d, o: receive(d, o, (replace(CODED, sku="NONE"), 1)),
         "delivery-item-wrong"),
        ("sent", lambda d, o: buying.show_order(d, by("odo"), "P-99"), "purchase-unknown"),
        ("sent", lambda d, o: buying.show_order(d, by("odo"), "nine"), "purchase-unknown"),
        ("sent", lambda d, o: buying.place_orders(d, by("odo"), "north", [short(CODED, 900)],
                                                  ["Nobody"]), "nothing-of-supplier"),
        ("sent", lambda d, o: placed(d, note="a\nb"), "text-not-plain"),
        ("sent", lambda d, o: placed(d, short(CODED, 10**15)), "purchase-too-large"),
        ("sent", lambda d, o: buying.place_orders(
            d, by("odo"), "north", WANTS, (), OrderWords(("1 Lane",))), "address-of-one"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_and_nothing_is_written(state, call, code):
    desk = prepared(furnished(FakeStore()))
    order = placed(desk, send=state == "sent")
    if state == "cancelled":
        buying.cancel_order(desk, by("odo"), order.label, "too dear")
    before = buying.show_order(desk, by("odo"), order.label)
    with pytest.raises(CallError) as refused:
        call(desk, order)
    assert refused.value.code == code
    assert buying.show_order(desk, by("odo"), order.label) == before
    assert (on_hand(desk, CODED), on_hand(desk, OTHER)) == (0, 0)


@settings(max_examples=25, deadline=None)
@given(
    st.lists(
        st.tuples(st.sampled_from((CODED, OTHER)), st.integers(1, 30), st.sampled_from("abcd")),
        max_size=8,
    )
)
def test_whatever_comes_and_comes_again_what_is_open_is_what_was_ordered_less_what_came(told):
    """Parts and the rest are as one delivery; a note that is told again adds nothing."""
    desk = prepared(furnished(FakeStore()))
    order = placed(desk)
    entered: dict[str, tuple[Item, int]] = {}
    codes: set[str] = set()
    for item, packs, note in told:
        try:
            done = receive(desk, order, (item, packs), note=note)
        except ConflictError:
            assert entered[note] != (item, packs)
            continue
        except CallError as refused:
            codes.add(refused.code)
            continue
        assert done.again == (note in entered)
        entered[note] = item, packs
        assert sum(done.purchase.received) == sum(packs for _, packs in entered.values())
        for line, came_in, left in zip(
            order.order.lines, done.purchase.received, done.purchase.open_packs, strict=True
        ):
            assert left == line.packs - came_in
    assert codes <= {"delivery-over"}
    now = buying.show_order(desk, by("odo"), order.label).purchase
    rest = [
        (line.sku, left) for line, left in zip(now.order.lines, now.open_packs, strict=True) if left
    ]
    if rest:
        receiving.receive_delivery(desk, by("pia"), order.label, ToldDelivery(rest, "rest"))
    whole = prepared(furnished(FakeStore()))
    once = placed(whole)
    receiving.receive_delivery(
        whole,
        by("pia"),
        once.label,
        ToldDelivery([(line.sku, line.packs) for line in once.order.lines]),
    )
    ends = [buying.show_order(each, by("odo"), order.label).purchase for each in (desk, whole)]
    assert ends[0].received == ends[1].received
    assert {each.state for each in ends} == {PurchaseState.CLOSED}
    for item in (CODED, OTHER):
        assert on_hand(desk, item) == on_hand(whole, item)
