"""Forces and moments on a hinged leaf, as published formulas.

All functions are pure and take floats in SI units unless the name or docstring says US. A value
that is not finite, or has no physical meaning, raises CallError; no result is ever NaN.
"""

import math

from wholekit.domain.errors import CallError

# What no door, pressure or closer reaches; keeps every result finite.
LARGEST = 1e9
LEAST = 1e-3
# Factors as published; the rule book holds them with their sources (force-k, wind-pressure,
# stack-effect), and callers that have a rule book pass its figure.
K_US = 5.2
K_SI = 1.0
# Half the density of air (about 1.225 kg/m³), by the square of the speed, in each system of units.
WIND_US = 0.00256
WIND_SI = 0.613
STACK_SI = 3460.0


def opening_force(
    closer_n: float,
    width_m: float,
    height_m: float,
    pressure_pa: float,
    handle_m: float,
    k: float = K_SI,
) -> float:
    """Force at the handle that sets a leaf in motion against its closer and a pressure [N].

    F = Fdc + K·W·A·ΔP / (2(W − d)), K = 1.0 (IBC 909.6.2, NFPA 92, SI form).
    closer_n: force that overcomes the closer, at the handle [N]; width_m, height_m: leaf [m];
    pressure_pa: pressure difference that holds the leaf shut [Pa]; handle_m: handle to the latch
    edge [m]. Does not cover friction of seals or a latch bolt. Raises CallError.

    >>> round(opening_force(45, 0.914, 2.134, 50, 0.076), 2)
    98.18
    """
    _leaf(width_m, height_m, handle_m)
    _not_negative(closer_n, "closer-force")
    _not_negative(pressure_pa, "pressure")
    area = width_m * height_m
    # The pressure acts at the middle of the leaf, half its width from the hinge; the hand at W −
    # d.
    return closer_n + k * width_m * area * pressure_pa / (2 * (width_m - handle_m))


def opening_force_us(
    closer_lbf: float,
    width_ft: float,
    height_ft: float,
    pressure_inwg: float,
    handle_ft: float,
    k: float = K_US,
) -> float:
    """The same in US units [lbf]: K = 5.2 with feet, inches of water and pounds-force.

    The clause prints K rounded, so this differs from the SI form by 0.05 %. Raises CallError.

    >>> round(opening_force_us(8, 3, 7, 0.20, 0.25), 2)
    19.91
    """
    _leaf(width_ft, height_ft, handle_ft)
    _not_negative(closer_lbf, "closer-force")
    _not_negative(pressure_inwg, "pressure")
    area = width_ft * height_ft
    return closer_lbf + k * width_ft * area * pressure_inwg / (2 * (width_ft - handle_ft))


def pressure_for_opening_force(
    limit_n: float,
    closer_n: float,
    width_m: float,
    height_m: float,
    handle_m: float,
    k: float = K_SI,
) -> float:
    """Largest pressure [Pa] at which the opening force stays within a limit [N]; 0 if none.

    The formula of `opening_force` solved for ΔP. Raises CallError.

    >>> round(pressure_for_opening_force(98.18, 45, 0.914, 2.134, 0.076))
    50
    """
    per_pascal = opening_force(0.0, width_m, height_m, 1.0, handle_m, k)
    return max(0.0, (limit_n - closer_n) / per_pascal)


def pressure_for_opening_force_us(
    limit_lbf: float,
    closer_lbf: float,
    width_ft: float,
    height_ft: float,
    handle_ft: float,
    k: float = K_US,
) -> float:
    """The same in US units [in. w.g.]: the cells of the NFPA 92 table. Raises CallError.

    >>> round(pressure_for_opening_force_us(30, 8, 3, 7, 0.25), 2)
    0.37
    """
    per_inwg = opening_force_us(0.0, width_ft, height_ft, 1.0, handle_ft, k)
    return max(0.0, (limit_lbf - closer_lbf) / per_inwg)


def wind_pressure(speed: float, factor: float = WIND_SI) -> float:
    """Velocity pressure of wind [Pa] from its speed [m/s]: 0.613 V² (ASCE 7, SI form).

    Without the factors for height, terrain and gust, which belong to a structural design: an
    estimate of what a leaf feels, no design wind load. Raises CallError.

    >>> round(wind_pressure(8.9408), 1)
    49.0
    """
    _not_negative(speed, "wind")
    return factor * speed**2


def wind_pressure_us(speed_mph: float, factor: float = WIND_US) -> float:
    """The same in US units [psf] from a speed [mph]: 0.00256 V² (ASCE 7). Raises CallError.

    >>> round(wind_pressure_us(20), 3)
    1.024
    """
    _not_negative(speed_mph, "wind")
    return factor * speed_mph**2


