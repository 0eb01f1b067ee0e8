"""What is bought: enough, never below the least order, never dearer than less would be."""

import math
from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.buying.market import ASKED, WEEK, an_item, breaks, items, markets, short

from wholekit.domain.buying import (
    Coming,
    Shortage,
    StockPosition,
    buy_list,
    price_at,
    quantity_to_buy,
)
from wholekit.domain.buying.buy_list import WhyNotBought
from wholekit.domain.quantities import Cost

KEY = ("Maker", "A")


def bought(item, *shortages, stock=(), others=()):
    books = {(each.supplier, each.sku): each for each in (item, *others)}
    return buy_list(shortages, stock, books, WEEK, ASKED)


def one_line(*args, **more):
    (supplier,) = bought(*args, **more).suppliers
    (line,) = supplier.lines
    return line


@given(items(), st.integers(1, 40))
def test_the_quantity_is_the_cheapest_that_covers_the_need_and_the_smallest_of_those(item, needed):
    order = quantity_to_buy(item, needed)
    assert order.packs >= max(needed, item.terms.least_order)
    every = range(max(needed, item.terms.least_order), 80)
    cheapest = min(every, key=lambda packs: (price_at(item, packs).total, packs))
    assert order == price_at(item, cheapest)


def test_more_is_bought_where_a_break_makes_it_cost_less_and_the_line_says_so():
    item = an_item(cost=42_000, price_breaks=breaks((10, 35_000), (50, 30_000)))
    line = one_line(item, short(9))
    assert (line.least, line.order.packs, line.order.total) == (9, 10, Cost(350_000, "USD"))
    assert line.saves == Cost(9 * 42_000 - 350_000, "USD")
    assert line.next_break == item.terms.price_breaks[1]
    line = one_line(item, short(8))
    assert (line.order.packs, line.saves, line.next_break) == (
        8,
        Cost(0, "USD"),
        breaks((10, 35_000))[0],
    )


@given(markets(), st.randoms(use_true_random=False))
def test_lists_hold_enough_of_each_one_supplier_each_whatever_the_order(market, random):
    books, shortages, stock = market
    found = buy_list(shortages, stock, books, WEEK, ASKED)
    mixed = [*shortages], [*stock], [*books.items()]
    for each in mixed:
        random.shuffle(each)
    assert buy_list(mixed[0], mixed[1], dict(mixed[2]), WEEK, ASKED) == found

    lines = {(line.item.supplier, line.item.sku): line
             for supplier in found.suppliers for line in supplier.lines}  # fmt: skip
    assert len(lines) == sum(len(supplier.lines) for supplier in found.suppliers)
    for supplier in found.suppliers:
        assert {line.item.supplier for line in supplier.lines} == {supplier.supplier}
        assert supplier.total.units == sum(line.order.total.units for line in supplier.lines)
    refused = {each.item: each for each in found.not_bought}
    positions = {position.item: position for position in stock}
    for key in {*positions, *(shortage.item for shortage in shortages)}:
        item = books.get(key)
        position = positions.get(key, StockPosition(key))
        whole = not (item and item.terms.breakable)
        each = [one.packs for one in shortages if one.item == key]
        wanted = math.ceil(sum(map(math.ceil, each)) if whole else sum(each))
        uncovered = max(0, wanted - position.on_order)
        if item is None or item.discontinued:
            assert key not in lines
            assert (refused[key].packs if key in refused else 0) == uncovered
            continue
        assert key not in refused
        packs = lines[key].order.packs if key in lines else 0
        assert packs >= uncovered
        if packs:
            assert packs >= item.terms.least_order
            assert len(lines[key].shortages) == len(each)
        if item.terms.reorder_at is not None:
            assert position.free + position.on_order - wanted + packs > item.terms.reorder_at
        elif not uncovered:
            assert not packs


def test_what_is_under_way_covers_first_and_parts_of_a_pack_add_up_where_it_may_be_broken():
    parts = [short(Fraction(4, 10), bag=f"O-1-{bag}") for bag in range(4)]
    assert one_line(an_item(breakable=True), *parts).short == 2
    assert one_line(an_item(), *parts).short == 4
    stock = [StockPosition(KEY, 0, (Coming(3, None),))]
    assert one_line(an_item(), *parts, stock=stock).short == 1
    assert bought(an_item(breakable=True), *parts, stock=stock).suppliers == ()


