"""Closing moments by size: the ladder of bands, latching and efficiency.

Source: EN 1154:1996+A1, Table 1. Least moments of sizes 1 to 6 read on three independent pages;
upper moments, size 7, efficiencies and opening moments from memory, not read (47 N·m for size 3
was read). Worked values computed from the table. Tolerance: as printed.
"""

import pytest
from tests.support.house import RULES

from wholekit.domain.forces import (
    DoorCase,
    band,
    closer_of_force,
    closer_of_size,
    judge,
    least_efficiency,
    opening_moment_most,
    sizes,
    smallest_size_latching,
)
from wholekit.domain.forces.formulas import efficiency_for_force, largest_pressure


def test_each_sizes_upper_moment_is_the_next_ones_lower() -> None:
    ladder = [band(size, RULES) for size in sizes(RULES)]
    assert [upper for _, upper in ladder[:-1]] == [lower for lower, _ in ladder[1:]]


@pytest.mark.parametrize("size", [1, 2, 3, 4, 5, 6])
def test_a_loss_of_a_quarter_is_covered_by_one_size_up(size: int) -> None:
    assert band(size + 1, RULES)[0] * 0.75 >= band(size, RULES)[0]


def test_above_the_largest_size_there_is_none_to_cover_the_loss() -> None:
    needed = band(7, RULES)[0]
    assert smallest_size_latching(needed, RULES) == 7
    assert smallest_size_latching(needed, RULES, share=0.75) is None


def test_size_three_on_a_leaf_of_its_width_latches_against_nineteen_pascals() -> None:
    assert round(largest_pressure(band(3, RULES)[0], 0.95, 2.10), 1) == 19.0


def test_size_three_needs_sixty_three_percent_to_keep_within_thirty_newtons() -> None:
    assert round(efficiency_for_force(band(3, RULES)[0], 30, 0.95) * 100) == 63


def test_the_least_efficiency_of_size_three_is_not_enough_for_that() -> None:
    assert least_efficiency(3, RULES) < 0.63


@pytest.mark.parametrize("size", [1, 2, 3, 4, 5, 6, 7])
def test_at_its_least_efficiency_a_size_keeps_its_greatest_opening_moment(size: int) -> None:
    """The top of a band over the least efficiency is the opening moment allowed, within 1 N·m."""
    top = band(size, RULES)[1] / least_efficiency(size, RULES)
    assert top == pytest.approx(opening_moment_most(size, RULES), abs=1.0)


@pytest.mark.parametrize("size", [1, 2, 3, 4, 5, 6, 7])
def test_a_closer_latches_at_the_pressure_said_to_be_the_largest_and_not_above(size: int) -> None:
    case = DoorCase(0.95, 2.10, 0.075)
    most = judge(case, closer_of_size(size, RULES), "en", RULES).latches_to_pa
    for pressure, latches in ((most, True), (most * 1.02 + 0.2, False)):
        at = DoorCase(0.95, 2.10, 0.075, pressure)
        assert judge(at, closer_of_size(size, RULES), "en", RULES).latches is latches


@pytest.mark.parametrize("size", [1, 2, 3, 4, 5, 6, 7])
def test_a_measured_force_is_traced_back_to_the_size_that_gives_it(size: int) -> None:
    lever = 0.875
    reckoned = closer_of_size(size, RULES)
    measured = closer_of_force(reckoned.opening_force(lever) * 1.0001, lever, RULES)
    assert measured.size == size
    assert measured.closing_nm == pytest.approx(reckoned.closing_nm, rel=1e-3)


def test_a_smaller_force_than_any_size_gives_has_no_size() -> None:
    assert closer_of_force(5.0, 0.875, RULES).size is None


def test_the_opening_moment_limit_is_told_for_the_size() -> None:
    verdict = judge(DoorCase(0.95, 2.1, 0.075), closer_of_size(3, RULES), "en", RULES)
    (limit,) = verdict.limits
    assert (limit.allowed, limit.within) == (47, True)
    assert limit.force == pytest.approx(18 / 0.55)
