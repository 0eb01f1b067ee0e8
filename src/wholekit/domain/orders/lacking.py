"""Bags that are not promised all that they still take."""

from collections.abc import Mapping
from dataclasses import dataclass

from wholekit.domain.catalog import ItemKey
from wholekit.domain.orders.order import BagState, ReleasedBag
from wholekit.domain.stock import InBag

# In these states a bag may lack goods: in all others it has them, or is promised them whole.
MAY_LACK = frozenset({BagState.WAITING, BagState.OPEN})


@dataclass(frozen=True, slots=True)
class LackingBag:
    """A bag and the packs of each item that it lacks [count]: of one that waits all it needs, of
    one that is open what is neither in it nor promised to it."""

    bag: ReleasedBag
    needs: tuple[tuple[ItemKey, int], ...]

    @property
    def id(self) -> str:
        """The bag's id."""
        return self.bag.id

    @property
    def is_open(self) -> bool:
        """Whether it holds goods, so that what it lacks must come from its own branch."""
        return self.bag.state is BagState.OPEN

    def branch(self, of_order: str) -> str:
        """Where it draws on first. of_order: the branch of its order."""
        return self.bag.branch if self.is_open else of_order


def lacking(bag: ReleasedBag, held: Mapping[tuple[ItemKey, str], InBag]) -> LackingBag | None:
    """What a bag lacks beside what it holds and is promised; None where it lacks nothing.

    held: by item and branch. A bag that is open is filled at its own branch alone.
    """
    if bag.state not in MAY_LACK:
        return None
    needs = bag.needs
    if bag.state is BagState.OPEN:
        nothing = InBag()
        there = {item: held.get((item, bag.branch), nothing) for item, _ in needs}
        left = ((item, n - there[item].promised - there[item].picked) for item, n in needs)
        needs = tuple((item, packs) for item, packs in left if packs > 0)
    return LackingBag(bag, needs) if needs else None
