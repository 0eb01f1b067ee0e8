"""What the services ask of the ledger of stock."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Protocol

from wholekit.domain.catalog import ItemKey
from wholekit.domain.stock import Balance, InBag, Movement, ShelfMoves, StockPlace
from wholekit.services.paging import Page


@dataclass(frozen=True, slots=True)
class StockFilter:
    """Which rows of the list: empty = any. text: found in SKU or description, case of a-z aside;
    short: those of which nothing is free."""

    branch: str = ""
    bin: str = ""
    text: str = ""
    short: bool = False


@dataclass(frozen=True, slots=True)
class StockRow:
    """An item at a branch. bins: the packs in each, by its name."""

    item: ItemKey
    description: str
    branch: str
    balance: Balance
    bins: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class ShelfRow:
    """An item in a bin of a branch [packs]."""

    item: ItemKey
    description: str
    bin: str
    on_hand: int


@dataclass(frozen=True, slots=True)
class Branch:
    """A branch of the house."""

    code: str
    name: str


class Stock(Protocol):
    """What may be taken, whoever keeps count of it."""

    def free(self, items: Collection[ItemKey], branch: str = "") -> Mapping[ItemKey, int]:
        """Packs that may be taken at a branch, at all of them together for none; an item that is
        not in it has none."""


@dataclass(frozen=True, slots=True)
class AtHand:
    """An item at one branch, held for one bag: packs that are free there, that the bag is promised
    and that lie in each bin (those without left out)."""

    free: int
    promised: int
    bins: Mapping[StockPlace, int]


class StockLedger(Stock, Protocol):
    """Movements and the sums that are kept beside them."""

    def move(self, movements: Sequence[Movement]) -> Sequence[Movement]:
        """Write movements down, all of them or none; those that were not there already.

        A movement whose key is there is passed over. Rows are held in one order, so that two who
        move the same items wait for each other: whoever moves twice in one unit of work holds the
        items of both first. Raises CallError where a sum would fall below zero (see
        `domain.stock.require_sound`); ConflictError (`movement-differs`) for a key that is there
        with another movement.
        """

    def hold(self, items: Collection[ItemKey]) -> None:
        """Nobody else moves these items until the unit of work ends."""

    def take_turn(self) -> None:
        """Nobody else moves promises from or to bags until the unit of work ends; scans go on.

        Taken before any bag or item is held: bags then, in one go, and items last, in one go. No
        bag begins to lack goods, and none keeps more promised to it, but in a turn.
        """

    def at_hand(self, item: ItemKey, branch: str, bag: str, keys: Sequence[str]) -> AtHand:
        """An item that nobody else moves until the unit of work ends. keys: of the movements that
        one deed may make next, in their order, so that nothing is looked up again."""

    def balances(self, items: Collection[ItemKey]) -> Mapping[ItemKey, Mapping[str, Balance]]:
        """By item the balance at each branch; items of which no stock is kept are not in it."""

    def every_free(self) -> Mapping[ItemKey, int]:
        """Free packs of every item of which any is, all branches together."""

    def stamp(self) -> object:
        """Equal to an earlier one only where no balance has changed since."""

    def bins_of(self, items: Collection[ItemKey]) -> Mapping[ItemKey, Mapping[StockPlace, int]]:
        """Packs on hand by bin, those with none left out, by branch and bin."""

    def bags(self, bags: Collection[str]) -> Mapping[str, Mapping[tuple[ItemKey, str], InBag]]:
        """What each bag is promised and holds, by item and branch."""

    def latest_promises(self, item: ItemKey, branch: str) -> Sequence[tuple[str, int]]:
        """The bags that an item is promised to, with their packs, the latest promise first."""

    def promised_to(self, items: Collection[ItemKey], branch: str) -> Collection[str]:
        """The bags that any of some items is promised to at a branch."""

    def shipped(self, item: ItemKey, bags: Collection[str]) -> Mapping[str, int]:
        """Packs of an item that left in each of some bags; those without are not in it."""

    def history(
        self, page: Page, item: ItemKey | None = None, bag: str = ""
    ) -> tuple[Sequence[Movement], int]:
        """Movements of an item or a bag, the latest first, and how many there are in all."""

    def page(self, wanted: StockFilter, page: Page) -> tuple[Sequence[StockRow], int]:
        """Rows by SKU, supplier and branch, and how many there are in all."""

    def mark(self) -> int:
        """How far the movements are: a number that each later one has a higher one than."""

    def shelves(self, branch: str) -> Sequence[ShelfRow]:
        """Every item and bin of a branch in which it lies or has lain, by bin, SKU, supplier."""

    def moved_since(
        self, mark: int, items: Collection[ItemKey]
    ) -> Mapping[tuple[ItemKey, StockPlace], int]:
        """By how many packs the movements after a mark changed what lies in each bin."""

    def on_hand_on(self, day: date) -> Mapping[ItemKey, int]:
        """Packs on all shelves at the end of a day, as the clock was where it was written down;
        items of which there were none are left out."""

    def moved_over(self, since: date, branch: str) -> Sequence[ShelfMoves]:
        """Every item that lies at a branch (empty: at any), and how it moved from a day on."""

    def of_sku(self, sku: str) -> Sequence[tuple[ItemKey, str]]:
        """Items of a SKU with their descriptions, by supplier."""

    def branches(self) -> Sequence[Branch]:
        """Every branch by its code, the main one first."""

    def add_branch(self, branch: Branch) -> None:
        """A branch more. Raises ConflictError (`branch-taken`)."""
