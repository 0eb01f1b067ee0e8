"""One cell of a schedule as a value; every fault is a QuantityError with its code.

The limits are where a slip of the pen begins, not what can be built: a leaf 3 in wide is 3 ft
misread. Common practice, no source.
"""

import re
from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import TypeVar

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.catalog.nearest_words import listed, what_is_right
from wholekit.domain.quantities import (
    HolePattern,
    Length,
    Mass,
    Physical,
    QuantityError,
    parse_angle,
    parse_force,
    parse_length,
    parse_mass,
    parse_pattern,
    parse_pressure,
    parse_size,
    parse_speed,
)
from wholekit.intake import vocabulary as v
from wholekit.intake.tables import RefusedCell
from wholekit.intake.unclear import maybe_several

Value = TypeVar("Value")
Read = Callable[[str], object]

LONGEST_CELL = 200
LONGEST_NOTE = 2_000
LONGEST_ROOM = 120
LONGEST_MARK = 60
LONGEST_SHOWN = 60
MOST_ALIKE = 9_999
# What no reading forgives, whatever the column: it may be meant for another program.
GUARDS = frozenset({"cell-too-long", "cell-control", "cell-formula"})
WIDTH = (Length.mm(300), Length.mm(2500))
HEIGHT = (Length.mm(900), Length.mm(4500))
THICKNESS = (Length.mm(15), Length.mm(150))
FACE = (Length.mm(5), Length.mm(1000))
HOLES = (Length.mm(10), Length.mm(600))
DEPTH = (Length(0), Length.mm(1000))
CLEARANCE = (Length(0), Length.mm(5000))
WEIGHT = (Mass.kg(5), Mass.kg(1000))
MOST_PRESSURE_PA = 5000
MOST_WIND_MS = 120
MOST_EDGE_FORCE_N = 500
# Usual leaf heights (feet, inches). A bare 30x70 is 3-0 x 7-0 to the trade and 30 in x 70 in to
# others, so where the first gives one of these neither is taken. Common practice, no source.
USUAL_HEIGHTS = ((6, 8), (7, 0), (7, 2), (8, 0), (9, 0), (10, 0))
# Classes of EN 13501-2 (from memory, not read); the US labels of 20 min to 3 h are among them.
FIRE_MINUTES = (0, 15, 20, 30, 45, 60, 90, 120, 180, 240)

# Control characters, marks that turn the direction of text, and what a broken encoding leaves.
_NOT_TEXT = re.compile(
    "[\x00-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff\ufffd-\uffff]"
)
_WHOLE = re.compile(r"[+-]?[0-9]{1,9}$")
_HOURS = re.compile(r"(.+?)\s*-?\s*(?:hours?|hrs?|h)\.?$")
_MINUTES = re.compile(r"([0-9]{1,4})\s*-?\s*(?:minutes?|mins?)?\.?$")
_HOUR_COUNT = re.compile(
    r"(?:([0-9]{1,2})[\s-]+)?([0-9]{1,2})/([1-9])$|([0-9]{1,2}(?:\.[0-9]{1,2})?)$"
)
_BARE_PAIR = re.compile(r"([0-9]{2,3})\s*(?:[x×]|by)\s*([0-9]{2,3})$", re.IGNORECASE)
_BARE = re.compile(r"([0-9]{1,2})([0-9])$")
_ZERO_LENGTH = re.compile(r"0+(?:\.0*)?\s*(?:in|inch|inches|\"|mm|cm|m|ft)?$")
_RUN_TOGETHER = re.compile(r"[0-9]{5,6}$")
# Letters beside a digit that look like one; the l of 100lb is none.
_LOOKS_LIKE_DIGIT = re.compile(
    r"[OoI|](?=[\dOoI|])|(?<=[\dOoI|'-])[OoI|](?![A-Za-z])|l(?=\d)|(?<=\d)l(?=\d|\b)"
)
_DIGIT = str.maketrans("OolI|", "00111")
_VULGAR = str.maketrans({"½": " 1/2", "¼": " 1/4", "¾": " 3/4"})


def clean(cell: str, most: int = LONGEST_CELL) -> str:
    """A cell's text with single spaces. Raises QuantityError.

    Refused: a cell of a workbook that holds no text, more than `most` characters, control
    characters, and text that begins like a formula, which the next spreadsheet would run.
    """
    if isinstance(cell, RefusedCell):
        raise QuantityError(cell.code, shown(cell))
    text = " ".join(cell.split())
    if len(text) > most:
        raise QuantityError("cell-too-long", shown(text), most=most)
    if (not text.isprintable() or "\ufffd" in text) and _NOT_TEXT.search(text):
        raise QuantityError("cell-control", shown(text))
    if text.startswith("="):
        raise QuantityError("cell-formula", shown(text))
    return text


def shown(text: str) -> str:
    """A text fit to be quoted: one line, no control characters, sixty characters at most."""
    line = _NOT_TEXT.sub("�", " ".join(text.split()))
    return line if len(line) <= LONGEST_SHOWN else f"{line[:LONGEST_SHOWN]}…"


