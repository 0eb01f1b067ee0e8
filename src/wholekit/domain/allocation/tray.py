"""What is left of the stock while bag after bag is filled from it."""

from collections.abc import Mapping
from dataclasses import dataclass

from wholekit.domain.allocation.contest import Contest, Needs, Split, Substitutes
from wholekit.domain.catalog import ItemKey


@dataclass(frozen=True, slots=True)
class Take:
    """Packs given for packs wanted, as far as there are any; short: what is lacking [packs]."""

    given: tuple[tuple[ItemKey, ItemKey, int], ...]
    short: Needs


def take(needs: Needs, left: Mapping[ItemKey, int], substitutes: Substitutes) -> Take:
    """What one bag gets of what is left: what it wants itself first, then substitutes, where the
    item of least choice goes first. Changes nothing.

    >>> closer, equal = ("maker", "C-1"), ("maker", "C-2")
    >>> take(((closer, 3),), {closer: 1, equal: 1}, {closer: (equal,)}).short
    ((('maker', 'C-1'), 1),)
    """
    used: dict[ItemKey, int] = {}
    given: list[tuple[ItemKey, ItemKey, int]] = []
    open_needs: list[tuple[ItemKey, int]] = []
    for item, count in needs:
        own = min(count, left.get(item, 0))
        if own:
            used[item] = own
            given.append((item, item, own))
        if own < count:
            open_needs.append((item, count - own))
    short: list[tuple[ItemKey, int]] = []
    for item, count in sorted(open_needs, key=lambda need: len(substitutes.get(need[0], ()))):
        lacking = count
        for other in substitutes.get(item, ()):
            packs = min(lacking, left.get(other, 0) - used.get(other, 0))
            if packs:
                used[other] = used.get(other, 0) + packs
                given.append((item, other, packs))
                lacking -= packs
        if lacking:
            short.append((item, lacking))
    return Take(tuple(sorted(given)), tuple(sorted(short)))


class Tray:
    """The stock of a contest, drawn from bag by bag.

    `split` is the answer so far, `counts` its bags by group, `left` the packs that are left; what
    it starts from must be one that the stock can supply.
    """

    def __init__(self, contest: Contest, start: Split | None = None) -> None:
        self._contest = contest
        self.left = dict(contest.free)
        self.counts = [0] * len(contest.groups)
        self._instead: dict[tuple[ItemKey, ItemKey], int] = {}
        if start is not None:
            self.counts = list(start.counts)
            self._instead = dict(start.instead)
            for item, packs in given_out(contest, start).items():
                self.left[item] -= packs

    @property
    def split(self) -> Split:
        """The answer so far."""
        return Split(tuple(self.counts), {pair: n for pair, n in self._instead.items() if n})

    def fill(self, group: int) -> bool:
        """One bag more of a group, if there is enough for it and one of it still waits."""
        kind = self._contest.groups[group]
        if self.counts[group] == kind.size:
            return False
        taken = take(kind.needs, self.left, self._contest.substitutes)
        if taken.short:
            return False
        self.counts[group] += 1
        for wanted, given, packs in taken.given:
            self.left[given] -= packs
            if wanted != given:
                self._instead[wanted, given] = self._instead.get((wanted, given), 0) + packs
        return True

    def exchange(self, out: int, into: int) -> bool:
        """One bag less of a group for one more of another; nothing changes where that fails."""
        before = dict(self.left), list(self.counts), dict(self._instead)
        self._release(out)
        if self.fill(into):
            return True
        self.left, self.counts, self._instead = before
        return False

    def _release(self, group: int) -> None:
        self.counts[group] -= 1
        for item, each in self._contest.groups[group].needs:
            back = each
            for other in reversed(self._contest.substitutes.get(item, ())):
                packs = min(back, self._instead.get((item, other), 0))
                if packs:
                    self._instead[item, other] -= packs
                    self.left[other] += packs
                    back -= packs
            self.left[item] += back


def given_out(contest: Contest, split: Split) -> dict[ItemKey, int]:
    """What leaves the shelf in an answer [packs]; less than nothing where more is given instead
    of an item than is wanted of it."""
    packs = contest.wanted(split.counts)
    for (wanted, given), count in split.instead.items():
        packs[wanted] = packs.get(wanted, 0) - count
        packs[given] = packs.get(given, 0) + count
    return packs


def is_supplied(contest: Contest, split: Split) -> bool:
    """Whether an answer keeps to what is free, to how many want it and to what may stand in."""
    wanted = contest.wanted(split.counts)
    replaced: dict[ItemKey, int] = {}
    for (item, other), count in split.instead.items():
        if count < 0 or other not in contest.substitutes.get(item, ()):
            return False
        replaced[item] = replaced.get(item, 0) + count
    return (
        all(0 <= n <= most for n, most in zip(split.counts, contest.everything, strict=True))
        and all(count <= wanted.get(item, 0) for item, count in replaced.items())
        and all(
            count <= contest.free.get(item, 0) for item, count in given_out(contest, split).items()
        )
    )
