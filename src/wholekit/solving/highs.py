"""The allocation by HiGHS, an open-source solver of linear and mixed-integer programs."""

import math
import time
from typing import TYPE_CHECKING, Any

from wholekit.domain.allocation import Contest, Solved, Split, rounded
from wholekit.solving.program import AllocationProgram, program_of, split_of

if TYPE_CHECKING:
    import highspy

# HiGHS counts in floating point; its bound is taken down to whole weights past this much.
SLACK = 1e-6
# What HiGHS says of a solution that keeps to every row.
FEASIBLE = 2


class HighsSolver:
    """`Solver` of the allocation: the relaxed program first, whose answer rounded is one to start
    from and which bounds every other, then the program itself.

    One thread, one seed: but for the time it may take, the same contest has the same answer on
    every run.
    """

    def solve(self, contest: Contest, seconds: float, start: Split) -> Solved | None:
        """The best answer found within a time [s]; None where the library is missing or fails."""
        try:
            import highspy  # 120 ms that only an allocation is to pay
        except ImportError:
            return None
        end = time.monotonic() + seconds
        search = _Search(highspy, contest)
        relaxed = search.relaxed(seconds)
        if relaxed is None:
            return None
        counts, bound = relaxed
        near = rounded(contest, counts) if counts else start
        best = max(start, near, key=lambda split: contest.value(split.counts))
        if contest.value(best.counts) >= bound:
            return Solved(best, bound, finished=True)
        return search.whole(end - time.monotonic(), best, bound)


class _Search:
    """One contest before the solver."""

    def __init__(self, highspy: Any, contest: Contest) -> None:  # noqa: ANN401 - imported late
        self._highspy = highspy
        self._contest = contest
        self._program = program_of(contest)
        self._step = math.gcd(*(group.weight for group in contest.groups))

    def relaxed(self, seconds: float) -> tuple[list[float], int] | None:
        """Counts that may cut bags, empty if the time was too short, and what no answer can
        exceed; None where the solver failed."""
        highs = self._run(seconds, integrality=False)
        if highs is None:
            return None
        status, known = highs.getModelStatus(), self._highspy.HighsModelStatus
        if status == known.kTimeLimit:
            return [], self._contest.value(self._contest.everything)
        if status != known.kOptimal:
            return None
        counts = list(highs.getSolution().col_value)[: self._program.groups]
        return counts, self._whole_weight(highs.getInfo().objective_function_value)

    def whole(self, seconds: float, start: Split, bound: int) -> Solved:
        """The best answer in whole bags from one to start with; that one, if there is no time."""
        highs = self._run(seconds, integrality=True, start=start) if seconds > 0 else None
        if highs is None:
            return Solved(start, bound, finished=False)
        finished = highs.getModelStatus() == self._highspy.HighsModelStatus.kOptimal
        info = highs.getInfo()
        bound = min(bound, self._whole_weight(info.mip_dual_bound))
        if info.primal_solution_status != FEASIBLE:
            return Solved(start, bound, finished=False)
        columns = [round(value) for value in highs.getSolution().col_value]
        return Solved(split_of(self._contest, self._program, columns), bound, finished)

    def _run(
        self, seconds: float, *, integrality: bool, start: Split | None = None
    ) -> "highspy.Highs | None":
        highs = _quiet(self._highspy)
        options: dict[str, Any] = {
            "threads": 1,
            "random_seed": 1,
            "time_limit": max(0.0, seconds),
            "mip_rel_gap": 0.0,
            # Weights are multiples of their step: a gap below it is none.
            "mip_abs_gap": self._step * (1 - SLACK),
        }
        error = self._highspy.HighsStatus.kError
        # An option it did not take, such as the time, would be felt only by who waits.
        if any(highs.setOptionValue(*option) == error for option in options.items()):
            return None
        model = _model(self._highspy, self._program, integrality=integrality)
        if highs.passModel(model) == error:
            return None
        if start is not None:
            first = self._highspy.HighsSolution()
            first.col_value = [float(value) for value in self._program.columns_of(start)]
            highs.setSolution(first)
        return None if highs.run() == error else highs

    def _whole_weight(self, bound: float) -> int:
        """A bound in floating point as the greatest weight that does not exceed it."""
        total = self._contest.value(self._contest.everything)
        if not bound < total:
            return total
        weight = math.floor(bound + SLACK * max(1.0, abs(bound)))
        return weight - weight % self._step


def _quiet(highspy: Any) -> "highspy.Highs":  # noqa: ANN401 - imported late
    """A solver that prints nothing: standard output belongs to the answer of a command."""

    class Quiet(highspy.Highs):  # type: ignore[misc]  # untyped until it is imported
        def enableCallbacks(self) -> None:  # noqa: N802 - the library's name
            # Called as the solver is made, and else the first to print.
            self.silent()
            super().enableCallbacks()

    return Quiet()


def _model(highspy: Any, program: AllocationProgram, *, integrality: bool) -> Any:  # noqa: ANN401 - imported late
    import numpy as np

    model = highspy.HighsLp()
    model.num_col_ = len(program.weights)
    model.num_row_ = len(program.rows)
    model.sense_ = highspy.ObjSense.kMaximize
    model.col_cost_ = np.array(program.weights, dtype=float)
    model.col_lower_ = np.zeros(len(program.weights))
    model.col_upper_ = np.array(program.most, dtype=float)
    model.row_lower_ = np.full(len(program.rows), -highspy.kHighsInf)
    model.row_upper_ = np.array(program.limits, dtype=float)
    starts, index, value = [0], [], []
    for row in program.rows:
        index += list(row)
        value += [float(packs) for packs in row.values()]
        starts.append(len(index))
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = np.array(starts)
    model.a_matrix_.index_ = np.array(index)
    model.a_matrix_.value_ = np.array(value)
    if integrality:
        model.integrality_ = [highspy.HighsVarType.kInteger] * len(program.weights)
    return model
