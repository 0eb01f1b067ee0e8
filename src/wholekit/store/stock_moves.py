"""Movements written down with their sums, in the transaction of whoever writes them."""

from collections.abc import Collection, Mapping, Sequence

from sqlalchemy import Connection, Table, bindparam, select
from sqlalchemy.dialects import postgresql, sqlite

from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import ConflictError
from wholekit.domain.stock import (
    MAIN,
    Balance,
    Deltas,
    InBag,
    Kind,
    Movement,
    Sums,
    deltas_of,
    require_sound,
)
from wholekit.store.stock_rows import (
    BAG,
    BALANCE,
    BALANCES,
    BIN,
    ITEM,
    MOVEMENT,
    found_in,
    movement_values,
    of_items,
)

# By how much, and not to how much: the table's own rules judge what comes of it.
_MORE_OF_BALANCE = (
    BALANCE.update()
    .where(BALANCE.c.item == bindparam("_item"), BALANCE.c.branch == bindparam("_branch"))
    .values(
        on_hand=BALANCE.c.on_hand + bindparam("_more"),
        promised=BALANCE.c.promised + bindparam("_due"),
        moves=BALANCE.c.moves + 1,
    )
)
_MORE_OF_BIN = (
    BIN.update()
    .where(
        BIN.c.item == bindparam("_item"),
        BIN.c.branch == bindparam("_branch"),
        BIN.c.bin == bindparam("_bin"),
    )
    .values(on_hand=BIN.c.on_hand + bindparam("_more"))
)
_OF_BAG = (
    BAG.c.bag == bindparam("_bag"),
    BAG.c.item == bindparam("_item"),
    BAG.c.branch == bindparam("_branch"),
)
_MORE_OF_BAG = (
    BAG.update()
    .where(*_OF_BAG)
    .values(
        promised=BAG.c.promised + bindparam("_due"),
        picked=BAG.c.picked + bindparam("_more"),
    )
)
_LATEST_OF_BAG = (
    BAG.update()
    .where(*_OF_BAG)
    .values(
        latest=select(MOVEMENT.c.id).where(MOVEMENT.c.key == bindparam("_key")).scalar_subquery()
    )
)


