"""Pressures, speeds, forces and angles: floats in SI units, always read with a unit."""

import math
import re
from dataclasses import dataclass
from functools import lru_cache

from wholekit.domain.quantities.errors import QuantityError

# Factors to SI. lbf: 0.45359237 kg × 9.80665 m/s² exactly (standard gravity).
# inwg: inch of water, conventional 249.08891 Pa (NIST SP 811 appendix B).
N_PER_LBF = 4.4482216152605
PA_PER_INWG = 249.08891
PA_PER_PSF = N_PER_LBF / 0.3048**2
_PRESSURE = {"pa": 1.0, "hpa": 100.0, "kpa": 1000.0, "inwg": PA_PER_INWG, "psf": PA_PER_PSF}
_SPEED = {"mph": 0.44704, "m/s": 1.0, "km/h": 1 / 3.6, "fps": 0.3048, "kn": 1852 / 3600}
_FORCE = {"n": 1.0, "lbf": N_PER_LBF}
_ANGLE = {"deg": 1.0, "°": 1.0, "degrees": 1.0}
_ALIAS = {
    "in.w.g.": "inwg", "inw.g.": "inwg", "inwc": "inwg", "in.wg": "inwg", "inh2o": "inwg",
    "inw.c.": "inwg", "in.w.c.": "inwg", "lb": "lbf", "lbs": "lbf",
    "kph": "km/h", "kmh": "km/h", "mps": "m/s", "ft/s": "fps", "kt": "kn", "knots": "kn",
}  # fmt: skip
_VALUE = re.compile(r"([+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?)\s*(\D.*)?$")


@dataclass(frozen=True, slots=True)
class Physical:
    """A quantity in its SI unit [Pa, m/s or N; degrees for an angle] and as it was written."""

    si: float
    written: str

    def __str__(self) -> str:
        return self.written


def _parse(text: str, units: dict[str, float], what: str, bare: str | None = None) -> Physical:
    cleaned = " ".join(text.strip().lower().replace("−", "-").split())
    match = _VALUE.match(cleaned) if len(cleaned) <= 40 else None
    expected = sorted(units)
    if not match:
        raise QuantityError(f"{what}-unreadable", text, expected=expected)
    unit = (match[2] or bare or "").replace(" ", "")
    unit = _ALIAS.get(unit, unit)
    if not unit:
        raise QuantityError(f"{what}-without-unit", text, expected=expected)
    if unit not in units:
        raise QuantityError(f"{what}-unknown-unit", text, unit=unit, expected=expected)
    value = float(match[1]) * units[unit]
    if not math.isfinite(value):
        raise QuantityError(f"{what}-unreadable", text, expected=expected)
    if value < 0:
        raise QuantityError(f"{what}-negative", text, expected=expected)
    return Physical(value, " ".join(text.split()))


@lru_cache(maxsize=1024)
def parse_pressure(text: str) -> Physical:
    """Read a pressure with unit (Pa, hPa, kPa, inwg, psf) as [Pa]. Raises QuantityError.

    >>> round(parse_pressure("0.20 in w.g.").si, 2)
    49.82
    """
    return _parse(text, _PRESSURE, "pressure")


@lru_cache(maxsize=1024)
def parse_speed(text: str) -> Physical:
    """Read a wind speed with unit (mph, m/s, km/h, fps, kn) as [m/s]. Raises QuantityError.

    >>> round(parse_speed("20 mph").si, 4)
    8.9408
    """
    return _parse(text, _SPEED, "speed")


@lru_cache(maxsize=1024)
def parse_force(text: str) -> Physical:
    """Read a force with unit (N, lbf) as [N]. Raises QuantityError.

    >>> round(parse_force("5 lbf").si, 2)
    22.24
    """
    return _parse(text, _FORCE, "force")


@lru_cache(maxsize=1024)
def parse_angle(text: str) -> Physical:
    """Read an opening angle, in degrees whether or not the unit is written. Raises QuantityError.

    >>> parse_angle("110").si
    110.0
    """
    return _parse(text, _ANGLE, "angle", bare="deg")
