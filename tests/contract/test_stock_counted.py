"""Bins counted by somebody, on every store."""

from datetime import timedelta
from itertools import count

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.support.fake_store import FakeStore
from tests.support.house import sample
from tests.support.jobs import START, by, furnished

from wholekit.domain.errors import CallError, ConflictError
from wholekit.domain.quotes import Person, PersonRole
from wholekit.domain.stock import Balance, Slips, StockPlace, sums_of
from wholekit.services import counts, stock, stock_value
from wholekit.services.counts import CountedItem, CountEntry, CountWhere
from wholekit.services.customers import set_person
from wholekit.services.paging import Page
from wholekit.services.sheet_codes import SheetCode
from wholekit.services.stock import ToldItem

BOOK = sample("tarrowby")
ITEM, OTHER = [item for item in BOOK.items if 5 <= BOOK.counts.get(item.sku, 0) <= 9][:2]
IT, KEY, OTHER_KEY = ToldItem(ITEM.sku), (ITEM.supplier, ITEM.sku), (OTHER.supplier, OTHER.sku)
HERE, NEXT = StockPlace("main", "A-91"), StockPlace("main", "A-92")
_NUMBERS = count(1)


def move(desk, *made):
    """What each asks of slips of its own, written down."""
    with desk.store.writing() as uow:
        slips = Slips(f"deed-{next(_NUMBERS)}", START, "odo")
        uow.stock.move([each(slips) for each in made])
        uow.commit()


def there(desk, key=KEY, place=HERE):
    with desk.store.reading() as uow:
        return uow.stock.bins_of([key]).get(key, {}).get(place, 0)


def enter(desk, packs, sheet="", place=HERE, who="pia", **more):
    found = (CountedItem(IT, place.bin, packs),)
    return counts.enter_count(desk, by(who), CountEntry(found, sheet=sheet, **more))


@pytest.fixture
def room(desk):
    """The house with a picker; six of one item in a bin of its own."""
    set_person(desk, by("odo"), Person("pia", PersonRole.PICKER))
    move(desk, lambda one: one.receipt(KEY, 6, HERE))
    return desk


def test_a_sheet_names_what_lies_there_and_not_how_many(room):
    move(room, lambda one: one.receipt(OTHER_KEY, 2, StockPlace("main", "B-1")))
    sheet = counts.count_sheet(room, by(), CountWhere(bin=HERE.bin))
    assert [(row.item, row.bin) for row in sheet.rows] == [(KEY, HERE.bin)]
    assert not hasattr(sheet.rows[0], "on_hand")
    zone = counts.count_sheet(room, by(), CountWhere(zone="B"))
    assert (OTHER_KEY, "B-1") in [(row.item, row.bin) for row in zone.rows]
    assert {row.bin.partition("-")[0] for row in zone.rows} == {"B"}
    assert len(counts.count_sheet(room, by(), CountWhere()).rows) > len(zone.rows)


def test_what_differs_is_written_down_and_what_does_not_is_not(room):
    done = enter(room, 4)
    assert [(line.book, line.counted, line.difference) for line in done.lines] == [(6, 4, -2)]
    assert [(one.kind, one.packs, one.who) for one in done.movements] == [("count", 2, "pia")]
    assert enter(room, 4).movements == ()
    assert there(room) == 4
    assert enter(room, 9).movements[0].packs == 5
    with room.store.reading() as uow:
        noted = uow.audit.of_subject("count", f"{done.sheet}/main/{HERE.bin}")
    assert [(one.who, one.after) for one in noted] == [("pia", {"counted": {"/".join(KEY): 4}})]


def test_the_same_sheet_entered_twice_counts_once_and_otherwise_not_at_all(room):
    sheet = counts.count_sheet(room, by(), CountWhere(bin=HERE.bin)).code
    assert len(sheet) < 16
    assert sheet != counts.count_sheet(room, by(), CountWhere(bin=HERE.bin)).code
    for at in range(len(sheet)):
        # ISO/IEC 7064, MOD 37-2, finds every changed character (from memory, not read).
        misread = sheet[:at] + ("1" if sheet[at] != "1" else "7") + sheet[at + 1 :]
        with pytest.raises(CallError, match="count-sheet-unknown"):
            enter(room, 4, misread)
    assert len(enter(room, 4, f" {sheet.lower()} ").movements) == 1
    move(room, lambda one: one.receipt(KEY, 3, HERE))
    again = enter(room, 4, sheet)
    assert (again.again, again.lines, again.movements) == ((HERE.bin,), (), ())
    with pytest.raises(ConflictError, match="count-differs"):
        enter(room, 5, sheet)
    assert there(room) == 7
    # Of the same sheet another bin is another count.
    assert len(enter(room, 1, sheet, NEXT).movements) == 1


def test_what_moved_since_the_sheet_is_neither_missing_nor_too_much(room):
    sheet = counts.count_sheet(room, by(), CountWhere(bin=HERE.bin)).code
    move(
        room,
        lambda one: one.scrap(KEY, 2, HERE, "bent"),
        lambda one: one.receipt(OTHER_KEY, 1, HERE),
    )
    done = enter(room, 5, sheet)
    assert [(line.book, line.difference, line.moved) for line in done.lines] == [(6, -1, -2)]
    assert (there(room), there(room, OTHER_KEY)) == (3, 1)
    late = counts.count_sheet(room, by(), CountWhere(bin=HERE.bin)).code
    move(room, lambda one: one.scrap(KEY, 3, HERE, "bent"))
    with pytest.raises(CallError, match="count-overtaken"):
        enter(room, 1, late, rest_zero=True)


