"""Values of an opening's fields as a schedule spells them, and back."""

from collections.abc import Callable, Mapping
from enum import StrEnum
from functools import cache
from typing import get_args, get_type_hints

from wholekit.domain.openings.opening import OpeningType
from wholekit.domain.quantities import (
    HolePattern,
    Length,
    Mass,
    Physical,
    parse_force,
    parse_length,
    parse_mass,
    parse_pattern,
    parse_pressure,
    parse_speed,
)

# A physical quantity that is no force is told by its field.
_PHYSICAL: Mapping[str, Callable[[str], Physical]] = {
    "pressure": parse_pressure,
    "wind": parse_speed,
}
# The size is stated as one; what is unclear is said beside its field.
_NO_VALUES = ("width", "height", "unclear")


def stated_text(value: object) -> str:
    """A value as a schedule would spell it: `yes`, `hollow-metal`, `4 in`, `90`."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:g}"
    return str(value)


def read_stated(field: str, text: str) -> object:
    """The value of a field of an opening from its spelling. Raises ValueError, QuantityError.

    >>> read_stated("door", "wood"), read_stated("accessible", "yes"), read_stated("size", "3070")
    (<Door.WOOD: 'wood'>, True, '3070')
    """
    kind = kind_of(field)
    if kind is bool:
        return {"yes": True, "no": False}[text]
    if kind is Length:
        return parse_length(text)
    if kind is HolePattern:
        return parse_pattern(text)
    if kind is Mass:
        return parse_mass(text)
    if kind is Physical:
        return _PHYSICAL.get(field, parse_force)(text)
    if kind in (int, float) or issubclass(kind, StrEnum):
        value: object = kind(text)
        return value
    return text


def stated_of(opening_type: OpeningType) -> dict[str, object]:
    """What is stated of an opening, field by field; its `size` is (width, height)."""
    found: dict[str, object] = {"size": (opening_type.width, opening_type.height)}
    for name in OpeningType.__dataclass_fields__:
        value = getattr(opening_type, name)
        if value is not None and name not in _NO_VALUES:
            found[name] = value
    return found


@cache
def kind_of(field: str) -> type:
    """The type of a field's values; text for what is no field of an opening type."""
    hint = get_type_hints(OpeningType).get(field, str)
    found: type = next(
        (argument for argument in get_args(hint) if argument is not type(None)), hint
    )
    return found
