"""Quantities given as options: read with their unit, every fault told at once with its option."""

from collections.abc import Callable
from typing import TypeVar

from wholekit.domain.errors import InputError, Problem
from wholekit.domain.quantities import Length, QuantityError, parse_length

Value = TypeVar("Value")


class OptionReader:
    """Reads the options of one call and keeps their faults."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []

    def read(self, option: str, text: str, parse: Callable[[str], Value], stand_in: Value) -> Value:
        """One option's value; where it cannot be read, a fault is put down and the stand-in given.

        `finish` must be called before a value is used.
        """
        try:
            return parse(text)
        except QuantityError as error:
            self.fault(option, error.code, given=error.given, **error.fields)
            return stand_in

    def fault(self, option: str, code: str, **fields: object) -> None:
        """Put a fault of an option down."""
        self.problems.append(Problem(code, fields, option))

    def finish(self) -> None:
        """Raise InputError if there was any fault."""
        if self.problems:
            raise InputError(self.problems)


def with_unit(text: str) -> Length:
    """A length that must carry its unit [Length]. Raises QuantityError."""
    return parse_length(text, bare=None)
