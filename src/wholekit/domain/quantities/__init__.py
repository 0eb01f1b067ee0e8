"""Exact lengths, masses and money; floating-point pressures, speeds, forces and moments."""

from wholekit.domain.quantities.errors import QuantityError
from wholekit.domain.quantities.length import Length, parse_length, parse_size
from wholekit.domain.quantities.mass import Mass, parse_mass
from wholekit.domain.quantities.money import (
    COST_DIGITS,
    MOST_SUM,
    Cost,
    Money,
    currency_digits,
    parse_cost,
    parse_money,
)
from wholekit.domain.quantities.pattern import HolePattern, parse_pattern
from wholekit.domain.quantities.physical import (
    Physical,
    parse_angle,
    parse_force,
    parse_pressure,
    parse_speed,
)
from wholekit.domain.quantities.share import parse_share

__all__ = [
    "COST_DIGITS",
    "MOST_SUM",
    "Cost",
    "HolePattern",
    "Length",
    "Mass",
    "Money",
    "Physical",
    "QuantityError",
    "currency_digits",
    "parse_angle",
    "parse_cost",
    "parse_force",
    "parse_length",
    "parse_mass",
    "parse_money",
    "parse_pattern",
    "parse_pressure",
    "parse_share",
    "parse_size",
    "parse_speed",
]
