"""A bound on what any answer can weigh, without a solver."""

from wholekit.domain.allocation.contest import Contest
from wholekit.domain.catalog import ItemKey


def plain_bound(contest: Contest) -> int:
    """No answer weighs more than this: the least, over the items, of what fits where that item
    alone is short and bags may be cut to fit."""
    items = contest.wanted(contest.everything)
    return min(
        (_with_only(contest, item) for item in items), default=contest.value(contest.everything)
    )


def _with_only(contest: Contest, item: ItemKey) -> int:
    """Bags that need the least of an item for their weight go first, until it runs out."""
    free = contest.free[item] + sum(
        contest.free[other] for other in contest.substitutes.get(item, ())
    )
    takers: list[tuple[int, int, int]] = []
    value = 0
    for group in contest.groups:
        each = dict(group.needs).get(item, 0)
        if each:
            takers.append((group.weight, each, group.size))
        else:
            value += group.weight * group.size
    for weight, each, size in sorted(takers, key=lambda taker: -taker[0] / taker[1]):
        whole = min(size, free // each)
        value += weight * whole
        free -= each * whole
        if whole < size:
            return value + weight * free // each
    return value
