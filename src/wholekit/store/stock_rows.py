"""Rows of stock and what they stand for, and how they are asked for."""

from collections.abc import Iterable, Iterator
from datetime import datetime
from itertools import islice
from typing import Any

from sqlalchemy import ColumnElement, Connection, Row, Select, select

from wholekit.domain.catalog import ItemKey
from wholekit.domain.stock import Account, Kind, Movement, Side, StockPlace
from wholekit.store.tables import METADATA

ITEM = METADATA.tables["stock_item"]
MOVEMENT = METADATA.tables["stock_movement"]
BALANCE = METADATA.tables["stock_balance"]
BIN = METADATA.tables["stock_bin"]
BAG = METADATA.tables["stock_bag"]
BRANCH = METADATA.tables["stock_branch"]
FREE = BALANCE.c.on_hand - BALANCE.c.promised
# Values of one question: SQLite takes 32,766, PostgreSQL 65,535 (their manuals, on limits).
MOST_ASKED = 10_000

BALANCES = select(BALANCE, ITEM.c.supplier, ITEM.c.sku).select_from(
    BALANCE.join(ITEM, ITEM.c.id == BALANCE.c.item)
)
BINS = select(BIN, ITEM.c.supplier, ITEM.c.sku).select_from(BIN.join(ITEM, ITEM.c.id == BIN.c.item))


def is_item(item: ItemKey) -> ColumnElement[bool]:
    """Whether a row of items is the one."""
    supplier, sku = item
    return (ITEM.c.sku == sku) & (ITEM.c.supplier == supplier)


def found_in(
    connection: Connection, wanted: Select[Any], column: ColumnElement[Any], values: Iterable[Any]
) -> Iterator[Row[Any]]:
    """The rows in which a column has one of these values, in as few questions as can be."""
    waiting = iter(values)
    while chunk := list(islice(waiting, MOST_ASKED)):
        yield from connection.execute(wanted.where(column.in_(chunk)))


def of_items(
    connection: Connection, wanted: Select[Any], items: Iterable[ItemKey]
) -> Iterator[Row[Any]]:
    """The rows of these items; `wanted` has their supplier and SKU."""
    known = set(items)
    # By SKU, which the index begins with; of two suppliers of one SKU the other is left out here.
    skus = sorted({sku for _, sku in known})
    for row in found_in(connection, wanted, ITEM.c.sku, skus):
        if (row.supplier, row.sku) in known:
            yield row


def movement_values(movement: Movement, item: int) -> dict[str, object]:
    """A movement as a row, but for its number. item: the key of its item."""
    source, target = movement.source, movement.target
    return {
        "key": movement.key,
        "kind": movement.kind.value,
        "item": item,
        "packs": movement.packs,
        "source": source.side.value,
        "source_branch": source.place.branch,
        "source_bin": source.place.bin,
        "target": target.side.value,
        "target_branch": target.place.branch,
        "target_bin": target.place.bin,
        "bag": movement.bag,
        "at": movement.at.isoformat(),
        "who": movement.who,
        "reason": movement.reason,
    }


def movement_of(row: Row[Any]) -> Movement:
    """The movement of a row that has its item's supplier and SKU too."""
    return Movement(
        row.key,
        Kind(row.kind),
        (row.supplier, row.sku),
        row.packs,
        _account(row.source, row.source_branch, row.source_bin, row.bag),
        _account(row.target, row.target_branch, row.target_bin, row.bag),
        datetime.fromisoformat(row.at),
        row.who,
        row.reason,
    )


def _account(side: str, branch: str, name: str, bag: str) -> Account:
    of_bag = side in (Side.PROMISED, Side.BAG)
    return Account(Side(side), StockPlace(branch, name), bag if of_bag else "")
