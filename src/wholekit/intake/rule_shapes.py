"""What a rule's value may be: small shapes that join to the domain of a whole rule.

A shape tells each part of a value that the program could not work with, and each part by which a
house file would silence or loosen what is published.
"""

import math
import re
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from typing import Protocol

from wholekit.domain.quantities import Length, QuantityError
from wholekit.domain.rules import RuleBook
from wholekit.intake import cells

LONGEST_SHOWN = 60
LONGEST_TEXT = 200
MOST_ROWS = 200
UP, DOWN = "up", "down"
NOT_SET = "a house does not set it"


@dataclass(frozen=True, slots=True)
class Misfit:
    """A part of a value that cannot stand: where in the value, what was given, what is right."""

    path: str
    given: object
    right: str

    @property
    def shown(self) -> str:
        """What was given, with its place in the value: `row 2, size = 9`."""
        return f"{self.path} = {_text(self.given)}" if self.path else _text(self.given)


class Shape(Protocol):
    """One shape. `published` is the published value at the same place, None where there is none."""

    def faults(self, value: object, published: object, book: RuleBook) -> Iterator[Misfit]:
        """Every part of the value that cannot stand beside the rest of the book."""


@dataclass(frozen=True, slots=True)
class Number:
    """A finite number in a range. stricter: the only way a house may move it (`up`, `down`)."""

    least: float
    most: float
    whole: bool = False
    stricter: str | None = None

    def faults(self, value: object, published: object, _: RuleBook) -> Iterator[Misfit]:
        """Not a number, not finite, not whole where it must be, out of range, or looser."""
        low, high = self._range(published)
        kind = "a whole number" if self.whole else "a number"
        if (
            isinstance(value, bool)
            or not isinstance(value, int | float)
            or (isinstance(value, float) and not math.isfinite(value))
            or (self.whole and not isinstance(value, int))
            or not low <= value <= high
        ):
            yield Misfit("", value, f"{kind} from {low:g} to {high:g}{self._why(published)}")

    def _range(self, published: object) -> tuple[float, float]:
        if not isinstance(published, int | float):
            return self.least, self.most
        return (
            published if self.stricter == UP else self.least,
            published if self.stricter == DOWN else self.most,
        )

    def _why(self, published: object) -> str:
        if self.stricter is None or published is None:
            return ""
        least = "less" if self.stricter == UP else "more"
        return f" (no {least} than the published {published})"


@dataclass(frozen=True, slots=True)
class OneOf:
    """One of the known words, or of the known numbers."""

    known: Collection[str | int]

    def faults(self, value: object, _: object, __: RuleBook) -> Iterator[Misfit]:
        """A value that is none of them."""
        # To Python True equals 1, so it would pass for that number.
        if isinstance(value, bool) or value not in self.known:
            yield Misfit("", value, ", ".join(str(choice) for choice in self.known))


@dataclass(frozen=True, slots=True)
class Named:
    """A name that stands elsewhere in the book. names: those that do; what: what they are."""

    names: Callable[[RuleBook], Collection[str]]
    what: str

    def faults(self, value: object, _: object, book: RuleBook) -> Iterator[Misfit]:
        """A name the book does not hold."""
        known = self.names(book)
        if not isinstance(value, str) or value not in known:
            yield Misfit("", value, f"{self.what}, as {', '.join(sorted(known)[:8])}")


@dataclass(frozen=True, slots=True)
class Text:
    """A plain text of one line. pattern: what all of it looks like; may_be_empty: or nothing."""

    pattern: str = r".*"
    right: str = "a text of one line"
    may_be_empty: bool = False

    def faults(self, value: object, _: object, __: RuleBook) -> Iterator[Misfit]:
        """Not a text, too long, not printable, or not of the pattern."""
        good = isinstance(value, str) and len(value) <= LONGEST_TEXT and value.isprintable()
        filled = good and (bool(str(value).strip()) or self.may_be_empty)
        if not filled or (value and not re.fullmatch(self.pattern, str(value))):
            yield Misfit("", value, self.right)


