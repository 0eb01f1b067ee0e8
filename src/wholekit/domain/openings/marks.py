"""Marks of openings: written alike they are one, looking alike they are told."""

import re
from collections.abc import Iterable, Sequence
from unicodedata import category, normalize

# Signs without ink beside those of category Cf: joiners, fillers and selectors (Unicode's property
# Default_Ignorable_Code_Point, from memory).
_INKLESS = frozenset("\u034f\u115f\u1160\u17b4\u17b5\u3164\uffa0")
_SELECTORS = (("\u180b", "\u180f"), ("\ufe00", "\ufe0f"), ("\U000e0100", "\U000e01ef"))
# What people take for the same sign, as what they read: a part of Unicode's UTS 39 table of
# confusables (from memory), and the letters a schedule is typed with in place of digits.
_READ_AS = str.maketrans(
    {
        **dict(zip("АВЕЅЈКМНРСТХҮасеѕјрух", "ABESJKMHPCTXYacesjpyx", strict=True)),
        **dict(zip("ΑΒΕΖΗΚΜΝΡΤΥΧν", "ABEZHKMNPTYXv", strict=True)),
        **dict.fromkeys("OoОоΟο", "0"),
        **dict.fromkeys("IlІіΙ|", "1"),
        **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2015\u2212", "-"),
        **dict.fromkeys("\u2018\u2019\u2032\u00b4`", "'"),
    }
)


_NUMBERED = re.compile(r"(.*?)(\d{1,9})")
_TO = re.compile(r"-|–|—|\.\.")


def plain_mark(text: str) -> str:
    """A mark in the one way it is kept: compatible signs as one, nothing invisible, single spaces.

    Source of the first: NFKC, Unicode Standard Annex 15.

    >>> plain_mark("１０１\u200b-A"), plain_mark(" 2nd  floor ")
    ('101-A', '2nd floor')
    """
    if not text.isascii():
        text = "".join(sign for sign in normalize("NFKC", text) if not _invisible(sign))
    return " ".join(text.split())


def look_alikes(marks: Iterable[str]) -> list[tuple[str, ...]]:
    """Marks that people may take for one another, those that look alike together.

    >>> look_alikes(["101", "102", "1O1", "l01"])
    [('101', '1O1', 'l01')]
    """
    found: dict[str, dict[str, None]] = {}
    for mark in marks:
        found.setdefault(mark.translate(_READ_AS), {})[mark] = None
    return [tuple(alike) for alike in found.values() if len(alike) > 1]


def marks_meant(text: str, known: Sequence[str]) -> list[str]:
    """The known marks that a text means, in their order; none where it means none of them.

    A mark as it is kept; several with commas between; from one to another by their number, as
    `101-117`, `C1-C5` or `C1-5`.

    >>> marks_meant("C2-4,D1", ["C1", "C2", "C3", "D1"]), marks_meant("E9", ["C1"])
    (['C2', 'C3', 'D1'], [])
    """
    if plain_mark(text) in known or text in known:
        return [text if text in known else plain_mark(text)]
    if "," in text:
        parts = [marks_meant(part, known) for part in text.split(",") if part.strip()]
        wanted = {mark for part in parts for mark in part}
        return [mark for mark in known if mark in wanted] if all(parts) else []
    for sign in _TO.finditer(text):
        first, last = (
            _NUMBERED.fullmatch(text[part].strip())
            for part in (slice(sign.start()), slice(sign.end(), None))
        )
        if first and last and last[1] in ("", first[1]):
            return [mark for mark in known if _between(mark, first[1], int(first[2]), int(last[2]))]
    return []


def _between(mark: str, name: str, first: int, last: int) -> bool:
    """Whether a mark is a name with a number from first to last."""
    parts = _NUMBERED.fullmatch(mark)
    return parts is not None and parts[1] == name and first <= int(parts[2]) <= last


def _invisible(sign: str) -> bool:
    return (
        category(sign) == "Cf"
        or sign in _INKLESS
        or any(first <= sign <= last for first, last in _SELECTORS)
    )
