"""What a setting card holds, and the page that stands in its place where a kit is held.

All texts are worded. No money. A card holds nothing that its opening does not ask for.
"""

from dataclasses import dataclass
from math import ceil

# Signs in a line of a card's text, and lines that fit on its page in the usual type.
LINE, ROOMY = 135, 29


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
    title: str


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the work: its lead, printed heavy (empty for none), and the rest."""

    lead: str
    text: str


@dataclass(frozen=True, slots=True)
class SettingCard:
    """How one kind of opening is drilled, fitted and set.

    positions: empty where the catalogue gives none that a fitter may drill by; no_positions then
    says why and what to do. readings: what is measured on site, each with a line to write on;
    gauge: where it is set. calculated: label and value. practice: what rests on no source.
    sketches: what the drawings do not show true. elevation, plan: SVG documents in true size,
    empty for none; places: the marks in ranges; wide: both leaves of a pair are drawn, one drawing
    above the other.
    """

    title: str
    marks: tuple[str, ...]
    quantity: int
    summary: str
    parts: tuple[Part, ...]
    mount: str
    hand: str
    size_set: int | None
    opening_degrees: int
    steps: tuple[Step, ...]
    positions: tuple[Position, ...] = ()
    no_positions: str = ""
    sketches: str = ""
    fasteners: tuple[str, ...] = ()
    fire: str = ""
    questions: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()
    gauge: str = ""
    calculated: tuple[tuple[str, str], ...] = ()
    warnings: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    practice: str = ""
    elevation: str = ""
    plan: str = ""
    wide: bool = False
    places: str = ""

    @property
    def crowded(self) -> bool:
        """Whether its text would not leave room for all on one page in the usual type."""
        texts = [
            f"{self.places} {self.summary}",
            self.no_positions,
            self.fire,
            *self.warnings,
            "; ".join(self.questions),
            *(f"{step.lead} {step.text}" for step in self.steps),
            *self.cautions,
        ]
        lines = sum(ceil(len(text) / LINE) for text in texts)
        return lines + len(self.readings) // 2 + len(self.positions) > ROOMY


@dataclass(frozen=True, slots=True)
class HoldPage:
    """In place of a card: why nothing may be drilled or fitted yet. reasons: with the way out.

    places: the marks in ranges.
    """

    marks: tuple[str, ...]
    quantity: int
    title: str
    summary: str
    reasons: tuple[tuple[str, str], ...]
    places: str = ""