@dataclass(frozen=True, slots=True)
class Measure:
    """A length as text, within the limits that a schedule's column has. read: that reader."""

    read: Callable[[str], object]

    def faults(self, value: object, _: object, __: RuleBook) -> Iterator[Misfit]:
        """Not a length, or out of its limits."""
        try:
            self.read(str(value))
        except QuantityError as error:
            limits = {"least": "", "most": "", **error.fields}
            beyond = f" from {limits['least']} to {limits['most']}" if limits["least"] else ""
            yield Misfit("", value, f"a length{beyond}, as 1-3/4 in or 44 mm")


@dataclass(frozen=True, slots=True)
class Flag:
    """Yes or no. stricter: the answer a house may give in place of the published one."""

    stricter: bool | None = None

    def faults(self, value: object, published: object, _: RuleBook) -> Iterator[Misfit]:
        """Not yes or no, or the looser answer."""
        if not isinstance(value, bool):
            yield Misfit("", value, "true or false")
        elif self.stricter is not None and value not in (published, self.stricter):
            yield Misfit("", value, f"{self.stricter}".lower())


@dataclass(frozen=True, slots=True)
class Fixed:
    """What a house does not set: a figure of the program's model, whom a limit is for."""

    def faults(self, value: object, published: object, _: RuleBook) -> Iterator[Misfit]:
        """Anything but what is published."""
        # True equals 1 to Python, and is no figure.
        if value != published or isinstance(value, bool) != isinstance(published, bool):
            yield Misfit("", value, f"{_text(published)} as published; {NOT_SET}")


@dataclass(frozen=True, slots=True)
class Until:
    """The first day on which a limit no longer holds; a house may put it off, not bring it on."""

    def faults(self, value: object, published: object, _: RuleBook) -> Iterator[Misfit]:
        """Not a day, or an earlier one than is published."""
        # Not isinstance: a date with a time of day would pass, and could not be compared below.
        if type(value) is not date:
            yield Misfit("", value, "a day, as 2024-01-01")
        elif not isinstance(published, date) or value < published:
            yield Misfit("", value, f"no day before {published}")


@dataclass(frozen=True, slots=True)
class Entries:
    """Named values, all of one shape, under the names that are published."""

    each: Shape

    def faults(self, value: object, published: object, book: RuleBook) -> Iterator[Misfit]:
        """Names more or fewer, and the faults of each value."""
        # Where nothing is published at this place the names are the value's own.
        names = published if isinstance(published, Mapping) else value
        shapes = {str(name): self.each for name in names} if isinstance(names, Mapping) else {}
        yield from Columns(shapes).faults(value, published, book)


@dataclass(frozen=True, slots=True)
class Columns:
    """Named values, each of its own shape; `optional` ones may be left out."""

    shapes: Mapping[str, Shape]
    optional: Collection[str] = ()

    def faults(self, value: object, published: object, book: RuleBook) -> Iterator[Misfit]:
        """Names that are missing or not known, and the faults of each value."""
        if not isinstance(value, Mapping):
            yield Misfit("", value, f"named values: {', '.join(self.shapes)}")
            return
        for name in value.keys() - self.shapes.keys():
            yield Misfit(str(name), value[name], f"one of the names {', '.join(self.shapes)}")
        for name, shape in self.shapes.items():
            if name in value:
                known = published.get(name) if isinstance(published, Mapping) else None
                yield from _under(name, shape.faults(value[name], known, book))
            elif name not in self.optional:
                yield Misfit(name, "nothing", "a value for it")


