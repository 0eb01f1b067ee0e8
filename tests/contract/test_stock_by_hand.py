"""Stock received, moved, adjusted and thrown away by somebody, on every store."""

from dataclasses import replace

import pytest
from tests.support.house import sample
from tests.support.jobs import START, by, put_catalog

from wholekit.domain.errors import CallError, ConflictError
from wholekit.domain.quotes import Person, PersonRole
from wholekit.domain.stock import Balance, Slips, StockPlace
from wholekit.services import stock
from wholekit.services.customers import set_person
from wholekit.services.paging import Page
from wholekit.services.stock import ToldItem, ToldPlace
from wholekit.services.stock_port import Branch, StockFilter

BOOK = sample("tarrowby")
ITEM = next(item for item in BOOK.items if 5 <= BOOK.counts.get(item.sku, 0) <= 9 and item.bin)
KEY, COUNT = (ITEM.supplier, ITEM.sku), BOOK.counts[ITEM.sku]
IT = ToldItem(ITEM.sku)
HOME = StockPlace("main", ITEM.bin)


@pytest.fixture
def room(desk):
    """The house with a picker and a second branch."""
    set_person(desk, by("odo"), Person("pia", PersonRole.PICKER))
    stock.add_branch(desk, by("odo"), Branch("north", " North   yard "))
    return desk


def promise(desk, **bags):
    slips = Slips(f"promise-{'-'.join(bags)}", START, "odo")
    with desk.store.writing() as uow:
        uow.stock.move([slips.reserve(KEY, packs, "main", bag) for bag, packs in bags.items()])
        uow.commit()


def test_packs_go_where_the_item_lies_unless_another_bin_is_named(room):
    done = stock.receive_stock(room, by("pia"), IT, 4, ToldPlace())
    assert done.stock.bins == {HOME: COUNT + 4}
    done = stock.receive_stock(room, by("pia"), IT, 1, ToldPlace("north", "N-01"), " a box  found ")
    assert done.stock.balances == {"main": Balance(COUNT + 4, 0), "north": Balance(1, 0)}
    done = stock.move_stock(room, by("pia"), IT, 2, ToldPlace(), ToldPlace("north"))
    assert done.stock.bins == {HOME: COUNT + 2, StockPlace("north", "N-01"): 3}
    found, count = stock.stock_history(room, by(), IT, Page())
    assert [(one.kind, one.packs, one.who) for one in found] == [
        ("transfer", 2, "pia"), ("receipt", 1, "pia"), ("receipt", 4, "pia"),
        ("opening", COUNT, "odo"),
    ]  # fmt: skip
    assert (found[1].reason, count) == ("a box found", 4)
    assert stock.show_stock(room, by(), ToldItem(f" {ITEM.sku.lower()} ")) == done.stock
    rows, total = stock.list_stock(room, by(), StockFilter(branch="north"), Page())
    assert ([row.item for row in rows], total) == ([KEY], 1)


def test_what_lies_nowhere_goes_into_the_bin_of_its_price_book_at_the_main_branch(room):
    """A newer book's bin counts, and a branch has bins of its own."""
    stock.scrap_stock(room, by("pia"), IT, COUNT, ToldPlace(), "water")
    moved = tuple(
        replace(item, bin="Z-77") if item.sku == ITEM.sku else item for item in BOOK.items
    )
    put_catalog(room.store, replace(BOOK, items=moved))
    done = stock.receive_stock(room, by("pia"), IT, 2, ToldPlace("north"))
    assert done.stock.bins == {StockPlace("north"): 2}
    stock.receive_stock(room, by("pia"), IT, 3, ToldPlace())
    done = stock.receive_stock(room, by("pia"), IT, 1, ToldPlace())
    assert done.stock.bins == {StockPlace("north"): 2, StockPlace("main", "Z-77"): 4}
    stock.scrap_stock(room, by("pia"), IT, 4, ToldPlace(), "water")
    done = stock.receive_stock(room, by("pia"), IT, 1, ToldPlace(bin=""))
    assert done.stock.bins == {StockPlace("main"): 1, StockPlace("north"): 2}


