"""Length as whole nanometres, and the spellings the trade writes it in."""

import re
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache

from wholekit.domain.quantities.errors import QuantityError

NM_PER_INCH = 25_400_000
NM_PER_UNIT = {
    "in": NM_PER_INCH,
    "ft": 12 * NM_PER_INCH,
    "mm": 1_000_000,
    "cm": 10_000_000,
    "m": 1_000_000_000,
}
LONGEST_TEXT = 60

_GLYPHS = str.maketrans(
    {"′": "'", "’": "'", "‘": "'", "″": '"', "”": '"', "“": '"', "–": "-", "−": "-", "×": "x"}
)
_VULGAR = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip
_NUMBER = r"(?:\d+[-\s]+\d+/\d+|\d+/\d+|\d+\.\d*|\.\d+|\d+)"
_UNIT = re.compile(rf"({_NUMBER})\s*(inches|inch|in\.|in|\"|''|feet|foot|ft\.|ft|'|mm|cm|m)?$")
_FEET = re.compile(
    rf"(\d+)\s*(?:'(?!')|feet|foot|ft\.?)\s*-?\s*({_NUMBER})\s*(?:\"|''|inches|inch|in\.?)?$"
)
_UNIT_NAME = {
    "inches": "in", "inch": "in", "in.": "in", '"': "in", "''": "in",
    "feet": "ft", "foot": "ft", "ft.": "ft", "'": "ft",
}  # fmt: skip


@dataclass(frozen=True, slots=True, order=True)
class Length:
    """An exact length [nm], with the unit it was written in kept for display only.

    >>> Length.inches(8, 1, 4).nm
    209550000
    >>> Length.inches(36) < Length.mm(914.5), Length.mm(914.4) <= Length.inches(36)
    (True, True)
    """

    nm: int
    unit: str = field(default="in", compare=False)

    @classmethod
    def inches(cls, whole: int, numerator: int = 0, denominator: int = 1) -> "Length":
        """Whole inches and a fraction [in]."""
        return cls(_whole(Fraction(whole) + Fraction(numerator, denominator), NM_PER_INCH), "in")

    @classmethod
    def mm(cls, value: int | float | Fraction) -> "Length":
        """Millimetres [mm]; a float is read by its shortest decimal spelling."""
        return cls(_whole(Fraction(str(value)), 1_000_000), "mm")

    @property
    def in_inches(self) -> float:
        """The length [in], for force and angle calculations only."""
        return self.nm / NM_PER_INCH

    @property
    def in_metres(self) -> float:
        """The length [m], for force and angle calculations only."""
        return self.nm / 1_000_000_000

    @property
    def in_millimetres(self) -> float:
        """The length [mm], for display and plane geometry only."""
        return self.nm / 1_000_000

    def __add__(self, other: "Length") -> "Length":
        return Length(self.nm + other.nm, self.unit)

    def __sub__(self, other: "Length") -> "Length":
        return Length(self.nm - other.nm, self.unit)

    def __str__(self) -> str:
        """In the unit it was written in: `8-1/4 in`, `914 mm`, `0.914 m`."""
        if self.unit in ("in", "ft"):
            return f"{_inch_text(Fraction(self.nm, NM_PER_INCH))} in"
        return f"{_decimal_text(Fraction(self.nm, NM_PER_UNIT[self.unit]))} {self.unit}"


def _whole(value: Fraction, scale: int, written: str = "") -> int:
    scaled = value * scale
    if scaled.denominator != 1:
        raise QuantityError("length-not-exact", written or str(value))
    return scaled.numerator


def _inch_text(inches: Fraction) -> str:
    sign = "-" if inches < 0 else ""
    inches = abs(inches)
    if inches.denominator > 64 or inches.denominator & (inches.denominator - 1):
        return sign + _decimal_text(inches)
    whole, rest = divmod(inches, 1)
    if not rest:
        return f"{sign}{whole}"
    fraction = f"{rest.numerator}/{rest.denominator}"
    return f"{sign}{whole}-{fraction}" if whole else f"{sign}{fraction}"


def _decimal_text(value: Fraction) -> str:
    """The exact decimal where nine places or fewer hold it, else four places."""
    scaled = value * 10**9
    places = 9 if scaled.denominator == 1 else 4
    whole = round(value * 10**places)
    sign, digits = "-" if whole < 0 else "", f"{abs(whole):0{places + 1}d}"
    return f"{sign}{digits[:-places]}.{digits[-places:]}".rstrip("0").rstrip(".")


