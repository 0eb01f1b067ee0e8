"""What movements add up to: packs on hand, promised and free, and what each bag holds."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import TypeAlias

from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import CallError
from wholekit.domain.stock.movement import Account, Kind, Movement, Side

Branched: TypeAlias = tuple[ItemKey, str]
Binned: TypeAlias = tuple[ItemKey, str, str]
Bagged: TypeAlias = tuple[ItemKey, str, str]


@dataclass(frozen=True, slots=True)
class Balance:
    """Packs of an item on the shelves of a branch, and those of them that bags were promised.

    As a change either may be below zero; as a sum neither is, nor what is free.
    """

    on_hand: int = 0
    promised: int = 0

    @property
    def free(self) -> int:
        """Packs that nobody was promised."""
        return self.on_hand - self.promised

    def __add__(self, other: "Balance") -> "Balance":
        """Both together."""
        return Balance(self.on_hand + other.on_hand, self.promised + other.promised)


@dataclass(frozen=True, slots=True)
class InBag:
    """Packs of an item at a branch that a bag was promised and does not hold yet, and those it
    holds; as a change either may be below zero."""

    promised: int = 0
    picked: int = 0

    def __add__(self, other: "InBag") -> "InBag":
        """Both together."""
        return InBag(self.promised + other.promised, self.picked + other.picked)


@dataclass(slots=True)
class Sums:
    """Sums, or changes of them: by (item, branch), by (item, branch, bin) the packs in it, and by
    (item, branch, bag)."""

    branches: dict[Branched, Balance] = field(default_factory=dict)
    bins: dict[Binned, int] = field(default_factory=dict)
    bags: dict[Bagged, InBag] = field(default_factory=dict)

    def add(self, movement: Movement) -> None:
        """One movement more."""
        self._side(movement, movement.source, -movement.packs)
        self._side(movement, movement.target, movement.packs)
        # The pieces that a promise was of have reached the bag, or lie on the shelf for it again.
        if movement.kind is Kind.PICK:
            self._promise(movement, movement.target, -movement.packs)
        elif movement.kind is Kind.UNPICK:
            self._promise(movement, movement.source, movement.packs)

    def plus(self, other: "Sums") -> "Sums":
        """Both together."""
        both = Sums(dict(self.branches), dict(self.bins), dict(self.bags))
        for (item, branch), balance in other.branches.items():
            both._branch(item, branch, balance)
        for place, packs in other.bins.items():
            both.bins[place] = both.bins.get(place, 0) + packs
        for key, held in other.bags.items():
            both._bag(key, held)
        return both

    def _side(self, movement: Movement, account: Account, packs: int) -> None:
        item, branch = movement.item, account.place.branch
        if account.side is Side.SHELF:
            place = item, branch, account.place.bin
            self.bins[place] = self.bins.get(place, 0) + packs
            self._branch(item, branch, Balance(on_hand=packs))
        elif account.side is Side.PROMISED:
            self._promise(movement, account, packs)
        elif account.side is Side.BAG:
            self._bag((item, branch, account.bag), InBag(picked=packs))

    def _promise(self, movement: Movement, account: Account, packs: int) -> None:
        branch = account.place.branch
        self._bag((movement.item, branch, account.bag), InBag(promised=packs))
        self._branch(movement.item, branch, Balance(promised=packs))

    def _branch(self, item: ItemKey, branch: str, change: Balance) -> None:
        key = item, branch
        self.branches[key] = self.branches.get(key, Balance()) + change

    def _bag(self, key: Bagged, change: InBag) -> None:
        self.bags[key] = self.bags.get(key, InBag()) + change


# Changes, as against sums.
Deltas: TypeAlias = Sums


def sums_of(movements: Iterable[Movement]) -> Sums:
    """What movements add up to."""
    sums = Sums()
    for movement in movements:
        sums.add(movement)
    return sums


def deltas_of(movements: Iterable[Movement]) -> Deltas:
    """By how much movements change sums."""
    return sums_of(movements)


def require_sound(before: Sums, change: Deltas) -> None:
    """Raises CallError where changes would take a sum below zero; what is not in `before` is none.

    `stock-short`: free packs of an item at a branch; `bin-short`: packs in a bin; `promise-short`,
    `bag-short`: what a bag is promised, or holds. Judged by what all movements come to together.
    """
    for (item, branch, bag), moved in sorted(change.bags.items()):
        held = before.bags.get((item, branch, bag), InBag())
        _require("promise-short", item, branch, held.promised, moved.promised, bag=bag)
        _require("bag-short", item, branch, held.picked, moved.picked, bag=bag)
    for (item, branch, name), packs in sorted(change.bins.items()):
        _require(
            "bin-short", item, branch, before.bins.get((item, branch, name), 0), packs, bin=name
        )
    for (item, branch), moves in sorted(change.branches.items(), key=lambda entry: entry[0]):
        there = before.branches.get((item, branch), Balance())
        _require("stock-short", item, branch, there.free, moves.free)


def given_back(latest: Iterable[tuple[str, int]], short: int) -> list[tuple[str, int]]:
    """Which promises go back to waiting where so many packs are short: bag and packs of each.

    latest: bags with the packs they are promised, the latest promise first. Those first in it give
    what is needed, and no more; together less than `short` only where all of them is.
    """
    back = []
    for bag, promised in latest:
        if short <= 0:
            break
        packs = min(promised, short)
        if packs:
            back.append((bag, packs))
            short -= packs
    return back


def _require(code: str, item: ItemKey, branch: str, there: int, moved: int, **where: str) -> None:
    if moved < 0 and there + moved < 0:
        supplier, sku = item
        raise CallError(
            code, supplier=supplier, sku=sku, branch=branch, there=there, wanted=-moved, **where
        )
