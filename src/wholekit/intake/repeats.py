"""Marks that a schedule has in several rows: the same facts add up, different ones part."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from wholekit.domain.openings import Opening, OpeningType, plain_mark
from wholekit.intake.cells import LONGEST_MARK, LONGEST_NOTE, LONGEST_ROOM, MOST_ALIKE


@dataclass(frozen=True, slots=True)
class Repeat:
    """A mark in several rows: which, how many openings each counts, and the mark each went under.

    Rows under one mark were added up: that is proposed, and to be confirmed.
    """

    mark: str
    rows: tuple[int, ...]
    counts: tuple[int, ...]
    marks: tuple[str, ...]

    @property
    def totals(self) -> Mapping[str, int]:
        """How many openings there now are of each mark [count], in the order of the rows."""
        totals: dict[str, int] = {}
        for mark, count in zip(self.marks, self.counts, strict=True):
            totals[mark] = totals.get(mark, 0) + count
        return totals

    @property
    def added_up(self) -> bool:
        """Whether rows of the same facts were put together."""
        return len(set(self.marks)) < len(self.marks)

    @property
    def parted(self) -> bool:
        """Whether rows of different facts were given marks of their own."""
        return len(set(self.marks)) > 1


def join_repeats(rows: Sequence[tuple[int, Opening]]) -> tuple[list[Opening], list[Repeat]]:
    """The openings with each mark once, in order of their first rows, and what was repeated.

    rows: the spreadsheet's row beside its opening. Rows of one mark with the same facts become one
    opening of their quantities together and of all their notes; beyond 9,999 they part as well.
    Those with different facts become `101 (1)`, `101 (2)`, passing over marks that exist.

    >>> from wholekit.domain.quantities import Length
    >>> small = OpeningType(Length.inches(30), Length.inches(84))
    >>> wide = OpeningType(Length.inches(36), Length.inches(84))
    >>> doors = [Opening("101", wide, 2), Opening("101", small), Opening("101", wide)]
    >>> openings, repeats = join_repeats(list(enumerate(doors, start=2)))
    >>> [(opening.mark, opening.quantity) for opening in openings]
    [('101 (1)', 3), ('101 (2)', 1)]
    """
    by_mark: dict[str, list[tuple[int, Opening]]] = {}
    for row, opening in rows:
        by_mark.setdefault(opening.mark, []).append((row, opening))
    taken = {plain_mark(mark) for mark in by_mark}
    placed: list[tuple[int, Opening]] = []
    repeats: list[Repeat] = []
    # By place, not by row: rows of several sheets or files may bear the same numbers.
    places = {id(opening): place for place, (_, opening) in reversed(list(enumerate(rows)))}
    for mark, same in by_mark.items():
        kinds = _kinds([opening for _, opening in same])
        if len(same) == 1:
            names = [mark]
        else:
            names = [mark] if len(kinds) == 1 else _names(mark, len(kinds), taken)
            under = {
                id(opening): name
                for name, kind in zip(names, kinds, strict=True)
                for opening in kind
            }
            repeats.append(
                Repeat(
                    mark,
                    tuple(row for row, _ in same),
                    tuple(opening.quantity for _, opening in same),
                    tuple(under[id(opening)] for _, opening in same),
                )
            )
        for name, kind in zip(names, kinds, strict=True):
            placed.append((places[id(kind[0])], _together(name, kind)))
    placed.sort(key=lambda entry: entry[0])
    return [opening for _, opening in placed], repeats


def _kinds(openings: Sequence[Opening]) -> list[list[Opening]]:
    """The openings of one mark by their facts, no group more than a quantity may be."""
    groups: list[list[Opening]] = []
    latest: dict[OpeningType, list[Opening]] = {}
    for opening in openings:
        group = latest.get(opening.type)
        if group is None or sum(one.quantity for one in group) + opening.quantity > MOST_ALIKE:
            group = latest[opening.type] = []
            groups.append(group)
        group.append(opening)
    return groups


def _names(mark: str, count: int, taken: set[str]) -> list[str]:
    names: list[str] = []
    number = 0
    while len(names) < count:
        number += 1
        behind = f" ({number})"
        name = mark[: LONGEST_MARK - len(behind)].rstrip() + behind
        if plain_mark(name) not in taken:
            taken.add(plain_mark(name))
            names.append(name)
    return names


def _together(mark: str, kind: Sequence[Opening]) -> Opening:
    notes = dict.fromkeys(opening.note for opening in kind if opening.note)
    rooms = dict.fromkeys(opening.room for opening in kind if opening.room)
    return replace(
        kind[0],
        mark=mark,
        quantity=sum(opening.quantity for opening in kind),
        note="; ".join(notes)[:LONGEST_NOTE].rstrip(),
        room="; ".join(rooms)[:LONGEST_ROOM].rstrip(),
    )
