"""The exact cover against the same model through HiGHS (highspy) and CP-SAT (OR-tools).

One run, one machine, ratios. On catalogues of 60, 200, 1,000 and 5,000 items built like the
samples, over distinct kinds of opening: ours is the whole search of a kit's cover over all eligible
families (demand and cover) on a shelf whose index, floors included, is made, and nothing else of
these kinds solved before; theirs is the solving alone of the same choice as one integer program,
model building not counted. Optima are compared. Discontinued items are left out: their penalty is
beyond CP-SAT's numbers.
"""

import gc
import statistics
import time
from dataclasses import replace

from tests.support.choices import Problem, kinds
from tests.support.house import SAMPLES, sample
from tests.support.milp import Program
from tests.support.scaled import scaled_catalogs

from wholekit.domain.catalog import Catalog
from wholekit.domain.kits import Shelf
from wholekit.domain.openings import OpeningType

SIZES = (60, 200, 1_000, 5_000)
KINDS = 100
INFINITE = float("inf")
SLACK = 0.6  # costs are whole ten-thousandths; ties below them are not in the program


def highs(program: Program) -> tuple[float, float]:
    """Seconds of solving alone, and the optimum, by HiGHS."""
    import highspy
    import numpy as np

    solver = highspy.Highs()
    solver.silent()
    model = highspy.HighsLp()
    model.num_col_ = len(program.cost)
    model.num_row_ = len(program.rows)
    model.col_cost_ = np.array(program.cost)
    model.col_lower_ = np.zeros(len(program.cost))
    model.col_upper_ = np.array(program.most)
    model.row_lower_ = np.array(program.lower)
    model.row_upper_ = np.array(program.upper)
    starts, index, value = [0], [], []
    for terms in program.rows:
        index += list(terms)
        value += list(terms.values())
        starts.append(len(index))
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = np.array(starts)
    model.a_matrix_.index_ = np.array(index)
    model.a_matrix_.value_ = np.array(value)
    model.integrality_ = [highspy.HighsVarType.kInteger] * len(program.cost)
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.passModel(model)
    start = time.perf_counter()
    solver.run()
    return time.perf_counter() - start, solver.getInfo().objective_function_value


def cp_sat(program: Program) -> tuple[float, float]:
    """The same by CP-SAT, one worker, costs in ten-thousandths."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    variables = [model.new_int_var(0, int(most), "") for most in program.most]
    for terms, lower, upper in zip(program.rows, program.lower, program.upper, strict=True):
        total = sum(int(value) * variables[column] for column, value in terms.items())
        if lower == upper:
            model.add(total == int(lower))
        elif upper == float("inf"):
            model.add(total >= int(lower))
        else:
            model.add(total <= int(upper))
    model.minimize(
        sum(round(cost) * variable for cost, variable in zip(program.cost, variables, strict=True))
    )
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    start = time.perf_counter()
    status = solver.solve(model)
    assert status == cp_model.OPTIMAL, solver.status_name(status)
    return time.perf_counter() - start, solver.objective_value


def _quantiles(seconds: list[float]) -> tuple[float, float]:
    ranked = sorted(seconds)
    return statistics.median(ranked) * 1e3, ranked[
        min(len(ranked) - 1, len(ranked) * 99 // 100)
    ] * 1e3


ROUNDS = 3


def main() -> None:
    """Print medians, 99th percentiles and ratios; of three rounds each kind's least time counts."""
    print("items  families  kinds |   ours ms      |  HiGHS ms       times |  CP-SAT ms      times")
    for count in SIZES:
        catalogs = [_current(catalog) for catalog in scaled_catalogs(every_sample(), count)]
        every = list(kinds(KINDS))
        start = time.perf_counter()
        problems = _indexed(catalogs, every)
        indexed = time.perf_counter() - start
        best = [problem.ours() for problem in problems]
        sold = [number for number, score in enumerate(best) if score is not None]
        ours = dict.fromkeys(sold, INFINITE)
        for _ in range(ROUNDS):
            fresh = _indexed(catalogs, every)
            Problem(next(kinds(1, seed=99)), fresh[0].shelf).ours()  # code read for the first time
            gc.collect()
            gc.freeze()  # as `wholekit.bootstrap.open_house` does once the shelf stands
            for number in sold:
                start = time.perf_counter()
                fresh[number].ours()
                ours[number] = min(ours[number], time.perf_counter() - start)
            gc.unfreeze()
        programs = {number: problems[number].program() for number in sold}
        median, high = _quantiles(list(ours.values()))
        line = f"{count:>5}  {len(problems[0].shelf.groups):>8}  {len(sold):>5}"
        line += f" | {median:6.2f} {high:7.2f}"
        differ = 0
        for solve in (highs, cp_sat):
            theirs = []
            for number in sold:
                runs = [solve(programs[number]) for _ in range(ROUNDS)]
                theirs.append(min(seconds for seconds, _ in runs))
                differ += abs(runs[0][1] - (best[number] or 0.0)) > SLACK
            other, top = _quantiles(theirs)
            line += f" | {other:7.2f} {top:8.2f} {other / median:5.1f}× {top / high:5.1f}×"
        print(f"{line}   differ: {differ}; index {indexed:.2f} s", flush=True)


def _indexed(catalogs: list[Catalog], every: list[OpeningType]) -> list[Problem]:
    """The kinds on a shelf whose index, floors included, is made, and nothing solved yet."""
    shelf = Shelf(catalogs)
    problems = [Problem(opening_type, shelf) for opening_type in every]
    for problem in problems:
        problem.index()
    return problems


def every_sample() -> list[Catalog]:
    return [sample(name) for name in SAMPLES]


def _current(catalog: Catalog) -> Catalog:
    return replace(catalog, items=tuple(item for item in catalog.items if not item.discontinued))


if __name__ == "__main__":
    main()
