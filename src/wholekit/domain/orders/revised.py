"""A newer accepted revision takes the place of an order: what of the old bags serves the new."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from wholekit.domain.catalog import ItemKey
from wholekit.domain.orders.order import BagState, ReleasedBag

# The further a bag has come, the sooner it serves on.
_FURTHEST = (
    BagState.SHIPPED,
    BagState.CLOSED,
    BagState.OPEN,
    BagState.READY,
    BagState.WAITING,
)


@dataclass(frozen=True, slots=True)
class Revised:
    """kept: bags that serve an opening of the new revision as they are, with their promises and
    labels. dropped: bags that wait, or are ready, for what is no longer asked. surplus: bags that
    hold goods nobody asks for now: to be unpacked by hand. fresh: bags to be made."""

    kept: tuple[ReleasedBag, ...]
    dropped: tuple[ReleasedBag, ...]
    surplus: tuple[ReleasedBag, ...]
    fresh: tuple[ReleasedBag, ...]


def revised(
    old: Sequence[ReleasedBag],
    wanted: Sequence[ReleasedBag],
    asked: Mapping[str, tuple[tuple[ItemKey, int], ...]] = MappingProxyType({}),
) -> Revised:
    """Which bags of an order serve those that a newer revision wants: the same mark, and the same
    packs of the same items. Every wanted bag is among kept (in number) or fresh.

    asked: by id what a bag was released for, where something stands in for it since.
    """
    there: dict[tuple[object, ...], list[ReleasedBag]] = {}
    for bag in sorted(
        (bag for bag in old if bag.state is not BagState.CANCELLED),
        key=lambda bag: (_FURTHEST.index(bag.state), bag.place, bag.number),
        reverse=True,
    ):
        there.setdefault((bag.mark, asked.get(bag.id, bag.needs)), []).append(bag)
    kept, fresh = [], []
    for bag in wanted:
        found = there.get((bag.mark, bag.needs))
        if found:
            kept.append(found.pop())
        else:
            fresh.append(bag)
    left = [bag for bags in there.values() for bag in bags]
    idle = frozenset({BagState.WAITING, BagState.READY})
    return Revised(
        tuple(kept),
        tuple(bag for bag in left if bag.state in idle),
        tuple(bag for bag in left if bag.state not in idle),
        tuple(fresh),
    )