def test_stock_at_its_reorder_point_is_low_and_above_it_is_not():
    item = an_item(reorder_at=4)
    assert one_line(item, stock=[StockPosition(KEY, 4)]).shelf == 1
    assert bought(item, stock=[StockPosition(KEY, 5)]).suppliers == ()
    assert bought(item, stock=[StockPosition(KEY, 3, (Coming(2, None),))]).suppliers == ()
    line = one_line(item, short(3), stock=[StockPosition(KEY, 0)])
    assert (line.short, line.shelf) == (3, 5)
    assert bought(an_item(), stock=[StockPosition(KEY, 0)]).suppliers == ()


def test_goods_that_come_after_their_promise_are_named_with_the_day():
    """Five working days from Thursday 26 November over a holiday on the Friday: 4 December."""
    item = an_item(lead_days=5)
    first, second, third = (
        short(2, days=8, bag="a"), short(2, days=9, bag="b"), short(1, days=7, bag="c"),
    )  # fmt: skip
    found = bought(item, second, first, third)
    assert found.suppliers[0].lines[0].arrives == date(2026, 12, 4)
    assert found.suppliers[0].lines[0].shortages == (third, first, second)
    assert [(each.shortage.bag, each.day) for each in found.late] == [("c", date(2026, 12, 4))]
    under_way = StockPosition(KEY, 0, (Coming(1, None), Coming(2, date(2026, 12, 3))))
    found = bought(item, first, second, third, stock=[under_way])
    assert [(each.shortage.bag, each.day) for each in found.late] == [("a", None)]
    unknown = bought(replace(item, lead_days=0), first, short(1, bag="none promised"))
    assert [(each.shortage.bag, each.day) for each in unknown.late] == [("a", None)]


def test_what_no_book_has_or_is_discontinued_is_told_and_never_swapped():
    new = an_item("A2")
    old = an_item(discontinued=True, replaced_by="A2", reorder_at=5)
    found = bought(old, short(2), short(1, ("Maker", "gone")), others=[new])
    assert found.suppliers == ()
    assert [
        (each.item[1], each.packs, each.why, each.replaced_by) for each in found.not_bought
    ] == [
        ("A", 2, WhyNotBought.DISCONTINUED, "A2"),
        ("gone", 1, WhyNotBought.UNKNOWN, None),
    ]


def test_a_cheaper_equal_is_named_and_the_item_asked_for_is_bought():
    single = an_item(cost=5_060, substitutes=("A25", "OLD", "BOX"))
    pack = an_item("A25", cost=95_550, pieces=25, breakable=True, lead_days=3)
    old = an_item("OLD", cost=1, discontinued=True, replaced_by="A")
    box = an_item("BOX", cost=5_000, pieces=25)
    line = one_line(single, short(20), others=[pack, old, box])
    assert line.item.sku == "A"
    assert [(each.item.sku, each.priced.packs, each.saves.units) for each in line.cheaper] == [
        ("A25", 1, 20 * 5_060 - 95_550),
        ("BOX", 20, 20 * 60),
    ]
    assert line.cheaper[0].arrives == date(2026, 12, 2)
    assert one_line(single, short(18), others=[pack]).cheaper == ()
    assert one_line(pack, short(1, ("Maker", "A25")), others=[single]).cheaper == (), "one way"


def test_the_same_article_of_another_supplier_is_an_equal_in_the_same_currency():
    here = an_item(barcode="2990000000187")
    there = an_item("Z", "Other", 9_9999, barcode="02990000000187")
    abroad = an_item("Y", "Third", 1, currency="EUR", barcode="2990000000187")
    line = one_line(here, short(3), others=[there, abroad])
    assert [(each.item.supplier, each.same, each.saves) for each in line.cheaper] == [
        ("Other", True, Cost(3, "USD"))
    ]
    least = replace(there, terms=replace(there.terms, least_order=4))
    assert one_line(here, short(3), others=[least]).cheaper == ()


def test_two_positions_of_one_item_or_nothing_short_are_mistakes_of_the_caller():
    with pytest.raises(ValueError, match="two positions"):
        bought(an_item(), stock=[StockPosition(KEY), StockPosition(KEY, 1)])
    with pytest.raises(ValueError, match="short"):
        Shortage(KEY, Fraction(0), None, "O-1", "O-1-1")
    with pytest.raises(ValueError, match="needed"):
        quantity_to_buy(an_item(), 0)
