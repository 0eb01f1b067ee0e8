"""A store made in one step, and those of every version before: the same to the last guard."""

import re
from dataclasses import replace

import pytest
from sqlalchemy import inspect, text
from tests.support.databases import empty_place
from tests.support.deeds import desk_on
from tests.support.house import sample
from tests.support.jobs import START, a_job, by, frozen, furnished
from tests.support.older_stores import put_before_terms, without_terms

from wholekit.domain.catalog import item_key
from wholekit.domain.quotes import CatalogRef
from wholekit.services.quote_reading import issued_whole
from wholekit.services.quotes import issue_quote
from wholekit.store.check import check_store
from wholekit.store.engine import Place
from wholekit.store.migrate import NEWEST, VERSIONS, Condition, condition, upgrade
from wholekit.store.tables import METADATA
from wholekit.store.unit_of_work import SqlStore


@pytest.fixture
def places(engine, tmp_path):
    """Empty places; closed at the end."""
    made: list[Place] = []

    def another():
        folder = tmp_path / f"{len(made)}"
        folder.mkdir()
        made.append(empty_place(engine, folder))
        return made[-1]

    yield another
    for place in made:
        place.close()


def fewer(catalog):
    """The catalogue with one pack fewer of each item that there is any of."""
    return replace(catalog, counts={sku: packs - 1 for sku, packs in catalog.counts.items()})


def schema(place):
    """What a store is made of, but for the order of columns and defaults that no row relies on."""
    with place.reading() as connection:
        looked = inspect(connection)
        tables = {
            name: (
                sorted(
                    (column["name"], str(column["type"]), column["nullable"])
                    for column in looked.get_columns(name)
                ),
                looked.get_pk_constraint(name)["constrained_columns"],
                sorted(
                    (
                        foreign_key["name"] or "",
                        foreign_key["constrained_columns"],
                        foreign_key["referred_table"],
                    )
                    for foreign_key in looked.get_foreign_keys(name)
                ),
                sorted(
                    (constraint["name"], constraint["column_names"])
                    for constraint in looked.get_unique_constraints(name)
                ),
                sorted(
                    (constraint["name"], _plain(constraint["sqltext"]))
                    for constraint in looked.get_check_constraints(name)
                ),
                sorted(
                    (index["name"], index["column_names"], bool(index["unique"]), _where(index))
                    for index in looked.get_indexes(name)
                ),
            )
            for name in looked.get_table_names()
        }
        return tables, _guards(connection, place.file is not None)


def _where(index):
    options = index.get("dialect_options", {})
    return _plain(str(options.get("sqlite_where", options.get("postgresql_where", ""))))


def _plain(sql):
    return " ".join(re.sub(r"[()]", " ", sql).split())


def _guards(connection, sqlite):
    if sqlite:
        asked = "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
    else:
        asked = "SELECT tgname, pg_get_triggerdef(oid) FROM pg_trigger WHERE NOT tgisinternal"
    return {name: " ".join(sql.split()) for name, sql in connection.execute(text(asked))}


def test_a_new_store_is_made_in_one_step(places):
    place = places()
    told: list[str] = []
    assert upgrade(place, progress=told.append) == [NEWEST]
    assert told == [NEWEST]
    with place.reading() as connection:
        assert condition(connection) == (Condition.CURRENT, NEWEST)
        assert set(METADATA.tables) | {"alembic_version"} == set(
            inspect(connection).get_table_names()
        )
    assert upgrade(place) == []


def test_every_version_before_comes_to_what_a_new_store_is(places):
    new = places()
    upgrade(new)
    tables, guards = schema(new)
    assert guards, "what is kept is guarded"
    for version in VERSIONS[:-1]:
        old = places()
        upgrade(old, to=version)
        assert upgrade(old) == [*VERSIONS[VERSIONS.index(version) + 1 :]]
        assert schema(old) == (tables, guards)


def test_a_store_that_went_through_every_version_works_and_keeps_its_data(places):
    place = places()
    upgrade(place, to="0001")
    with place.writing() as connection:
        put_before_terms(connection, sample("quillmere"), START, "odo")
        put_before_terms(connection, fewer(sample("quillmere")), START, "odo")
    assert upgrade(place, to="0002") == ["0002"]
    assert upgrade(place) == [
        "0003",
        "0004",
        "0005",
        "0006",
        "0007",
        "0008",
        "0009",
        "0010",
        "0011",
        "0012",
        "0013",
        "0014",
        "0015",
        "0016",
        "0017",
        "0018",
    ]
    store = SqlStore(place)
    desk = furnished(store)
    issued = frozen(issue_quote(desk_on(store), by(), a_job(desk, "101").label).revision)
    with store.reading() as work:
        assert work.catalogs.load(CatalogRef("quillmere", 1)) == without_terms(sample("quillmere"))
        latest = work.catalogs.load(CatalogRef("quillmere", 2))
        on_hand = {item_key(item): latest.counts.get(item.sku, 0) for item in latest.items}
        assert work.stock.free(list(on_hand)) == on_hand, "as the latest book says"
    assert issued_whole(desk, by("odo"), "Q-1").snapshot == issued
    assert check_store(place).faults == ()


def test_what_is_issued_in_a_new_store_is_kept_as_it_is(places):
    place = places()
    store = SqlStore(place)
    desk = furnished(store)
    issue_quote(desk_on(store), by(), a_job(desk, "101").label)
    for statement in (
        "UPDATE quote_revision SET valid_days = 1",
        "DELETE FROM quote_revision",
        "UPDATE quote_snapshot SET data = ''",
        "DELETE FROM quote_line",
        "UPDATE catalog_item SET cost = 0",
        "DELETE FROM audit_entry",
        "UPDATE stock_movement SET packs = 1",
        "DELETE FROM stock_movement",
    ):
        with pytest.raises(Exception, match="kept as it is"), place.writing() as connection:
            connection.execute(text(statement))