class Moves:
    """Movements of items whose balances are held until the unit of work ends.

    Every other sum of an item is changed by none but those who hold its balances.
    """

    def __init__(self, connection: Connection, items: Collection[ItemKey]) -> None:
        """Holds the items; those that no stock was kept of are entered."""
        self._connection = connection
        self._ids: dict[ItemKey, int] = {}
        self._held: dict[tuple[ItemKey, str], Balance] = {}
        self._hold(items)
        unknown = sorted(set(items) - set(self._ids), key=_by_sku)
        if unknown:
            self._enter(unknown)
            self._hold(items)

    def write(self, movements: Sequence[Movement]) -> Sequence[Movement]:
        """See `StockLedger.move`; the same number of statements for one as for a thousand."""
        new = self._unwritten(movements)
        change = deltas_of(new)
        self._add_balances(change.branches.keys() - self._held.keys())
        before = Sums(self._held, self._bins(change), self._bags(change))
        require_sound(before, change)
        if new:
            values = [movement_values(one, self._ids[one.item]) for one in new]
            self._connection.execute(MOVEMENT.insert(), values)
            self._change_balances(change)
            self._change_bins(change, before)
            self._change_bags(change, before, new)
        return tuple(new)

    def _hold(self, items: Collection[ItemKey]) -> None:
        # In one order, so that two who hold the same wait and do not block each other. SQLite
        # passes over FOR UPDATE: there a writer has the whole file.
        wanted = BALANCES.order_by(BALANCE.c.item, BALANCE.c.branch).with_for_update(of=BALANCE)
        for row in of_items(self._connection, wanted, items):
            item = row.supplier, row.sku
            self._ids[item] = row.item
            self._held[item, row.branch] = Balance(row.on_hand, row.promised)

    def _enter(self, unknown: Sequence[ItemKey]) -> None:
        """Items of no price book. In one order here too."""
        self._insert_new(
            ITEM,
            [{"sku": sku, "supplier": supplier, "description": ""} for supplier, sku in unknown],
        )
        for row in of_items(self._connection, select(ITEM), unknown):
            self._ids[row.supplier, row.sku] = row.id
        self._add_balances({(item, MAIN) for item in unknown})

    def _add_balances(self, missing: Collection[tuple[ItemKey, str]]) -> None:
        """Balances of nothing, where an item comes to a branch for the first time."""
        nothing = {"on_hand": 0, "promised": 0, "moves": 0}
        keys = sorted((self._ids[item], branch) for item, branch in missing)
        self._insert_new(
            BALANCE, [{"item": key, "branch": branch, **nothing} for key, branch in keys]
        )

    def _insert_new(self, table: Table, values: Sequence[Mapping[str, object]]) -> None:
        if values:
            on_server = self._connection.dialect.name == "postgresql"
            make = postgresql.insert if on_server else sqlite.insert
            self._connection.execute(make(table).on_conflict_do_nothing(), list(values))

    def _unwritten(self, movements: Sequence[Movement]) -> list[Movement]:
        """Those whose keys are not there yet. Raises ConflictError (`movement-differs`)."""
        new: dict[str, Movement] = {}
        for one in movements:
            if new.setdefault(one.key, one) != one:
                raise ConflictError("movement-differs", key=one.key)
        for row in list(found_in(self._connection, select(MOVEMENT), MOVEMENT.c.key, list(new))):
            one = new.pop(row.key)
            said = movement_values(one, self._ids[one.item])
            # Whoever sends it again does so at another moment.
            if any(getattr(row, name) != said[name] for name in said if name != "at"):
                raise ConflictError("movement-differs", key=row.key)
        return list(new.values())

    def _bins(self, change: Deltas) -> dict[tuple[ItemKey, str, str], int]:
        items = {self._ids[item]: item for item, _, _ in change.bins}
        found = found_in(self._connection, select(BIN), BIN.c.item, items)
        return {(items[row.item], row.branch, row.bin): row.on_hand for row in found}

    def _bags(self, change: Deltas) -> dict[tuple[ItemKey, str, str], InBag]:
        items = {self._ids[item]: item for item, _, _ in change.bags}
        bags = {bag for _, _, bag in change.bags}
        return {
            (items[row.item], row.branch, row.bag): InBag(row.promised, row.picked)
            for row in found_in(self._connection, select(BAG), BAG.c.bag, bags)
            if row.item in items
        }

    def _change_balances(self, change: Deltas) -> None:
        values = [
            {
                "_item": self._ids[item],
                "_branch": branch,
                "_more": moved.on_hand,
                "_due": moved.promised,
            }
            for (item, branch), moved in change.branches.items()
        ]
        if values:
            self._connection.execute(_MORE_OF_BALANCE, values)

    def _change_bins(self, change: Deltas, before: Sums) -> None:
        there, new = [], []
        for (item, branch, name), packs in change.bins.items():
            key = self._ids[item]
            if (item, branch, name) in before.bins:
                there.append({"_item": key, "_branch": branch, "_bin": name, "_more": packs})
            else:
                new.append({"item": key, "branch": branch, "bin": name, "on_hand": packs})
        if there:
            self._connection.execute(_MORE_OF_BIN, there)
        if new:
            self._connection.execute(BIN.insert(), new)

    def _change_bags(self, change: Deltas, before: Sums, moved: Sequence[Movement]) -> None:
        there, new = [], []
        for (item, branch, bag), more in change.bags.items():
            key, due, picked = self._ids[item], more.promised, more.picked
            if (item, branch, bag) in before.bags:
                where = {"_bag": bag, "_item": key, "_branch": branch}
                there.append({**where, "_due": due, "_more": picked})
            else:
                sums = {"promised": due, "picked": picked, "latest": 0}
                new.append({"bag": bag, "item": key, "branch": branch, **sums})
        if there:
            self._connection.execute(_MORE_OF_BAG, there)
        if new:
            self._connection.execute(BAG.insert(), new)
        latest = [
            {
                "_bag": one.bag,
                "_item": self._ids[one.item],
                "_branch": one.target.place.branch,
                "_key": one.key,
            }
            for one in moved
            if one.kind is Kind.RESERVE
        ]
        if latest:
            self._connection.execute(_LATEST_OF_BAG, latest)


def _by_sku(item: ItemKey) -> tuple[str, str]:
    return item[1], item[0]
