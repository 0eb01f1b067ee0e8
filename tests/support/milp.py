"""The cover's model as a mixed-integer program, for solvers from outside the project.

Variables: y_b (this body is chosen), z_np (need n is met with piece p), x_i (so many of item i).
Minimise the score of the items. One body; one piece for each need; the items hold enough of each
piece chosen, for all needs that take it; an item that holds a body only with that body.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from wholekit.domain.kits.cover import Alternative, CoverItem


@dataclass
class Program:
    """min cost·v, rows lower <= A v <= upper, 0 <= v <= most, all whole."""

    cost: list[float] = field(default_factory=list)
    most: list[float] = field(default_factory=list)
    rows: list[dict[int, float]] = field(default_factory=list)
    lower: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)

    def variable(self, cost: float, most: float) -> int:
        self.cost.append(cost)
        self.most.append(most)
        return len(self.cost) - 1

    def row(self, terms: dict[int, float], lower: float, upper: float) -> None:
        self.rows.append(terms)
        self.lower.append(lower)
        self.upper.append(upper)


MOST = 30.0
INFINITE = float("inf")


def program_of(
    alternatives: Sequence[Alternative],
    boxes: Mapping[str, Sequence[CoverItem]],
    loose: Mapping[str, Sequence[CoverItem]],
    score: Mapping[int, float] | None = None,
) -> Program:
    """The whole choice as one program; `score` by item rank, else the items' own."""
    program = Program()
    items: dict[int, int] = {}
    supplied: dict[str, dict[int, float]] = {}

    def add(item: CoverItem) -> int:
        if item.rank not in items:
            cost = float(item.score) if score is None else score[item.rank]
            items[item.rank] = program.variable(cost, MOST)
            for piece, quantity in item.supplies.items():
                supplied.setdefault(piece, {})[items[item.rank]] = float(quantity)
        return items[item.rank]

    chosen: list[int] = []
    for alternative in alternatives:
        group: list[int] = []
        body_counts: dict[str, dict[int, float]] = {}
        for body, counts in alternative.bodies.items():
            y = program.variable(0.0, 1.0)
            group.append(y)
            for item in boxes.get(body, ()):
                program.row({add(item): 1.0, y: -MOST}, -INFINITE, 0.0)
            for piece, count in counts.items():
                body_counts.setdefault(piece, {})[y] = -float(count)
        for need in alternative.needs:
            for piece in need.pieces:
                for item in loose.get(piece, ()):
                    add(item)
        for piece, terms in body_counts.items():
            program.row({**supplied.get(piece, {}), **terms}, 0.0, INFINITE)
        taken: dict[str, dict[int, float]] = {}
        for need in alternative.needs:
            metby = {program.variable(0.0, 1.0): piece for piece in need.pieces}
            program.row({**dict.fromkeys(metby, 1.0), **dict.fromkeys(group, -1.0)}, 0.0, INFINITE)
            for z, piece in metby.items():
                taken.setdefault(piece, {})[z] = -float(need.quantity)
        for piece, terms in taken.items():
            program.row({**supplied.get(piece, {}), **terms}, 0.0, INFINITE)
        chosen += group
    program.row(dict.fromkeys(chosen, 1.0), 1.0, 1.0)
    return program


def solve_with_scipy(program: Program) -> float | None:
    """The least cost by scipy.optimize.milp (HiGHS), None where there is no answer."""
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array

    data, row_index, columns = [], [], []
    for number, terms in enumerate(program.rows):
        for column, value in terms.items():
            row_index.append(number)
            columns.append(column)
            data.append(value)
    shape = (len(program.rows), len(program.cost))
    matrix = csr_array((data, (row_index, columns)), shape=shape)
    answer = milp(
        np.array(program.cost),
        constraints=LinearConstraint(matrix, program.lower, program.upper),
        bounds=Bounds(0, np.array(program.most)),
        integrality=np.ones(len(program.cost)),
        options={"mip_rel_gap": 0.0},
    )
    return float(answer.fun) if answer.success else None
