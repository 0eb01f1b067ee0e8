"""What a packing slip holds: the paper that goes with the goods. No money."""

from dataclasses import dataclass

from wholekit.documents.papers import PaperHead, PickExtra


@dataclass(frozen=True, slots=True)
class SlipLine:
    """One item: each, in one bag; quantity, in all bags of its kind [packs]."""

    sku: str
    description: str
    finish: str
    each: int
    quantity: int


@dataclass(frozen=True, slots=True)
class SlipMark:
    """The bags of one mark [count], what opening it is, and its note, such as the room's name."""

    mark: str
    bags: int
    about: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class SlipKit:
    """Bags of equal contents [count]. places: their marks in ranges."""

    places: str
    bags: int
    lines: tuple[SlipLine, ...]
    marks: tuple[SlipMark, ...]


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
class PackingSlipPaper:
    """What goes to the site, bag by bag, and what does not. No money.

    ship_to: name and address. openings, bags, packs [count]. extras: goods beside the kits; part:
    some openings were chosen, so that nobody here knows which of the extras go along. later: the
    marks that were not chosen, in ranges. parcel: which of how many, none where it is not
    said. order: the customer's number, empty where it is not known.
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
