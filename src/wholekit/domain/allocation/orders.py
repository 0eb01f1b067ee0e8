"""Answers without a solver: who came first, and who asks for the least of what is scarce."""

from collections.abc import Iterable, Sequence

from wholekit.domain.allocation.contest import Contest, Split
from wholekit.domain.allocation.tray import Tray

NEARLY = 1e-6


def first_come(contest: Contest) -> Split:
    """Bag by bag in the order they came; one that cannot be whole takes nothing."""
    tray = Tray(contest)
    for group in contest.turns:
        tray.fill(group)
    return tray.split


def greedy(contest: Contest) -> Split:
    """Groups by what they weigh for what they take of scarce items, the best first."""
    return filled(contest, by_scarcity(contest))


def filled(contest: Contest, order: Iterable[int], start: Split | None = None) -> Split:
    """As many bags as there is stock for, group by group in an order, after those of a start."""
    tray = Tray(contest, start)
    for group in order:
        while tray.fill(group):
            pass
    return tray.split


def rounded(contest: Contest, counts: Sequence[float]) -> Split:
    """An answer in whole bags near one that cuts them: what it has whole of each group, then one
    bag more where the part cut off weighs the most, then whatever fits."""
    tray = Tray(contest)
    # Past the error of a solver that counts in floating point.
    whole = [int(count + NEARLY) for count in counts]
    for group, count in enumerate(whole):
        for _ in range(count):
            tray.fill(group)
    cut = sorted(
        range(len(whole)),
        key=lambda group: (whole[group] - counts[group]) * contest.groups[group].weight,
    )
    for group in cut:
        tray.fill(group)
    return filled(contest, cut, tray.split)


def by_scarcity(contest: Contest) -> tuple[int, ...]:
    """The groups in the order of their weight per scarce pack.

    A pack counts as what is wanted of its item over what there is to give for it, substitutes
    included; nothing where there is enough for all.
    """
    wanted = contest.wanted(contest.everything)
    scarce: dict[object, float] = {}
    for item, packs in wanted.items():
        others = contest.substitutes.get(item, ())
        there = contest.free[item] + sum(contest.free[other] for other in others)
        if packs > contest.free[item]:
            scarce[item] = packs / max(there, 1)

    def merit(number: int) -> tuple[float, int]:
        group = contest.groups[number]
        cost = sum(each * scarce.get(item, 0.0) for item, each in group.needs)
        return (-group.weight / cost if cost else float("-inf")), number

    return tuple(sorted(range(len(contest.groups)), key=merit))
