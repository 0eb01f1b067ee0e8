"""Marks of openings: written alike they are one, looking alike they are told; runs of them."""

import re
from bisect import bisect_left, bisect_right
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
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


_NUMBERED = re.compile(r"(.*?)(\d{1,9})")
# A number with something behind it: `103A`, `104-107`, `118 & 119`.
_LED = re.compile(r"(.*?)(\d{1,9})\D.*")
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


@dataclass(frozen=True, slots=True)
class MarkRun:
    """Marks by their number from first to last, all that there are in between."""

    first: str
    last: str


def mark_runs(
    wanted: Collection[str], every: Sequence[str], beyond: Sequence[str] = ()
) -> tuple[MarkRun, ...]:
    """Marks as runs by their number among all of a job, of three or more; others stand alone.

    A run means what `marks_named` reads it as, and what a reader takes it for: over a mark that is
    not wanted, or that looks to lie in it, none runs. beyond: marks beside those of the job that
    none may run over, such as doors that are not quoted.

    >>> for run in mark_runs({"1", "2", "3", "5", "9"}, ["1", "2", "3", "4", "5", "9"]):
    ...     print(run.first, run.last)
    1 3
    5 5
    9 9
    """
    there = dict.fromkeys((*every, *beyond))
    series: dict[str, list[str]] = {}
    stops: dict[str, list[float]] = {}
    found: list[MarkRun] = []
    for mark in there:
        parts = _parts(mark)
        if mark not in wanted:
            for name, number in parts.values():
                stops.setdefault(name, []).append(number)
        elif "own" in parts:
            series.setdefault(parts["own"][0], []).append(mark)
        else:
            found.append(MarkRun(mark, mark))
    for name, marks in series.items():
        found += _runs(marks, sorted(stops.get(name, ())), there)
    places = {mark: place for place, mark in enumerate(there)}
    return tuple(sorted(found, key=lambda run: places[run.first]))


@lru_cache(maxsize=20_000)
def _parts(mark: str) -> Mapping[str, tuple[str, float]]:
    """A mark's name and number, and where a reader may take it to lie among others: `103A` behind
    103, `104-107` behind 104; not `2-101` behind 2, and not the place `103 [1]` of an alternate."""
    parts: dict[str, tuple[str, float]] = {}
    own, led = _NUMBERED.fullmatch(mark), _LED.fullmatch(mark)
    if own:
        parts["own"] = own[1], int(own[2])
    if led and not mark.endswith("]") and (own is None or len(own[2]) == len(led[2])):
        parts["looks"] = led[1], int(led[2]) + 0.5
    return parts


def _near(number: float, following: float) -> bool:
    return following - number <= 1 or number // 100 == following // 100


def _runs(
    marks: Sequence[str], stops: Sequence[float], there: Mapping[str, None]
) -> Iterator[MarkRun]:
    """The runs of marks of one name; no stop lies in any of them, and no jump to another hundred:
    nobody reads `159–201` as 159, 201 and 202."""
    runs: list[list[str]] = []
    last = 0.0
    for mark in sorted(marks, key=lambda mark: _parts(mark)["own"][1]):
        number = _parts(mark)["own"][1]
        if runs and _near(last, number) and bisect_left(stops, last) == bisect_right(stops, number):
            runs[-1].append(mark)
        else:
            runs.append([mark])
        last = number
    for run in runs:
        # A run that is written as a mark is would mean that mark.
        if len(run) > 2 and not there.keys() & {f"{run[0]}{to}{run[-1]}" for to in "-–"}:
            yield MarkRun(run[0], run[-1])
        else:
            yield from (MarkRun(mark, mark) for mark in run)


def marks_named(names: Sequence[str], every: Sequence[str]) -> tuple[list[str], list[str]]:
    """The marks that names mean, in the job's order, and the names that mean none.

    A name is a mark as it is kept; several with commas between; or from one to another by their
    number, as `101-117`, `C1-C5` or `C1-5`. Those behind `but` are taken out again.

    >>> marks_named(["101-104", "but", "103"], ["101", "102", "103", "104", "105"])
    (['101', '102', '104'], [])
    >>> marks_named(["C2-4,D1", "A-9"], ["C1", "C2", "C3", "D1", "A-1"])
    (['C2', 'C3', 'D1'], ['A-9'])
    """
    found: dict[bool, set[str]] = {True: set(), False: set()}
    unknown = []
    wanted = True
    for name in names:
        if name.lower() == BUT:
            wanted = False
            continue
        for part in (name,) if plain_mark(name) in every else name.split(","):
            meant = _meant(part, every)
            found[wanted].update(meant)
            unknown += [] if meant or not part.strip() else [part.strip()]
    return [mark for mark in every if mark in found[True] - found[False]], unknown


def _meant(name: str, every: Sequence[str]) -> Sequence[str]:
    if name in every or plain_mark(name) in every:
        return (name if name in every else plain_mark(name),)
    for prefix, first, last in _ranges(name, every):
        return [mark for mark in every if _between(mark, prefix, first, last)]
    return ()


def _ranges(name: str, every: Sequence[str]) -> Iterator[tuple[str, int, int]]:
    """The range that a name is: what stands before its numbers, the first and the last."""
    if name in every or plain_mark(name) in every:
        return
    # A mark may have a hyphen of its own: each is tried for the one between first and last.
    for sign in _TO.finditer(name):
        first, last = (
            _NUMBERED.fullmatch(name[part].strip())
            for part in (slice(sign.start()), slice(sign.end(), None))
        )
        if first and last and last[1] in ("", first[1]):
            yield first[1], int(first[2]), int(last[2])
            return


def passed_over(names: Sequence[str], every: Sequence[str]) -> list[str]:
    """Marks that a reader may take to lie in the ranges named, and that are not meant by them.

    >>> passed_over(["102-104"], ["102", "103A", "104-107", "105", "B103A"])
    ['103A', '104-107']
    """
    meant = {*marks_named([name for name in names if name.lower() != BUT], every)[0]}
    parts = [part for name in names for part in name.split(",")]
    spans = [span for part in parts for span in _ranges(part, every)]
    return [mark for mark in every if mark not in meant and any(_led(mark, *s) for s in spans)]


def _led(mark: str, name: str, first: int, last: int) -> bool:
    parts = _LED.fullmatch(mark)
    return parts is not None and parts[1] == name and first <= int(parts[2]) <= last


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
