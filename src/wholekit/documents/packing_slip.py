"""What a packing slip holds: the paper that goes with the goods. No money."""

from dataclasses import dataclass
from datetime import date

from wholekit.documents.papers import PaperHead, PickExtra


@dataclass(frozen=True, slots=True)
class SlipLine:
    """One item: each, in one bag; quantity, in all bags of its kind [packs]. instead: SKU of the
    item in whose place it is; empty for what was ordered. of_each: how many of each stand in for
    it, where others were ordered; 0 for all. short: of the quantity, what the shelf had not."""

    sku: str
    description: str
    finish: str
    each: int
    quantity: int
    instead: str = ""
    of_each: int = 0
    short: int = 0

    @property
    def here(self) -> int:
        """What is in the bags [packs]."""
        return self.quantity - self.short


@dataclass(frozen=True, slots=True)
class SlipMark:
    """The bags of one mark [count], what opening it is, and its note, such as the room's name. ids:
    what the labels of the bags say, where it is known. short: SKU and packs that the shelf had not
    for them when it was asked; waits: how many of the bags are not complete by it [count]."""

    mark: str
    bags: int
    about: str
    note: str = ""
    ids: tuple[str, ...] = ()
    short: tuple[tuple[str, int], ...] = ()
    waits: int = 0


@dataclass(frozen=True, slots=True)
class SlipKit:
    """Bags of equal contents [count]. places: their marks in ranges."""

    places: str
    bags: int
    lines: tuple[SlipLine, ...]
    marks: tuple[SlipMark, ...]

    @property
    def short(self) -> bool:
        """Whether any of its items is not all there."""
        return any(line.short for line in self.lines)


@dataclass(frozen=True, slots=True)
class SlipBox:
    """What one pack of each of these items holds, in words."""

    skus: tuple[str, ...]
    pieces: str


@dataclass(frozen=True, slots=True)
class NotSent:
    """Bags that do not go with these goods [count], by their marks in ranges, and why."""

    places: str
    bags: int
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SentBefore:
    """Bags that had left with an earlier shipment [count], by their marks in ranges."""

    shipment: str
    places: str
    bags: int


@dataclass(frozen=True, slots=True)
class TakenOut:
    """Pieces that openings do not use, taken out of their bags back to the shelf: by marks in
    ranges, SKU and packs over all of those bags [count]."""

    places: str
    items: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class SlipShipment:
    """The shipment a slip is of. called_for: the customer comes for it; reference: the carrier's;
    received_by: who signed. before: what had left; opened: what was taken out of its bags."""

    label: str
    on: date
    called_for: bool = False
    reference: str = ""
    received_by: str = ""
    before: tuple[SentBefore, ...] = ()
    opened: tuple[TakenOut, ...] = ()


@dataclass(frozen=True, slots=True)
class PackingSlipPaper:
    """What goes to the site, bag by bag, and what does not. No money.

    ship_to: name and address. openings, bags [count]; packs: what
    is in the bags, of those ordered [count]. extras: goods beside the kits; part:
    some openings were chosen, so that nobody here knows which of the extras go along. later: the
    marks that were not chosen, in ranges. parcel: which of how many, none where it is not
    said. order: the customer's number, empty where it is not known. shipment: None where the goods
    have not left; then `later` may go along, and of one that has they are still to come. asked: the
    day of which its marks are short of what the shelf had not; None where none is.
    """

    head: PaperHead
    ship_to: tuple[str, ...]
    kits: tuple[SlipKit, ...]
    openings: int
    bags: int
    packs: int
    boxes: tuple[SlipBox, ...] = ()
    extras: tuple[PickExtra, ...] = ()
    held: tuple[NotSent, ...] = ()
    later: tuple[NotSent, ...] = ()
    cautions: tuple[str, ...] = ()
    part: bool = False
    parcel: tuple[int, int] | None = None
    attention: str = ""
    order: str = ""
    shipment: SlipShipment | None = None
    asked: date | None = None
    ordered: int = 0

    @property
    def waiting(self) -> int:
        """How many of the bags are not complete, and do not go [count]."""
        return sum(mark.waits for kit in self.kits for mark in kit.marks)
