"""Catalogues by supplier and revision: put in whole, read back equal."""

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from functools import lru_cache
from operator import itemgetter
from typing import Any, cast

from sqlalchemy import ColumnElement, Connection, Row, select, true

from wholekit.domain.catalog import (
    BuyingTerms,
    Catalog,
    Item,
    ItemKey,
    PriceBreak,
    Series,
    Supply,
)
from wholekit.domain.errors import CallError
from wholekit.domain.plain import from_plain
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes import CatalogRef
from wholekit.services.catalog_port import BookItem, CatalogRevision, ItemFilter
from wholekit.services.ports import Page
from wholekit.store import bulk
from wholekit.store.item_places import item_places
from wholekit.store.numbers import SqlNumbers
from wholekit.store.opening_stock import enter_openings
from wholekit.store.plain_text import to_text
from wholekit.store.progress import Progress, counted, untold
from wholekit.store.tables import METADATA

REVISION = METADATA.tables["catalog_revision"]
SERIES = METADATA.tables["catalog_series"]
ITEM = METADATA.tables["catalog_item"]
_ITEM_COLUMNS = (
    "revision_id", "sku", "position", "description", "finish", "list_price", "cost", "supplies",
    "pack_size", "on_hand", "bin", "lead_days", "barcode", "discontinued", "replaced_by",
    "book_row", "substitutes", "breakable", "reorder_at", "least_order", "price_breaks",
)  # fmt: skip
# What an item is beside its place in the book; the count of the shelf is the catalogue's.
_ON_HAND = _ITEM_COLUMNS.index("on_hand")
_OF_ITEM = (*_ITEM_COLUMNS[3:_ON_HAND], *_ITEM_COLUMNS[_ON_HAND + 1 :])


_ALL = true()
_TermsRow = tuple[str, int, int | None, int, str]


