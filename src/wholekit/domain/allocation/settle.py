"""An answer brought into order: the heavier first among equals, no needless substitute, and the
packs of every bag."""

from collections.abc import Iterator

from wholekit.domain.allocation.contest import Contest, Needs, Split
from wholekit.domain.allocation.orders import by_scarcity, filled
from wholekit.domain.allocation.tray import given_out
from wholekit.domain.catalog import ItemKey


def polished(contest: Contest, split: Split) -> Split:
    """An answer settled, with every bag more that there is then enough for."""
    order = by_scarcity(contest)
    while True:
        split = settled(contest, split)
        more = filled(contest, order, split)
        if more.counts == split.counts:
            return split
        split = more


def settled(contest: Contest, split: Split) -> Split:
    """The same bags by their needs, the heaviest first; what an item is itself left over of takes
    the place of its substitutes."""
    equals: dict[Needs, int] = {}
    for group, count in zip(contest.groups, split.counts, strict=True):
        equals[group.needs] = equals.get(group.needs, 0) + count
    counts = []
    for group in contest.groups:  # the heavier comes first in a contest
        count = min(group.size, equals[group.needs])
        equals[group.needs] -= count
        counts.append(count)
    return Split(tuple(counts), _fewest(contest, Split(tuple(counts), split.instead)))


def _fewest(contest: Contest, split: Split) -> dict[tuple[ItemKey, ItemKey], int]:
    """Substitutions as far as the items themselves do not suffice, the last allowed undone
    first; each undone leaves a pack of the substitute for those that want it."""
    left = dict(contest.free)
    for item, packs in given_out(contest, split).items():
        left[item] = left[item] - packs
    instead = {pair: packs for pair, packs in sorted(split.instead.items()) if packs}
    changed = True
    while changed:
        changed = False
        for wanted, others in contest.substitutes.items():
            for given in reversed(others):
                back = min(left[wanted], instead.get((wanted, given), 0))
                if back:
                    left[wanted] -= back
                    left[given] += back
                    instead[wanted, given] -= back
                    changed = True
    return {pair: packs for pair, packs in instead.items() if packs}


def given_kits(
    contest: Contest, split: Split
) -> tuple[tuple[str, tuple[tuple[ItemKey, ItemKey, int], ...]], ...]:
    """Each bag that goes whole, in the order they came, with (wanted, given, packs).

    Bags that need the most of an item choose first, so that as few as can be have an item and its
    substitute side by side.
    """
    bags = [(name, needs) for name, needs, goes in in_turn(contest, split) if goes]
    takers: dict[ItemKey, list[tuple[int, int]]] = {}
    for place, (_, needs) in enumerate(bags):
        for item, each in needs:
            takers.setdefault(item, []).append((-each, place))
    items: list[list[tuple[ItemKey, ItemKey, int]]] = [[] for _ in bags]
    pools = _pools(contest, split)
    for item in sorted(takers):
        for less, place in sorted(takers[item]):
            items[place] += [(item, given, packs) for given, packs in _drawn(pools[item], -less)]
    return tuple((name, tuple(items[place])) for place, (name, _) in enumerate(bags))


def in_turn(contest: Contest, split: Split) -> Iterator[tuple[str, Needs, bool]]:
    """Each bag in the order they came, with its needs, and whether it goes whole."""
    seen = [0] * len(contest.groups)
    for number in contest.turns:
        group = contest.groups[number]
        yield group.ids[seen[number]], group.needs, seen[number] < split.counts[number]
        seen[number] += 1


def _pools(contest: Contest, split: Split) -> dict[ItemKey, dict[ItemKey, int]]:
    """For every item wanted, what is given for it: itself, then substitutes as allowed."""
    pools: dict[ItemKey, dict[ItemKey, int]] = {}
    for item, packs in contest.wanted(split.counts).items():
        others = {
            other: split.instead.get((item, other), 0)
            for other in contest.substitutes.get(item, ())
        }
        pools[item] = {item: packs - sum(others.values()), **others}
    return pools


def _drawn(pool: dict[ItemKey, int], each: int) -> Iterator[tuple[ItemKey, int]]:
    """So many packs of a pool, of one item where one of it suffices."""
    alike = next((item for item, packs in pool.items() if packs >= each), None)
    for item in [alike] if alike is not None else list(pool):
        packs = min(each, pool[item])
        if packs:
            pool[item] -= packs
            each -= packs
            yield item, packs