def read_cell(text: str, read: Callable[[str], Value]) -> Value:
    """The value of a cleaned text. Raises QuantityError.

    A word for unknown is told to be left out; where letters stand for digits (1O1), what was
    probably meant is told.
    """
    try:
        return read(text)
    except QuantityError as error:
        if v.plain(text) in v.UNKNOWNS:
            raise QuantityError("unknown-not-empty", shown(text)) from None
        # Never read so, only told: O may be meant, and a mark or a size guessed wrong is a wrong
        # kit.
        meant = _LOOKS_LIKE_DIGIT.sub(lambda match: match[0].translate(_DIGIT), text)
        if meant != text and re.search(r"[0-9]", text) and _reads(meant, read):
            raise QuantityError("letter-for-digit", shown(text), right=meant) from None
        raise QuantityError(error.code, shown(text), **error.fields) from None


def _reads(text: str, read: Callable[[str], object]) -> bool:
    try:
        read(text)
    except QuantityError:
        return False
    return True


def whole(text: str, least: int, most: int) -> int:
    """A whole number in its range. Raises QuantityError."""
    # The pattern first: int() also takes blanks, underscores and the digits of other scripts.
    if not _WHOLE.match(text) or not least <= int(text) <= most:
        raise QuantityError("whole-number", text, least=least, most=most)
    return int(text)


def quantity(text: str) -> int:
    """Openings alike, 1 to 9,999. Raises QuantityError."""
    return whole(text, 1, MOST_ALIKE)


def spring_size(text: str) -> int:
    """A spring size, 1 to 7. Raises QuantityError."""
    return whole(text.lower().removeprefix("size").strip(" -"), 1, 7)


def size(text: str) -> tuple[Length, Length]:
    """One leaf's width and height, within what a leaf can be. Raises QuantityError."""
    if _RUN_TOGETHER.match(text):
        raise QuantityError("size-run-together", text)
    bare = _BARE_PAIR.match(text)
    if bare:
        refuse_two_readings(bare[1], bare[2], text)
    wide, high = parse_size(text)
    return _within(wide, text, "width", WIDTH), _within(high, text, "height", HEIGHT)


def refuse_two_readings(width: str, height: str, given: str) -> None:
    """Refuses a width and a height without unit that feet and inches would make a usual leaf.

    >>> refuse_two_readings("36", "84", "36x84")
    >>> try:
    ...     refuse_two_readings("30", "80", "30x80")
    ... except QuantityError as error:
    ...     print(error.fields["feet"], "or", error.fields["inches"])
    3'-0" x 8'-0" or 30 in x 80 in
    """
    wide, high = _BARE.match(width), _BARE.match(height)
    if wide and high and (int(high[1]), int(high[2])) in USUAL_HEIGHTS:
        raise QuantityError(
            "size-two-readings",
            given,
            feet=f"{wide[1]}'-{wide[2]}\" x {high[1]}'-{high[2]}\"",
            inches=f"{width} in x {height} in",
        )


def length(what: str, limits: tuple[Length, Length]) -> Callable[[str], Length]:
    """A reader of one length within its limits; zero only where the limits let it."""

    def read(text: str) -> Length:
        # `parse_length` refuses zero, which is a slip for a leaf but a fact for a reveal.
        if not limits[0].nm and _ZERO_LENGTH.match(text.lower()):
            return Length(0)
        return _within(parse_length(text), text, what, limits)

    return read


def existing_holes(text: str) -> HolePattern:
    """The spacing of an old closer's holes, each side 10 to 600 mm. Raises QuantityError.

    >>> str(existing_holes("8-1/4 x 3-1/4"))
    '8-1/4 x 3-1/4 in'
    """
    read = parse_pattern(text)
    for side in (read.along, read.across):
        _within(side, text, "hole spacing", HOLES)
    return read


def _within(value: Length, text: str, what: str, limits: tuple[Length, Length]) -> Length:
    least, most = limits
    if not least <= value <= most:
        raise QuantityError(
            "size-not-sensible",
            text,
            what=what,
            read=value,
            least=_both(least),
            most=_both(most),
        )
    return value


def _both(limit: Length) -> str:
    """A limit in both systems: `300 mm (11.8 in)`."""
    return f"{limit.in_millimetres:g} mm ({limit.in_inches:.1f} in)"


def weight(text: str) -> Mass:
    """One leaf's weight, 5 to 1000 kg. Raises QuantityError."""
    value = parse_mass(text)
    if not WEIGHT[0] <= value <= WEIGHT[1]:
        raise QuantityError("weight-out-of-range", text)
    return value


def pressure(text: str) -> Physical:
    """A pressure difference [Pa], to 5000 Pa. Raises QuantityError."""
    return _most(parse_pressure(text), text, MOST_PRESSURE_PA, "Pa")


def wind(text: str) -> Physical:
    """A wind speed [m/s], to 120 m/s. Raises QuantityError."""
    return _most(parse_speed(text), text, MOST_WIND_MS, "m/s")


