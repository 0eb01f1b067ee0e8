"""What one row or line says of an opening, as an OpeningType or as its faults."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from wholekit.domain.openings import OpeningType
from wholekit.domain.quantities import Length, QuantityError
from wholekit.intake.cells import Read, clean, read_cell, refuse_two_readings
from wholekit.intake.unclear import settle

SIZES = ("size", "width", "height")


@dataclass(frozen=True, slots=True)
class Fault:
    """A fault of one column, wherever the row stands."""

    code: str
    column: str
    fields: Mapping[str, object]


Kind = OpeningType | tuple[Fault, ...]


def read_kind(cells: Iterable[tuple[str, str]], readers: Mapping[str, Read]) -> Kind:
    """The opening type of the cells (column, text), or every fault of them; empty is unknown."""
    values: dict[str, Any] = {}
    texts: dict[str, str] = {}
    faults: list[Fault] = []
    for column, cell in cells:
        try:
            text = clean(cell)
            if text:
                values[column] = read_cell(text, readers[column])
                texts[column] = text
        except QuantityError as error:
            faults.append(Fault(error.code, column, {"given": error.given, **error.fields}))
    size: tuple[Length, Length] | None = values.pop("size", None)
    width, height = values.pop("width", None), values.pop("height", None)
    # A size that could not be read is not also told to be missing.
    if not any(fault.column in SIZES for fault in faults):
        faults += _size_faults(size, width, height)
        if size is None:
            faults += bare_sides(texts)
    if faults:
        return tuple(faults)
    wide, high = size or (width, height)
    return OpeningType(wide, high, **settle(values))


def bare_sides(texts: Mapping[str, str]) -> list[Fault]:
    """The fault of a width and a height (texts by column) that both lack their unit and may be
    feet and inches; none where a side is not among them."""
    width, height = texts.get("width"), texts.get("height")
    if width is None or height is None:
        return []
    try:
        refuse_two_readings(width, height, f"{width} x {height}")
    except QuantityError as error:
        return [Fault(error.code, "height", {"given": error.given, **error.fields})]
    return []


def _size_faults(
    size: tuple[Length, Length] | None, width: Length | None, height: Length | None
) -> list[Fault]:
    if size is None:
        sides = {"width": width, "height": height}
        if width is None and height is None:
            return [Fault("size-needed", "size", {})]
        return [
            Fault("side-needed", side, {"side": side})
            for side, value in sides.items()
            if value is None
        ]
    return [
        Fault("size-twice", side, {"size": in_size, "given": value})
        for side, in_size, value in (("width", size[0], width), ("height", size[1], height))
        if value is not None and value != in_size
    ]