def test_where_a_loss_leaves_too_little_the_latest_promises_go_back_to_waiting(room):
    promise(room, first=COUNT - 3)
    promise(room, second=2)
    # One is free: it goes first, and no promise for it.
    done = stock.scrap_stock(room, by("pia"), IT, 1, ToldPlace(), "bent")
    assert (done.waiting, done.stock.balances["main"].free) == ((), 0)
    done = stock.adjust_stock(room, by("pia"), IT, -3, ToldPlace(), "counted")
    assert done.waiting == (("second", 2), ("first", 1))
    assert [one.kind for one in done.movements] == ["unreserve", "unreserve", "adjust"]
    assert {one.reason for one in done.movements} == {"counted"}
    assert done.stock.balances["main"] == Balance(COUNT - 4, COUNT - 4)
    more = stock.adjust_stock(room, by("pia"), IT, 2, ToldPlace(), "found again")
    assert (more.waiting, more.stock.balances["main"].free) == ((), 2)


def test_a_promise_holds_against_whoever_would_move_its_packs_away(room):
    promise(room, first=COUNT)
    for name in (None, ITEM.bin):
        with pytest.raises(CallError, match="stock-short"):
            stock.move_stock(room, by("pia"), IT, 1, ToldPlace(bin=name), ToldPlace("north"))
    done = stock.move_stock(room, by("pia"), IT, 1, ToldPlace(), ToldPlace(bin="Z-01"))
    assert done.stock.balances["main"] == Balance(COUNT, COUNT)


@pytest.mark.parametrize(
    ("deed", "code"),
    [
        (lambda d, w: stock.receive_stock(d, w, IT, 0, ToldPlace()), "packs-out-of-range"),
        (lambda d, w: stock.receive_stock(d, w, IT, 1_000_001, ToldPlace()), "packs-out-of-range"),
        (lambda d, w: stock.adjust_stock(d, w, IT, 0, ToldPlace(), "why"), "packs-out-of-range"),
        (lambda d, w: stock.adjust_stock(d, w, IT, 1, ToldPlace(), "  "), "reason-needed"),
        (lambda d, w: stock.scrap_stock(d, w, IT, 1, ToldPlace(), ""), "reason-needed"),
        (lambda d, w: stock.scrap_stock(d, w, IT, COUNT + 1, ToldPlace(), "bent"), "bin-short"),
        (lambda d, w: stock.receive_stock(d, w, ToldItem("NONE-1"), 1, ToldPlace()),
         "stock-item-unknown"),
        (lambda d, w: stock.show_stock(d, w, ToldItem(ITEM.sku, "Quillmere")),
         "stock-supplier-unknown"),
        (lambda d, w: stock.receive_stock(d, w, IT, 1, ToldPlace("south")), "branch-unknown"),
        (lambda d, w: stock.list_stock(d, w, StockFilter("south"), Page()), "branch-unknown"),
        (lambda d, w: stock.receive_stock(d, w, IT, 1, ToldPlace(bin="x" * 41)), "text-too-long"),
        (lambda d, w: stock.receive_stock(d, w, IT, 1, ToldPlace(bin="A\n1")), "text-not-plain"),
        (lambda d, w: stock.move_stock(d, w, IT, 1, ToldPlace(), ToldPlace()), "move-nowhere"),
        (lambda d, w: stock.add_branch(d, w, Branch(" ", "Nowhere")), "branch-code-needed"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_and_nothing_is_written(room, deed, code):
    before = stock.stock_history(room, by(), IT, Page())
    with pytest.raises(CallError) as refused:
        deed(room, by("odo"))
    assert refused.value.code == code
    assert stock.stock_history(room, by(), IT, Page()) == before


def test_of_several_bins_and_of_several_suppliers_one_is_named(room):
    stock.receive_stock(room, by("pia"), IT, 1, ToldPlace(bin="Z-01"))
    with pytest.raises(CallError, match="bin-needed"):
        stock.scrap_stock(room, by("pia"), IT, 1, ToldPlace(), "bent")
    with room.store.writing() as uow:
        slips = Slips("another", START, "odo")
        uow.stock.move([slips.receipt(("Averlund", ITEM.sku), 7, HOME)])
        uow.commit()
    with pytest.raises(CallError, match="stock-supplier-needed"):
        stock.show_stock(room, by(), IT)
    other = stock.show_stock(room, by(), ToldItem(ITEM.sku, "averlund"))
    assert other.balances == {"main": Balance(7, 0)}
    with pytest.raises(ConflictError, match="branch-taken"):
        stock.add_branch(room, by("odo"), Branch("north", "Again"))
