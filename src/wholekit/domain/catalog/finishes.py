"""Finishes as people write them, as codes, and which comes nearest to one not to be had."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from operator import ne

from wholekit.domain.catalog.nearest_words import listed, what_is_right
from wholekit.domain.rules import RuleBook

CODES = "finish-codes"
PAINTED = "finish-codes-painted"
NAMES = "finish-names"
LOOKS = "finish-looks-near"
MOST_SLIPS = 4

_US_NUMBER = re.compile(r"(?:us)?\s?0?(\d{1,2}[a-d]?|p)(?:\s+(?:on\s+)?([a-z ]+))?$")


@dataclass(frozen=True, slots=True)
class Finish:
    """One finish: its BHMA code, former US number (empty if none), base metal, look and name."""

    code: str
    us: str
    base: str
    look: str
    name: str


class FinishBook:
    """The finishes a rule book knows."""

    def __init__(self, rules: RuleBook) -> None:
        rows = [*rules.rows(PAINTED), *rules.rows(CODES)]
        keys = Finish.__dataclass_fields__
        every = [Finish(**{key: str(row[key]) for key in keys}) for row in rows]
        self._by_code = {finish.code: finish for finish in every}
        self._names = {name: str(code) for name, code in rules.mapping(NAMES).items()}
        self._names |= {
            _plain(finish.name): finish.code for finish in reversed(every)
        } | self._names
        self._near = {str(row["look"]): _texts(row["near"]) for row in rules.rows(LOOKS)}

    @cached_property
    def codes(self) -> frozenset[str]:
        """Every finish code."""
        return frozenset(self._by_code)

    def finish(self, code: str) -> Finish | None:
        """The finish of a code."""
        return self._by_code.get(code)

    def read(self, written: str) -> str | None:
        """The code meant by a code, a US number or a plain name; None if it means none.

        A US number tells no base metal: it may be written behind it (`US26D steel`); without it
        the first code of that look in the rule book holds, on brass or bronze where there is one.
        Source: ANSI/BHMA A156.18 through the rules `finish-codes` and `finish-codes-painted`.
        """
        text = " ".join(written.lower().split())
        if text in self._by_code:
            return text
        name = self._names.get(_plain(text))
        if name is not None:
            return name
        match = _US_NUMBER.match(text)
        # A bare number is no US number: 26 may be anything, 26D is not.
        if not match or not (text.startswith("us") or match[1][-1].isalpha()):
            return None
        number, base = f"US{match[1].upper()}", (match[2] or "").strip()
        for finish in self._by_code.values():
            if finish.us == number and base in ("", finish.base):
                return finish.code
        return None

    def right_ones(self, written: str) -> str:
        """What could have been meant by a finish that cannot be read, in one text."""
        slips = self.slips_of(written)
        if slips:
            return listed(slips)
        numbers = {finish.us.lower() for finish in self._by_code.values() if finish.us}
        return what_is_right(_plain(written), {*self._by_code, *self._names, *numbers})

    def slips_of(self, written: str) -> list[str]:
        """Codes that a three-figure number is a slip of: two figures swapped, then one wrong."""
        text = written.strip()
        if not (text.isascii() and text.isdecimal() and len(text) == 3) or text in self._by_code:
            return []
        swapped = {text[1] + text[0] + text[2], text[0] + text[2] + text[1]}
        wrong = {code for code in self._by_code if len(code) == 3 and sum(map(ne, code, text)) == 1}
        return [*sorted(swapped & self.codes), *sorted(wrong - swapped)][:MOST_SLIPS]

    def nearest(self, code: str, available: Iterable[str]) -> str | None:
        """Of the codes available, the one nearest in look to a code; None if none is near.

        The same code first, then the same look, then the looks of rule `finish-looks-near` in
        order; equal ones by code.
        """
        wanted = self._by_code.get(code)
        if wanted is None:
            return None
        order = [wanted.look, *self._near.get(wanted.look, ())]
        ranked = sorted(
            (other != code, order.index(finish.look), other)
            for other in available
            if (finish := self._by_code.get(other)) is not None and finish.look in order
        )
        return ranked[0][2] if ranked else None


def _plain(name: str) -> str:
    """A name as the rule book keys it: small letters, hyphens, without the word paint.

    >>> _plain("Dark Bronze Paint")
    'dark-bronze'
    """
    words = re.split(r"[\s_-]+", name.strip().lower())
    return "-".join(word for word in words if word not in ("paint", "painted"))


def _texts(value: object) -> tuple[str, ...]:
    return tuple(map(str, value)) if isinstance(value, list | tuple) else ()