class SqlCatalogs:
    """The catalogues of one unit of work."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def current(self) -> Sequence[CatalogRevision]:
        """The latest revision of every catalogue, by catalogue id."""
        latest = {row.catalog_id: _revision(row) for row in self._rows()}
        return tuple(latest.values())

    def revisions(self, catalog_id: str) -> Sequence[CatalogRevision]:
        """Every revision of a catalogue, first to last; empty if there is none."""
        return tuple(_revision(row) for row in self._rows(catalog_id))

    def load(self, ref: CatalogRef, like: Catalog | None = None) -> Catalog:
        """The catalogue of a revision. Raises CallError (`catalog-revision-unknown`).

        like: a catalogue that has most of its items; those that are equal are taken from it and
        not made again.
        """
        found = self._row(ref)
        return replace(
            self.without_items(found),
            items=tuple(self.items_of(found, like)),
            counts=self._counts(found.id),
        )

    def without_book(self, ref: CatalogRef) -> Catalog:
        """The same without its items: what is made. Raises CallError."""
        return self.without_items(self._row(ref))

    def find_items(
        self, ref: CatalogRef, wanted: ItemFilter, page: Page
    ) -> tuple[Sequence[BookItem], int]:
        """Items in the order of the book, and how many there are in all. Raises CallError."""
        found = self._row(ref)
        places = item_places(self._connection, found.id, wanted)
        shown = places[page.offset : page.offset + page.limit]
        items = self.items_of(found, only=ITEM.c.position.in_(shown))
        counts = self._counts(found.id)
        return [BookItem(item, counts.get(item.sku, 0)) for item in items], len(places)

    def _row(self, ref: CatalogRef) -> Row[Any]:
        found = self._connection.execute(
            select(REVISION).where(
                REVISION.c.catalog_id == ref.catalog_id, REVISION.c.revision == ref.revision
            )
        ).first()
        if found is None:
            raise CallError(
                "catalog-revision-unknown", catalog=ref.catalog_id, revision=ref.revision
            )
        return found

    def without_items(self, found: Row[Any]) -> Catalog:
        """The catalogue of a revision's row, its price book left out."""
        series = self._connection.execute(
            select(SERIES.c.data)
            .where(SERIES.c.revision_id == found.id)
            .order_by(SERIES.c.position)
        )
        return Catalog(
            id=found.catalog_id,
            supplier=found.supplier,
            currency=found.currency,
            edition=date.fromisoformat(found.edition),
            series=tuple(_series(row.data) for row in series),
            items=(),
            folder=found.folder,
        )

    def costs(self) -> Mapping[ItemKey, Cost]:
        """What a pack of each item costs by the latest revision of its catalogue; of several
        catalogues that have it, by the one loaded last."""
        latest = {row.catalog_id: row for row in self._rows()}
        costs: dict[ItemKey, Cost] = {}
        for book in sorted(latest.values(), key=lambda row: row.id):
            found = self._connection.execute(
                select(ITEM.c.sku, ITEM.c.cost).where(ITEM.c.revision_id == book.id)
            )
            for sku, cost in found:
                costs[book.supplier, sku] = Cost(cost, book.currency)
        return costs

    def put(
        self, catalog: Catalog, at: datetime, by: str, progress: Progress = untold
    ) -> CatalogRef:
        """A new revision of a catalogue; it is there, whole, with the unit of work.

        What it says is on hand is entered as the opening of those items that no stock is kept of.
        """
        # Whoever loads the same catalogue at the same time waits here.
        number = SqlNumbers(self._connection).take(f"catalog/{catalog.id}")
        self._connection.execute(
            REVISION.insert(),
            {
                "catalog_id": catalog.id,
                "revision": number,
                "supplier": catalog.supplier,
                "currency": catalog.currency,
                "edition": catalog.edition.isoformat(),
                "folder": catalog.folder,
                "loaded_at": at.isoformat(),
                "loaded_by": by,
                "items": len(catalog.items),
            },
        )
        key = self._connection.execute(
            select(REVISION.c.id).where(
                REVISION.c.catalog_id == catalog.id, REVISION.c.revision == number
            )
        ).scalar_one()
        bulk.insert(
            self._connection,
            SERIES,
            ("revision_id", "position", "series", "data"),
            [
                (key, position, series.id, to_text(series))
                for position, series in enumerate(catalog.series)
            ],
        )
        waiting = counted(
            item_rows(catalog, key), f"writing {catalog.id}", 0, len(catalog.items), progress
        )
        bulk.insert(self._connection, ITEM, _ITEM_COLUMNS, waiting)
        # A book loaded again tells no stock: that is counted here since its first.
        enter_openings(self._connection, key, catalog.supplier, at.isoformat(), by)
        return CatalogRef(catalog.id, number)

    def _rows(self, catalog_id: str | None = None) -> Iterator[Row[tuple[object, ...]]]:
        wanted = select(REVISION).order_by(REVISION.c.catalog_id, REVISION.c.revision)
        if catalog_id is not None:
            wanted = wanted.where(REVISION.c.catalog_id == catalog_id)
        yield from self._connection.execute(wanted)

    def _counts(self, key: int) -> dict[str, int]:
        """What a revision says is on hand, by SKU."""
        found = self._connection.execute(
            select(ITEM.c.sku, ITEM.c.on_hand).where(ITEM.c.revision_id == key, ITEM.c.on_hand != 0)
        )
        return {row.sku: row.on_hand for row in found}

    def items_of(
        self, revision: Row[Any], like: Catalog | None = None, only: ColumnElement[bool] = _ALL
    ) -> Iterator[Item]:
        """The items of a revision's row, in the order of its book; like: see `load`."""
        key, supplier, currency = revision.id, revision.supplier, revision.currency
        # Equal values become one object: of 100,000 items few differ in all of them.
        prices: dict[int, Money] = {}
        costs: dict[int, Cost] = {}
        supplies: dict[str, tuple[Supply, ...]] = {}
        known: dict[str, tuple[tuple[object, ...], Item]] = {}
        if like is not None and (like.supplier, like.currency) == (supplier, currency):
            known = _by_values(like)
        # Position first, by which they are put in order here: the database would sort the rows with
        # all they hold.
        columns = [ITEM.c[name] for name in ("position", "sku", *_OF_ITEM)]
        found = self._connection.execute(select(*columns).where(ITEM.c.revision_id == key, only))
        for values in sorted(found, key=itemgetter(0)):
            same = known.get(values[1])
            if same is not None and same[0] == values[2:]:
                yield same[1]
                continue
            (
                _, sku, description, finish, price, cost, supplied, pack, place, lead,
                barcode, discontinued, replaced_by, row, *terms,
            ) = values  # fmt: skip
            if price not in prices:
                prices[price] = Money(price, currency)
            if cost not in costs:
                costs[cost] = Cost(cost, currency)
            if supplied not in supplies:
                supplies[supplied] = tuple(Supply(*supply) for supply in json.loads(supplied))
            yield Item(
                sku, supplier, description, finish, prices[price], costs[cost],
                supplies[supplied], pack, place, lead, barcode, bool(discontinued),
                replaced_by, row, _terms(tuple(terms), currency),
            )  # fmt: skip


