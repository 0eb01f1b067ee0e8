"""Catalogues as stores of earlier versions had them."""

from dataclasses import replace
from datetime import datetime
from typing import Any
from unittest.mock import patch

from sqlalchemy import Connection, inspect

from wholekit.domain.catalog import USUAL_TERMS, Catalog
from wholekit.store import catalogs
from wholekit.store.catalogs import SqlCatalogs
from wholekit.store.opening_stock import enter_openings

TERMS = 5  # columns of the terms of buying, the last ones of an item


def enter_where_kept(connection: Connection, *given: Any) -> None:
    """Opening stock, in a store of a version that keeps any."""
    if inspect(connection).has_table("stock_item"):
        enter_openings(connection, *given)


def put_before_terms(connection: Connection, catalog: Catalog, at: datetime, by: str) -> None:
    """Put a catalogue into a store that knows no terms of buying yet, and maybe no stock."""
    columns, rows = catalogs._ITEM_COLUMNS, catalogs.item_rows
    with (
        patch.object(catalogs, "_ITEM_COLUMNS", columns[:-TERMS]),
        patch.object(catalogs, "enter_openings", enter_where_kept),
        patch.object(catalogs, "item_rows", lambda *a: (row[:-TERMS] for row in rows(*a))),
    ):
        SqlCatalogs(connection).put(catalog, at, by)


def without_terms(catalog: Catalog) -> Catalog:
    """The same catalogue with nothing said on how its items are bought."""
    return replace(catalog, items=tuple(replace(item, terms=USUAL_TERMS) for item in catalog.items))
