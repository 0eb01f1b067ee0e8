"""Shares and multipliers as exact fractions."""

import re
from fractions import Fraction

from wholekit.domain.quantities.errors import QuantityError

# Digits enough for any rate; an exponent is not read, since 1e9999999 is a gigabyte of digits.
_NUMBER = re.compile(
    r"[+-]?(?:[0-9]{1,12}(?:\.[0-9]{0,12})?|\.[0-9]{1,12}|[0-9]{1,12}/[0-9]{1,12})"
)


def parse_share(text: str, code: str = "share-unreadable") -> Fraction:
    """A share of one [fraction]: `30%`, `0.3`, `31/50`, read with its sign.

    code: of the QuantityError that is raised for a text that is none.

    >>> parse_share("30%"), parse_share("-0.125")
    (Fraction(3, 10), Fraction(-1, 8))
    """
    cleaned = text.strip().replace("−", "-")
    bare = cleaned.removesuffix("%").strip()
    if not _NUMBER.fullmatch(bare):
        raise QuantityError(code, text)
    try:
        share = Fraction(bare)
    except ZeroDivisionError:
        raise QuantityError(code, text) from None
    return share / 100 if cleaned.endswith("%") else share
