"""The spacing of four fixing holes at the corners of a rectangle, and how people write it."""

import re
from dataclasses import dataclass
from functools import lru_cache

from wholekit.domain.quantities.errors import QuantityError
from wholekit.domain.quantities.length import LONGEST_TEXT, Length, parse_length

_BETWEEN = re.compile(r"\s*(?:[x×*]|by)\s*", re.IGNORECASE)
_LAST_UNIT = re.compile(r"(mm|cm|m|inches|inch|in\.?|\"|″|”|'')\s*$", re.IGNORECASE)
_ENDS_IN_NUMBER = re.compile(r"(?:\d\.?|[½¼¾⅛⅜⅝⅞])$")


@dataclass(frozen=True, slots=True)
class HolePattern:
    """Four holes: along the leaf's width × across it, centre to centre [Length].

    Turned round by half a turn, as a body is for the other hand, a rectangle is the same holes.

    >>> print(HolePattern(Length.inches(8, 1, 4), Length.inches(3, 1, 4)))
    8-1/4 x 3-1/4 in
    >>> print(HolePattern(Length.mm(210), Length.inches(3, 1, 4)))
    210 mm x 3-1/4 in
    """

    along: Length
    across: Length

    @property
    def turned(self) -> "HolePattern":
        """By a quarter turn: length and height exchanged."""
        return HolePattern(self.across, self.along)

    def __str__(self) -> str:
        """The unit said once where both have it; `parse_pattern` reads it back."""
        along, across = str(self.along), str(self.across)
        unit = across.rpartition(" ")[2]
        return f"{along.removesuffix(f' {unit}')} x {across}"


@lru_cache(maxsize=4096)
def parse_pattern(text: str) -> HolePattern:
    """Read the spacing of old holes: `8-1/4 x 3-1/4`, `8 1/4" x 3 1/4"`, `210 x 83 mm`.

    Length first, then height; a unit behind the last holds for both, and without any they are
    inches. Raises QuantityError.

    >>> str(parse_pattern("8 1/4 by 3 1/4")), str(parse_pattern("210x83 mm"))
    ('8-1/4 x 3-1/4 in', '210 x 83 mm')
    """
    cleaned = " ".join(text.split())
    parts = _BETWEEN.split(cleaned) if len(cleaned) <= 2 * LONGEST_TEXT else []
    if len(parts) != 2 or not all(parts):
        raise QuantityError("pattern-unreadable", text[:LONGEST_TEXT])
    unit = _LAST_UNIT.search(parts[1])
    if unit and _ENDS_IN_NUMBER.search(parts[0]):
        parts[0] = f"{parts[0]} {unit[1]}"
    try:
        return HolePattern(parse_length(parts[0]), parse_length(parts[1]))
    except QuantityError as error:
        code = "pattern-unreadable" if error.code == "length-unreadable" else error.code
        raise QuantityError(code, text) from None
