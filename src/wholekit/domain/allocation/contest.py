"""Which kits want what of the stock of one branch: wants, and the contest they make together."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeAlias

from wholekit.domain.catalog import ItemKey

Needs: TypeAlias = tuple[tuple[ItemKey, int], ...]
Substitutes: TypeAlias = Mapping[ItemKey, tuple[ItemKey, ...]]


@dataclass(frozen=True, slots=True)
class Want:
    """One bag: what its kit needs [packs], what it weighs against others, and when it came.

    needs may name an item twice. arrival: anything that sorts, the earlier first; all of one
    contest are of one shape.
    """

    id: str
    needs: Needs
    weight: int
    arrival: tuple[Any, ...]


@dataclass(frozen=True, slots=True)
class WantGroup:
    """Bags of equal needs [packs] and equal weight, those that came first at the head."""

    needs: Needs
    weight: int
    ids: tuple[str, ...]

    @property
    def size(self) -> int:
        """How many bags they are."""
        return len(self.ids)


@dataclass(frozen=True, slots=True)
class Split:
    """An answer: of each group so many bags go whole, and the packs that stand in for others.

    instead: packs by (item wanted, item given).
    """

    counts: tuple[int, ...]
    instead: Mapping[tuple[ItemKey, ItemKey], int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Contest:
    """Groups that compete for what is free, all in an order that does not hang on how they came.

    free: packs of every item that could be given; substitutes: those allowed for an item that is
    wanted, as far as any is free, the first to be tried first; turns: the group of each bag, in the
    order the bags came.
    """

    groups: tuple[WantGroup, ...]
    free: Mapping[ItemKey, int]
    substitutes: Substitutes
    turns: tuple[int, ...]

    @property
    def everything(self) -> tuple[int, ...]:
        """The counts of an answer that leaves nobody waiting."""
        return tuple(group.size for group in self.groups)

    def value(self, counts: Iterable[int]) -> int:
        """What so many bags of each group weigh together."""
        return sum(group.weight * count for group, count in zip(self.groups, counts, strict=True))

    def wanted(self, counts: Iterable[int]) -> dict[ItemKey, int]:
        """What so many bags of each group need [packs]."""
        packs: dict[ItemKey, int] = {}
        for group, count in zip(self.groups, counts, strict=True):
            for item, each in group.needs:
                packs[item] = packs.get(item, 0) + each * count
        return packs


def contest_of(
    wants: Iterable[Want], free: Mapping[ItemKey, int], substitutes: Substitutes
) -> Contest:
    """Wants grouped, with what is free for them [packs].

    Raises ValueError for two bags of one id, a need below one pack, a weight below one, or less
    than nothing free.
    """
    ordered = sorted(wants, key=lambda want: (want.arrival, want.id))
    kinds: dict[tuple[Needs, int], list[str]] = {}
    for want in ordered:
        kinds.setdefault((_merged(want), _checked_weight(want)), []).append(want.id)
    if len({want.id for want in ordered}) < len(ordered):
        raise ValueError("two wants of one id")
    keys = sorted(kinds, key=lambda kind: (kind[0], -kind[1]))
    groups = tuple(WantGroup(needs, weight, tuple(kinds[needs, weight])) for needs, weight in keys)
    place = {name: number for number, group in enumerate(groups) for name in group.ids}
    items = sorted({item for group in groups for item, _ in group.needs})
    allowed = {item: _allowed(item, free, substitutes) for item in items}
    reach = {*items, *(given for others in allowed.values() for given in others)}
    if any(free.get(item, 0) < 0 for item in reach):
        raise ValueError("less than nothing is free")
    return Contest(
        groups,
        {item: free.get(item, 0) for item in sorted(reach)},
        {item: others for item, others in allowed.items() if others},
        tuple(place[want.id] for want in ordered),
    )


def _allowed(
    item: ItemKey, free: Mapping[ItemKey, int], substitutes: Substitutes
) -> tuple[ItemKey, ...]:
    others = dict.fromkeys(substitutes.get(item, ()))
    return tuple(other for other in others if other != item and free.get(other, 0))


def _merged(want: Want) -> Needs:
    packs: dict[ItemKey, int] = {}
    for item, count in want.needs:
        if count < 1:
            raise ValueError(f"{want.id} needs {count} of {item}")
        packs[item] = packs.get(item, 0) + count
    return tuple(sorted(packs.items()))


def _checked_weight(want: Want) -> int:
    if want.weight < 1:
        raise ValueError(f"{want.id} weighs {want.weight}")
    return want.weight
