"""The exact cover against the same model through HiGHS (highspy) and CP-SAT (OR-tools).

One run, one machine, ratios. On catalogues of 60, 200, 1,000 and 5,000 items built like the
samples, over distinct kinds of opening: ours is the whole search of a kit's cover over all eligible
families (demand and cover) on a shelf whose index, floors included, is made, and nothing else of
these kinds solved before; theirs is the solving alone of the same choice as one integer program,
model building not counted. Optima are compared. Discontinued items are left out: their penalty is
beyond CP-SAT's numbers.
"""

import gc
import random
import statistics
import time
from collections.abc import Callable, Iterator
from dataclasses import replace

from tests.support.house import RULES, SAMPLES, sample
from tests.support.milp import Program, program_of
from tests.support.scaled import scaled_catalogs

from wholekit.domain.catalog import Catalog
from wholekit.domain.kits import Shelf
from wholekit.domain.kits import build as building
from wholekit.domain.kits.cover import Alternative
from wholekit.domain.kits.floors import floor_of
from wholekit.domain.kits.mounts import mounts_to_try
from wholekit.domain.openings import Door, Location, Mount, OpeningType, Swing
from wholekit.domain.quantities import Length
from wholekit.domain.sizing import size_opening

SIZES = (60, 200, 1_000, 5_000)
KINDS = 100
COST_SHIFT = 48


def kinds(count: int, seed: int = 3) -> Iterator[OpeningType]:
    """Distinct kinds of opening."""
    draw = random.Random(seed)
    seen: set[OpeningType] = set()
    while len(seen) < count:
        one = OpeningType(
            Length.inches(draw.choice((30, 32, 34, 36, 40, 42, 48))),
            Length.inches(draw.choice((80, 84))),
            location=draw.choice(list(Location)),
            swing=draw.choice(list(Swing)),
            door=draw.choice(list(Door)),
            fire_minutes=draw.choice((0, 0, 90)),
            leaves=draw.choice((1, 1, 2)),
            finish=draw.choice(("689", "690", "695")),
            mount=draw.choice((None, None, Mount.TOP_JAMB)),
        )
        if one not in seen:
            seen.add(one)
            yield one


class Problem:
    """One kind's search: what ours does, and the same choice as alternatives."""

    def __init__(self, one: OpeningType, shelf: Shelf) -> None:
        self.attempt = building._Attempt(one, shelf, RULES)
        choice = mounts_to_try(self.attempt.facts, RULES, [])[0]
        self.mount = choice.mount
        sizing = size_opening(self.attempt.facts, choice.mount, RULES)
        asked = self.attempt._asked(sizing)
        assert asked is not None
        eligible = building.eligible_bodies(self.attempt.facts, self.mount, asked, shelf, RULES, [])
        tier = min((entry.tier for entry in eligible), default=0)
        self.eligible = [entry for entry in eligible if entry.tier == tier]
        self.finish = self.attempt.facts.finish
        self.shelf = shelf

    def index(self) -> None:
        """Make what the shelf keeps for every later kit in this finish and mount."""
        for entry in self.eligible:
            floor_of(
                entry.group,
                [body for body, _ in entry.bodies],
                self.mount,
                self.attempt.facts.type.leaves,
                hold_open_arm=False,
                finish=self.finish,
                shelf=self.shelf,
            )

    def ours(self) -> float | None:
        found = self.attempt._search(self.eligible, self.mount, self.finish)
        if found is None or found.cover.missing or found.demand.stops:
            return None
        return found.cover.score / 2**COST_SHIFT

    def program(self) -> Program:
        alternatives: list[Alternative] = []
        for entry in self.eligible:
            for stops, _, demand in self.attempt._templates(entry, self.mount):
                if not stops:
                    alternatives.append(self.attempt._alternative(entry, demand))
        market = self.shelf.market(self.finish)
        program = program_of(alternatives, market.boxes, market.loose)
        program.cost = [cost / 2**COST_SHIFT for cost in program.cost]
        return program


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
        sum(round(cost) * one for cost, one in zip(program.cost, variables, strict=True))
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


def main() -> None:
    """Print medians, 99th percentiles and ratios."""
    print("items  families  kinds |   ours ms      |  HiGHS ms       times |  CP-SAT ms      times")
    for count in SIZES:
        catalogs = [_current(one) for one in scaled_catalogs(every_sample(), count)]
        every = list(kinds(KINDS))
        start = time.perf_counter()
        shelf = Shelf(catalogs)
        problems = [Problem(one, shelf) for one in every]
        for problem in problems:
            problem.index()
        indexed = time.perf_counter() - start
        Problem(next(kinds(1, seed=99)), shelf).ours()  # code and rules read for the first time
        gc.collect()
        gc.freeze()  # as `wholekit.bootstrap.open_house` does once the shelf stands
        ours, theirs = [], {"HiGHS": [], "CP-SAT": []}  # type: list[float], dict[str, list[float]]
        solvers: dict[str, Callable[[Program], tuple[float, float]]] = {
            "HiGHS": highs,
            "CP-SAT": cp_sat,
        }
        differ = 0
        for problem in problems:
            start = time.perf_counter()
            best = problem.ours()
            seconds = time.perf_counter() - start
            if best is None:
                continue
            ours.append(seconds)
            program = problem.program()
            for name, solve in solvers.items():
                taken, optimum = solve(program)
                theirs[name].append(taken)
                differ += abs(optimum - best) > 0.6
        median, high = _quantiles(ours)
        line = f"{count:>5}  {len(shelf.groups):>8}  {len(ours):>5} | {median:6.2f} {high:7.2f}"
        for name in solvers:
            other, top = _quantiles(theirs[name])
            line += f" | {other:7.2f} {top:8.2f} {other / median:5.1f}× {top / high:5.1f}×"
        print(f"{line}   differ: {differ}; index {indexed:.2f} s")


def every_sample() -> list[Catalog]:
    return [sample(name) for name in SAMPLES]


def _current(catalog: Catalog) -> Catalog:
    return replace(catalog, items=tuple(item for item in catalog.items if not item.discontinued))


if __name__ == "__main__":
    main()
