"""A contest as a mixed-integer program: columns, and rows of (column, packs) with a limit.

Columns: x_g, the bags of group g that go whole, 0 … n_g; then y_ij, the packs of j that stand in
for i. Greatest sum of w_g · x_g, where for every item i

    sum_g a_gi · x_g - sum_j y_ij + sum_k y_ki <= free_i         no more leaves than is free
    sum_j y_ij - sum_g a_gi · x_g <= 0                           no more stands in than is wanted

The second is needed only of an item that itself stands in for another: elsewhere too much of it
loosens nothing, and is cut off in the answer.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from wholekit.domain.allocation import Contest, Split
from wholekit.domain.catalog import ItemKey


@dataclass(frozen=True, slots=True)
class AllocationProgram:
    """Greatest sum of weights · columns, 0 <= column <= most, every row <= its limit, all whole."""

    weights: tuple[int, ...]
    most: tuple[int, ...]
    rows: tuple[dict[int, int], ...]
    limits: tuple[int, ...]
    groups: int
    pairs: tuple[tuple[ItemKey, ItemKey], ...]

    def columns_of(self, split: Split) -> list[int]:
        """An answer as the values of the columns."""
        return [*split.counts, *(split.instead.get(pair, 0) for pair in self.pairs)]


def program_of(contest: Contest) -> AllocationProgram:
    """The program of a contest. Items there is enough of for all have no row."""
    groups = contest.groups
    pairs = tuple((item, other) for item, others in contest.substitutes.items() for other in others)
    wanted = contest.wanted(contest.everything)
    uses: dict[ItemKey, dict[int, int]] = {item: {} for item in contest.free}
    for number, group in enumerate(groups):
        for item, each in group.needs:
            uses[item][number] = each
    out: dict[ItemKey, list[int]] = {}
    into: dict[ItemKey, list[int]] = {}
    most = [group.size for group in groups]
    for column, (item, other) in enumerate(pairs, len(groups)):
        out.setdefault(item, []).append(column)
        into.setdefault(other, []).append(column)
        most.append(min(wanted[item], contest.free[other]))
    rows: list[dict[int, int]] = []
    limits: list[int] = []
    for item, free in contest.free.items():
        gives = into.get(item, [])
        if wanted.get(item, 0) + sum(most[column] for column in gives) > free:
            rows.append({**uses[item], **dict.fromkeys(out.get(item, []), -1)})
            rows[-1].update(dict.fromkeys(gives, 1))
            limits.append(free)
        if gives and item in out:
            rows.append({number: -each for number, each in uses[item].items()})
            rows[-1].update(dict.fromkeys(out[item], 1))
            limits.append(0)
    weights = tuple(group.weight for group in groups) + (0,) * len(pairs)
    return AllocationProgram(weights, tuple(most), tuple(rows), tuple(limits), len(groups), pairs)


def split_of(contest: Contest, program: AllocationProgram, columns: Sequence[int]) -> Split:
    """The answer in the values of the columns, what stands in for more than is wanted cut off."""
    counts = tuple(columns[: program.groups])
    wanted = contest.wanted(counts)
    instead: dict[tuple[ItemKey, ItemKey], int] = {}
    for (item, other), packs in zip(program.pairs, columns[program.groups :], strict=True):
        used = min(packs, wanted[item])
        if used:
            wanted[item] -= used
            instead[item, other] = used
    return Split(counts, instead)
