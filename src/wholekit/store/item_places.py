"""Where in its price book an item stands that is looked for."""

import json
from collections.abc import Sequence

from sqlalchemy import Connection, select

from wholekit.services.catalog_port import ItemFilter
from wholekit.store.tables import METADATA

ITEM = METADATA.tables["catalog_item"]


def item_places(connection: Connection, key: int, wanted: ItemFilter) -> Sequence[int]:
    """The positions of the items of a revision that are wanted, in order.

    Looked for here and not by the database: SQLite knows no case but of the letters of ASCII.
    """
    columns = [ITEM.c.position, ITEM.c.sku]
    if wanted.text:
        columns.append(ITEM.c.description)
    if wanted.pieces is not None:
        columns.append(ITEM.c.supplies)
    asked = select(*columns).where(ITEM.c.revision_id == key)
    if wanted.sku:
        asked = asked.where(ITEM.c.sku == wanted.sku)
    found = connection.execute(asked)
    text = wanted.text.casefold()
    # Many items supply the same.
    known: dict[str, bool] = {}
    places = []
    for row in found:
        if text and text not in row.sku.casefold() and text not in row.description.casefold():
            continue
        if wanted.pieces is not None:
            supplied = row.supplies
            if supplied not in known:
                known[supplied] = any(each[0] in wanted.pieces for each in json.loads(supplied))
            if not known[supplied]:
                continue
        places.append(row.position)
    return sorted(places)