@dataclass(frozen=True, slots=True)
class Listed:
    """One or more values of one shape, none twice. keeps: all published ones stay among them."""

    each: Shape
    keeps: bool = False
    may_be_empty: bool = False

    def faults(self, value: object, published: object, book: RuleBook) -> Iterator[Misfit]:
        """Not a list, empty, a value twice, one that is published missing, the faults of each."""
        if not isinstance(value, list) or len(value) > MOST_ROWS:
            yield Misfit("", value, f"a list of at most {MOST_ROWS} values")
            return
        if not value and not self.may_be_empty:
            yield Misfit("", "nothing", "at least one value")
        for place, entry in enumerate(value, start=1):
            yield from _under(f"value {place}", self.each.faults(entry, None, book))
            if entry in value[: place - 1]:
                yield Misfit(f"value {place}", entry, "each value once")
        if self.keeps and isinstance(published, Sequence):
            for entry in published:
                if entry not in value:
                    yield Misfit("", "a list without it", f"{_text(entry)} kept, as published")


@dataclass(frozen=True, slots=True)
class Rows:
    """A table. key: columns that tell its rows apart; rising: columns that rise from row to row.

    all_keys: the rows of the published table, each once, and no other.
    """

    row: Shape
    key: tuple[str, ...] = ()
    rising: tuple[str, ...] = ()
    all_keys: bool = False

    def faults(self, value: object, published: object, book: RuleBook) -> Iterator[Misfit]:
        """Not a table, too long, a row twice, missing or not known, and the faults of each row."""
        if not isinstance(value, list) or not 1 <= len(value) <= MOST_ROWS:
            yield Misfit("", value, f"a table of 1 to {MOST_ROWS} rows")
            return
        stood: list[tuple[object, ...]] = []
        known = (
            {self._key(entry): entry for entry in published} if isinstance(published, list) else {}
        )
        for place, entry in enumerate(value, start=1):
            where, key = f"row {place}", self._key(entry)
            yield from _under(where, self.row.faults(entry, known.get(key), book))
            if self.key and key in stood:
                yield Misfit(where, _text(key), f"each {' and '.join(self.key)} once")
            elif self.all_keys and key not in known:
                yield Misfit(where, _text(key), f"a {' and '.join(self.key)} that is published")
            stood.append(key)
        if self.all_keys:
            for key in known.keys() - set(stood):
                yield Misfit("", "a table without it", f"a row for {_text(key)}")
        yield from self._falling(value)

    def _key(self, row: object) -> tuple[object, ...]:
        return tuple(str(row.get(name)) for name in self.key) if isinstance(row, Mapping) else ()

    def _falling(self, rows: Sequence[object]) -> Iterator[Misfit]:
        for name in self.rising:
            found = [row.get(name) for row in rows if isinstance(row, Mapping)]
            numbers = [number for number in found if isinstance(number, int | float)]
            if any(not low < high for low, high in pairwise(numbers)):
                yield Misfit(name, numbers, "numbers that rise from row to row")


@dataclass(frozen=True, slots=True)
class All:
    """Several shapes of the same value."""

    shapes: tuple[Shape, ...]

    def faults(self, value: object, published: object, book: RuleBook) -> Iterator[Misfit]:
        """The faults of the first shape that has any: the next ones could not read the value."""
        for shape in self.shapes:
            found = list(shape.faults(value, published, book))
            if found:
                yield from found
                return


def lengths(what: str, limits: tuple[Length, Length]) -> Measure:
    """A length within the limits of a schedule's column."""
    return Measure(cells.length(what, limits))


def _under(path: str, faults: Iterator[Misfit]) -> Iterator[Misfit]:
    for fault in faults:
        yield Misfit(f"{path}, {fault.path}" if fault.path else path, fault.given, fault.right)


def _text(value: object) -> str:
    # Python writes no number of thousands of digits out, and nobody would read it.
    if isinstance(value, int) and value.bit_length() > LONGEST_SHOWN:
        return "a number of more than 18 digits"
    if isinstance(value, bool):
        return f"{value}".lower()
    if isinstance(value, list | tuple):
        return _cut(", ".join(_text(entry) for entry in value))
    return _cut(str(value))


def _cut(text: str) -> str:
    return text if len(text) <= LONGEST_SHOWN else f"{text[:LONGEST_SHOWN]}…"
