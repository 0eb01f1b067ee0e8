"""The allocation by HiGHS, an open-source solver of linear and mixed-integer programs."""

import math
from typing import TYPE_CHECKING, Any

from wholekit.domain.allocation import Contest, Solved, Split
from wholekit.solving.program import AllocationProgram, program_of, split_of

if TYPE_CHECKING:
    import highspy

# HiGHS counts in floating point; its bound is taken down to whole weights past this much.
SLACK = 1e-6


class HighsSolver:
    """`Solver` of the allocation. One thread, one seed: but for the time it may take, the same
    contest has the same answer on every run."""

    def solve(self, contest: Contest, seconds: float, start: Split) -> Solved | None:
        """The best answer found within a time [s]; None where the library is missing or fails."""
        try:
            import highspy  # 120 ms that only an allocation is to pay
        except ImportError:
            return None
        program = program_of(contest)
        highs = _quiet(highspy)
        _options(highs, seconds, contest)
        if highs.passModel(_model(highspy, program)) == highspy.HighsStatus.kError:
            return None
        first = highspy.HighsSolution()
        first.col_value = [float(value) for value in program.columns_of(start)]
        highs.setSolution(first)
        if highs.run() == highspy.HighsStatus.kError:
            return None
        return _answer(highspy, highs, contest, program, start)


def _quiet(highspy: Any) -> "highspy.Highs":  # noqa: ANN401 - imported where used
    """A solver that prints nothing: standard output belongs to the answer of a command."""

    class Quiet(highspy.Highs):  # type: ignore[misc]  # untyped until it is imported
        def enableCallbacks(self) -> None:  # noqa: N802 - the library's name
            # Called as the solver is made, and else the first to print.
            self.silent()
            super().enableCallbacks()

    return Quiet()


def _options(highs: "highspy.Highs", seconds: float, contest: Contest) -> None:
    step = math.gcd(*(group.weight for group in contest.groups))
    options: dict[str, Any] = {
        "threads": 1,
        "random_seed": 1,
        "time_limit": float(seconds),
        "mip_rel_gap": 0.0,
        # Weights are whole multiples of their common step: a gap below it is none.
        "mip_abs_gap": step * (1 - SLACK),
    }
    for name, value in options.items():
        highs.setOptionValue(name, value)


def _model(highspy: Any, program: AllocationProgram) -> Any:  # noqa: ANN401 - imported where used
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
    model.integrality_ = [highspy.HighsVarType.kInteger] * len(program.weights)
    return model


def _answer(
    highspy: Any,  # noqa: ANN401 - imported where used
    highs: "highspy.Highs",
    contest: Contest,
    program: AllocationProgram,
    start: Split,
) -> Solved | None:
    status = highs.getModelStatus()
    finished = status == highspy.HighsModelStatus.kOptimal
    if not finished and status != highspy.HighsModelStatus.kTimeLimit:
        return None
    info = highs.getInfo()
    total = contest.value(contest.everything)
    reached = info.mip_dual_bound
    bound = math.floor(reached + SLACK * max(1.0, abs(reached))) if reached < total else total
    values = highs.getSolution().col_value
    if len(values) != len(program.weights) or info.primal_solution_status != 2:
        return Solved(start, bound, finished)
    split = split_of(contest, program, [round(value) for value in values])
    return Solved(split, bound, finished)
