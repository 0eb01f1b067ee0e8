"""Groups of a quote's openings, each with a letter that means the same wherever it stands.

Openings of one kind are a group where their marks are many: questions and answers then say
`group A`, and the paper lists once which openings that is. Few openings keep their marks.

In quotes of before each question had groups of its own: kept are the marks of each, the others'
last; their names follow from these.
"""

import re
from collections.abc import Callable, Collection, Hashable, Iterable, Sequence

from wholekit.wording.questions import marks_text, ranges_text
from wholekit.wording.speech import tr

# Up to so many marks or ranges are their own name.
FEW = 2
# From so many separators on, marks and ranges are a group of a quote.
MOST_MARKS = 4


def group_names(groups: Sequence[str]) -> tuple[str, ...]:
    """What the groups of a question of before are called, by their marks, the others' last.

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
    """The openings of a question of before with the names of their groups.

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
    """Names sets of a quote's openings, groups by their letter and all others by their marks.

    groups: as of `groups_of`; every: marks of the quote; beyond: that no range runs over.
    """

    def __init__(
        self,
        groups: Sequence[Sequence[str]],
        every: Sequence[str],
        beyond: Sequence[str] = (),
    ) -> None:
        self._every, self._beyond = every, beyond
        said = tr("group {letter}")
        self._groups = {
            said.format(letter=_letter(at)): frozenset(marks) for at, marks in enumerate(groups)
        }

    def named(self, marks: Collection[str]) -> str:
        """Openings by the letters of the groups that are all among them, the rest as ranges.

        >>> groups = MarkGroups([["1", "3", "5"], ["2", "4", "6"]], ["1", "2", "3", "4", "5", "6"])
        >>> groups.named({"1", "2", "3", "5"}), groups.named({"4", "5"})
        ('group A, 2', '4, 5')
        """
        wanted = frozenset(marks)
        whole = [name for name, group in self._groups.items() if group <= wanted]
        rest = wanted.difference(*(self._groups[name] for name in whole))
        return ", ".join([*whole, *([self._ranges(rest)] if rest else [])])

    def of(self, asked: Collection[str]) -> Callable[[Collection[str]], str]:
        """Names openings among those that a question asks about; all of them have no name there."""
        every = frozenset(asked)

        def named(marks: Collection[str]) -> str:
            out = every.difference(marks)
            if not out:
                return ""
            inside, outside = self.named(marks), self.named(out)
            short = _many(inside) and 2 * len(outside) < len(inside)
            return tr("all of these but {marks}").format(marks=outside) if short else inside

        return named

    def where(self, asked: Collection[str]) -> str:
        """The openings of a question, of all that the quote has; a name for all of them too."""
        named = self.named(asked)
        if not _many(named):
            return named
        out = self.named({*self._every}.difference(asked))
        if not out:
            return tr("all")
        short = 2 * len(out) < len(named)
        return tr("all but {marks}").format(marks=out) if short else named

    def used(self, texts: Iterable[str]) -> tuple[tuple[str, str], ...]:
        """The groups that texts name, in a sentence or at its beginning, each with its marks."""
        said = "\n".join(texts)
        return tuple(
            (name, self._ranges(marks))
            for name, marks in self._groups.items()
            if re.search(rf"(?:{name[:1]}|{name[:1].upper()}){re.escape(name[1:])}(?!\w)", said)
        )

    def fewest(self, marks: Sequence[str]) -> str:
        """As `fewest_text`, with the letters of groups where the quote has any."""
        if not self._groups or {*marks} >= {*self._every}:
            return fewest_text(marks, self._every, self._beyond)
        return self.named(marks)

    def _ranges(self, marks: Collection[str]) -> str:
        told = [mark for mark in self._every if mark in marks]
        return ranges_text(told, self._every, self._beyond)


def groups_of(
    alike: Iterable[tuple[Hashable, str]], every: Sequence[str], beyond: Sequence[str] = ()
) -> tuple[tuple[str, ...], ...]:
    """Openings of a quote that go together wherever a question names them, as they stand there.

    alike: of each opening what it has in common with those of its group, and its mark. What takes
    few marks or ranges to name is no group.
    """
    found: dict[Hashable, list[str]] = {}
    for kind, mark in alike:
        found.setdefault(kind, []).append(mark)
    return tuple(
        tuple(marks)
        for marks in found.values()
        if ranges_text(marks, every, beyond).count(", ") >= MOST_MARKS
    )


def _many(marks: str) -> bool:
    return marks.count(", ") >= FEW


def _letter(number: int) -> str:
    """A, B … Z, AA …"""
    over, at = divmod(number, 26)
    return (_letter(over - 1) if over else "") + chr(ord("A") + at)
