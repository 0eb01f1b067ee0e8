"""One TOML table read key by key: a fault is put down with its path, and reading goes on."""

import math
import re
import tomllib
from collections import Counter
from collections.abc import Iterator, Mapping
from datetime import date
from enum import StrEnum
from pathlib import Path
from typing import TypeVar

from wholekit.domain.catalog.nearest_words import what_is_right
from wholekit.domain.errors import Problem
from wholekit.domain.quantities import Length, QuantityError, parse_length
from wholekit.intake.text_file import LONGEST_LINE, is_line, read_text

Word = TypeVar("Word", bound=StrEnum)

LARGEST_FILE = 4_000_000
# TOML promises signed 64 bits.
LEAST_WHOLE, MOST_WHOLE = -(2**63), 2**63 - 1
NO_LENGTH = Length(0)
_ID = re.compile(r"[a-z0-9][a-z0-9.-]{0,59}")
# `parse_length` takes no zero, which an offset may well be.
_ZERO = re.compile(r"0+(?:\.0*)?\s*(in|mm|cm|m)$")


def read_toml(path: Path, where: str, problems: list[Problem]) -> dict[str, object] | None:
    """A TOML file's document; None, with the fault put down, if it cannot be read.

    Refused: what `read_text` refuses, more than 4,000,000 bytes, what is not TOML.
    """
    text = read_text(path, where, LARGEST_FILE, problems)
    if text is None:
        return None
    try:
        return parse_toml(text)
    except ValueError as error:
        problems.append(Problem("not-toml", {"error": str(error)}, where))
        return None


def parse_toml(text: str, *, finite: bool = False) -> dict[str, object]:
    """The document of a TOML text. Raises ValueError, its message saying what is wrong and where.

    Refused beside what is not TOML: whole numbers beyond 64 bits, which TOML does not promise
    either. finite: the numbers that are none (nan, inf) as well; a Table refuses them key by key.
    """
    try:
        document = tomllib.loads(text)
        wrong = next(_no_numbers(document, "", finite), None)
    # Some thousand brackets in a row are enough.
    except RecursionError:
        raise ValueError("lists or tables too deep in each other") from None
    except tomllib.TOMLDecodeError:
        raise
    except ValueError:
        # Python reads no whole number of thousands of digits.
        raise ValueError("a whole number beyond 64 bits") from None
    if wrong is not None:
        raise ValueError(wrong)
    return document


def _no_numbers(value: object, path: str, finite: bool) -> Iterator[str]:
    if isinstance(value, dict):
        for key, entry in value.items():
            yield from _no_numbers(entry, f"{path}.{key}" if path else str(key), finite)
    elif isinstance(value, list):
        for number, entry in enumerate(value, start=1):
            yield from _no_numbers(entry, f"{path}[{number}]", finite)
    elif isinstance(value, int) and not LEAST_WHOLE <= value <= MOST_WHOLE:
        yield f"{path}: a whole number beyond 64 bits"
    elif finite and isinstance(value, float) and not math.isfinite(value):
        yield f"{path}: {value} is no number"


