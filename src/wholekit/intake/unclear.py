"""The clean form of a value that could mean several things: `60 or 90`, `yes or no`."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from wholekit.domain.openings import OpeningType, Unclear, stated_text
from wholekit.domain.quantities import QuantityError
from wholekit.intake.dialect_rows import Harshest, load_dialect

# Fields whose unclear value is worked under its harshest candidate; their clean form holds all.
UNCLEAR_FIELDS = ("fire_minutes", "accessible", "egress", "door", "frame")
OR = " or "
MOST_CANDIDATES = 12


@dataclass(frozen=True, slots=True)
class Several:
    """The candidates of a field, and the one that is worked under."""

    unclear: Unclear
    worked: int | bool | str


def maybe_several(
    field: str, read: Callable[[str], int | bool | str]
) -> Callable[[str], int | bool | str | Several]:
    """A reader of one value, or of several joined by `or`. Raises QuantityError.

    >>> from wholekit.intake.cells import fire_minutes
    >>> maybe_several("fire_minutes", fire_minutes)("60 or 1-1/2 h").worked
    90
    """

    def read_several(text: str) -> int | bool | str | Several:
        parts = text.lower().split(OR)
        if len(parts) == 1:
            return read(text)
        if len(parts) > MOST_CANDIDATES:
            raise QuantityError("word-unknown", text, right="60 or 90")
        values = list(dict.fromkeys(read(part.strip()) for part in parts))
        if len(values) == 1:
            return values[0]
        unclear = Unclear(field, text, tuple(stated_text(value) for value in values))
        return Several(unclear, harshest(field, values))

    return read_several


def harshest(field: str, values: Sequence[int | bool | str]) -> int | bool | str:
    """The value of a field that asks the most of a kit, by the dialect's data."""
    worked = load_dialect().harshest[field]
    match worked.takes:
        case Harshest.YES:
            return True in values
        case Harshest.MOST:
            return max(value for value in values if isinstance(value, int))
        case Harshest.FIRST:
            # A word that the order lacks comes last, so that a new material is never a fault here.
            order = [*worked.order, *map(str, values)]
            return min(values, key=lambda value: order.index(str(value)))


def as_written(opening_type: OpeningType, written: Mapping[str, str]) -> OpeningType:
    """The type with what somebody wrote (by field) in place of the clean form of its candidates.

    >>> from wholekit.domain.quantities import Length
    >>> unclear = Unclear("fire_minutes", "60 or 90", ("60", "90"))
    >>> door = OpeningType(Length.inches(36), Length.inches(84), unclear=(unclear,))
    >>> as_written(door, {"fire_minutes": "B"}).unclear[0].written
    'B'
    """
    if not opening_type.unclear:
        return opening_type
    told = tuple(
        replace(unclear, written=written.get(unclear.field, unclear.written))
        for unclear in opening_type.unclear
    )
    return replace(opening_type, unclear=told)


def settle(values: Mapping[str, object], before: tuple[Unclear, ...] = ()) -> dict[str, Any]:
    """Fields of an opening type with each Several put as its worked value, and `unclear` with them.

    before: what was unclear; a field that has a new value is so no more.
    """
    found: dict[str, Any] = {
        name: value.worked if isinstance(value, Several) else value
        for name, value in values.items()
    }
    several = [value.unclear for value in values.values() if isinstance(value, Several)]
    kept = [unclear for unclear in before if unclear.field not in values]
    if several or before:
        # In the order of the columns, so that like openings stay alike.
        order = list(OpeningType.__dataclass_fields__)
        found["unclear"] = tuple(
            sorted([*kept, *several], key=lambda unclear: order.index(unclear.field))
        )
    return found
