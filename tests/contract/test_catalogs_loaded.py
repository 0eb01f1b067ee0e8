"""Catalogues loaded and looked through, on every store: sheets that are remembered, rises."""

from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction

import pytest
from tests.support.house import RULES, sample
from tests.support.jobs import a_job, by, desk_on, put_catalog

from wholekit.domain.catalog.changes import catalog_changes
from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.catalog.price_sheet import PriceSheet
from wholekit.domain.catalog.rises import PriceRise, raised
from wholekit.domain.errors import CallError, ConflictError
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes import CatalogRef
from wholekit.intake.price_sheet import read_price_sheet
from wholekit.services.catalog_browse import browse, browse_item
from wholekit.services.catalog_loads import load_shown, plan_rise, plan_sheet
from wholekit.services.catalogs import stored_with_cost
from wholekit.services.paging import Page
from wholekit.services.price_sheets import clear_price_sheet, kept_price_sheet
from wholekit.services.quotes import issue_quote
from wholekit.services.quotes_touched import quotes_touched
from wholekit.services.rises import drop_rise, note_rise, planned_like, planned_rises

FINISHES = frozenset(FinishBook(RULES).codes)
SIX = PriceRise(Fraction(6, 100), by().day)
ODO = by("odo")
SHEET = b"Number;Each;Ours\nTG-B1;198.22;96.00\nTG-B2;188.10;89.10\n"
TOLD = PriceSheet("", {"Number": "sku", "Each": "list", "Ours": "cost"})


def planned(desk, data=SHEET, told=TOLD):
    stored = stored_with_cost(desk.store, ODO, "tarrowby").catalog
    kept = kept_price_sheet(desk.store, ODO, "tarrowby")
    known = PriceSheet() if kept is None else kept.told
    read = read_price_sheet(data, "sheet.csv", stored, ODO.day, FINISHES, known, told)
    assert read.problems == ()
    assert read.catalog is not None
    return plan_sheet(desk.store, ODO, read.catalog, read.told)


def kept_told(desk):
    kept = kept_price_sheet(desk.store, ODO, "tarrowby")
    return None if kept is None else kept.told


def audited(desk):
    with desk.store.reading() as uow:
        return [entry.action for entry in uow.audit.of_subject("catalog", "tarrowby")]


def test_a_sheet_is_loaded_as_it_was_shown_and_its_columns_are_remembered(desk):
    plan = planned(desk)
    # By hand: 187.00 to 198.22 is +6 %, 198.00 to 188.10 is -5 %; of 237 items: 1 % / 237.
    assert plan.changes.average_of_moved == Fraction(1, 200)
    assert plan.changes.average_rise == Fraction(1, 100) / 237
    ref = load_shown(desk.store, ODO, plan, plan.seal)
    assert ref == CatalogRef("tarrowby", 2)
    after = stored_with_cost(desk.store, ODO, "tarrowby").catalog
    first, second, third = after.items[:3]
    assert (first.list_price, first.cost) == (Money(19_822, "USD"), Cost(960_000, "USD"))
    assert (second.list_price, second.cost) == (Money(18_810, "USD"), Cost(891_000, "USD"))
    assert replace(third, row=0) == replace(sample("tarrowby").items[2], row=0)
    assert kept_told(desk) == TOLD
    assert audited(desk)[-2:] == ["catalog-loaded", "price-sheet-kept"]
    # The next sheet is read without a word about its columns.
    again = planned(desk, SHEET.replace(b"198.22", b"200.00"), told=None)
    assert [each.after.sku for each in again.changes.changed] == ["TG-B1"]
    clear_price_sheet(desk.store, ODO, "tarrowby")
    assert kept_told(desk) == PriceSheet()
    with pytest.raises(CallError):
        clear_price_sheet(desk.store, ODO, "tarrowby")


def test_what_is_other_than_it_was_shown_is_not_loaded(desk):
    plan = planned(desk)
    other = planned(desk, SHEET.replace(b"198.22", b"198.23"))
    with pytest.raises(ConflictError) as caught:
        load_shown(desk.store, ODO, other, plan.seal)
    assert caught.value.code == "catalog-other-than-shown"
    put_catalog(desk.store, raised(sample("tarrowby"), SIX))
    for stale, seal in ((plan, plan.seal), (planned(desk), plan.seal)):
        with pytest.raises(ConflictError):
            load_shown(desk.store, ODO, stale, seal)
    assert stored_with_cost(desk.store, ODO, "tarrowby").ref.revision == 2
    assert kept_price_sheet(desk.store, ODO, "tarrowby") is None


