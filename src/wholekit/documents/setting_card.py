"""What a setting card holds, and the page that stands in its place where a kit is held.

All texts are worded. No money. A card holds nothing that its openings do not ask for.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil
from typing import TypeVar

from wholekit.wording.speech import tr

# Signs in a line under the plan, and lines that stand there beside a table of no row.
NARROW, SPARE = 50, 4

# Openings of one mark up to which each has a row of its own for what is measured.
APART = 12

Entry = TypeVar("Entry")


@dataclass(frozen=True, slots=True)
class Position:
    """One drilling position of the maker's template: what, how far, and from where.

    maker: the maker's own figure, where it is in another unit than the customer's; else empty.
    """

    what: str
    distance: str
    measured_from: str
    maker: str = ""


@dataclass(frozen=True, slots=True)
class Part:
    """What of the bag this card is about: body, arms, plates, spacers, with SKU and count."""

    what: str
    sku: str


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the work: its lead, printed heavy (empty for none), and the rest."""

    lead: str
    text: str


@dataclass(frozen=True, slots=True)
class Screws:
    """Screws of one kind [count in what], and what is drilled for them, empty for none.

    drawn: they go into the holes whose positions are given. each: of a pair what of them is for one
    leaf, empty where that is not half.
    """

    what: str
    drill: str = ""
    drawn: bool = False
    each: str = ""

    @property
    def said(self) -> str:
        """In one line."""
        return self._with_drill(self.what)

    @property
    def said_of_leaf(self) -> str:
        """In one line, what is for one leaf of a pair."""
        return self._with_drill(self.each)

    def _with_drill(self, what: str) -> str:
        return f"{what}{tr(': ')}{self.drill}" if self.drill else what


@dataclass(frozen=True, slots=True)
class GaugeReading:
    """What is measured on site, with a place to write on; limit: what it may be, empty for none."""

    what: str
    limit: str = ""


@dataclass(frozen=True, slots=True)
class Setting:
    """How one kind of opening is drilled, fitted and set.

    template: the maker's, in words. placing: the steps up to the fixing; steps:
    those after. positions: empty where the catalogue gives none that a fitter may drill by;
    no_positions then says why and what to do. gauges: where one is set. calculated: label and
    value. practice: what rests on no source; drills_from: whence drills are. sketches: what the
    drawings do not show true. elevation, plan: SVG documents in true size, empty for none. leaves:
    names of a pair's, empty for one; active: that of the active one, where it is known. places: the
    marks in ranges. sides: from where left and right are told of a pair. about: room and note of
    each mark. stays_open: it is held open, and no fire door. hosts: what the holes lie in, by its
    height. edges: that they come too near its edge, or that a note says another height; in brief
    for a drilling sheet. alarms: warnings that are framed; before_drilling: those of `warnings`
    that the office is asked about first, or that were released by name.
    """

    title: str
    marks: tuple[str, ...]
    quantities: tuple[int, ...]
    summary: str
    parts: tuple[Part, ...]
    mount: str
    hand: str
    template: str
    size_set: int | None
    opening_degrees: int
    placing: tuple[Step, ...]
    steps: tuple[Step, ...]
    positions: tuple[Position, ...] = ()
    no_positions: str = ""
    sketches: str = ""
    fasteners: tuple[Screws, ...] = ()
    hosts: tuple[str, ...] = ()
    edges: tuple[str, ...] = ()
    edges_in_brief: tuple[str, ...] = ()
    fire: str = ""
    questions: tuple[str, ...] = ()
    readings: tuple[GaugeReading, ...] = ()
    gauges: tuple[str, ...] = ()
    calculated: tuple[tuple[str, str], ...] = ()
    alarms: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    before_drilling: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    practice: str = ""
    drills_from: str = ""
    elevation: str = ""
    plan: str = ""
    leaves: tuple[str, ...] = ()
    active: str = ""
    places: str = ""
    sides: str = ""
    about: tuple[str, ...] = ()
    stays_open: bool = False

    @property
    def wide(self) -> bool:
        """Whether both leaves of a pair are drawn, one drawing above the other."""
        return bool(self.leaves)

    @property
    def quantity(self) -> int:
        """Openings of all its marks [count]."""
        return sum(self.quantities)


def in_order(several: Iterable[Sequence[Entry]]) -> list[Entry]:
    """Entries of several lists, each once, those of every list in its order.

    >>> in_order(["ac", "abc", "acd"])
    ['a', 'b', 'c', 'd']
    """
    order: list[Entry] = []
    for entries in several:
        after = 0
        for entry in entries:
            if entry not in order:
                order.insert(after, entry)
            after = order.index(entry) + 1
    return order


@dataclass(frozen=True, slots=True)
class Said:
    """A sentence of a card, with its lead; places: the marks it holds for, empty for all."""

    text: str
    lead: str = ""
    places: str = ""


@dataclass(frozen=True, slots=True)
class SettingCard:
    """One card for all openings with one template, hand and drilling, each with its own setting.

    settings: of one drilling, so the first one's positions, drawings and placing hold for all.
    places: all marks in ranges. What follows is said once, with the marks it holds for: fire,
    alarms, warnings, questions, hosts, screws (lead) with their drills, steps (after the fixing),
    gauges, cautions. beside: whether these stand under the plan; None: as they have room.
    """

    settings: tuple[Setting, ...]
    places: str
    fire: tuple[Said, ...] = ()
    alarms: tuple[Said, ...] = ()
    warnings: tuple[Said, ...] = ()
    questions: tuple[Said, ...] = ()
    hosts: tuple[Said, ...] = ()
    screws: tuple[Said, ...] = ()
    steps: tuple[Said, ...] = ()
    gauges: tuple[Said, ...] = ()
    cautions: tuple[Said, ...] = ()
    beside: bool | None = None

    @property
    def common(self) -> Setting:
        """What holds for all: mount, hand, template, positions, placing, drawings."""
        return self.settings[0]

    @property
    def marks(self) -> tuple[str, ...]:
        """The marks of all settings."""
        return tuple(mark for setting in self.settings for mark in setting.marks)

    @property
    def quantity(self) -> int:
        """Openings of all marks [count]."""
        return sum(setting.quantity for setting in self.settings)

    @property
    def title(self) -> str:
        """Mount and hand."""
        return f"{self.common.mount[:1].upper()}{self.common.mount[1:]}; {self.common.hand}"

    @property
    def readings(self) -> tuple[str, ...]:
        """What is measured at any of the openings, each once, in the order of the work."""
        return tuple(
            in_order([reading.what for reading in each.readings] for each in self.settings)
        )

    @property
    def cautions_beside(self) -> bool:
        """Whether the cautions have room under the plan, beside the table of positions.

        Of a pair they always have, since the screws stand beside it too.
        """
        if self.common.wide:
            return True
        if self.beside is not None:
            return self.beside
        lines = sum(ceil(len(said.places + said.text) / NARROW) for said in self.cautions)
        return lines <= len(self.common.positions) + SPARE


@dataclass(frozen=True, slots=True)
class HoldPage:
    """In place of a card: why nothing may be drilled or fitted yet.

    places: the marks in ranges.
    """

    marks: tuple[str, ...]
    quantity: int
    title: str
    summary: str
    reasons: tuple[str, ...]
    places: str = ""
