"""Counts and SKUs as cells of a price book have them."""

import re

from wholekit.domain.quantities import QuantityError

SKU = re.compile(r"[A-Za-z0-9][A-Za-z0-9._/+-]{0,39}")
LARGEST_COUNT = 1_000_000
_COUNT = re.compile(r"\d{1,12}$")


def whole(cell: str, default: int, least: int) -> int:
    """A count of a cell, the default where it is empty. Raises QuantityError.

    >>> whole(" 12 ", 1, 1), whole("", 1, 1)
    (12, 1)
    """
    text = cell.strip()
    if not text:
        return default
    count = _count(text)
    if not least <= count <= LARGEST_COUNT:
        raise QuantityError("count-out-of-range", text, least=least, most=LARGEST_COUNT)
    return count


def _count(text: str) -> int:
    """A whole number of a cell. Raises QuantityError."""
    # A sign is read, so that a count below zero is told to be out of range and not unreadable.
    sign = -1 if text.startswith(("-", "−")) else 1
    digits = text[1:] if sign < 0 else text
    # The pattern's digits are those of every script; only these are meant.
    if not _COUNT.match(digits) or not digits.isascii():
        raise QuantityError("count-unreadable", text)
    return sign * int(digits)