def stack_pressure(
    outside_k: float, inside_k: float, height_m: float, factor: float = STACK_SI
) -> float:
    """Pressure difference of the stack effect [Pa]: 3460 (1/To − 1/Ti) h.

    outside_k, inside_k: air temperatures [K]; height_m: height above the neutral plane [m].
    Negative where it is colder inside. Raises CallError.

    >>> round(stack_pressure(263.15, 295.15, 15), 1)
    21.4
    """
    for value, name in ((outside_k, "outside-temperature"), (inside_k, "inside-temperature")):
        _positive(value, name)
    _not_negative(height_m, "stack-height")
    # The factor is as printed; it is about 353 kg·K/m³ (density of air times temperature) by 9.81
    # m/s².
    return factor * (1 / outside_k - 1 / inside_k) * height_m


def pressure_moment(pressure_pa: float, width_m: float, height_m: float) -> float:
    """Moment of a pressure difference about the hinge [N·m]: ΔP·A·W/2. Raises CallError."""
    _leaf(width_m, height_m, 0.0)
    _not_negative(pressure_pa, "pressure")
    # A uniform pressure about the hinge: area times half the width.
    return pressure_pa * width_m * height_m * width_m / 2


def closing_moment_needed(
    pressure_pa: float,
    width_m: float,
    height_m: float,
    seals_n: float = 0.0,
    latch_n: float = 0.0,
) -> float:
    """Closing moment needed in the last degrees, so that the leaf latches [N·m].

    pressure_pa: the pressure that holds the leaf open [Pa]; seals_n, latch_n: forces at the latch
    edge that press the seals and drive the latch bolt home [N], 0 where unknown. Raises CallError.

    >>> round(closing_moment_needed(19.0, 0.95, 2.10), 1)
    18.0
    """
    _not_negative(seals_n, "seal-force")
    _not_negative(latch_n, "latch-force")
    moment = pressure_moment(pressure_pa, width_m, height_m)
    # Seals and latch are taken at the latch edge, their longest lever: friction of the other edges
    # is in no figure.
    return moment + (seals_n + latch_n) * width_m


def largest_pressure(
    closing_moment_nm: float,
    width_m: float,
    height_m: float,
    seals_n: float = 0.0,
    latch_n: float = 0.0,
) -> float:
    """Largest pressure a closing moment still latches against [Pa]; 0 if seals and latch win.

    Raises CallError.

    >>> round(largest_pressure(18, 0.95, 2.10), 1)
    19.0
    """
    _not_negative(closing_moment_nm, "closing-moment")
    resisting = closing_moment_needed(0.0, width_m, height_m, seals_n, latch_n)
    return max(0.0, (closing_moment_nm - resisting) / pressure_moment(1.0, width_m, height_m))


def force_from_moment(closing_moment_nm: float, efficiency: float, lever_m: float) -> float:
    """Force that opens a leaf against a closer [N] at a lever from the hinge [m].

    Opening moment = closing moment / efficiency (how EN 1154 relates the two); efficiency is a
    fraction above 0 up to 1. Raises CallError.

    >>> round(force_from_moment(18, 0.63, 0.95), 1)
    30.1
    """
    _not_negative(closing_moment_nm, "closing-moment")
    _positive(lever_m, "lever")
    if not 0 < efficiency <= 1:
        raise CallError("efficiency-out-of-range", given=efficiency)
    return closing_moment_nm / efficiency / lever_m


def efficiency_for_force(closing_moment_nm: float, limit_n: float, lever_m: float) -> float:
    """Least efficiency [fraction] at which a closing moment keeps within a force limit.

    Above 1 no closer can. Raises CallError.

    >>> round(efficiency_for_force(18, 30, 0.95), 2)
    0.63
    """
    _not_negative(closing_moment_nm, "closing-moment")
    _positive(limit_n, "force-limit")
    _positive(lever_m, "lever")
    return closing_moment_nm / (limit_n * lever_m)


def _leaf(width: float, height: float, handle: float) -> None:
    _positive(width, "width")
    _positive(height, "height")
    # A handle on the hinge would have no lever, and the force would be without bound.
    if not (math.isfinite(handle) and 0 <= handle <= width - LEAST):
        raise CallError("handle-outside-leaf", given=handle, width=width)


def _positive(value: float, name: str) -> None:
    if not (math.isfinite(value) and LEAST <= value <= LARGEST):
        raise CallError("not-positive", name=name, given=value)


def _not_negative(value: float, name: str) -> None:
    if not (math.isfinite(value) and 0 <= value <= LARGEST):
        raise CallError("negative", name=name, given=value)
