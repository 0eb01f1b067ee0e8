"""A shelf is made once for a catalogue revision and a policy, and what is kept stays bounded."""

from dataclasses import replace
from fractions import Fraction

import pytest
from tests.support.house import RULES, sample
from tests.support.jobs import START, a_job, by, desk_on, furnished, plain, put_catalog, set_stock

from wholekit.domain.catalog import item_key
from wholekit.domain.errors import CallError
from wholekit.domain.kits import Policy, Shelf, build_kit, with_offers
from wholekit.domain.kits import shelf as kept_kits
from wholekit.domain.quantities import Length
from wholekit.domain.quotes import CatalogRef
from wholekit.domain.stock import Slips, StockPlace
from wholekit.intake.changes import changed
from wholekit.intake.openings import read_opening_changes
from wholekit.services import shelves
from wholekit.services.catalogs import newest_catalogs, stored_catalog
from wholekit.services.choices import choose
from wholekit.services.desk import job_of, shelf_of
from wholekit.services.job_openings import edit_opening
from wholekit.services.jobs import edit_job, job_contents, reprice_job, set_discount
from wholekit.services.one_view import one_view
from wholekit.services.remedies import opening_ways
from wholekit.services.shelves import ShelfKeeper
from wholekit.web.rooms.opening import stating


def stating_all(rules, told):
    return lambda old: changed(old, read_opening_changes(told, rules))


TARROWBY = CatalogRef("tarrowby", 1)


def shelf(desk, *refs, policy=None):
    with desk.store.reading() as uow:
        return desk.shelves.shelf(uow, refs or [TARROWBY], policy or Policy())


def shelf_of_job(desk, job):
    with desk.store.reading() as uow:
        return shelf_of(uow, desk, job_of(uow, job.label))


def test_two_calls_share_the_shelf_and_no_catalogue_is_read_again(store, monkeypatch):
    desk = furnished(store)
    first = shelf(desk)
    with desk.store.reading() as uow:
        monkeypatch.setattr(type(uow.catalogs), "load", None)
        assert desk.shelves.shelf(uow, [TARROWBY], Policy()) is first


def test_another_policy_or_revision_has_a_shelf_of_its_own(store):
    desk = furnished(store)
    job = a_job(desk, "101")
    first = shelf_of_job(desk, job)
    edit_job(desk, by(), job.label, {"stock_first": True})
    assert shelf_of_job(desk, job) is not first
    dearer = sample("tarrowby")
    put_catalog(store, replace(dearer, items=dearer.items[:-1]))
    assert len(shelf_of_job(desk, job).catalogs[0].items) == len(dearer.items)
    reprice_job(desk, by(), job.label)
    assert len(shelf_of_job(desk, job).catalogs[0].items) == len(dearer.items) - 1
    assert len(desk.shelves) == 3


def test_the_shelves_used_longest_ago_are_let_go(store, monkeypatch):
    monkeypatch.setattr(shelves, "MOST_SHELVES", 2)
    desk = furnished(store)
    kept = [shelf(desk, policy=Policy((name,))) for name in ("a", "b")]
    assert shelf(desk, policy=Policy(("a",))) is kept[0]
    shelf(desk, policy=Policy(("c",)))
    assert len(desk.shelves) == 2
    assert shelf(desk, policy=Policy(("a",))) is kept[0]
    assert shelf(desk, policy=Policy(("b",))) is not kept[1]


def test_a_shelf_larger_than_the_bound_is_kept_alone(store, monkeypatch):
    monkeypatch.setattr(shelves, "MOST_ITEMS", 1)
    desk = furnished(store)
    first = shelf(desk)
    assert shelf(desk) is first
    shelf(desk, policy=Policy((), stock_first=True))
    assert len(desk.shelves) == 1


def test_what_a_shelf_remembers_is_forgotten_past_its_bound(store, monkeypatch):
    monkeypatch.setattr(shelves, "MOST_REMEMBERED", 0)
    desk = furnished(store)
    job = a_job(desk, "101")
    from wholekit.services.approvals import review_job

    before = review_job(desk, by(), job.label).workup.job
    kept = shelf(desk)
    assert not kept.eligible
    assert review_job(desk, by(), job.label).workup.job.openings == before.openings


def test_a_revision_that_is_not_there_is_told(store):
    desk = furnished(store)
    for ref in (CatalogRef("tarrowby", 2), CatalogRef("nobody", 1)):
        with pytest.raises(CallError, match="catalog-revision-unknown"):
            shelf(desk, ref)


def test_a_revision_of_another_load_under_the_same_number_is_another(store):
    """As after a restore of the store while the program runs."""
    desk = furnished(store)
    first = shelf(desk)
    keeper: ShelfKeeper = desk.shelves
    ((revisions, policy),) = keeper._shelves
    keeper._shelves = type(keeper._shelves)(
        {((replace(revisions[0], loaded_by="another"),), policy): first}
    )
    assert shelf(desk) is not first