def _number(text: str, written: str) -> Fraction:
    parts = re.split(r"[-\s]+", text.strip())
    try:
        return sum((Fraction(part) for part in parts), Fraction(0))
    except ZeroDivisionError:
        raise QuantityError("length-unreadable", written) from None


@lru_cache(maxsize=4096)
def parse_length(text: str, bare: str | None = "in") -> Length:
    """Read one length; `bare` is the unit [name] of a number without one, None to require a unit.

    Reads feet and inches (3'-0", 3 ft 0-1/2 in), inches with fractions (8-1/4, 8 1/4", 36 in)
    and metric (914 mm, 91.4 cm, 0.914 m). Raises QuantityError: unreadable, negative or zero,
    without a needed unit, or not a whole number of nanometres.
    Source of the factor: 1 in = 25.4 mm exactly (international yard and pound agreement, 1959).

    >>> str(parse_length("3'-0 1/2\\"")), str(parse_length("0.914 m"))
    ('36-1/2 in', '0.914 m')
    """
    cleaned = text.translate(_GLYPHS).strip().lower()
    for glyph, plain in _VULGAR.items():
        cleaned = cleaned.replace(glyph, f" {plain}")
    cleaned = " ".join(cleaned.split())
    if len(cleaned) > LONGEST_TEXT:
        raise QuantityError("length-unreadable", text[:LONGEST_TEXT] + "…")
    if cleaned.startswith("-"):
        raise QuantityError("length-not-positive", text)
    feet = _FEET.match(cleaned)
    if feet:
        inches = _number(feet[2], text)
        if inches >= 12:
            raise QuantityError("length-inches-over-eleven", text)
        length = Length(_whole(Fraction(feet[1]) * 12 + inches, NM_PER_INCH, text), "in")
    else:
        match = _UNIT.match(cleaned)
        if not match:
            raise QuantityError("length-unreadable", text)
        unit = match[2] or bare
        if unit is None:
            raise QuantityError("length-without-unit", text)
        unit = _UNIT_NAME.get(unit, unit)
        length = Length(_whole(_number(match[1], text), NM_PER_UNIT[unit], text), unit)
    if length.nm <= 0:
        raise QuantityError("length-not-positive", text)
    return length


_FOUR = re.compile(r"(\d)(\d)(\d)(\d)$")
_FEET_INCHES = re.compile(r"(\d{1,2})[-/](\d{1,2})$")
_LAST_UNIT = re.compile(r"(mm|cm|m|inches|inch|in\.?|feet|foot|ft\.?|(?<!')'(?!'))$")


@lru_cache(maxsize=4096)
def parse_size(text: str) -> tuple[Length, Length]:
    """Read a leaf size as (width, height): 3070, 3'-0" x 7'-0", 3-0 x 7-0, 36x84, 914x2134 mm.

    Four digits are feet-inches each (3070 = 3-0 × 7-0; 31010 is not one: write 3'-0" x 10'-10").
    In the two-part form a unit on the last part alone holds for both; without any, 3-0 and 3/0 are
    feet and inches, a plain number is inches. Raises QuantityError.

    >>> [str(side) for side in parse_size("3068")]
    ['36 in', '80 in']
    >>> [str(side) for side in parse_size("914x2134 mm")]
    ['914 mm', '2134 mm']
    >>> [str(side) for side in parse_size("2-8 x 6-8")]
    ['32 in', '80 in']
    """
    cleaned = " ".join(text.translate(_GLYPHS).strip().lower().split())
    if len(cleaned) > 2 * LONGEST_TEXT:
        raise QuantityError("size-unreadable", text[:LONGEST_TEXT] + "…")
    four = _FOUR.match(cleaned)
    if four:
        feet_w, inch_w, feet_h, inch_h = (int(digit) for digit in four.groups())
        if not feet_w or not feet_h:
            raise QuantityError("size-unreadable", text)
        return Length.inches(12 * feet_w + inch_w), Length.inches(12 * feet_h + inch_h)
    parts = re.split(r"\s*(?:x|by)\s*", cleaned)
    if len(parts) != 2 or not all(parts):
        raise QuantityError("size-unreadable", text)
    both = [_FEET_INCHES.match(part) for part in parts]
    if both[0] and both[1] and int(both[0][2]) < 12 and int(both[1][2]) < 12:
        parts = [f"{part[1]}'-{part[2]}\"" for part in both if part]
    unit = _LAST_UNIT.search(parts[1])
    if unit and re.fullmatch(_NUMBER, parts[0]):
        parts[0] = f"{parts[0]} {unit[1]}"
    try:
        return parse_length(parts[0]), parse_length(parts[1])
    except QuantityError as error:
        raise QuantityError(error.code, text) from None
