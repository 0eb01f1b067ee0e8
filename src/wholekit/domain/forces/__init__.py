"""Opening force, latching power and force limits of one leaf."""

from wholekit.domain.forces.case import DoorCase, ForceVerdict, LimitResult
from wholekit.domain.forces.limit import Limit
from wholekit.domain.forces.limits import (
    adopted,
    en_basis,
    jurisdictions,
    limits_of,
    profile_name,
)
from wholekit.domain.forces.power import (
    CloserPower,
    band,
    closer_of_force,
    closer_of_size,
    least_efficiency,
    opening_moment_most,
    sizes,
    smallest_size_latching,
)
from wholekit.domain.forces.settings import best_efficiency, largest_setting
from wholekit.domain.forces.verdict import judge

__all__ = [
    "CloserPower",
    "DoorCase",
    "ForceVerdict",
    "Limit",
    "LimitResult",
    "adopted",
    "band",
    "best_efficiency",
    "closer_of_force",
    "closer_of_size",
    "en_basis",
    "judge",
    "jurisdictions",
    "largest_setting",
    "least_efficiency",
    "limits_of",
    "opening_moment_most",
    "profile_name",
    "sizes",
    "smallest_size_latching",
]
