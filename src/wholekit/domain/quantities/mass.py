"""Mass as whole micrograms."""

import re
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache

from wholekit.domain.quantities.errors import QuantityError

UG_PER_UNIT = {"lb": 453_592_370, "kg": 1_000_000_000}
_MASS = re.compile(r"(\d+\.?\d*|\.\d+)\s*(lbs?\.?|pounds?|kgs?\.?|kilograms?)$")


@dataclass(frozen=True, slots=True, order=True)
class Mass:
    """An exact mass [µg] and the unit it was written in (1 lb = 0.45359237 kg exactly).

    >>> round(Mass.lb(100).in_kg, 3)
    45.359
    """

    ug: int
    unit: str = field(default="lb", compare=False)

    @classmethod
    def lb(cls, value: int | float | Fraction) -> "Mass":
        """Pounds [lb], rounded to the microgram."""
        return cls(round(Fraction(str(value)) * UG_PER_UNIT["lb"]), "lb")

    @classmethod
    def kg(cls, value: int | float | Fraction) -> "Mass":
        """Kilograms [kg], rounded to the microgram."""
        return cls(round(Fraction(str(value)) * UG_PER_UNIT["kg"]), "kg")

    @property
    def in_kg(self) -> float:
        """The mass [kg]."""
        return self.ug / UG_PER_UNIT["kg"]

    def __str__(self) -> str:
        value = f"{self.ug / UG_PER_UNIT[self.unit]:.3f}".rstrip("0").rstrip(".")
        return f"{value} {self.unit}"


@lru_cache(maxsize=2048)
def parse_mass(text: str) -> Mass:
    """Read a mass with its unit: `100 lb`, `45 kg`. Raises QuantityError.

    >>> str(parse_mass("45.5 kg"))
    '45.5 kg'
    """
    cleaned = " ".join(text.strip().lower().split())
    if cleaned.startswith(("-", "−")):
        raise QuantityError("mass-not-positive", text)
    match = _MASS.match(cleaned)
    if not match or len(cleaned) > 40:
        code = "mass-without-unit" if re.fullmatch(r"[\d.]{1,40}", cleaned) else "mass-unreadable"
        raise QuantityError(code, text)
    unit = "kg" if match[2].startswith("k") else "lb"
    ug = round(Fraction(match[1]) * UG_PER_UNIT[unit])
    if ug <= 0:
        raise QuantityError("mass-not-positive", text)
    return Mass(ug, unit)
