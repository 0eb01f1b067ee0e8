"""Movements written down with their sums, in the transaction of whoever writes them."""

from collections.abc import Collection, Mapping, Sequence

from sqlalchemy import Connection, Executable, Table, bindparam, literal, select, union_all
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

# Made once, since a scan waits for each of them. inline: the numbers of new rows are not asked for.
_NEW_MOVEMENT, _NEW_BIN, _NEW_BAG = (table.insert().inline() for table in (MOVEMENT, BIN, BAG))
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
# Values of each list in one question: all three together stay under the engines' limits.
MOST_OF_EACH = 10_000
_NOTHING = literal(0)
# In one order, so that two who hold the same wait and do not block each other. SQLite passes over
# FOR UPDATE: there a writer has the whole file.
_HOLD = (
    BALANCES.where(ITEM.c.sku.in_(bindparam("_skus", expanding=True)))
    .order_by(BALANCE.c.item, BALANCE.c.branch)
    .with_for_update(of=BALANCE)
)
# What a deed is judged by, in one question.
_LOOK = union_all(
    select(
        literal("bin").label("kind"),
        BIN.c.item.label("item"),
        BIN.c.branch.label("branch"),
        BIN.c.bin.label("what"),
        BIN.c.on_hand.label("first"),
        _NOTHING.label("second"),
    ).where(BIN.c.item.in_(bindparam("_items", expanding=True))),
    select(literal("bag"), BAG.c.item, BAG.c.branch, BAG.c.bag, BAG.c.promised, BAG.c.picked).where(
        BAG.c.bag.in_(bindparam("_bags", expanding=True))
    ),
    select(literal("key"), MOVEMENT.c.item, literal(""), MOVEMENT.c.key, _NOTHING, _NOTHING).where(
        MOVEMENT.c.key.in_(bindparam("_keys", expanding=True))
    ),
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
        given: dict[str, Movement] = {}
        for one in movements:
            if given.setdefault(one.key, one) != one:
                raise ConflictError("movement-differs", key=one.key)
        bins, bags, known = self._found(deltas_of(given.values()), given)
        new = self._unwritten(given, known)
        change = deltas_of(new)
        self._add_balances(change.branches.keys() - self._held.keys())
        before = Sums(self._held, bins, bags)
        require_sound(before, change)
        if new:
            self._run(_NEW_MOVEMENT, [movement_values(one, self._ids[one.item]) for one in new])
            self._change_balances(change)
            self._change_bins(change, before)
            self._change_bags(change, before, new)
        return tuple(new)

    def _hold(self, items: Collection[ItemKey]) -> None:
        skus = sorted({sku for _, sku in items})
        for start in range(0, len(skus), MOST_OF_EACH):
            asked = {"_skus": skus[start : start + MOST_OF_EACH]}
            for row in self._connection.execute(_HOLD, asked):
                item = row.supplier, row.sku
                # Of two suppliers of one SKU the other is held too, and not asked for.
                if item in items:
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

    def _found(
        self, change: Deltas, keys: Collection[str]
    ) -> tuple[
        dict[tuple[ItemKey, str, str], int], dict[tuple[ItemKey, str, str], InBag], set[str]
    ]:
        """Sums of bins and of bags that are to change, and the keys that are there already."""
        items = {key: item for item, key in self._ids.items()}
        bins: dict[tuple[ItemKey, str, str], int] = {}
        bags: dict[tuple[ItemKey, str, str], InBag] = {}
        known: set[str] = set()
        lists = (
            [self._ids[item] for item in dict.fromkeys(item for item, _, _ in change.bins)],
            list(dict.fromkeys(bag for _, _, bag in change.bags)),
            list(keys),
        )
        for start in range(0, max(len(each) for each in lists), MOST_OF_EACH):
            of_bins, of_bags, of_keys = (each[start : start + MOST_OF_EACH] for each in lists)
            asked = {"_items": of_bins, "_bags": of_bags, "_keys": of_keys}
            for row in self._connection.execute(_LOOK, asked):
                if row.kind == "key":
                    known.add(row.what)
                elif row.kind == "bin":
                    bins[items[row.item], row.branch, row.what] = row.first
                elif row.item in items:
                    bags[items[row.item], row.branch, row.what] = InBag(row.first, row.second)
        return bins, bags, known

    def _unwritten(self, given: Mapping[str, Movement], known: Collection[str]) -> list[Movement]:
        """Those whose keys are not there yet. Raises ConflictError (`movement-differs`)."""
        for row in found_in(self._connection, select(MOVEMENT), MOVEMENT.c.key, sorted(known)):
            said = movement_values(given[row.key], self._ids[given[row.key].item])
            # Whoever sends it again does so at another moment.
            if any(getattr(row, name) != said[name] for name in said if name != "at"):
                raise ConflictError("movement-differs", key=row.key)
        return [one for key, one in given.items() if key not in known]

    def _run(self, statement: Executable, values: Sequence[Mapping[str, object]]) -> None:
        if values:
            # One alone is no batch, which takes its driver longer.
            self._connection.execute(statement, values[0] if len(values) == 1 else list(values))

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
        self._run(_MORE_OF_BALANCE, values)

    def _change_bins(self, change: Deltas, before: Sums) -> None:
        there, new = [], []
        for (item, branch, name), packs in change.bins.items():
            key = self._ids[item]
            if (item, branch, name) in before.bins:
                there.append({"_item": key, "_branch": branch, "_bin": name, "_more": packs})
            else:
                new.append({"item": key, "branch": branch, "bin": name, "on_hand": packs})
        self._run(_MORE_OF_BIN, there)
        self._run(_NEW_BIN, new)

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
        self._run(_MORE_OF_BAG, there)
        self._run(_NEW_BAG, new)
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
        self._run(_LATEST_OF_BAG, latest)


def _by_sku(item: ItemKey) -> tuple[str, str]:
    return item[1], item[0]
