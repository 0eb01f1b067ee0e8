"""Pieces that a bag leaves over, back on the shelf as loose stock, on every store."""

# mypy: disable-error-code="union-attr"

from collections import Counter
from dataclasses import replace

import pytest
from tests.contract.test_orders_in_a_store import accepted, enough
from tests.support.house import sample
from tests.support.jobs import by, furnished, put_catalog

from wholekit.documents.fill_shipment import shipment_paper
from wholekit.documents.make_flow import make_flow
from wholekit.documents.packing_slip import TakenOut
from wholekit.domain.errors import CallError
from wholekit.domain.picking import BagClosed, LoosePacks, ScanRefused
from wholekit.domain.quotes import Person, PersonRole
from wholekit.domain.stock import StockPlace
from wholekit.services import picks, unpacking, waves
from wholekit.services.customers import set_person
from wholekit.services.paging import Page
from wholekit.services.shipping import ship_bags, shipment_shown
from wholekit.services.stock import ToldItem, ToldPlace, adjust_stock
from wholekit.settings import bundled

BOOK = sample("quillmere")
BREAKABLE = replace(
    BOOK,
    items=tuple(replace(one, terms=replace(one.terms, breakable=True)) for one in BOOK.items),
)
HOME = {item.sku: item.bin for item in BOOK.items}


@pytest.fixture
def room(store):
    desk = furnished(store, "quillmere")
    put_catalog(store, BREAKABLE)
    set_person(desk, by("odo"), Person("pia", PersonRole.PICKER))
    return desk


def refusal(done):
    assert isinstance(done.answer, ScanRefused), done.answer
    return done.answer.code


def whole_bag(desk):
    """A bag in which all is, not closed yet."""
    label = accepted(desk, "101")
    enough(desk, label)
    wave = waves.open_wave(desk, by("pia"))
    (row, bag), *_ = wave.bags
    picks.scan(desk, by("pia"), wave.number, row.id)
    for line in bag.remaining:
        picks.scan(desk, by("pia"), wave.number, f"{line.packs}*{line.ware.sku}", into=row.id)
    return row.id


def there(desk, *skus):
    with desk.store.reading() as uow:
        found = uow.stock.bins_of([(BOOK.supplier, sku) for sku in skus])
    return Counter({item[1]: sum(bins.values()) for item, bins in found.items()})


def test_what_is_left_over_goes_back_as_it_closes_and_comes_off_when_it_is_unpacked(room):
    bag = whole_bag(room)
    left, loose = picks.left_over(room, by("pia"), bag)
    assert left
    assert {one.loose for one in left} == {one.count for one in left}
    packs = {each.item[1]: each.packs for each in loose}
    assert packs
    sku, most = min(packs.items())
    before = there(room, sku)
    for told, code in (
        ([(sku, most + 1)], "loose-too-many"),
        ([(sku, most), (sku, 1)], "loose-too-many"),
        ([(sku, 0)], "loose-too-many"),
        ([("NO-SUCH", 1)], "loose-unknown"),
        ([(BOOK.items[0].sku, 1)], "loose-not-left"),
    ):
        done = picks.close_bag(room, by("pia"), bag, told)
        assert refusal(done) == code
        assert there(room, sku) == before
    done = picks.close_bag(room, by("pia"), bag, [(sku.lower(), most)])
    assert isinstance(done.answer, BagClosed)
    (put,) = done.answer.loose
    assert put == LoosePacks((BOOK.supplier, sku), most, HOME[sku])
    assert there(room, sku)[sku] == before[sku] + most
    row, _, packed = picks.bag_shown(room, by("ines"), bag)
    assert row.packed is not None
    assert row.packed.loose == packed.loose == (put,)
    assert refusal(picks.close_bag(room, by("pia"), bag, [(sku, 1)])) == "bag-closed-already"
    with room.store.reading() as uow:
        (move, *_), _ = uow.stock.history(Page(0, 5), put.item)
    assert (move.kind, move.reason, move.target.place) == (
        "adjust", bag, StockPlace("main", HOME[sku]),
    )  # fmt: skip
    # Somebody took one of them: the pack cannot be made whole again.
    at = ToldPlace("main", HOME[sku])
    adjust_stock(room, by("odo"), ToldItem(sku), -1 - before[sku], at, "sold loose")
    with pytest.raises(CallError, match="bag-loose-gone") as refused:
        unpacking.unpack_bag(room, by("pia"), bag, "amiss")
    assert (refused.value.fields["there"], refused.value.fields["packs"]) == (most - 1, most)
    adjust_stock(room, by("odo"), ToldItem(sku), 1, at, "brought back")
    unpacking.unpack_bag(room, by("pia"), bag, "amiss")
    assert there(room, sku)[sku] == 0
    assert picks.bag_shown(room, by("ines"), bag)[2].loose == ()


def test_a_slip_says_how_many_of_which_were_taken_out_of_which_bags(room):
    bag = whole_bag(room)
    _, loose = picks.left_over(room, by("pia"), bag)
    out = [(each.item[1], each.packs) for each in loose][:1]
    assert isinstance(picks.close_bag(room, by("pia"), bag, out).answer, BagClosed)
    row = picks.bag_shown(room, by("pia"), bag)[0]
    with room.store.reading() as uow:
        order = uow.orders.get(row.order)
    gone = ship_bags(room, by("pia"), order.label).shipment
    slip = shipment_paper(shipment_shown(room, by("pia"), gone.label))
    assert slip.shipment.opened == (TakenOut("101", tuple(sorted(out))),)
    html = "".join(block.html for block in make_flow(slip, bundled("templates")).blocks)
    assert "Taken out of the bags of 101:" in html
    for sku, packs in out:
        assert f"{packs} × {sku}" in html


def test_nothing_of_packs_that_may_not_be_broken_goes_back(store):
    desk = furnished(store, "quillmere")
    set_person(desk, by("odo"), Person("pia", PersonRole.PICKER))
    bag = whole_bag(desk)
    left, loose = picks.left_over(desk, by("pia"), bag)
    assert left
    assert loose == ()
    done = picks.close_bag(desk, by("pia"), bag, [("Q-KS-WS", 1)])
    assert refusal(done) == "loose-not-left"
