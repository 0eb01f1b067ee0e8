"""Whole kits first: which openings go out whole where jobs compete for short stock."""

from wholekit.domain.allocation.allocate import (
    Allocation,
    Given,
    HowFound,
    WaitingKit,
    allocate,
    choose_first_come,
    choose_greedy,
)
from wholekit.domain.allocation.contest import (
    Contest,
    Needs,
    Split,
    Substitutes,
    Want,
    WantGroup,
    contest_of,
)
from wholekit.domain.allocation.orders import rounded
from wholekit.domain.allocation.solver import Solved, Solver
from wholekit.domain.allocation.weight import weight_of, why_weight

__all__ = [
    "Allocation",
    "Contest",
    "Given",
    "HowFound",
    "Needs",
    "Solved",
    "Solver",
    "Split",
    "Substitutes",
    "WaitingKit",
    "Want",
    "WantGroup",
    "allocate",
    "choose_first_come",
    "choose_greedy",
    "contest_of",
    "rounded",
    "weight_of",
    "why_weight",
]
