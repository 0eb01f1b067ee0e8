"""Items as the pick room knows them: looked up by code, of the newest price books, no money."""

import json
from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Any

from sqlalchemy import Column, ColumnElement, Connection, func, or_, select

from wholekit.domain.catalog import ItemKey
from wholekit.domain.catalog.gtin import GTIN_LENGTHS, as_gtin_14, is_gtin
from wholekit.domain.picking import PieceKey, Ware, ware_of
from wholekit.store.catalogs import ITEM, REVISION, SqlCatalogs

_LATER = REVISION.alias("later")
_NEWEST = ~(
    select(_LATER.c.id)
    .where(_LATER.c.catalog_id == REVISION.c.catalog_id, _LATER.c.revision > REVISION.c.revision)
    .exists()
)


class SqlWares:
    """Items of the newest revision of each catalogue, without money."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self._catalogs = SqlCatalogs(connection)

    def find(self, code: str) -> Sequence[Ware]:
        """Every item of a code: SKU, whatever its case, or GTIN of any length."""
        named = [ITEM.c.sku.in_(sorted({code, code.upper()}))]
        if is_gtin(code):
            named.append(ITEM.c.barcode.in_(_gtin_forms(code)))
        found = tuple(self._wares(or_(*named)))
        # Asked only where nothing else is found: it looks at every row.
        return found or tuple(self._wares(func.lower(ITEM.c.sku) == code.lower()))

    def of(self, items: Collection[ItemKey]) -> Mapping[ItemKey, Ware]:
        """The items of some keys; one that no catalogue has now is not in it."""
        wanted = set(items)
        skus = sorted({sku for _, sku in wanted})
        found = self._wares(ITEM.c.sku.in_(skus))
        return {ware.key: ware for ware in found if ware.key in wanted}

    def holding(self, pieces: Collection[PieceKey]) -> Sequence[Ware]:
        """Items that hold nothing but these pieces, by supplier and SKU."""
        wanted = set(pieces)
        named = [
            ITEM.c.supplies.contains(json.dumps(piece), autoescape=True)
            for _, piece in sorted(wanted)
        ]
        found = self._wares(or_(*named)) if named else ()
        some = (ware for ware in found if {part.piece for part in ware.holds} <= wanted)
        return sorted(some, key=lambda ware: ware.key)

    def bins(self, items: Collection[ItemKey]) -> Mapping[ItemKey, str]:
        """The bin that the newest price book names for each item; those without are not in it."""
        return self._of_newest(items, ITEM.c.bin, ITEM.c.bin != "")

    def leads(self, items: Collection[ItemKey]) -> Mapping[ItemKey, int]:
        """Working days [d] to get each item; those that nobody states any for, and those that are
        made no more, are not in it."""
        sold = (ITEM.c.lead_days > 0) & (ITEM.c.discontinued == 0)
        return self._of_newest(items, ITEM.c.lead_days, sold)

    def _of_newest(
        self, items: Collection[ItemKey], column: Column[Any], only: ColumnElement[bool]
    ) -> dict[ItemKey, Any]:
        """A column of the items of some keys, in the newest price books, where a condition holds:
        one question."""
        wanted = set(items)
        found = self._connection.execute(
            select(REVISION.c.supplier, ITEM.c.sku, column)
            .join(REVISION, REVISION.c.id == ITEM.c.revision_id)
            .where(_NEWEST, ITEM.c.sku.in_(sorted({sku for _, sku in wanted})), only)
        )
        return {
            (supplier, sku): value for supplier, sku, value in found if (supplier, sku) in wanted
        }

    def _wares(self, only: ColumnElement[bool]) -> Iterator[Ware]:
        rows = self._connection.execute(select(REVISION).where(_NEWEST).order_by(REVISION.c.id))
        for row in rows.all():
            items = list(self._catalogs.items_of(row, only=only))
            if not items:
                continue
            catalog = self._catalogs.without_items(row)
            for item in items:
                yield ware_of(catalog, item)


def _gtin_forms(code: str) -> list[str]:
    """A GTIN in every length it may be written in."""
    digits = as_gtin_14(code)
    return [digits[-length:] for length in GTIN_LENGTHS if not digits[:-length].strip("0")]
