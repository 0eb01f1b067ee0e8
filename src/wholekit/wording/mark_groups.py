"""Groups of the openings that a question is put to: each named once, with the question.

What is said of many openings says `group A`, and what is said of most of them `all others`; few
openings keep their marks. Kept are the marks of each group, the others' last; their names follow
from these, so that what was issued needs no more.
"""

import re
from collections.abc import Collection, Sequence

from wholekit.domain.quotes.asking import Asking
from wholekit.wording.questions import marks_text, ranges_text
from wholekit.wording.speech import tr

# Up to so many marks or ranges are their own name.
FEW = 2
# Stands in a text for a set of marks until all sets are known. No paper prints such a sign.
_HELD = "\ue000"
_TOKEN = re.compile(f"{_HELD}(\\d+){_HELD}")


def group_names(groups: Sequence[str]) -> tuple[str, ...]:
    """What the groups of a question are called, by their marks as ranges, the others' last.

    >>> group_names(["101, 103, 105", "107", "110, 112, 114, 116"])
    ('group A', '107', 'all others')
    >>> group_names(["101", "102–104"])
    ('101', '102–104')
    """
    names = []
    letters = 0
    for at, marks in enumerate(groups):
        if not _many(marks):
            names.append(marks)
        elif at == len(groups) - 1:
            names.append(tr("all others"))
        else:
            names.append(tr("group {letter}").format(letter=_letter(letters)))
            letters += 1
    return tuple(names)


def where_asked(groups: Sequence[str], rest: str) -> str:
    """The openings of a question with the names of their groups.

    rest: marks of the quote that are not asked about; where they are fewer they are named.

    >>> where_asked(["101, 103, 105", "107, 109, 111, 113"], "")
    'group A: 101, 103, 105; all others'
    >>> where_asked(["107, 109, 111, 113, 115–120"], "108"), where_asked(["107"], "108")
    ('all but 108', '107')
    """
    if not groups:
        return ""
    *named, others = groups
    names = group_names(groups)
    told = [
        marks if name == marks else tr("{name}: {marks}").format(name=name, marks=marks)
        for name, marks in zip(names, named, strict=False)
    ]
    if not _many(others):
        told.append(others)
    elif not rest:
        told.append(names[-1] if named else tr("all"))
    elif 2 * len(rest) < len(others):
        said = tr("all others but {marks}") if named else tr("all but {marks}")
        told.append(said.format(marks=rest))
    elif named:
        told.append(tr("{name}: {marks}").format(name=names[-1], marks=others))
    else:
        told.append(others)
    return "; ".join(told)


def fewest_text(marks: Sequence[str], every: Sequence[str], beyond: Sequence[str] = ()) -> str:
    """Marks as ranges, or all but those that are missing where that is shorter; empty for all.

    >>> fewest_text(["A", "C", "E", "G"], ["A", "B", "C", "E", "G"])
    'all but B'
    """
    named = marks_text(marks, every, beyond)
    wanted = {*marks}
    rest = [mark for mark in every if mark not in wanted]
    but = marks_text(rest, every, beyond) if rest else ""
    # Beside doors that are not quoted, all would not be all.
    fewer = but and not beyond and _many(named) and 4 * len(but) < 3 * len(named)
    return tr("all but {marks}").format(marks=but) if fewer else named


class MarkGroups:
    """Gathers the sets of marks that the texts of a question name, then names them."""

    def __init__(self, asked: Sequence[str], among: Asking) -> None:
        self._asked = frozenset(asked)
        self._among = among
        self._sets: list[frozenset[str]] = []

    def held(self, marks: Collection[str]) -> str:
        """What stands for these marks until `named`; empty where they are all that are asked."""
        wanted = frozenset(marks)
        if wanted >= self._asked:
            return ""
        if wanted not in self._sets:
            self._sets.append(wanted)
        return f"{_HELD}{self._sets.index(wanted)}{_HELD}"

    def groups(self) -> tuple[str, ...]:
        """The marks of each group as ranges, those of the largest last; empty for all of a job."""
        parts = self._parts()
        if all(not _many(self._ranges(part)) for part in parts):
            parts = [self._asked]
        if len(parts) == 1 and self._asked >= {*self._among.every}:
            return ()
        return tuple(self._ranges(part) for part in parts)

    def named(self, text: str) -> str:
        """A text with the names of the groups in it."""
        return _TOKEN.sub(lambda found: self._name(self._sets[int(found[1])]), text)

    def _name(self, wanted: frozenset[str]) -> str:
        parts = self._parts()
        names = group_names([self._ranges(part) for part in parts])
        inside = [name for name, part in zip(names, parts, strict=True) if part <= wanted]
        outside = [name for name, part in zip(names, parts, strict=True) if not part <= wanted]
        short = [name for name in outside if name in names[:-1]]
        if len(short) == len(outside) and 2 * len(outside) < len(inside):
            return tr("all but {marks}").format(marks=", ".join(outside))
        if all(not _many(self._ranges(part)) for part in parts):
            # Nothing is called a group: one list of them reads best.
            return self._ranges(wanted)
        return ", ".join(inside)

    def _parts(self) -> list[frozenset[str]]:
        """The finest parts that the sets make, as they stand on the sheet; the largest last."""
        found: dict[tuple[bool, ...], list[str]] = {}
        for mark in self._among.every:
            if mark in self._asked:
                found.setdefault(tuple(mark in one for one in self._sets), []).append(mark)
        parts = [frozenset(marks) for marks in found.values()]
        largest = max(parts, key=len)
        return [*(part for part in parts if part is not largest), largest]

    def _ranges(self, marks: Collection[str]) -> str:
        told = [mark for mark in self._among.every if mark in marks]
        return ranges_text(told, self._among.every, self._among.beyond)


def _many(marks: str) -> bool:
    return marks.count(", ") >= FEW


def _letter(number: int) -> str:
    """A, B … Z, AA …"""
    over, at = divmod(number, 26)
    return (_letter(over - 1) if over else "") + chr(ord("A") + at)
