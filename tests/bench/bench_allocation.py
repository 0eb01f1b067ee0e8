"""Whole kits first: 2,000 openings over 500 short items, against the bound of the linear program.

One run, one machine. Fixed seeds; equal openings in groups of 1 to 8, kits of 4 to 9 items, supply
short of what is wanted by 10 to 40 %, a tenth of the items with one or two substitutes, weights as
the rules give them. The bound is reckoned apart from the project, by scipy.optimize.linprog over
single openings. First come may use the substitutes too, and passes over what cannot be whole.
Wanted: 97.5 % of the bound in 2 s of solving, and 1.15 times first come. With weights all alike
there is less to gain: the bound itself is then under 1.15 times first come.
"""

import time

from tests.allocation.scenes import NoSolver, Scene, short_scene

from wholekit.domain.allocation import Solver, allocate
from wholekit.solving.highs import HighsSolver

SEEDS = range(1, 9)
SECONDS = (0.5, 2.0)
OF_BOUND, OF_FIRST = 0.975, 1.15
HIGHS = HighsSolver()


def linear_bound(scene: Scene) -> float:
    """The greatest weight where openings may be cut."""
    import numpy as np
    from scipy.optimize import linprog
    from scipy.sparse import coo_array

    wants, free, substitutes = scene
    rows = {item: number for number, item in enumerate(free)}
    pairs = [(item, other) for item, others in substitutes.items() for other in others]
    entries = [
        (rows[item], column, packs)
        for column, want in enumerate(wants)
        for item, packs in want.needs
    ]
    # Second block of rows: no more stands in for an item than is wanted of it.
    entries += [(len(rows) + row, column, -packs) for row, column, packs in entries]
    for column, (item, other) in enumerate(pairs, len(wants)):
        entries += [(rows[item], column, -1), (rows[other], column, 1)]
        entries.append((len(rows) + rows[item], column, 1))
    row_of, column_of, values = zip(*entries, strict=True)
    matrix = coo_array(
        (values, (row_of, column_of)), shape=(2 * len(rows), len(wants) + len(pairs))
    )
    answer = linprog(
        np.array([-float(want.weight) for want in wants] + [0.0] * len(pairs)),
        A_ub=matrix.tocsr(),
        b_ub=np.array([*map(float, free.values()), *([0.0] * len(rows))]),
        bounds=[(0, 1)] * len(wants) + [(0, None)] * len(pairs),
    )
    return -float(answer.fun)


def main() -> None:
    """Print each seed's figures, and whether the bounds hold."""
    missed = 0
    for seed in SEEDS:
        scene = short_scene(seed)
        bound = linear_bound(scene)
        for seconds in SECONDS:
            part, first = _measured(f"seed {seed}", scene, bound, seconds)
            missed += seconds == SECONDS[-1] and (part < OF_BOUND or first < OF_FIRST)
    held = f"missed by {missed} of {len(SEEDS)} seeds" if missed else "held by all seeds"
    print(f"  {OF_BOUND:.1%} of the bound and {OF_FIRST} x first come: {held}")
    for seed in SEEDS[:2]:
        scene = short_scene(seed, alike=True)
        bound = linear_bound(scene)
        part, first = _measured(f"weights alike, seed {seed}", scene, bound, SECONDS[-1])
        print(f"    the bound itself is {first / part:.3f} x first come there")
    scene = short_scene(1)
    _measured("no solver, seed 1", scene, linear_bound(scene), 0.0, NoSolver())


def _measured(
    what: str, scene: Scene, bound: float, seconds: float, solver: Solver = HIGHS
) -> tuple[float, float]:
    """The part of the linear bound, and times first come."""
    start = time.perf_counter()
    answer = allocate(*scene, solver, seconds)
    took = time.perf_counter() - start
    part, first = answer.value / bound, answer.value / answer.first_come
    print(
        f"  {what}, {seconds:g} s: {part:.2%} of the linear bound, {first:.3f} x first come,"
        f" {answer.value / answer.greedy:.3f} x by scarcity; own bound {answer.bound / bound:.2%},"
        f" {took:.2f} s in all ({answer.found})"
    )
    return part, first


if __name__ == "__main__":
    main()
