"""What a drilling sheet holds: holes in true size on sheets of paper, put together by marks.

All texts are worded. No money.
"""

from dataclasses import dataclass

from wholekit.documents.drawings import Trued
from wholekit.documents.papers import PaperHead
from wholekit.documents.setting_card import Position, Said


@dataclass(frozen=True, slots=True)
class DrilledHole:
    """A hole by the number it has on the drawing, its center from the two lines drawn."""

    number: int
    along: str
    down: str


@dataclass(frozen=True, slots=True)
class DrilledFor:
    """Openings that a sheet is for: their marks in ranges, and which leaf or hand of theirs."""

    places: str
    hand: str


@dataclass(frozen=True, slots=True)
class DrillingSheet:
    """Holes that lie alike, whatever the openings and leaves they are drilled in.

    title: mount and side. seen: the side of the leaf it is laid on, and where its hinges are. edge:
    what the holes' heights count from. measures: what else is drawn. screws: with the marks they
    are for, and their drills; hosts: what the holes lie in, by its height; ring: what the circles
    about the holes show. notes, warnings: to be said loudly, with the marks they hold for: what its
    holes ask, and what the setting cards frame or ask the office about; questions: what was
    assumed. cards: numbers of the setting cards it goes with.
    """

    title: str
    drilled_for: tuple[DrilledFor, ...]
    quantity: int
    template: str
    seen: str
    trued: Trued
    holes: tuple[DrilledHole, ...]
    measures: tuple[Position, ...]
    screws: tuple[Said, ...]
    ring: str
    hosts: tuple[Said, ...] = ()
    notes: tuple[Said, ...] = ()
    warnings: tuple[Said, ...] = ()
    questions: tuple[Said, ...] = ()
    cards: tuple[int, ...] = ()

    @property
    def edge(self) -> str:
        """The name of the edge that heights count from."""
        return self.trued.edge

    @property
    def places(self) -> str:
        """All its openings, each with its leaf or hand."""
        return "; ".join(f"{one.places} ({one.hand})" for one in self.drilled_for)


@dataclass(frozen=True, slots=True)
class Undrawn:
    """Openings without a sheet, and why."""

    places: str
    because: str


@dataclass(frozen=True, slots=True)
class DrillingPaper:
    """A sheet for each drilling and side of hinges that the catalogue gives. No money."""

    head: PaperHead
    sheets: tuple[DrillingSheet, ...]
    undrawn: tuple[Undrawn, ...] = ()
