"""Whole kits first: which bags go out whole where there is not enough for all."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from wholekit.domain.allocation.bound import plain_bound
from wholekit.domain.allocation.contest import (
    Contest,
    Needs,
    Split,
    Substitutes,
    Want,
    contest_of,
)
from wholekit.domain.allocation.fairness import earlier_first
from wholekit.domain.allocation.orders import first_come, greedy
from wholekit.domain.allocation.settle import given_kits, in_turn, polished
from wholekit.domain.allocation.solver import Solver
from wholekit.domain.allocation.tray import Tray, is_supplied, take
from wholekit.domain.catalog import ItemKey


class HowFound(StrEnum):
    """How an answer was come by: there was enough for all; none can be better; the best in the
    time there was; without a solver."""

    ALL_FIT = "all-fit"
    BEST = "best"
    TIME = "time"
    NO_SOLVER = "no-solver"


@dataclass(frozen=True, slots=True)
class Given:
    """A bag that goes whole: (item wanted, item given, packs), the same item where none stands
    in."""

    id: str
    items: tuple[tuple[ItemKey, ItemKey, int], ...]


@dataclass(frozen=True, slots=True)
class WaitingKit:
    """A bag that waits, and what it alone is short of once the chosen are filled [packs]."""

    id: str
    short: Needs


@dataclass(frozen=True, slots=True)
class Allocation:
    """Which bags go whole and which wait, both in the order they came.

    value: what the chosen weigh; bound: what no answer can exceed; first_come, greedy: what those
    answers weigh; total: what all weigh. lacking: what must come for all that wait [packs].
    """

    chosen: tuple[Given, ...]
    waiting: tuple[WaitingKit, ...]
    value: int
    bound: int
    first_come: int
    greedy: int
    total: int
    lacking: Needs
    found: HowFound

    @property
    def gap(self) -> float:
        """The part of the bound by which a better answer might still exceed this one, 0 to 1."""
        return (self.bound - self.value) / self.bound if self.bound else 0.0


def choose_first_come(
    wants: Iterable[Want], free: Mapping[ItemKey, int], substitutes: Substitutes | None = None
) -> tuple[Given, ...]:
    """Bags that go whole where each takes all it needs in turn, or nothing."""
    contest = contest_of(wants, free, substitutes or {})
    return _given(contest, first_come(contest))


def choose_greedy(
    wants: Iterable[Want], free: Mapping[ItemKey, int], substitutes: Substitutes
) -> tuple[Given, ...]:
    """Bags that go whole where those that take little of what is scarce for their weight go
    first."""
    contest = contest_of(wants, free, substitutes)
    return _given(contest, polished(contest, greedy(contest)))


def allocate(
    wants: Iterable[Want],
    free: Mapping[ItemKey, int],
    substitutes: Substitutes,
    solver: Solver,
    seconds: float = 2.0,
) -> Allocation:
    """The bags of one branch that go whole, so that they weigh the most together.

    free: packs not promised to anybody; substitutes: items that may stand in for an item, the
    first to be tried first, and for nothing else by way of it. The answer is never worse than
    first come or greedy. seconds: how long the solver may search [s]; where all fit it is not
    asked. Raises ValueError (`contest_of`).
    """
    contest = contest_of(wants, free, substitutes)
    come = first_come(contest)
    scarce = polished(contest, greedy(contest))
    start = max(scarce, polished(contest, come), key=lambda split: contest.value(split.counts))
    best, bound, found = start, contest.value(contest.everything), HowFound.ALL_FIT
    if start.counts != contest.everything:
        best, bound, found = _solved(contest, solver, seconds, start)
    return _answer(
        contest, best, bound, found, contest.value(come.counts), contest.value(scarce.counts)
    )


def _solved(
    contest: Contest, solver: Solver, seconds: float, start: Split
) -> tuple[Split, int, HowFound]:
    solved = solver.solve(contest, seconds, start)
    # A solver counts in floating point: what it says is taken only if it holds in whole packs.
    if solved is None or not is_supplied(contest, solved.split):
        return earlier_first(contest, start), plain_bound(contest), HowFound.NO_SOLVER
    full = polished(contest, solved.split)
    best = max(start, full, key=lambda split: contest.value(split.counts))
    best = earlier_first(contest, best)
    value = contest.value(best.counts)
    bound = max(value, min(solved.bound, plain_bound(contest)))
    return best, bound, HowFound.BEST if solved.finished or bound == value else HowFound.TIME


def _given(contest: Contest, split: Split) -> tuple[Given, ...]:
    return tuple(Given(name, items) for name, items in given_kits(contest, split))


def _answer(
    contest: Contest, best: Split, bound: int, found: HowFound, first: int, scarce: int
) -> Allocation:
    left = Tray(contest, best).left
    waiting: list[WaitingKit] = []
    wanted: dict[ItemKey, int] = {}
    for name, needs, goes in in_turn(contest, best):
        if goes:
            continue
        waiting.append(WaitingKit(name, take(needs, left, contest.substitutes).short))
        for item, packs in needs:
            wanted[item] = wanted.get(item, 0) + packs
    lacking = take(tuple(sorted(wanted.items())), left, contest.substitutes).short
    return Allocation(
        _given(contest, best),
        tuple(waiting),
        contest.value(best.counts),
        bound,
        first,
        scarce,
        contest.value(contest.everything),
        lacking,
        found,
    )
