"""What is asked of a solver."""

from dataclasses import dataclass
from typing import Protocol

from wholekit.domain.allocation.contest import Contest, Split


@dataclass(frozen=True, slots=True)
class Solved:
    """The best answer found, a bound that none can exceed [weight], and whether the search came to
    its end before its time."""

    split: Split
    bound: int
    finished: bool


class Solver(Protocol):
    """Finds the answer of the greatest weight."""

    def solve(self, contest: Contest, seconds: float, start: Split) -> Solved | None:
        """The best answer found within a time [s], from one to start with; None where there is no
        solver or it failed."""
