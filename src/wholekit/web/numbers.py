"""Numbers in an address, within what a store can hold."""

from typing import Annotated

from fastapi import Path, Query

MOST = 2**31 - 1
InPath = Annotated[int, Path(ge=0, le=MOST)]
Skipped = Annotated[int, Query(ge=0, le=MOST)]


def page_number(text: str) -> int:
    """The page that an address asks for; what is no page is the first.

    >>> page_number("3"), page_number(""), page_number("-2")
    (3, 1, 1)
    """
    return max(int(text), 1) if text.isdecimal() and len(text) < 7 else 1
