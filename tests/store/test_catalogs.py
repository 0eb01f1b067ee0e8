"""Catalogues in the store: by revision, read back equal, and never changed."""

import json
from dataclasses import replace
from datetime import UTC, datetime

import pytest
from sqlalchemy.exc import IntegrityError
from tests.support.house import SAMPLES, sample

from wholekit.domain.catalog import Series
from wholekit.domain.errors import CallError
from wholekit.domain.plain import to_plain
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes import CatalogRef

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)


def put(store, catalog):
    with store.writing() as work:
        ref = work.catalogs.put(catalog, NOON, "ada")
        work.commit()
    return ref


@pytest.mark.parametrize("name", SAMPLES)
def test_a_catalogue_is_read_back_as_it_was_loaded(store, name):
    catalog = sample(name)
    ref = put(store, catalog)
    with store.reading() as work:
        found = work.catalogs.load(ref)
    assert found == catalog
    assert found.folder == catalog.folder
    written = [piece.length.unit for piece in catalog.pieces.values() if piece.length]
    assert written, "the unit a length was written in is shown again"
    assert [piece.length.unit for piece in found.pieces.values() if piece.length] == written


def test_each_load_is_a_revision_of_its_own_and_the_old_ones_stay(store):
    first = sample("quillmere")
    dearer = replace(
        first,
        items=tuple(
            replace(item, list_price=item.list_price + item.list_price) for item in first.items
        ),
    )
    assert put(store, first) == CatalogRef("quillmere", 1)
    assert put(store, dearer) == CatalogRef("quillmere", 2)
    assert put(store, sample("tarrowby")) == CatalogRef("tarrowby", 1)
    with store.reading() as work:
        assert work.catalogs.load(CatalogRef("quillmere", 1)) == first
        assert work.catalogs.load(CatalogRef("quillmere", 2)) == dearer
        assert [each.revision for each in work.catalogs.revisions("quillmere")] == [1, 2]
        now = [(stored.catalog_id, stored.revision) for stored in work.catalogs.current()]
        assert now == [("quillmere", 2), ("tarrowby", 1)]
        (row, _) = work.catalogs.revisions("quillmere")
        assert (row.supplier, row.items) == (first.supplier, len(first.items))
        assert (row.loaded_at, row.loaded_by, row.edition) == (NOON, "ada", first.edition)


def test_a_load_without_commit_leaves_nothing_not_even_its_number(store):
    with store.writing() as work:
        work.catalogs.put(sample("quillmere"), NOON, "ada")
    with store.reading() as work:
        assert work.catalogs.current() == ()
    assert put(store, sample("quillmere")).revision == 1


def test_a_load_with_one_bad_item_leaves_nothing(store):
    good = sample("quillmere")
    bad = replace(good, items=(*good.items, replace(good.items[0], sku="X-1")), counts={"X-1": -1})
    with pytest.raises(IntegrityError):
        put(store, bad)
    with store.reading() as work:
        assert work.catalogs.current() == ()


@pytest.mark.parametrize(
    "like",
    [
        lambda catalog: catalog,
        lambda one: replace(one, items=one.items[::-1]),
        lambda one: replace(one, items=()),
        lambda one: replace(
            one, items=tuple(replace(item, row=item.row + 1) for item in one.items)
        ),
        lambda one: replace(one, items=tuple(replace(item, bin="Z") for item in one.items)),
        lambda one: replace(
            one,
            supplier="Another",
            items=tuple(replace(item, supplier="Another") for item in one.items),
        ),
        lambda one: replace(
            one,
            currency="CAD",
            items=tuple(
                replace(
                    item,
                    list_price=Money(item.list_price.minor, "CAD"),
                    cost=Cost(item.cost.units, "CAD"),
                )
                for item in one.items
            ),
        ),
    ],
    ids=["same", "turned", "empty", "other rows", "other bins", "other supplier", "other currency"],
)
def test_a_revision_read_beside_another_is_what_it_is(store, like):
    catalog = sample("quillmere")
    ref = put(store, catalog)
    other = like(catalog)
    with store.reading() as work:
        found = work.catalogs.load(ref, like=other)
    assert found == catalog
    assert [item.row for item in found.items] == [item.row for item in catalog.items]
    made = {id(item) for item in found.items} - {id(item) for item in other.items}
    same = sum(item in other.items for item in catalog.items)
    assert len(made) == len(catalog.items) - same, "only what differs is made anew"


def test_a_revision_that_is_not_there_is_named(store):
    with store.reading() as work, pytest.raises(CallError) as refused:
        work.catalogs.load(CatalogRef("quillmere", 7))
    assert refused.value.code == "catalog-revision-unknown"
    assert refused.value.fields == {"catalog": "quillmere", "revision": 7}


@pytest.mark.parametrize("table", ["catalog_revision", "catalog_series", "catalog_item"])
def test_a_loaded_revision_cannot_be_changed_even_by_sql(store, table):
    put(store, sample("quillmere"))
    column = {"catalog_revision": "items", "catalog_series": "position"}.get(table, "cost")
    with pytest.raises(IntegrityError, match="kept as it is"), store.place.writing() as connection:
        connection.exec_driver_sql(f"UPDATE {table} SET {column} = 1")  # noqa: S608  # own names


@pytest.mark.parametrize(
    ("column", "value"),
    [("list_price", "'abc'"), ("list_price", "-5"), ("cost", "'12x'"), ("pack_size", "0"),
     ("discontinued", "2"), ("breakable", "2"), ("reorder_at", "-1"), ("least_order", "0")],
)  # fmt: skip
def test_the_tables_refuse_what_the_domain_would_refuse(store, column, value):
    ref = put(store, sample("quillmere"))
    assert ref.revision == 1
    names = (
        "revision_id, sku, position, description, list_price, cost, supplies, pack_size, on_hand, "
        "bin, lead_days, barcode, discontinued, book_row, substitutes, breakable, reorder_at, "
        "least_order, price_breaks"
    )
    sound = ["1", "'Z'", "0", "'d'", "1", "1", "'[]'", "1", "0", "''", "0", "''", "0", "1"]
    sound += ["''", "0", "0", "1", "'[]'"]
    values = dict(zip(names.split(", "), sound, strict=True))
    insert = f"INSERT INTO catalog_item ({names}) "
    good = f"VALUES ({', '.join(values.values())})"
    bad = f"VALUES ({', '.join((values | {column: value}).values())})"
    with store.place.changing() as connection:
        connection.exec_driver_sql(insert + good)
        connection.rollback()
        with pytest.raises(Exception, match=r"(?i)constraint|invalid input|cannot store"):
            connection.exec_driver_sql(insert + bad)


def test_a_series_stored_with_its_one_standard_still_claims_it(store, monkeypatch):
    """Before a series could claim several, it was stored with the key `standard`."""

    def as_before(value):
        data = to_plain(value)
        if isinstance(value, Series):
            (data["standard"],) = data.pop("standards")
            for body in data["bodies"]:
                del body["standards"]
        return json.dumps(data)

    monkeypatch.setattr("wholekit.store.catalogs.to_text", as_before)
    ref = put(store, sample("averlund"))
    with store.reading() as work:
        assert work.catalogs.load(ref) == sample("averlund")