def edge_force(text: str) -> Physical:
    """A force of seals or latch at the latch edge [N], to 500 N. Raises QuantityError."""
    return _most(parse_force(text), text, MOST_EDGE_FORCE_N, "N")


def grade(text: str) -> int:
    """A BHMA grade, 1 to 3. Raises QuantityError.

    >>> grade("Grade 1"), grade("2")
    (1, 2)
    """
    return whole(text.lower().removeprefix("grade").strip(" -"), 1, 3)


def _most(value: Physical, text: str, most: int, unit: str) -> Physical:
    if value.si > most:
        raise QuantityError("physical-out-of-range", text, most=most, unit=unit)
    return value


def degrees(text: str) -> float:
    """An opening angle [°], 1 to 180. Raises QuantityError."""
    angle = parse_angle(text).si
    if not 1 <= angle <= 180:
        raise QuantityError("angle-out-of-range", text)
    return angle


def fire_minutes(text: str) -> int:
    """A fire label [min]: 90, 90 min, 1-1/2 h; none is 0. Raises QuantityError.

    >>> fire_minutes("90 min"), fire_minutes("1-1/2 h"), fire_minutes("3/4 hr"), fire_minutes("no")
    (90, 90, 45, 0)
    """
    low = " ".join(text.translate(_VULGAR).lower().split())
    if v.plain(low) in v.NOT_RATED:
        return 0
    hours = _HOURS.match(low)
    minutes = _MINUTES.match(low)
    value = _hours(hours[1]) * 60 if hours else Fraction(minutes[1]) if minutes else Fraction(-1)
    if value not in FIRE_MINUTES:
        raise QuantityError("fire-label", text, right=listed(map(str, FIRE_MINUTES)))
    return int(value)


def _hours(text: str) -> Fraction:
    match = _HOUR_COUNT.match(text)
    if not match:
        return Fraction(-1)
    if match[4]:
        return Fraction(match[4])
    return int(match[1] or 0) + Fraction(int(match[2]), int(match[3]))


def word(words: Mapping[str, Value]) -> Callable[[str], Value]:
    """A reader of one of the known words, in any of their spellings."""

    def read(text: str) -> Value:
        try:
            return words[v.plain(text)]
        except KeyError:
            # Cut, since looking for a likeness takes the longer the longer the word is.
            right = what_is_right(v.plain(text)[:LONGEST_SHOWN], words)
            raise QuantityError("word-unknown", text, right=right) from None

    return read


def other_word(cell: str, code: str | None) -> str:
    """What a cell calls a finish; empty where that is its code, or has it in it.

    >>> other_word("US26D", "626"), other_word(" 626 ", "626"), other_word("BHMA 626", "626")
    ('US26D', '', '')
    """
    written = shown(cell)
    return written if code and code.lower() not in written.lower() else ""


def finish(book: FinishBook) -> Callable[[str], str]:
    """A reader of finishes: a code, a US number or a plain name, as a code."""

    def read(text: str) -> str:
        code = book.read(text)
        if code is None:
            right = book.right_ones(text[:LONGEST_SHOWN])
            raise QuantityError("finish-unknown", text, right=right)
        return code

    return read


def jurisdiction(known: Mapping[str, str] | None) -> Callable[[str], str]:
    """A reader of the name of a profile of force limits; any name where none are known."""

    def read(text: str) -> str:
        name = v.plain(text)
        if known is None:
            return name
        if name not in known:
            raise QuantityError("word-unknown", text, right=what_is_right(name, known))
        return known[name]

    return read


def series(text: str) -> str:
    """A series by its name, kept as written; whether a catalogue has it is seen later."""
    return text


def readers(finishes: FinishBook, jurisdictions: Mapping[str, str] | None) -> dict[str, Read]:
    """The reader of every column that decides the kit."""
    yes_no = word(v.YES_NO)
    return {
        "size": size,
        "width": length("width", WIDTH),
        "height": length("height", HEIGHT),
        "leaves": word(v.LEAVES),
        **{column: word(words) for column, words in v.WORDS.items()},
        "door": maybe_several("door", word(v.WORDS["door"])),
        "frame": maybe_several("frame", word(v.WORDS["frame"])),
        "door_reinforced": yes_no,
        "frame_reinforced": yes_no,
        "accessible": maybe_several("accessible", yes_no),
        "delayed_action": yes_no,
        "backcheck": yes_no,
        "egress": maybe_several("egress", yes_no),
        "weight": weight,
        "thickness": length("thickness", THICKNESS),
        "top_rail": length("top rail", FACE),
        "head_face": length("head face", FACE),
        "ceiling_clearance": length("ceiling clearance", CLEARANCE),
        "reveal": length("reveal", DEPTH),
        "existing_holes": existing_holes,
        "fire_minutes": maybe_several("fire_minutes", fire_minutes),
        "opening_degrees": degrees,
        "pressure": pressure,
        "wind": wind,
        "seals": edge_force,
        "latch": edge_force,
        "grade": grade,
        "finish": finish(finishes),
        "series": series,
        "spring_size": spring_size,
        "jurisdiction": jurisdiction(jurisdictions),
    }
