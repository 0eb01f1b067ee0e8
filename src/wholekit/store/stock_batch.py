"""What movements change, in as few statements as can be."""

from collections.abc import Mapping, Sequence
from functools import cache

from sqlalchemy import Column, Connection, Executable, Insert, Update, bindparam, select

from wholekit.domain.stock import Kind
from wholekit.store.stock_rows import BAG, BALANCE, BIN, MOVEMENT
from wholekit.store.tables import METADATA

EVENT = METADATA.tables["bag_event"]
Rows = Sequence[Mapping[str, object]]


def _named(name: str, column: Column[int] | Column[str]) -> str:
    return f"{name}_{column.name}"


# Made once, since a scan waits for each of them. inline: the numbers of new rows are not asked for.
_NEW: Mapping[str, Insert] = {
    name: table.insert()
    .inline()
    .values(
        {
            column.name: bindparam(_named(name, column))
            for column in table.c
            if (table, column.name) not in ((MOVEMENT, "id"), (EVENT, "id"))
        }
    )
    for name, table in (
        ("moved", MOVEMENT),
        ("new_bins", BIN),
        ("new_bags", BAG),
        ("events", EVENT),
    )
}


def _more(name: str, keys: Sequence[Column[int] | Column[str]], *sums: Column[int]) -> Update:
    """By how much, and not to how much: the table's own rules judge what comes of it."""
    table = keys[0].table
    return (
        table.update()
        .where(*(key == bindparam(_named(name, key)) for key in keys))
        .values({each.name: each + bindparam(_named(name, each)) for each in sums})
    )


_OF_BAG = (BAG.c.bag, BAG.c.item, BAG.c.branch)
_MORE: Mapping[str, Update] = {
    "balances": _more(
        "balances",
        (BALANCE.c.item, BALANCE.c.branch),
        BALANCE.c.on_hand,
        BALANCE.c.promised,
        BALANCE.c.moves,
    ),
    "bins": _more("bins", (BIN.c.item, BIN.c.branch, BIN.c.bin), BIN.c.on_hand),
    "bags": _more("bags", _OF_BAG, BAG.c.promised, BAG.c.picked),
}
_EACH: Mapping[str, Insert | Update] = {**_NEW, **_MORE}
_LATEST = (
    BAG.update()
    .where(*(key == bindparam(_named("bags", key)) for key in _OF_BAG))
    .values(
        latest=select(MOVEMENT.c.id).where(MOVEMENT.c.key == bindparam("_key")).scalar_subquery()
    )
)


def write(connection: Connection, lists: Mapping[str, Rows]) -> None:
    """Write movements (`moved`), and by how much they change the sums that are there (`balances`,
    `bins`, `bags`) or what the new ones are (`new_bins`, `new_bags`); with the `events` of bags.

    One statement for each list that is not empty, however long it is. On PostgreSQL, where each is
    a way to the server and back, one for all of them where none has more than one row, as of a
    scan.
    """
    filled = {
        name: [{f"{name}_{column}": value for column, value in row.items()} for row in lists[name]]
        for name in _EACH
        if lists.get(name)
    }
    if connection.dialect.name == "postgresql" and all(len(each) == 1 for each in filled.values()):
        together = {key: value for (row,) in filled.values() for key, value in row.items()}
        connection.execute(_at_once(frozenset(filled)), together)
    else:
        for name, values in filled.items():
            _run(connection, _EACH[name], values)
    reserved = [
        {
            "bags_bag": row["bag"],
            "bags_item": row["item"],
            "bags_branch": row["target_branch"],
            "_key": row["key"],
        }
        for row in lists["moved"]
        if row["kind"] == Kind.RESERVE
    ]
    _run(connection, _LATEST, reserved)


@cache
def _at_once(names: frozenset[str]) -> Executable:
    first, *others = (each for name, each in _EACH.items() if name in names)
    return first.add_cte(*(each.cte(f"other_{at}") for at, each in enumerate(others)))


def _run(connection: Connection, statement: Executable, values: Rows) -> None:
    if values:
        # One alone is no batch, which takes its driver longer.
        connection.execute(statement, values[0] if len(values) == 1 else list(values))
