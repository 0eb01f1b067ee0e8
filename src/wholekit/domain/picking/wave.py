"""A wave: bags of one or several orders in one walk, each piece of a bin taken by one picker."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from wholekit.domain.catalog import ItemKey
from wholekit.domain.picking.bag import Bag, BagStatus
from wholekit.domain.picking.demand import BagLine
from wholekit.domain.quotes.bag_id import BagId
from wholekit.domain.walk import AS_NAMED, Walk


@dataclass(frozen=True, slots=True)
class InBin:
    """So many packs of an item in a bin [count]; bin empty: no bin is known."""

    item: ItemKey
    bin: str
    packs: int


@dataclass(frozen=True, slots=True)
class BagTake:
    """So many packs [count] for the bag that stands at a position of the cart, from 1."""

    bag: BagId
    position: int
    packs: int


@dataclass(frozen=True, slots=True)
class WaveStop:
    """One item from one bin, shared out over bags."""

    bin: str
    item: ItemKey
    title: str
    finish: str
    takes: tuple[BagTake, ...]

    @property
    def packs(self) -> int:
        """How many packs are taken here [count]."""
        return sum(take.packs for take in self.takes)


@dataclass(frozen=True, slots=True)
class WaveShort:
    """What the bins do not hold for a bag [packs]."""

    bag: BagId
    item: ItemKey
    packs: int


@dataclass(frozen=True, slots=True)
class Wave:
    """One picker's walk. bags: by their position on the cart; stops: in walking order."""

    bags: tuple[BagId, ...]
    stops: tuple[WaveStop, ...]
    short: tuple[WaveShort, ...] = ()

    def bins_of(self, bag: BagId, item: ItemKey) -> tuple[str, ...]:
        """The bins that an item is taken from for a bag, in walking order."""
        return tuple(
            stop.bin
            for stop in self.stops
            if stop.item == item and any(take.bag == bag for take in stop.takes)
        )

    @property
    def packs(self) -> int:
        """How many packs are taken in all [count]."""
        return sum(stop.packs for stop in self.stops)


@dataclass(frozen=True, slots=True)
class _Drawn:
    """Packs of one bin drawn for one bag."""

    bag: BagId
    line: BagLine
    bin: str
    packs: int


def plan_wave(bags: Sequence[Bag], bins: Sequence[InBin], walk: Walk = AS_NAMED) -> Wave:
    """One walk for some bags, in the order of who comes first where a bin holds too little.

    Bags that take nothing now (held, closed) are left out.
    """
    return divide_wave(bags, bins, 1, walk)[0]


def divide_wave(
    bags: Sequence[Bag], bins: Sequence[InBin], pickers: int, walk: Walk = AS_NAMED
) -> tuple[Wave, ...]:
    """The same divided among so many pickers: each bag and each pack is one picker's alone.

    What a bag gets does not depend on the number of pickers. Bags that begin near each other stay
    together, and each picker has about as many packs; one may have none. Raises ValueError for
    less than one picker.
    """
    if pickers < 1:
        raise ValueError(f"no picker: {pickers}")
    # A bag named twice would be filled twice.
    picked = {bag.id: bag for bag in bags if _wants(bag)}
    drawn = tuple(_draw(tuple(picked.values()), bins, walk))
    return tuple(
        _walk_of(part, picked, drawn, walk) for part in _parts(picked, drawn, pickers, walk)
    )


def _wants(bag: Bag) -> bool:
    return bag.status not in (BagStatus.HELD, BagStatus.CLOSED) and bool(bag.remaining)


