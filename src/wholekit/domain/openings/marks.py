"""Marks of openings: written alike they are one, looking alike they are told; runs of them."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from unicodedata import category, normalize

# Signs without ink beside those of category Cf: joiners, fillers and selectors (Unicode's property
# Default_Ignorable_Code_Point, from memory).
_INKLESS = frozenset("\u034f\u115f\u1160\u17b4\u17b5\u3164\uffa0")
_SELECTORS = (("\u180b", "\u180f"), ("\ufe00", "\ufe0f"), ("\U000e0100", "\U000e01ef"))
BUT = "but"
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


@dataclass(frozen=True, slots=True)
class MarkRun:
    """Marks one after the other in a job's order, from first to last but those in between."""

    first: str
    last: str
    without: tuple[str, ...] = ()


def mark_runs(wanted: Collection[str], every: Sequence[str]) -> tuple[MarkRun, ...]:
    """Marks as runs over a job's order; a run passes over few that are not wanted.

    >>> for run in mark_runs({"1", "2", "4", "9"}, ["1", "2", "3", "4", "5", "6", "9"]):
    ...     print(run.first, run.last, run.without)
    1 4 ('3',)
    9 9 ()
    """
    runs: list[tuple[list[str], list[str]]] = []
    passed: list[str] = []
    for mark in dict.fromkeys(every):
        if mark not in wanted:
            passed.append(mark)
            continue
        # Three that are named and one that is not read better than two runs.
        if runs and 3 * (len(runs[-1][1]) + len(passed)) <= len(runs[-1][0]) + 1:
            runs[-1][0].append(mark)
            runs[-1][1].extend(passed)
        else:
            runs.append(([mark], []))
        passed = []
    return tuple(MarkRun(had[0], had[-1], tuple(left)) for had, left in runs)


def marks_named(names: Sequence[str], every: Sequence[str]) -> tuple[list[str], list[str]]:
    """The marks that names mean, in the job's order, and the names that mean none.

    A name is a mark, or a range over the job's order; those behind `but` are taken out again.

    >>> marks_named(["101-104", "but", "103"], ["101", "102", "103", "104", "105"])
    (['101', '102', '104'], [])
    >>> marks_named(["A-1", "A-9"], ["A-1", "A-2"])
    (['A-1'], ['A-9'])
    """
    found: dict[bool, set[str]] = {True: set(), False: set()}
    unknown = []
    wanted = True
    for name in names:
        if name.lower() == BUT:
            wanted = False
            continue
        for part in (name,) if plain_mark(name) in every else name.split(","):
            meant = _meant(plain_mark(part), every)
            found[wanted].update(meant)
            unknown += [] if meant or not part.strip() else [part.strip()]
    return [mark for mark in every if mark in found[True] - found[False]], unknown


def _meant(name: str, every: Sequence[str]) -> Sequence[str]:
    if name in every:
        return (name,)
    # A mark may have a hyphen of its own: each is tried for the one between first and last.
    for at, sign in enumerate(name):
        first, last = name[:at].strip(), name[at + 1 :].strip()
        if sign in "-–" and first in every and last in every:
            return every[every.index(first) : every.index(last) + 1]
    return ()


def _invisible(sign: str) -> bool:
    return (
        category(sign) == "Cf"
        or sign in _INKLESS
        or any(first <= sign <= last for first, last in _SELECTORS)
    )
