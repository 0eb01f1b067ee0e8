"""Movements written down with their sums, in the transaction of whoever writes them."""

from collections.abc import Collection, Mapping, Sequence
from typing import Any

from sqlalchemy import (
    Connection,
    Row,
    Table,
    select,
)
from sqlalchemy.dialects import postgresql, sqlite

from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import ConflictError
from wholekit.domain.stock import (
    MAIN,
    Balance,
    Deltas,
    InBag,
    Movement,
    Sums,
    deltas_of,
    require_sound,
)
from wholekit.store import stock_batch
from wholekit.store.stock_questions import HOLD, HOLD_AND_LOOK, LOOK
from wholekit.store.stock_rows import (
    BALANCE,
    ITEM,
    MOVEMENT,
    found_in,
    movement_values,
    of_items,
)

NONE: Mapping[str, stock_batch.Rows] = {}
# Values of each list in one question: all three together stay under the engines' limits.
MOST_OF_EACH = 10_000


class Moves:
    """Movements of items whose balances are held until the unit of work ends.

    Every other sum of an item is changed by none but those who hold its balances.
    """

    def __init__(
        self,
        connection: Connection,
        items: Collection[ItemKey],
        bag: str | None = None,
        keys: Sequence[str] = (),
    ) -> None:
        """Holds the items; those that no stock was kept of are entered.

        bag, keys: what one item is to be moved for, and the keys of one deed in their order, looked
        up at once.
        """
        self._connection = connection
        self._ids: dict[ItemKey, int] = {}
        self._held: dict[tuple[ItemKey, str], Balance] = {}
        # What was asked already of what may be written next.
        self._asked_items: set[ItemKey] = set()
        self._asked_bags: set[str] = set()
        self._asked_keys: set[str] = set()
        self._bins: dict[tuple[ItemKey, str, str], int] = {}
        self._bags: dict[tuple[ItemKey, str, str], InBag] = {}
        self._known: set[str] = set()
        if bag is None:
            self._hold(items)
        else:
            (item,) = items
            self._hold_and_look(item, bag, keys)
        unknown = sorted(set(items) - set(self._ids), key=_by_sku)
        if unknown:
            self._enter(unknown)
            self._hold(items)

    def holds(self, items: Collection[ItemKey]) -> bool:
        """Whether all of these are held."""
        return set(items) <= self._ids.keys()

    def look(
        self, items: Collection[ItemKey], bags: Collection[str], keys: Collection[str]
    ) -> Sums:
        """The sums of bins of some items, and of some bags, and which keys are there already:
        one question for all of it that was not asked yet."""
        numbers = sorted(self._ids[item] for item in set(items) - self._asked_items)
        of_bags = sorted(set(bags) - self._asked_bags)
        of_keys = sorted(set(keys) - self._asked_keys)
        named = {key: item for item, key in self._ids.items()}
        for start in range(0, max(len(numbers), len(of_bags), len(of_keys)), MOST_OF_EACH):
            some = slice(start, start + MOST_OF_EACH)
            asked = {"_items": numbers[some], "_bags": of_bags[some], "_keys": of_keys[some]}
            for row in self._connection.execute(LOOK, asked):
                self._saw(row, named)
        self._were_asked(items, bags, keys)
        return Sums(self._held, self._bins, self._bags)

    def write(
        self, movements: Sequence[Movement], also: Mapping[str, stock_batch.Rows] = NONE
    ) -> Sequence[Movement]:
        """See `StockLedger.move`; the same number of statements for one as for a thousand. also:
        further lists of what `stock_batch` writes."""
        given: dict[str, Movement] = {}
        for one in movements:
            if given.setdefault(one.key, one) != one:
                raise ConflictError("movement-differs", key=one.key)
        asked = deltas_of(given.values())
        before = self.look(
            {item for item, _, _ in asked.bins}, {bag for _, _, bag in asked.bags}, given
        )
        new = self._unwritten(given)
        if also and len(new) < len(given):
            raise ConflictError("movement-differs", key=next(iter(given)))
        change = deltas_of(new)
        self._add_balances(change.branches.keys() - self._held.keys())
        require_sound(before, change)
        if new:
            lists = self._lists(new, change, before)
            stock_batch.write(self._connection, {**lists, **also})
        return tuple(new)

    def _saw(self, row: Row[Any], named: Mapping[int, ItemKey]) -> None:
        if row.kind == "key":
            self._known.add(row.what)
        elif row.kind == "bin":
            self._bins[named[row.item], row.branch, row.what] = row.first
        elif row.item in named:
            self._bags[named[row.item], row.branch, row.what] = InBag(row.first, row.second)

    def _hold_and_look(self, item: ItemKey, bag: str, keys: Sequence[str]) -> None:
        supplier, sku = item
        asked = {"_sku": sku, "_supplier": supplier, "_bag": bag, "_key": keys[0]}
        held: dict[str, int] = {}
        then: dict[str, int] = {}
        others = []
        for row in self._connection.execute(HOLD_AND_LOOK, asked):
            if row.kind == "held":
                self._ids[item] = row.item
                self._held[item, row.branch] = Balance(row.first, row.second)
                held[row.branch] = row.moves
            elif row.kind == "then":
                then[row.branch] = row.moves
            else:
                others.append(row)
        if held and held == then:
            for row in others:
                self._saw(row, {self._ids[item]: item})
            # Movements of one deed are written at once: none where the first is not.
            self._were_asked([item], [bag], keys)

    def _were_asked(
        self, items: Collection[ItemKey], bags: Collection[str], keys: Collection[str]
    ) -> None:
        self._asked_items.update(items)
        self._asked_bags.update(bags)
        self._asked_keys.update(keys)

    def _hold(self, items: Collection[ItemKey]) -> None:
        skus = sorted({sku for _, sku in items})
        for start in range(0, len(skus), MOST_OF_EACH):
            asked = {"_skus": skus[start : start + MOST_OF_EACH]}
            for row in self._connection.execute(HOLD, asked):
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

    def _unwritten(self, given: Mapping[str, Movement]) -> list[Movement]:
        """Those whose keys are not there yet. Raises ConflictError (`movement-differs`)."""
        known = self._known & given.keys()
        for row in found_in(self._connection, select(MOVEMENT), MOVEMENT.c.key, sorted(known)):
            said = movement_values(given[row.key], self._ids[given[row.key].item])
            # Whoever sends it again does so at another moment.
            if any(getattr(row, name) != said[name] for name in said if name != "at"):
                raise ConflictError("movement-differs", key=row.key)
        return [one for key, one in given.items() if key not in known]

    def _lists(
        self, new: Sequence[Movement], change: Deltas, before: Sums
    ) -> dict[str, list[dict[str, object]]]:
        """What is to be written, as `stock_batch` takes it."""
        ids = self._ids
        lists: dict[str, list[dict[str, object]]] = {
            "moved": [movement_values(one, ids[one.item]) for one in new],
            "balances": [
                {
                    "item": ids[item],
                    "branch": branch,
                    "on_hand": moved.on_hand,
                    "promised": moved.promised,
                    "moves": 1,
                }
                for (item, branch), moved in change.branches.items()
            ],
            "bins": [],
            "new_bins": [],
            "bags": [],
            "new_bags": [],
        }
        for (item, branch, name), packs in change.bins.items():
            there = "bins" if (item, branch, name) in before.bins else "new_bins"
            lists[there].append(
                {"item": ids[item], "branch": branch, "bin": name, "on_hand": packs}
            )
        for (item, branch, bag), more in change.bags.items():
            row = {"bag": bag, "item": ids[item], "branch": branch}
            sums = {"promised": more.promised, "picked": more.picked}
            if (item, branch, bag) in before.bags:
                lists["bags"].append({**row, **sums})
            else:
                lists["new_bags"].append({**row, **sums, "latest": 0})
        return lists


def _by_sku(item: ItemKey) -> tuple[str, str]:
    return item[1], item[0]