def test_a_kept_shelf_has_what_is_free_now_and_no_catalogue_is_read_for_it(store, monkeypatch):
    desk = furnished(store)
    first = shelf(desk)
    book = sample("tarrowby")
    lasting, ending = (
        next(item for item in book.items if item.sku in book.counts and item.discontinued is ended)
        for ended in (False, True)
    )
    assert first.on_hand(lasting) == book.counts[lasting.sku]
    gone = Slips("lost", START, "pim")
    with store.writing() as uow:
        uow.stock.move([_all_of(gone, book, lasting)])
        uow.commit()
    with desk.store.reading() as uow:
        monkeypatch.setattr(type(uow.catalogs), "load", None)
        second = desk.shelves.shelf(uow, [TARROWBY], Policy())
        assert desk.shelves.shelf(uow, [TARROWBY], Policy()) is second
    assert (second.on_hand(lasting), second.eligible is first.eligible) == (0, True)
    assert first.on_hand(lasting) == book.counts[lasting.sku], "still as it was"
    with store.writing() as uow:
        uow.stock.move([_all_of(gone, book, ending)])
        uow.commit()
    third = shelf(desk)
    # Nobody can have it any more, so that all that was worked out with it is worked out anew.
    assert (third.on_hand(ending), third.eligible is first.eligible) == (0, False)


def test_kits_are_kept_until_any_count_changes_and_told_as_they_were_written(store):
    desk = furnished(store)
    first = shelf(desk)
    feet = plain("101").type
    metric = replace(feet, width=Length(feet.width.nm, "mm"), height=Length(feet.height.nm, "mm"))
    assert metric == feet, "one size, written in two ways"
    kit = build_kit(feet, first, RULES)
    assert build_kit(feet, first, RULES) is kit
    whole = with_offers(kit, first, RULES)
    assert with_offers(kit, first, RULES) is whole
    assert build_kit(metric, first, RULES).type.width.unit == "mm"
    other = replace(RULES)
    assert build_kit(feet, first, other) is not kit, "another rule book works out its own"
    assert build_kit(feet, first, RULES, adjustable=True) is not build_kit(feet, first, RULES)
    set_stock(store, sample("tarrowby"), 7)
    second = shelf(desk)
    for kind in (feet, metric):
        again = build_kit(kind, second, RULES)
        fresh = Shelf(second.catalogs, second.policy, second.stock)
        assert again is not kit
        assert repr(again) == repr(build_kit(kind, fresh, RULES))
        told = repr(with_offers(again, second, RULES))
        assert told == repr(with_offers(build_kit(kind, fresh, RULES), fresh, RULES))


def test_choices_and_ways_out_of_a_kept_shelf_are_those_of_a_new_one(store):
    """Whatever changed in between: goods, discount, what a hand has set, the stock."""
    desk = furnished(store)
    job = a_job(desk, "101")
    told = ["fire_minutes=90", "hold_open=arm"]
    edit_opening(desk, by(), job.label, "101", stating_all(desk.rules, told))
    changes = (
        lambda: None,
        lambda: set_stock(store, sample("tarrowby"), 7),
        lambda: set_discount(desk, by("odo"), job.label, Fraction(1, 100), "large job"),
        lambda: choose(desk, by(), job.label, ["101"], "next-size"),
        lambda: edit_opening(desk, by(), job.label, "101", stating_all(desk.rules, ["width=1m"])),
    )
    seen = set()
    for change in changes:
        change()
        known, fresh = (
            repr(opening_ways(each, by(), job.label, "101", stating(desk.rules)))
            for each in (desk, desk_on(store))
        )
        assert known == fresh
        seen.add(known)
    assert len(seen) == len(changes), "each of them tells"


def test_few_kits_are_kept(store, monkeypatch):
    monkeypatch.setattr(kept_kits, "KITS_KEPT", 2)
    own = shelf(furnished(store))
    kinds = [replace(plain("1").type, width=Length.inches(30 + each)) for each in range(3)]
    first, *_ = kits = [build_kit(kind, own, RULES) for kind in kinds]
    again = build_kit(kinds[0], own, RULES)
    assert again is not first
    assert repr(again) == repr(first)
    assert build_kit(kinds[2], own, RULES) is kits[2]


def test_one_view_sees_one_moment_asks_once_and_writes_nothing(store):
    desk = furnished(store)
    job = a_job(desk, "101")
    with one_view(desk) as seen:
        with seen.store.reading() as uow:
            before = uow.jobs.contents_under(job_of(uow, job.label))
        edit_job(desk, by(), job.label, {"stock_first": True})
        with seen.store.reading() as uow:
            assert uow.jobs.contents_under(job_of(uow, job.label)) is before
            assert uow.jobs.contents_of([job.id])[job.id] == before, "by a list, asked anew"
        with pytest.raises(AttributeError):
            edit_job(seen, by(), job.label, {"stock_first": False})
        with pytest.raises(CallError, match="person-unknown"):
            job_contents(seen, by("nobody"), job.label)
    with one_view(desk) as seen:
        assert job_contents(seen, by(), job.label).job.stock_first


def test_catalogues_of_the_store_count_what_is_free(store):
    desk = furnished(store)
    book = sample("tarrowby")
    item = next(item for item in book.items if book.counts.get(item.sku, 0) > 1)
    with store.writing() as uow:
        slips = Slips("deed", START, "pim")
        uow.stock.move([slips.reserve(item_key(item), 1, "main", "bag-1")])
        uow.commit()
    (found,) = newest_catalogs(desk.store, by())
    assert found.counts == {**book.counts, item.sku: book.counts[item.sku] - 1}
    stored = stored_catalog(desk.store, by(), "tarrowby").catalog
    assert stored.counts == book.counts, "a revision tells what its book said"


def _all_of(slips, book, item):
    place = StockPlace(bin=item.bin)
    return slips.scrap(item_key(item), book.counts[item.sku], place, "water damage")
