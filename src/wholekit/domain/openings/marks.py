"""Marks of openings: written alike they are one, looking alike they are told."""

from collections.abc import Iterable
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


def _invisible(sign: str) -> bool:
    return (
        category(sign) == "Cf"
        or sign in _INKLESS
        or any(first <= sign <= last for first, last in _SELECTORS)
    )