def test_a_rise_is_noted_until_its_day_and_gone_once_loaded(desk):
    later = replace(SIX, day=ODO.day + timedelta(days=40), series="granite")
    noted = note_rise(desk, ODO, "tarrowby", later)
    assert list(planned_rises(desk.store, ODO)) == [noted]
    with pytest.raises(CallError) as twice:
        note_rise(desk, ODO, "tarrowby", later)
    assert twice.value.code == "rise-noted-already"
    plan = plan_rise(desk.store, ODO, "tarrowby", later, noted.id)
    with pytest.raises(CallError) as early:
        load_shown(desk.store, ODO, plan, plan.seal)
    assert early.value.code == "rise-not-yet"
    then = by("odo", days=40)
    assert planned_like(desk.store, then, "tarrowby", later) == noted.id
    load_shown(desk.store, then, plan, plan.seal)
    assert not planned_rises(desk.store, then)
    assert stored_with_cost(desk.store, then, "tarrowby").catalog.edition == later.day
    other = note_rise(desk, then, "tarrowby", replace(later, day=date(2030, 1, 1)))
    drop_rise(desk.store, then, other.id)
    assert not planned_rises(desk.store, then)
    assert audited(desk)[-4:] == ["rise-noted", "catalog-loaded", "rise-noted", "rise-dropped"]


@pytest.mark.parametrize(
    ("rise", "code"),
    [
        (replace(SIX, series="marble"), "rise-series-unknown"),
        (replace(SIX, share=Fraction(0)), "rise-share-wrong"),
        (replace(SIX, share=Fraction(6)), "rise-share-wrong"),
        (replace(SIX, share=Fraction(1, 30)), "rise-share-wrong"),
    ],
)
def test_what_is_no_rise_is_refused(desk, rise, code):
    with pytest.raises(CallError) as caught:
        note_rise(desk, ODO, "tarrowby", rise)
    assert caught.value.code == code


def test_open_quotes_that_a_rise_touches_are_told_with_what_they_lose(desk):
    issue_quote(desk_on(desk.store), by(), a_job(desk, "101").label)
    (touched,) = quotes_touched(desk, ODO, plan_rise(desk.store, ODO, "tarrowby", SIX).changes)
    price, cost = touched.now.now.price, touched.now.now.cost
    assert touched.then.now.price == price, "what was quoted stays quoted"
    # Each line's cost is rounded to its fourth decimal: a sum of them is within one unit a line.
    assert abs(touched.then.now.cost.units - cost.scaled(Fraction(106, 100)).units) <= 20
    # And each unit price to its cent.
    assert abs(touched.dearer.minor - price.scaled(Fraction(6, 100)).minor) <= 40
    assert touched.lines > 3
    gone = replace(sample("tarrowby"), items=())
    (lost,) = quotes_touched(desk, ODO, catalog_changes(sample("tarrowby"), gone))
    assert (lost.lines, lost.dearer.minor) == (0, 0)
    assert len(lost.gone) >= touched.lines
    nothing = catalog_changes(sample("tarrowby"), sample("tarrowby"))
    assert quotes_touched(desk, ODO, nothing) == ()


def test_a_book_is_looked_through_by_text_and_series_and_page(desk):
    whole = sample("tarrowby")
    book = browse(desk.store, ODO, "tarrowby", "GRANITE BODY", page=Page(2, 3))
    wanted = [item for item in whole.items if "granite body" in item.description.casefold()]
    assert book.count == len(wanted)
    assert [each.item for each in book.items] == wanted[2:5]
    pebbles = browse(desk.store, ODO, "tarrowby", series="pebble", page=Page(0, 1_000))
    ids = {piece.id for series in whole.series if series.id == "pebble" for piece in series.pieces}
    assert {each.item.sku for each in pebbles.items} == {
        item.sku for item in whole.items if ids & {supply.piece for supply in item.supplies}
    }
    (one,) = browse_item(desk.store, ODO, "tarrowby", "TG-B1").items
    assert (one.item, one.on_hand, one.price) == (whole.items[0], 4, whole.items[0].list_price)
    for call in (lambda: browse_item(desk.store, ODO, "tarrowby", "TG-B"),
                 lambda: browse(desk.store, ODO, "marble"),
                 lambda: browse(desk.store, ODO, "tarrowby", revision=7)):  # fmt: skip
        with pytest.raises(CallError):
            call()


def test_counter_sees_no_cost_and_who_picks_no_money(desk):
    from wholekit.domain.quotes import Person, PersonRole
    from wholekit.services.customers import set_person

    set_person(desk, ODO, Person("pia", PersonRole.PICKER))
    counter, picker = (browse_item(desk.store, by(who), "tarrowby", "TG-B1").items[0]
                       for who in ("ines", "pia"))  # fmt: skip
    assert counter.price == sample("tarrowby").items[0].list_price
    assert (counter.cost, picker.cost, picker.price) == (None, None, None)
    assert counter.item.cost.units == picker.item.cost.units == picker.item.list_price.minor == 0
