"""Of bags that weigh the same, those that came first: the solver sees weights alone."""

from wholekit.domain.allocation.contest import Contest, Split
from wholekit.domain.allocation.settle import polished
from wholekit.domain.allocation.tray import Tray, take
from wholekit.domain.catalog import ItemKey


def earlier_first(contest: Contest, split: Split) -> Split:
    """The answer with bags that came earlier in the place of bags of the same weight that came
    later, one for one, as long as there is one that can be.

    Each exchange brings an earlier bag in, and what is then left may only let more go.
    """
    exchange = _Exchange(contest)
    while True:
        tray = Tray(contest, split)
        if not exchange.made(tray):
            return split
        split = polished(contest, tray.split)


class _Exchange:
    """Who came when, and who takes what."""

    def __init__(self, contest: Contest) -> None:
        self._contest = contest
        self._places: list[list[int]] = [[] for _ in contest.groups]
        for place, group in enumerate(contest.turns):
            self._places[group].append(place)
        self._takers: dict[ItemKey, set[int]] = {}
        for number, kind in enumerate(contest.groups):
            for item, _ in kind.needs:
                self._takers.setdefault(item, set()).add(number)

    def made(self, tray: Tray) -> bool:
        """Whether any was made; each group that waits tries once, the earliest first."""
        groups, counts = self._contest.groups, tray.counts
        waiting = [group for group, kind in enumerate(groups) if counts[group] < kind.size]
        found = False
        for group in sorted(waiting, key=lambda group: self._places[group][counts[group]]):
            if tray.counts[group] < groups[group].size:
                found |= self._made_for(tray, group)
        return found

    def _made_for(self, tray: Tray, group: int) -> bool:
        place = self._places[group][tray.counts[group]]
        later = [(self._last(tray, other), other) for other in self._givers(tray, group)]
        return any(
            tray.exchange(other, group)
            for came, other in sorted(later, reverse=True)
            if came > place
        )

    def _givers(self, tray: Tray, group: int) -> set[int]:
        """Groups of the same weight that take of everything a group lacks."""
        groups, allowed = self._contest.groups, self._contest.substitutes
        givers = set(range(len(groups)))
        for item, _ in take(groups[group].needs, tray.left, allowed).short:
            # What may stand in for it helps as well.
            helps = (item, *allowed.get(item, ()))
            givers &= set().union(*(self._takers.get(each, ()) for each in helps))
        weight = groups[group].weight
        return {other for other in givers if groups[other].weight == weight and tray.counts[other]}

    def _last(self, tray: Tray, group: int) -> int:
        return self._places[group][tray.counts[group] - 1]