def test_what_is_not_named_is_asked_for_or_is_none(room):
    move(room, lambda one: one.receipt(OTHER_KEY, 2, HERE))
    with pytest.raises(CallError, match="count-items-left") as refused:
        enter(room, 4)
    assert refused.value.fields["skus"] == [OTHER.sku]
    assert there(room) == 6
    enter(room, 4, rest_zero=True)
    assert (there(room), there(room, OTHER_KEY)) == (4, 0)
    empty = counts.enter_count(room, by("pia"), CountEntry((), bins=(HERE.bin,), rest_zero=True))
    assert [line.difference for line in empty.lines] == [-4]


def test_the_latest_promises_give_way_unless_another_bin_makes_up_for_them(room):
    free = stock.show_stock(room, by(), IT).balances["main"].free
    move(room, lambda one: one.reserve(KEY, free - 2, "main", "first"))
    move(room, lambda one: one.reserve(KEY, 2, "main", "second"))
    moved = CountEntry((CountedItem(IT, HERE.bin, 1), CountedItem(IT, NEXT.bin, 5)))
    assert counts.enter_count(room, by("pia"), moved).waiting == ()
    done = counts.enter_count(
        room, by("pia"), CountEntry((CountedItem(IT, HERE.bin, 0), CountedItem(IT, NEXT.bin, 3)))
    )
    assert done.waiting == ((KEY, "second", 2), (KEY, "first", 1))
    assert [one.kind for one in done.movements] == ["unreserve", "unreserve", "count", "count"]
    assert stock.show_stock(room, by(), IT).balances["main"] == Balance(free - 3, free - 3)


@pytest.mark.parametrize(
    ("entry", "code"),
    [
        (CountEntry(()), "count-empty"),
        (CountEntry((CountedItem(IT, "Z", 1), CountedItem(IT, "Z", 1))), "count-twice"),
        (CountEntry((CountedItem(IT, "Z", -1),)), "packs-out-of-range"),
        (CountEntry((CountedItem(ToldItem("NO-1"), "Z", 1),)), "stock-item-unknown"),
        (CountEntry((CountedItem(IT, "Z", 1),), branch="east"), "branch-unknown"),
        (CountEntry((CountedItem(IT, "Z", 1),), sheet="x-1"), "count-sheet-unknown"),
        (
            CountEntry((CountedItem(IT, "Z", 1),), sheet=str(SheetCode(999_999, "ABCDE"))),
            "count-sheet-unknown",
        ),
    ],
)
def test_a_count_that_cannot_be_is_refused_whole(room, entry, code):
    before = stock.stock_history(room, by(), IT, Page())
    with pytest.raises(CallError, match=code):
        counts.enter_count(room, by("pia"), entry)
    assert stock.stock_history(room, by(), IT, Page()) == before


def test_costs_are_those_of_the_newest_books(room):
    costs = stock_value.item_costs(room, by("odo"))
    assert costs[KEY] == ITEM.cost
    with pytest.raises(CallError, match="owner-needed"):
        stock_value.item_costs(room, by("pia"))


@settings(max_examples=40)
@given(
    before=st.integers(0, 9),
    counted=st.integers(0, 9),
    between=st.lists(st.tuples(st.sampled_from(["in", "out", "away"]), st.integers(1, 3))),
)
def test_after_a_count_the_bin_holds_what_was_counted_and_what_came_between(
    before, counted, between
):
    desk = furnished(FakeStore())
    if before:
        move(desk, lambda one: one.receipt(KEY, before, HERE))
    sheet = counts.count_sheet(desk, by(), CountWhere(bin=HERE.bin)).code
    came = 0
    for way, packs in between:
        if way != "in" and before + came < packs:
            continue
        came += packs if way == "in" else -packs
        move(
            desk,
            {
                "in": lambda one, n=packs: one.receipt(KEY, n, HERE),
                "out": lambda one, n=packs: one.scrap(KEY, n, HERE, "bent"),
                "away": lambda one, n=packs: one.transfer(KEY, n, HERE, NEXT),
            }[way],
        )
    if counted + came < 0:
        with pytest.raises(CallError, match="count-overtaken"):
            enter(desk, counted, sheet, who="odo")
        return
    for _ in range(2):
        enter(desk, counted, sheet, who="odo")
        assert there(desk) == counted + came


def test_what_lay_there_on_a_day_is_what_the_movements_until_then_come_to(room):
    later = START + timedelta(days=2)
    with room.store.writing() as uow:
        slips = Slips("later", later, "odo")
        moves = slips.scrap(KEY, 2, HERE, "bent"), slips.transfer(KEY, 1, HERE, NEXT)
        uow.stock.move(moves)
        uow.commit()
    with room.store.reading() as uow:
        (moved, _) = uow.stock.history(Page(0, 10_000), item=KEY)
    wanted = 0
    for days in range(-1, 4):
        day = (START + timedelta(days=days)).date()
        kept = sums_of(one for one in moved if one.at.date() <= day)
        wanted = sum(balance.on_hand for balance in kept.branches.values())
        valued = {each.item: each for each in stock_value.stock_on(room, by("odo"), day)}
        assert (valued[KEY].packs if KEY in valued else 0) == wanted
        assert KEY not in valued or valued[KEY].cost == ITEM.cost
    assert wanted == stock.show_stock(room, by(), IT).balances["main"].on_hand
