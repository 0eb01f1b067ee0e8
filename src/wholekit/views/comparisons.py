"""A comparison of two offers as data; no cost appears."""

from dataclasses import fields, is_dataclass
from fractions import Fraction

from wholekit.domain.quantities import Length, Mass, Money, Physical
from wholekit.views.kits import price_answer
from wholekit.wording.rates import percent


def with_amounts(value: object) -> object:
    """Dataclasses as named values, with every amount as `--json` writes amounts elsewhere."""
    if isinstance(value, Money):
        return price_answer(value)
    if isinstance(value, Fraction):
        return percent(value)
    if isinstance(value, Length | Mass | Physical):
        return str(value)
    if isinstance(value, tuple):
        return [with_amounts(part) for part in value]
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: with_amounts(getattr(value, field.name)) for field in fields(value)}
    return value
