"""Pressure of wind, and of the stack effect.

Sources: ASCE 7, velocity pressure 0.00256 V² psf, V in mph (read); 0.613 V² Pa, V in m/s (from
memory, not read; half the density of air, 1.225 kg/m³, is 0.6125). Stack effect 3460 (1/To − 1/Ti)
h, as printed in handbooks of smoke control; by the ideal gas law 353.05 kg·K/m³ × 9.80665 m/s² is
3462. Tolerances beside each case.
"""

import pytest
from tests.support.house import RULES

from wholekit.domain.forces.formulas import (
    STACK_SI,
    WIND_SI,
    WIND_US,
    stack_pressure,
    wind_pressure,
    wind_pressure_us,
)
from wholekit.domain.quantities import parse_speed
from wholekit.domain.quantities.physical import PA_PER_PSF


def test_twenty_miles_an_hour_press_with_one_pound_per_square_foot() -> None:
    assert round(wind_pressure_us(20), 3) == 1.024


def test_twenty_miles_an_hour_press_with_forty_nine_pascals_by_either_form() -> None:
    assert round(wind_pressure_us(20) * PA_PER_PSF, 1) == 49.0
    assert round(wind_pressure(parse_speed("20 mph").si), 1) == 49.0


def test_the_factor_is_half_the_density_of_air() -> None:
    assert wind_pressure(1) == pytest.approx(1.225 / 2, rel=1e-3)


def test_a_fifty_foot_stack_on_a_winter_day() -> None:
    """−10 °C outside, 22 °C inside, 15 m: 21.4 Pa [computed from the formula]."""
    assert round(stack_pressure(263.15, 295.15, 15), 1) == 21.4


def test_the_stack_factor_agrees_with_the_ideal_gas_law() -> None:
    density_times_kelvin = 101_325 / 287.05
    assert pytest.approx(density_times_kelvin * 9.80665, rel=2e-3) == STACK_SI


def test_warm_air_outside_turns_the_stack_round() -> None:
    assert stack_pressure(305, 295, 15) < 0 < stack_pressure(285, 295, 15)


def test_the_rule_book_holds_the_same_factors() -> None:
    assert RULES.number("wind-pressure") == WIND_US
    assert RULES.number("wind-pressure-si") == WIND_SI
