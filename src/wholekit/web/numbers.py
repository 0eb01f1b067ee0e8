"""Numbers in an address, within what a store can hold."""

from fractions import Fraction
from typing import Annotated

from fastapi import Path, Query

from wholekit.domain.quantities import parse_share

MOST = 2**31 - 1
InPath = Annotated[int, Path(ge=0, le=MOST)]
Skipped = Annotated[int, Query(ge=0, le=MOST)]


def percent_of(text: str) -> Fraction:
    """A share as a person types it: `12` and `12%` are twelve in a hundred, `0.12` as well. Raises
    QuantityError.

    >>> percent_of("12"), percent_of("+6%"), percent_of("0.05")
    (Fraction(3, 25), Fraction(3, 50), Fraction(1, 20))
    """
    share = parse_share(text.strip().lstrip("+"))
    return share / 100 if abs(share) >= 1 and not text.strip().endswith("%") else share


def page_number(text: str) -> int:
    """The page that an address asks for; what is no page is the first.

    >>> page_number("3"), page_number(""), page_number("-2")
    (3, 1, 1)
    """
    return max(int(text), 1) if text.isdecimal() and len(text) < 7 else 1
