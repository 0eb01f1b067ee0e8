"""Marks of openings: written alike they are one, looking alike they are told; runs of them."""

import re
from collections.abc import Collection, Iterable, Iterator, Sequence
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
    """Marks by their number from first to last, but those in between."""

    first: str
    last: str
    without: tuple[str, ...] = ()


def mark_runs(wanted: Collection[str], every: Sequence[str]) -> tuple[MarkRun, ...]:
    """Marks as runs by their number among all of a job; a run passes over few not wanted.

    A run means what `marks_named` reads it as. A mark without a number stands alone.

    >>> for run in mark_runs({"1", "2", "4", "9"}, ["1", "2", "3", "4", "5", "6", "9"]):
    ...     print(run.first, run.last, run.without)
    1 4 ('3',)
    9 9 ()
    """
    found: list[MarkRun] = []
    for name, marks in _series(every).items():
        if name is None:
            found += [MarkRun(mark, mark) for mark in marks if mark in wanted]
        else:
            found += _runs(wanted, marks)
    places = {mark: place for place, mark in enumerate(every)}
    return tuple(sorted(found, key=lambda run: places[run.first]))


def _series(every: Sequence[str]) -> dict[str | None, list[str]]:
    """Marks of one name by their number, and those without a number."""
    series: dict[str | None, list[str]] = {}
    for mark in dict.fromkeys(every):
        parts = _NUMBERED.fullmatch(mark)
        series.setdefault(parts[1] if parts else None, []).append(mark)
    for name, marks in series.items():
        if name is not None:
            marks.sort(key=lambda mark: int(mark[len(name) :]))
    return series


def _runs(wanted: Collection[str], marks: Sequence[str]) -> list[MarkRun]:
    runs: list[tuple[list[str], list[str]]] = []
    passed: list[str] = []
    for mark in marks:
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
    return [MarkRun(had[0], had[-1], tuple(left)) for had, left in runs]


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
