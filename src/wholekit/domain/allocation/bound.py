"""A bound on what any answer can weigh, without a solver."""

from wholekit.domain.allocation.contest import Contest
from wholekit.domain.catalog import ItemKey


def plain_bound(contest: Contest) -> int:
    """No answer weighs more than this: the least, over the items, of what fits where that item
    alone is short and bags may be cut to fit (Dantzig's bound of a knapsack)."""
    takers: dict[ItemKey, list[tuple[int, int, int]]] = {}
    for group in contest.groups:
        for item, each in group.needs:
            takers.setdefault(item, []).append((group.weight, each, group.size))
    total = contest.value(contest.everything)
    return min((total - _left_out(contest, item, takers[item]) for item in takers), default=total)


def _left_out(contest: Contest, item: ItemKey, takers: list[tuple[int, int, int]]) -> int:
    """The least weight that must wait for want of an item: (weight, packs each, bags) in turn, what
    weighs the least for its packs first, until the rest finds enough."""
    others = contest.substitutes.get(item, ())
    there = contest.free[item] + sum(contest.free[other] for other in others)
    short = sum(each * size for _, each, size in takers) - there
    waits = 0
    for weight, each, size in sorted(takers, key=lambda taker: taker[0] / taker[1]):
        if short <= 0:
            break
        whole = min(size, short // each)
        waits += weight * whole
        short -= each * whole
        if whole < size and short > 0:
            return waits - (-weight * short // each)
    return waits