def _by_values(catalog: Catalog) -> dict[str, tuple[tuple[object, ...], Item]]:
    """Each item by SKU, with its values as its row has them from the description on."""
    return {
        item.sku: (values[3:_ON_HAND] + values[_ON_HAND + 1 :], item)
        for item, values in zip(catalog.items, item_rows(catalog, 0), strict=True)
    }


def _series(text: str) -> Series:
    """A stored series; one stored before a series could claim several standards has its one."""
    data = json.loads(text)
    if "standards" not in data:
        data["standards"] = [data.pop("standard")]
        for body in data["bodies"]:
            body["standards"] = data["standards"]
    return from_plain(Series, data)


def item_rows(catalog: Catalog, key: int) -> Iterator[tuple[object, ...]]:
    """The items as rows of the table, in the order of its columns."""
    # By id, which is quicker than by value; the catalogue keeps what the ids are of.
    texts: dict[int, str] = {}
    for position, item in enumerate(catalog.items):
        supplied = texts.get(id(item.supplies))
        if supplied is None:
            supplied = json.dumps([[supply.piece, supply.quantity] for supply in item.supplies])
            texts[id(item.supplies)] = supplied
        # 0 and 1 as numbers: PostgreSQL's COPY would write a bool as t or f.
        yield (
            key, item.sku, position, item.description, item.finish, item.list_price.minor,
            item.cost.units, supplied, item.pack_size, catalog.counts.get(item.sku, 0), item.bin,
            item.lead_days, item.barcode, int(item.discontinued), item.replaced_by, item.row,
            *_terms_row(item.terms),
        )  # fmt: skip


@lru_cache(maxsize=10_000)
def _terms_row(terms: BuyingTerms) -> tuple[object, ...]:
    """As the row has them: substitutes parted by spaces, breaks as JSON of packs and cost."""
    breaks = json.dumps([[each.packs, each.cost.units] for each in terms.price_breaks])
    return (
        " ".join(terms.substitutes), int(terms.breakable), terms.reorder_at, terms.least_order,
        breaks,
    )  # fmt: skip


@lru_cache(maxsize=10_000)
def _terms(values: tuple[object, ...], currency: str) -> BuyingTerms:
    substitutes, breakable, reorder_at, least_order, breaks = cast("_TermsRow", values)
    return BuyingTerms(
        tuple(substitutes.split()),
        bool(breakable),
        reorder_at,
        least_order,
        tuple(PriceBreak(packs, Cost(units, currency)) for packs, units in json.loads(breaks)),
    )


def _revision(row: Row[tuple[object, ...]]) -> CatalogRevision:
    return CatalogRevision(
        row.catalog_id,
        row.revision,
        row.supplier,
        row.currency,
        date.fromisoformat(row.edition),
        datetime.fromisoformat(row.loaded_at),
        row.loaded_by,
        row.items,
    )