def _draw(bags: Sequence[Bag], bins: Sequence[InBin], walk: Walk) -> Iterator[_Drawn]:
    left: dict[ItemKey, dict[str, int]] = {}
    for one in bins:
        held = left.setdefault(one.item, {})
        held[one.bin] = held.get(one.bin, 0) + max(one.packs, 0)
    wanted: dict[ItemKey, int] = {}
    for bag in bags:
        for line in bag.remaining:
            wanted[line.item] = wanted.get(line.item, 0) + line.packs
    order = {item: _bins_in_order(held, wanted.get(item, 0), walk) for item, held in left.items()}
    for bag in bags:
        for line in bag.remaining:
            yield from _draw_line(bag.id, line, order.get(line.item, ()), left)


def _bins_in_order(held: Mapping[str, int], wanted: int, walk: Walk) -> list[str]:
    """Where one bin holds all, it alone is walked to; else bins as they come on the walk."""
    there = walk.sorted([name for name, packs in held.items() if packs])
    enough = [name for name in there if held[name] >= wanted]
    return enough[:1] or there


def _draw_line(
    bag: BagId, line: BagLine, names: Sequence[str], left: dict[ItemKey, dict[str, int]]
) -> Iterator[_Drawn]:
    wanted = line.packs
    for name in names:
        taken = min(wanted, left[line.item][name])
        if taken:
            left[line.item][name] -= taken
            wanted -= taken
            yield _Drawn(bag, line, name, taken)


def _parts(
    picked: Mapping[BagId, Bag], drawn: Sequence[_Drawn], pickers: int, walk: Walk
) -> list[list[BagId]]:
    """The bags of each picker: along the walk, cut where another share of the packs begins."""
    packs = dict.fromkeys(picked, 0)
    nowhere = walk.place_of("")
    firsts = dict.fromkeys(picked, nowhere)
    for one in drawn:
        packs[one.bag] += one.packs
        firsts[one.bag] = min(firsts[one.bag], walk.place_of(one.bin))
    rank = {bag: at for at, bag in enumerate(picked)}
    order = sorted(rank, key=lambda bag: (firsts[bag], rank[bag]))
    total = max(sum(packs.values()), 1)
    parts: list[list[BagId]] = [[] for _ in range(pickers)]
    before = 0
    for bag in order:
        middle = before + packs[bag] / 2
        parts[min(int(middle * pickers / total), pickers - 1)].append(bag)
        before += packs[bag]
    # On the cart they stand as they were named.
    return [sorted(part, key=rank.__getitem__) for part in parts]


def _walk_of(
    part: Sequence[BagId], picked: Mapping[BagId, Bag], drawn: Sequence[_Drawn], walk: Walk
) -> Wave:
    positions = {bag: at for at, bag in enumerate(part, start=1)}
    own = [one for one in drawn if one.bag in positions]
    stops: dict[tuple[str, ItemKey], list[_Drawn]] = {}
    for one in own:
        stops.setdefault((one.bin, one.line.item), []).append(one)
    names = walk.sorted([name for name, _ in stops])
    place = {name: at for at, name in enumerate(names)}
    return Wave(
        tuple(part),
        tuple(
            _stop(stops[key], positions)
            for key in sorted(stops, key=lambda key: (place[key[0]], key[1]))
        ),
        tuple(_short(part, picked, own)),
    )


def _stop(drawn: Sequence[_Drawn], positions: Mapping[BagId, int]) -> WaveStop:
    first = drawn[0]
    ware = first.line.ware
    takes = sorted(
        (BagTake(one.bag, positions[one.bag], one.packs) for one in drawn),
        key=lambda take: take.position,
    )
    return WaveStop(first.bin, ware.key, ware.title, ware.finish, tuple(takes))


def _short(
    part: Sequence[BagId], picked: Mapping[BagId, Bag], own: Sequence[_Drawn]
) -> Iterator[WaveShort]:
    taken: dict[tuple[BagId, ItemKey], int] = {}
    for one in own:
        key = one.bag, one.line.item
        taken[key] = taken.get(key, 0) + one.packs
    for bag in part:
        for line in picked[bag].remaining:
            lacks = line.packs - taken.get((bag, line.item), 0)
            if lacks:
                yield WaveShort(bag, line.item, lacks)
