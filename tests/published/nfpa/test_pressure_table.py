"""Greatest pressure difference for an opening force of 30 lbf.

Source: NFPA 92, table of maximum pressure differences across doors, in. w.g.; leaf 7 ft high,
handle 3 in from the latch edge. Tolerance: the two decimals the table prints.
"""

import pytest
from tests.support.house import RULES

from wholekit.domain.forces import DoorCase, closer_of_force, judge
from wholekit.domain.forces.formulas import opening_force_us, pressure_for_opening_force_us
from wholekit.domain.quantities.physical import N_PER_LBF, PA_PER_INWG

WIDTHS_IN = (32, 36, 40, 44, 48)
TABLE = {
    6: (0.45, 0.40, 0.37, 0.34, 0.31),
    8: (0.41, 0.37, 0.34, 0.31, 0.28),
    10: (0.37, 0.34, 0.30, 0.28, 0.26),
    12: (0.34, 0.30, 0.27, 0.25, 0.23),
    14: (0.30, 0.27, 0.24, 0.22, 0.21),
}
CELLS = [
    (closer, width, cell)
    for closer, row in TABLE.items()
    for width, cell in zip(WIDTHS_IN, row, strict=True)
]


@pytest.mark.parametrize(("closer", "width", "cell"), CELLS)
def test_every_cell_of_the_table(closer: int, width: int, cell: float) -> None:
    pressure = pressure_for_opening_force_us(30, closer, width / 12, 7, 0.25)
    assert round(pressure, 2) == cell


@pytest.mark.parametrize(("closer", "width", "cell"), CELLS)
def test_the_verdict_gives_the_same_cell(closer: int, width: int, cell: float) -> None:
    # A door of smoke control has a label: an interior one without would have its 5 lbf alone.
    case = DoorCase(width * 0.0254, 84 * 0.0254, 3 * 0.0254, us=True, fire=True)
    power = closer_of_force(closer * N_PER_LBF, (width - 3) * 0.0254, RULES)
    most = judge(case, power, "ibc", RULES).opens_to_pa
    assert most is not None
    assert round(most / PA_PER_INWG, 2) == cell


@pytest.mark.parametrize(("closer", "width", "cell"), CELLS)
def test_at_the_unrounded_pressure_the_force_is_thirty_pounds(
    closer: int, width: int, cell: float
) -> None:
    pressure = pressure_for_opening_force_us(30, closer, width / 12, 7, 0.25)
    assert opening_force_us(closer, width / 12, 7, pressure, 0.25) == pytest.approx(30)
    assert abs(pressure - cell) <= 0.005
