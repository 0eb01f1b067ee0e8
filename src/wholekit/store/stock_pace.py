"""How what lies on shelves came and left: a question each for what lies, what left and what came,
however much there is of it."""

from collections.abc import Sequence
from datetime import date
from typing import Any

from sqlalchemy import Column, ColumnElement, Connection, Row, case, func, select

from wholekit.domain.stock import Kind, ShelfMoves, Side
from wholekit.store.stock_rows import BALANCE, BALANCES, ITEM, MOVEMENT

_DAY = func.substr(MOVEMENT.c.at, 1, 10)
_SHELF, _BAG = Side.SHELF.value, Side.BAG.value
_SHIPPED = MOVEMENT.c.kind == Kind.SHIP.value


def moved_over(connection: Connection, since: date, branch: str) -> Sequence[ShelfMoves]:
    """Every item that lies at a branch (empty: at any), and how it moved from a day on."""
    within = since.isoformat() <= _DAY
    lies = BALANCES.add_columns(ITEM.c.description).where(BALANCE.c.on_hand > 0)
    if branch:
        lies = lies.where(BALANCE.c.branch == branch)
    left = _by_branch(
        connection,
        MOVEMENT.c.source_branch,
        branch,
        MOVEMENT.c.source.in_((_SHELF, _BAG)),
        _packs(within & (MOVEMENT.c.source == _SHELF)),
        _packs(within & _SHIPPED),
        func.max(case((_SHIPPED, _DAY))),
    )
    came = _by_branch(
        connection,
        MOVEMENT.c.target_branch,
        branch,
        MOVEMENT.c.target == _SHELF,
        _packs(within),
        _packs(within & (MOVEMENT.c.kind == Kind.RETURN.value)),
        func.min(_DAY),
    )
    ordered = lies.order_by(ITEM.c.sku, ITEM.c.supplier, BALANCE.c.branch)
    return [
        _moves(row, left.get((row.item, row.branch), (0, 0, None)), came[row.item, row.branch])
        for row in connection.execute(ordered)
    ]


def _moves(row: Row[Any], left: tuple[Any, ...], came: tuple[Any, ...]) -> ShelfMoves:
    (out, shipped, last), (back, returned, first) = left, came
    return ShelfMoves(
        (row.supplier, row.sku),
        row.description,
        row.branch,
        row.on_hand,
        row.promised,
        row.on_hand + int(out) - int(back),
        max(0, int(shipped) - int(returned)),
        date.fromisoformat(first),
        None if last is None else date.fromisoformat(last),
    )


def _packs(counted: ColumnElement[bool]) -> ColumnElement[int]:
    return func.sum(case((counted, MOVEMENT.c.packs), else_=0))


def _by_branch(
    connection: Connection,
    column: Column[Any],
    branch: str,
    condition: ColumnElement[bool],
    *wanted: ColumnElement[Any],
) -> dict[tuple[int, str], tuple[Any, ...]]:
    """Sums of the movements that a condition holds for, by item and branch."""
    asked = select(MOVEMENT.c.item, column, *wanted).where(condition)
    if branch:
        asked = asked.where(column == branch)
    found = connection.execute(asked.group_by(MOVEMENT.c.item, column))
    return {(item, at): tuple(sums) for item, at, *sums in found}
