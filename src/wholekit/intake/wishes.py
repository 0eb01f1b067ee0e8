"""Cells of columns set aside that name a wish about the closer: they go among the remarks.

A wish that no column of ours holds, or that none understood, must not be lost at the counter: among
the remarks it stands on every paper, and is asked about there (`note-wish`).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from wholekit.domain.openings.sheet import ASIDE, ReadColumn
from wholekit.intake.headings import key, meant
from wholekit.intake.tables import Row
from wholekit.intake.toml_table import parse_toml


@dataclass(frozen=True, slots=True)
class Wishes:
    """A column whose cells are wishes. place: from 0; picked: keys of the cells that are, None for
    all but `passed`."""

    place: int
    heading: str
    picked: frozenset[str] | None
    passed: frozenset[str] = frozenset()

    def of(self, cells: Sequence[str]) -> str:
        """What a row wishes there, under its heading; empty for nothing."""
        text = " ".join(cells[self.place].split()) if self.place < len(cells) else ""
        plain = key(text)
        if not plain or plain in self.passed:
            return ""
        if self.picked is not None and plain not in self.picked:
            return ""
        return f"{self.heading}: {text}" if self.heading else text


def wishes_in(columns: Iterable[ReadColumn], rows: Sequence[Row]) -> tuple[Wishes, ...]:
    """The columns set aside that hold wishes in some row: all their cells where the heading names
    the closer or a part of it, else those cells that do.

    A column that says the same as one of ours, or that somebody set aside, holds none.
    """
    found = []
    for column in columns:
        if column.column or column.means == "same" or column.how == "chosen":
            continue
        wishes = _wishes_of(column, rows)
        if wishes is not None and any(wishes.of(cells) for _, cells in rows):
            found.append(wishes)
    return tuple(found)


def _wishes_of(column: ReadColumn, rows: Sequence[Row]) -> Wishes | None:
    place = column.number - 1
    known = meant(column.heading)
    # Under `Closer` a tick says that there is one, and no more.
    bare = known is not None and known.heading.columns == ("mount", ASIDE)
    if bare or (known is None and _names(column.heading, "headings")):
        nothing = _words("nothing") | (_words("ticks") if bare else frozenset())
        return Wishes(place, column.heading, None, nothing)
    texts = {cells[place] for _, cells in rows if place < len(cells)}
    picked = frozenset(key(text) for text in texts if _names(text, "cells"))
    return Wishes(place, column.heading, picked) if picked else None


def _names(text: str, where: str) -> bool:
    """Whether any of the words of the data stands in a text, as a word of its own."""
    padded = f" {key(text)} "
    return any(f" {phrase} " in padded for phrase in _words(where))


@cache
def _words(where: str) -> frozenset[str]:
    text = Path(__file__).with_name("wishes.toml").read_text("utf-8")
    return frozenset(key(word) for word in parse_toml(text)["wish"][where])  # type: ignore[index]  # a table of lists
