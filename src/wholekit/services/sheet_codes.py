"""The code of a count's sheet: short enough to be read out, with a check character behind it."""

import re
from dataclasses import dataclass
from hashlib import sha256

from wholekit.domain.quotes.bag_id import LONGEST, check_character

_SIGNS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
# Of sheets that know the same movements: one in sixty million is taken for another.
_LENGTH = 5
_FORM = re.compile(f"C(0|[1-9][0-9]{{0,17}})S([0-9A-Z]{{{_LENGTH}}})([0-9A-Z*])")


@dataclass(frozen=True, slots=True)
class SheetCode:
    """mark: the last movement the sheet knows of; name: tells it from others of the same mark.

    >>> str(SheetCode(5021, "7K2QF"))
    'C5021S7K2QFZ'
    """

    mark: int
    name: str

    def __str__(self) -> str:
        said = f"C{self.mark}S{self.name}"
        return said + check_character(said)


def sheet_code(mark: int, unique: str) -> SheetCode:
    """A code for a sheet that knows so many movements. unique: any text that no other sheet has."""
    number = int.from_bytes(sha256(unique.encode()).digest())
    signs = []
    for _ in range(_LENGTH):
        number, at = divmod(number, len(_SIGNS))
        signs.append(_SIGNS[at])
    return SheetCode(mark, "".join(signs))


def sheet_code_from(text: str) -> SheetCode | None:
    """The code that was typed, whatever its case; None where it is none, or misread."""
    given = text.strip()
    found = None
    if given.isascii() and len(given) <= LONGEST:
        found = _FORM.fullmatch(given.upper())
    if found is None or check_character(found[0][:-1]) != found[3]:
        return None
    return SheetCode(int(found[1]), found[2])
