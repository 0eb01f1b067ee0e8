"""What a submittal holds: what the architect is shown before anything is ordered. No money.

All texts are worded. Its setting cards are those of the fitter.
"""

from dataclasses import dataclass

from wholekit.documents.papers import PaperHead
from wholekit.documents.setting_card import HoldPage, Said, SettingCard


@dataclass(frozen=True, slots=True)
class SubmittalRow:
    """An opening of the index. kit, card: their numbers in the submittal; size_set: the spring's,
    None for none; held: it is not firm; on_hold: its card is a sheet that says so."""

    mark: str
    quantity: int
    size: str
    summary: str
    mount: str
    size_set: int | None
    kit: int
    card: int
    held: bool
    room: str = ""
    on_hold: bool = False


@dataclass(frozen=True, slots=True)
class SubmittalItem:
    """One item of a kit [count for one opening]."""

    sku: str
    description: str
    finish: str
    quantity: int
    serves: str


@dataclass(frozen=True, slots=True)
class SubmittalKit:
    """A kit of equal items, mount and spring, with all its openings. findings: stops, warnings,
    claims; maker: what the catalogue says of its closer, label and value; missing: what it lacks,
    each with the marks it holds for. held: marks not firm."""

    number: int
    places: str
    quantity: int
    title: str
    size_set: int | None
    items: tuple[SubmittalItem, ...]
    findings: tuple[Said, ...]
    missing: tuple[Said, ...]
    held: str
    maker: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class SubmittalForce:
    """What was calculated for some openings. limits: those that bind, each held against its figure;
    empty where none binds. figures: what and how much."""

    places: str
    size: str
    size_required: int | None
    size_set: int | None
    figures: tuple[tuple[str, str], ...]
    limits: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SubmittalPaper:
    """Cover, index of openings, kits, forces and latching, assumptions, cautions, setting cards.

    assumptions: with the marks they are made for; held: marks that are not firm, and how many;
    unasked: doors of the customer's sheet that are not in it, each reason with its marks; empty for
    none.
    not_counted: what a limit of force leaves out; whose_code: the question whose limits hold, where
    those that were taken are of another country.
    """

    head: PaperHead
    rows: tuple[SubmittalRow, ...]
    kits: tuple[SubmittalKit, ...]
    forces: tuple[SubmittalForce, ...]
    cards: tuple[SettingCard | HoldPage, ...]
    assumptions: tuple[Said, ...]
    cautions: tuple[str, ...]
    facts: tuple[tuple[str, str], ...] = ()
    held: str = ""
    held_count: int = 0
    unasked: str = ""
    not_counted: tuple[str, ...] = ()
    whose_code: str = ""
