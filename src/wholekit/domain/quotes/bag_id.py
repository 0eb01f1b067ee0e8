"""The id of one bag of an issued quote: what its label's code holds, and what a scan is read from.

`Q12R2P7B3B` is quote 12, revision 2, the 7th opening of that revision, bag 3; the last character
checks all before it. Made from what is frozen, so a label printed again has the same id.

The check character is that of ISO/IEC 7064, MOD 37-2 (from memory, not read). Its hybrid sister
MOD 37,36 lets some swaps of neighbouring digits through; this one finds every changed character and
every swap, since 2 generates all residues of the prime 37 but none.
"""

import re
from dataclasses import dataclass

from wholekit.domain.errors import CallError

CHARACTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*"  # the last is a check character alone
_FORM = re.compile("Q([1-9][0-9]*)R([1-9][0-9]*)P([1-9][0-9]*)B([1-9][0-9]*)([0-9A-Z*])")
LONGEST = 40  # no bag's id comes near; a scan of some other code may hold thousands


@dataclass(frozen=True, slots=True)
class BagId:
    """A bag: quote and revision number, place of its opening in the revision from 1, bag from 1.

    >>> str(BagId(12, 2, 7, 3))
    'Q12R2P7B3B'
    """

    quote: int
    revision: int
    place: int
    bag: int

    def __str__(self) -> str:
        said = f"Q{self.quote}R{self.revision}P{self.place}B{self.bag}"
        return said + check_character(said)


def check_character(text: str) -> str:
    """What is put behind digits and capital letters (ISO/IEC 7064, MOD 37-2).

    >>> check_character("G123489654321")
    'Y'
    """
    rest = 0
    for character in text:
        rest = (rest + CHARACTERS.index(character)) * 2 % 37
    return CHARACTERS[(1 - rest) % 37]


def bag_id_from(text: str) -> BagId:
    """The bag whose id was scanned or typed; case and spaces around do not matter.

    Raises CallError `bag-id-malformed` where the text is no such id, `bag-id-misread` where its
    check character does not fit.
    """
    # Upper case of some letters is longer, or a letter of ours: only plain ones are looked at.
    given = text.strip()
    found = None
    if given.isascii() and len(given) <= LONGEST:
        found = _FORM.fullmatch(given.upper())
    if found is None:
        raise CallError("bag-id-malformed", given=given[:LONGEST])
    *parts, check = found.groups()
    if check_character(found[0][:-1]) != check:
        raise CallError("bag-id-misread", given=given)
    return BagId(*map(int, parts))
