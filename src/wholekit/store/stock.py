"""The stock of one unit of work: movements, and the sums that are kept beside them."""

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from datetime import date

from sqlalchemy import ColumnElement, Connection, case, exists, func, select

from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import ConflictError
from wholekit.domain.stock import (
    MAIN,
    Balance,
    InBag,
    Kind,
    Movement,
    ShelfMoves,
    Side,
    StockPlace,
    sums_of,
)
from wholekit.services.paging import Page
from wholekit.services.stock_port import AtHand, Branch, ShelfRow, StockFilter, StockRow
from wholekit.store import rows
from wholekit.store.stock_batch import Rows
from wholekit.store.stock_moves import NONE, Moves
from wholekit.store.stock_pace import moved_over
from wholekit.store.stock_rows import (
    BAG,
    BALANCE,
    BALANCES,
    BIN,
    BINS,
    BRANCH,
    FREE,
    ITEM,
    MOVEMENT,
    found_in,
    is_item,
    movement_of,
    of_items,
)

# Any number does, as long as every copy of the program takes the same, and no upgrade (`migrate`).
_TURN = 0x776B_7475


class SqlStock:
    """The ledger of one unit of work; see `services.stock_port.StockLedger`."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        # What was looked up for the movements that come next.
        self._looked: Moves | None = None

    def move(
        self, movements: Sequence[Movement], also: Mapping[str, Rows] = NONE
    ) -> Sequence[Movement]:
        """Write movements down; those that were not there already. also: rows of another table, in
        the same statement where that can be (see `stock_batch`). Raises CallError, ConflictError.
        """
        if not movements:
            return ()
        items = {one.item for one in movements}
        looked, self._looked = self._looked, None
        if looked is None or not looked.holds(items):
            looked = Moves(self._connection, items)
        return looked.write(movements, also)

    def hold(self, items: Collection[ItemKey]) -> None:
        """Nobody else moves these items until the unit of work ends."""
        if items:
            Moves(self._connection, items)

    def take_turn(self) -> None:
        """Nobody else moves promises from or to bags until the unit of work ends; scans go on."""
        # In SQLite a writer is alone from its first statement on.
        if self._connection.dialect.name == "postgresql":
            self._connection.execute(select(func.pg_advisory_xact_lock(_TURN)))

    def at_hand(self, item: ItemKey, branch: str, bag: str, keys: Sequence[str]) -> AtHand:
        """An item that nobody else moves until the unit of work ends; in one question, unless
        somebody moved it at that moment. keys: of the movements that may be made next."""
        self._looked = Moves(self._connection, {item}, bag, keys)
        there = self._looked.look([item], [bag], keys)
        return AtHand(
            there.branches.get((item, branch), Balance()).free,
            there.bags.get((item, branch, bag), InBag()).promised,
            {
                StockPlace(branch, name): packs
                for (_, of, name), packs in sorted(there.bins.items())
                if of == branch and packs > 0
            },
        )

    def balances(self, items: Collection[ItemKey]) -> Mapping[ItemKey, Mapping[str, Balance]]:
        """By item the balance at each branch; items of which no stock is kept are not in it."""
        found: dict[ItemKey, dict[str, Balance]] = {}
        for row in of_items(self._connection, BALANCES.order_by(BALANCE.c.branch), items):
            by_branch = found.setdefault((row.supplier, row.sku), {})
            by_branch[row.branch] = Balance(row.on_hand, row.promised)
        return found

    def free(self, items: Collection[ItemKey], branch: str = "") -> Mapping[ItemKey, int]:
        """Free packs at a branch, at all of them together for none."""
        return {
            item: sum(each.free for name, each in by_branch.items() if branch in ("", name))
            for item, by_branch in self.balances(items).items()
        }

    def every_free(self) -> Mapping[ItemKey, int]:
        """Free packs of every item of which any is, all branches together."""
        # Added up here: the database would sort every item by its names first.
        found = self._connection.execute(
            select(ITEM.c.supplier, ITEM.c.sku, FREE)
            .select_from(BALANCE.join(ITEM, ITEM.c.id == BALANCE.c.item))
            .where(FREE > 0)
        )
        every: dict[ItemKey, int] = {}
        for supplier, sku, free in found:
            every[supplier, sku] = every.get((supplier, sku), 0) + free
        return every

    def stamp(self) -> object:
        """Equal to an earlier one only where no balance has changed since."""
        # Every change of a balance counts its moves up, so their sum stands still with all of them.
        found = self._connection.execute(
            select(func.count(), func.sum(BALANCE.c.moves), func.sum(BALANCE.c.on_hand))
        ).one()
        return tuple(int(part or 0) for part in found)

    def bins_of(self, items: Collection[ItemKey]) -> Mapping[ItemKey, Mapping[StockPlace, int]]:
        """Packs on hand by bin, those with none left out, by branch and bin."""
        found: dict[ItemKey, dict[StockPlace, int]] = {}
        wanted = BINS.where(BIN.c.on_hand > 0).order_by(BIN.c.branch, BIN.c.bin)
        for row in of_items(self._connection, wanted, items):
            places = found.setdefault((row.supplier, row.sku), {})
            places[StockPlace(row.branch, row.bin)] = row.on_hand
        return found

    def bags(self, bags: Collection[str]) -> Mapping[str, Mapping[tuple[ItemKey, str], InBag]]:
        """What each bag is promised and holds, by item and branch."""
        found: dict[str, dict[tuple[ItemKey, str], InBag]] = {}
        wanted = (
            select(BAG, ITEM.c.supplier, ITEM.c.sku)
            .select_from(BAG.join(ITEM, ITEM.c.id == BAG.c.item))
            .where(BAG.c.promised + BAG.c.picked > 0)
            .order_by(BAG.c.bag, ITEM.c.sku, ITEM.c.supplier, BAG.c.branch)
        )
        for row in found_in(self._connection, wanted, BAG.c.bag, sorted(set(bags))):
            of_bag = found.setdefault(row.bag, {})
            of_bag[(row.supplier, row.sku), row.branch] = InBag(row.promised, row.picked)
        return found

    def latest_promises(self, item: ItemKey, branch: str) -> Sequence[tuple[str, int]]:
        """The bags that an item is promised to, with their packs, the latest promise first."""
        found = self._connection.execute(
            select(BAG.c.bag, BAG.c.promised)
            .select_from(BAG.join(ITEM, ITEM.c.id == BAG.c.item))
            .where(is_item(item), BAG.c.branch == branch, BAG.c.promised > 0)
            .order_by(BAG.c.latest.desc(), BAG.c.bag)
        )
        return [(row.bag, row.promised) for row in found]

    def promised_to(self, items: Collection[ItemKey], branch: str) -> Collection[str]:
        """The bags that any of some items is promised to at a branch: one question."""
        wanted = (
            select(BAG.c.bag, ITEM.c.supplier, ITEM.c.sku)
            .select_from(BAG.join(ITEM, ITEM.c.id == BAG.c.item))
            .where(BAG.c.branch == branch, BAG.c.promised > 0)
        )
        return {row.bag for row in of_items(self._connection, wanted, items)}

    def shipped(self, item: ItemKey, bags: Collection[str]) -> Mapping[str, int]:
        """Packs of an item that left in each of some bags; those without are not in it."""
        wanted = (
            select(MOVEMENT.c.bag.label("bag"), func.sum(MOVEMENT.c.packs).label("packs"))
            .select_from(MOVEMENT.join(ITEM, ITEM.c.id == MOVEMENT.c.item))
            # As the index of bags has it, which leaves out movements of none.
            .where(is_item(item), MOVEMENT.c.bag != "", MOVEMENT.c.kind == Kind.SHIP.value)
            .group_by(MOVEMENT.c.bag)
        )
        found = found_in(self._connection, wanted, MOVEMENT.c.bag, sorted(bags))
        return {row.bag: int(row.packs) for row in found}

    def history(
        self, page: Page, item: ItemKey | None = None, bag: str = ""
    ) -> tuple[Sequence[Movement], int]:
        """Movements of an item or a bag, the latest first, and how many there are in all."""
        conditions: list[ColumnElement[bool]] = []
        if item is not None:
            # As a value of its own, so that the index of an item's movements gives them in order.
            of = select(ITEM.c.id).where(is_item(item)).scalar_subquery()
            conditions.append(MOVEMENT.c.item == of)
        if bag:
            # As the index has it, which leaves out movements of no bag.
            conditions += [MOVEMENT.c.bag == bag, MOVEMENT.c.bag != ""]
        count = self._connection.execute(
            select(func.count()).select_from(MOVEMENT).where(*conditions)
        ).scalar_one()
        found = self._connection.execute(
            select(MOVEMENT, ITEM.c.supplier, ITEM.c.sku)
            .select_from(MOVEMENT.join(ITEM, ITEM.c.id == MOVEMENT.c.item))
            .where(*conditions)
            .order_by(MOVEMENT.c.id.desc())
            .limit(page.limit)
            .offset(page.offset)
        )
        return list(map(movement_of, found)), count

    def page(self, wanted: StockFilter, page: Page) -> tuple[Sequence[StockRow], int]:
        """Rows by SKU, supplier and branch, and how many there are in all: three questions."""
        joined = BALANCE.join(ITEM, ITEM.c.id == BALANCE.c.item)
        conditions = list(_conditions(wanted))
        count = self._connection.execute(
            select(func.count()).select_from(joined).where(*conditions)
        ).scalar_one()
        shown = self._connection.execute(
            select(BALANCE, ITEM.c.supplier, ITEM.c.sku, ITEM.c.description)
            .select_from(joined)
            .where(*conditions)
            .order_by(ITEM.c.sku, ITEM.c.supplier, BALANCE.c.branch)
            .limit(page.limit)
            .offset(page.offset)
        ).all()
        bins: dict[tuple[int, str], list[tuple[str, int]]] = defaultdict(list)
        asked = select(BIN).where(BIN.c.on_hand > 0).order_by(BIN.c.bin)
        for row in found_in(self._connection, asked, BIN.c.item, {row.item for row in shown}):
            bins[row.item, row.branch].append((row.bin, row.on_hand))
        return [
            StockRow(
                (row.supplier, row.sku),
                row.description,
                row.branch,
                Balance(row.on_hand, row.promised),
                tuple(bins[row.item, row.branch]),
            )
            for row in shown
        ], count

    def mark(self) -> int:
        """How far the movements are: a number that each later one has a higher one than."""
        found = self._connection.execute(select(func.max(MOVEMENT.c.id))).scalar_one()
        return found or 0

    def shelves(self, branch: str) -> Sequence[ShelfRow]:
        """Every item and bin of a branch in which it lies or has lain, by bin, SKU, supplier."""
        found = self._connection.execute(
            select(BIN, ITEM.c.supplier, ITEM.c.sku, ITEM.c.description)
            .select_from(BIN.join(ITEM, ITEM.c.id == BIN.c.item))
            .where(BIN.c.branch == branch)
            .order_by(BIN.c.bin, ITEM.c.sku, ITEM.c.supplier)
        )
        return [
            ShelfRow((row.supplier, row.sku), row.description, row.bin, row.on_hand)
            for row in found
        ]

    def moved_since(
        self, mark: int, items: Collection[ItemKey]
    ) -> Mapping[tuple[ItemKey, StockPlace], int]:
        """By how many packs the movements after a mark changed what lies in each bin."""
        wanted = (
            select(MOVEMENT, ITEM.c.supplier, ITEM.c.sku)
            .select_from(MOVEMENT.join(ITEM, ITEM.c.id == MOVEMENT.c.item))
            .where(MOVEMENT.c.id > mark)
        )
        bins = sums_of(map(movement_of, of_items(self._connection, wanted, items))).bins
        return {(item, StockPlace(branch, name)): n for (item, branch, name), n in bins.items()}

    def on_hand_on(self, day: date) -> Mapping[ItemKey, int]:
        """Packs on all shelves at the end of a day; items of which there were none left out."""
        packs = func.sum(
            case((MOVEMENT.c.target == Side.SHELF.value, MOVEMENT.c.packs), else_=0)
            - case((MOVEMENT.c.source == Side.SHELF.value, MOVEMENT.c.packs), else_=0)
        )
        found = self._connection.execute(
            select(ITEM.c.supplier, ITEM.c.sku, packs)
            .select_from(MOVEMENT.join(ITEM, ITEM.c.id == MOVEMENT.c.item))
            .where(func.substr(MOVEMENT.c.at, 1, 10) <= day.isoformat())
            .group_by(ITEM.c.id, ITEM.c.supplier, ITEM.c.sku)
        )
        return {(supplier, sku): int(n) for supplier, sku, n in found if n}

    def moved_over(self, since: date, branch: str) -> Sequence[ShelfMoves]:
        """Every item that lies at a branch, and how it moved from a day on: three questions."""
        return moved_over(self._connection, since, branch)

    def of_sku(self, sku: str) -> Sequence[tuple[ItemKey, str]]:
        """Items of a SKU with their descriptions, by supplier."""
        found = self._connection.execute(
            select(ITEM).where(ITEM.c.sku == sku).order_by(ITEM.c.supplier)
        )
        return [((row.supplier, row.sku), row.description) for row in found]

    def branches(self) -> Sequence[Branch]:
        """Every branch by its code, the main one first."""
        found = self._connection.execute(select(BRANCH).order_by(BRANCH.c.code))
        return [Branch(MAIN, ""), *(Branch(row.code, row.name) for row in found)]

    def add_branch(self, branch: Branch) -> None:
        """A branch more. Raises ConflictError (`branch-taken`)."""
        values = {"code": branch.code, "name": branch.name}
        taken = branch.code == MAIN
        if taken or not rows.add_unless_taken(self._connection, BRANCH, values):
            raise ConflictError("branch-taken", name=branch.code)


def _conditions(wanted: StockFilter) -> Iterator[ColumnElement[bool]]:
    if wanted.branch:
        yield BALANCE.c.branch == wanted.branch
    if wanted.bin:
        yield exists().where(
            BIN.c.item == BALANCE.c.item,
            BIN.c.branch == BALANCE.c.branch,
            BIN.c.bin == wanted.bin,
            BIN.c.on_hand > 0,
        )
    if wanted.text:
        low = wanted.text.lower()
        yield func.lower(ITEM.c.sku).contains(low, autoescape=True) | func.lower(
            ITEM.c.description
        ).contains(low, autoescape=True)
    if wanted.short:
        yield FREE == 0