class Table:
    """A TOML table of one file at one path.

    Each method reads one key; a missing key without a stated default, or a value of the wrong
    kind, becomes a Problem and a stand-in is returned. `finish` reports the keys nobody read.
    """

    def __init__(
        self, data: Mapping[str, object], where: str, path: str, problems: list[Problem]
    ) -> None:
        self._data = data
        self._where = where
        self._path = path
        self._problems = problems
        self._read: set[str] = set()

    def id(self) -> str:
        """The id: small letters, digits, points and hyphens; empty if it cannot be one."""
        text = self.text("id")
        if text and not _ID.fullmatch(text):
            self.fault("id-unreadable", "id", given=text)
            return ""
        return text

    def text(self, key: str, default: str | None = None) -> str:
        """A line of text of at most 200 characters."""
        value = self._value(key, required=default is None)
        if value is None:
            return default or ""
        if not isinstance(value, str):
            self._wrong_kind(key, value, "text")
            return default or ""
        if not is_line(value):
            self.fault("text-unreadable", key, most=LONGEST_LINE)
        return value

    def flag(self, key: str) -> bool:
        """Yes or no; no where the key is missing."""
        value = self._value(key, required=False)
        if value is not None and not isinstance(value, bool):
            self._wrong_kind(key, value, "yes-or-no")
        return value is True

    def whole(self, key: str, default: int | None = None) -> int:
        """A whole number."""
        value = self._value(key, required=default is None)
        # To Python `true` is the whole number 1; in TOML it is none.
        if isinstance(value, int) and not isinstance(value, bool):
            return value
        if value is not None:
            self._wrong_kind(key, value, "whole-number")
        return default or 0

    def whole_if_given(self, key: str) -> int | None:
        """A whole number; None where the key is missing."""
        return None if self._absent(key) else self.whole(key, 0)

    def number_if_given(self, key: str) -> float | None:
        """A number, whole or not; None where the key is missing."""
        return None if self._absent(key) else self.number(key)

    def number(self, key: str) -> float:
        """A number, whole or not."""
        value = self._value(key, required=True)
        number = _finite(value)
        if number is not None:
            return number
        if value is not None:
            self._wrong_kind(key, value, "number")
        return 0.0

    def day(self, key: str) -> date:
        """A date, written as TOML writes it (2026-09-01)."""
        value = self._value(key, required=True)
        # Not isinstance: a date with a time of day would pass for a date.
        if type(value) is date:
            return value
        if value is not None:
            self._wrong_kind(key, value, "date")
        return date.min

    def length(self, key: str) -> Length:
        """A length with its unit, greater than zero."""
        return self._length(key, required=True) or NO_LENGTH

    def length_if_given(self, key: str) -> Length | None:
        """A length with its unit, greater than zero; None where the key is missing."""
        return self._length(key, required=False)

    def offset(self, key: str) -> Length:
        """A length with its unit and a sign, or zero."""
        return self._length(key, required=True, signed=True) or NO_LENGTH

    def text_or_texts(self, key: str) -> tuple[str, ...]:
        """One line of text, or a list of them."""
        if isinstance(self._data.get(key), list):
            return self.words(key, required=True)
        return (self.text(key),)

    def offset_if_given(self, key: str) -> Length | None:
        """A length with its unit and a sign, or zero; None where the key is missing."""
        return self._length(key, required=False, signed=True)

    def pair_if_given(self, key: str) -> tuple[Length, Length] | None:
        """Two lengths, each with its unit; None where the key is missing."""
        if self._absent(key):
            return None
        first, second = self.lengths(key, 2)
        return first, second

    def lengths(self, key: str, count: int) -> tuple[Length, ...]:
        """So many lengths, each with its unit."""
        texts = self.words(key, required=True)
        lengths = tuple(self._parsed(key, text) or NO_LENGTH for text in texts)
        if texts and len(texts) != count:
            self.fault("list-of-wrong-length", key, wanted=count, given=len(texts))
        return (lengths + (NO_LENGTH,) * count)[:count]

    def words(self, key: str, *, required: bool = False) -> tuple[str, ...]:
        """A list of texts; empty where the key is missing."""
        value = self._value(key, required=required)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(isinstance(word, str) for word in value):
            self._wrong_kind(key, value, "list-of-text")
            return ()
        for word, times in Counter(value).items():
            if times > 1:
                self.fault("list-repeats", key, given=word)
        return tuple(value)

    def texts(self, key: str) -> dict[str, str]:
        """A table of names with a text each; empty where the key is missing."""
        value = self._value(key, required=False)
        if value is None:
            return {}
        if not isinstance(value, dict) or not all(isinstance(text, str) for text in value.values()):
            self._wrong_kind(key, value, "list-of-text")
            return {}
        return dict(value)

    def choice(self, key: str, choices: type[Word]) -> Word:
        """One of the known words."""
        word = self._value(key, required=True)
        known = None if word is None else self._known(key, word, choices)
        return known or next(iter(choices))

    def choice_if_given(self, key: str, choices: type[Word]) -> Word | None:
        """One of the known words; None where the key is missing."""
        word = self._value(key, required=False)
        return None if word is None else self._known(key, word, choices)

    def choices(self, key: str, choices: type[Word], *, required: bool = False) -> frozenset[Word]:
        """A list of known words; empty where the key is missing."""
        found = (self._known(key, word, choices) for word in self.words(key, required=required))
        return frozenset(word for word in found if word is not None)

    def has(self, key: str) -> bool:
        """Whether the key is there."""
        return key in self._data

    def fault(self, code: str, key: str, /, **fields: object) -> None:
        """Puts down a fault at one key of this table, or at the table itself for an empty key."""
        path = ".".join(part for part in (self._path, key) if part)
        self._problems.append(Problem(code, fields, self._where, column=path))

    def tables(self, key: str) -> list[Mapping[str, object]]:
        """A list of tables (`[[key]]`); empty where there is none."""
        value = self._value(key, required=False)
        if value is None:
            return []
        if not isinstance(value, list) or not all(isinstance(entry, dict) for entry in value):
            self._wrong_kind(key, value, "list-of-tables")
            return []
        return value

    def table(self, key: str) -> "Table | None":
        """The table of a key (`[key]`), read on with its path; None where it is missing."""
        value = self._value(key, required=False)
        if value is None:
            return None
        if not isinstance(value, dict):
            self._wrong_kind(key, value, "table")
            return None
        path = ".".join(part for part in (self._path, key) if part)
        return Table(value, self._where, path, self._problems)

    def finish(self) -> None:
        """Reports every key that nothing has read."""
        for key in self._data:
            if key not in self._read:
                self.fault("key-unknown", key, given=key, right=what_is_right(key, self._read))

    def _value(self, key: str, *, required: bool) -> object:
        # A value of the wrong kind counts as read too, else its key would also be told as unknown.
        self._read.add(key)
        if required and key not in self._data:
            self.fault("key-missing", key, key=key)
        return self._data.get(key)

    def _absent(self, key: str) -> bool:
        return self._value(key, required=False) is None

    def _wrong_kind(self, key: str, value: object, wanted: str) -> None:
        self.fault(f"{wanted}-wanted", key, key=key, given=_shown(value))

    def _known(self, key: str, word: object, choices: type[Word]) -> Word | None:
        if not isinstance(word, str):
            self._wrong_kind(key, word, "text")
            return None
        try:
            return choices(word)
        except ValueError:
            self.fault("word-unknown", key, given=word, right=what_is_right(word, choices))
            return None

    def _length(self, key: str, *, required: bool, signed: bool = False) -> Length | None:
        value = self._value(key, required=required)
        if value is None:
            return None
        if not isinstance(value, str):
            self._wrong_kind(key, value, "length")
            return None
        if not signed:
            return self._parsed(key, value)
        zero = _ZERO.match(value.strip())
        if zero:
            return Length(0, zero[1])
        if value.strip().startswith("-"):
            length = self._parsed(key, value.strip()[1:])
            return None if length is None else Length(-length.nm, length.unit)
        return self._parsed(key, value)

    def _parsed(self, key: str, text: str) -> Length | None:
        try:
            return parse_length(text, bare=None)
        except QuantityError as error:
            self.fault(error.code, key, given=error.given, **error.fields)
            return None


def _finite(value: object) -> float | None:
    """A number that is one: none for nan and inf, which TOML can write."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    return float(value) if math.isfinite(value) else None


def _shown(value: object) -> str:
    text = str(value)
    return text if len(text) <= 60 else f"{text[:60]}…"
