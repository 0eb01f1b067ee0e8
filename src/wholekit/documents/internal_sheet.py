"""The owner's sheet of a quote in the store: cost, margin, and every hand in it."""

from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction

from wholekit.documents.papers import PaperHead
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes.standing import OpeningStanding


@dataclass(frozen=True, slots=True)
class Figures:
    """Price, cost and margin of something. rate: margin / price, None where the price is nil."""

    price: Money
    cost: Money
    margin: Money
    rate: Fraction | None
    below_floor: bool = False


@dataclass(frozen=True, slots=True)
class OpeningFigures:
    """One mark's figures over all its openings. waiting: how many of its kits the shelf leaves
    without a piece [count]."""

    mark: str
    quantity: int
    size: str
    mount: str
    figures: Figures
    standing: OpeningStanding = OpeningStanding.FIRM
    waiting: int = 0


@dataclass(frozen=True, slots=True)
class SupplierFigures:
    """One supplier's part in the job."""

    supplier: str
    items: int
    figures: Figures


@dataclass(frozen=True, slots=True)
class ShortStock:
    """An item the shelf does not cover [packs], as the pick list has it: how long it takes [days],
    the openings that wait for it, how many kits they are [count], and their price [Money]."""

    sku: str
    description: str
    needed: int
    on_hand: int
    short: int
    lead_days: int
    price: Money
    marks: tuple[str, ...] = ()
    kits: int = 0


@dataclass(frozen=True, slots=True)
class SheetLine:
    """One item of a kit, for one opening. multiplier: on list, discount and all; unit: net each.

    by_hand: why a hand set the price; empty where none did.
    """

    sku: str
    description: str
    supplier: str
    quantity: int
    list_price: Money
    multiplier: Fraction
    unit: Money
    cost: Cost
    figures: Figures
    by_hand: str = ""


@dataclass(frozen=True, slots=True)
class SheetKit:
    """One kind of kit, the marks that have it, and its lines and figures for one opening."""

    marks: tuple[str, ...]
    size: str
    mount: str
    spring_size: int | None
    lines: tuple[SheetLine, ...]
    figures: Figures
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SheetExtra:
    """An extra line with a price, for all of it [Money]. figures: None where no cost is known."""

    description: str
    quantity: int
    alternate: str
    price: Money
    figures: Figures | None


@dataclass(frozen=True, slots=True)
class SheetAlternate:
    """What an alternate changes, and the job with it in place of what it takes out. accepted: the
    customer took it."""

    code: str
    title: str
    deducts: tuple[str, ...]
    change: Figures
    with_it: Figures
    accepted: bool = False


@dataclass(frozen=True, slots=True)
class SheetAccepted:
    """What the customer accepted: the base bid with these alternates, each as it was quoted.

    figures, uncosted: as the sheet's are of the base bid; freight, tax, gross [Money].
    """

    alternates: tuple[str, ...]
    figures: Figures
    uncosted: Money
    freight: Money
    tax: Money
    gross: Money


@dataclass(frozen=True, slots=True)
class Decision:
    """Something a person decided: where, what, why, by whom and when."""

    where: str
    text: str
    reason: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class InternalSheet:
    """What the owner reads. Never leaves the house.

    firm: what signing accepts of the base bid, hardware and extra lines of known cost, without
    freight and tax; firm_gross: what the customer pays for it [Money], None where that was not
    kept; held: the same of its stopped openings, None without any; total: both. uncosted: price of
    what has no known cost [Money]. freight, tax, gross: of the whole base bid [Money].
    discount: off the customer's prices [fraction], reason: why; saved: what it takes off. floor:
    the owner's [margin / price] on the day of quoting, or (floor_today) on that the sheet is made,
    where the quote is from before it was kept. accepted: None where the quote was not.
    assumed: what is open and was not asked for, since no answer changes a kit. shorts: what the
    shelf of its price books does not cover of what is had; waiting, exposure: the kits that wait
    for any of it [count] and their price [Money], each kit once. beyond: marks that
    no range runs over, of doors that are not quoted. open_stops, lacking: by place, why openings
    are not sold.
    """

    head: PaperHead
    draft: bool
    firm: Figures
    held: Figures | None
    firm_gross: Money | None
    total: Figures
    uncosted: Money
    freight: Money
    tax: Money
    gross: Money
    discount: Fraction
    reason: str
    saved: Money
    floor: Fraction
    floor_today: bool
    openings: tuple[OpeningFigures, ...]
    kits: tuple[SheetKit, ...]
    suppliers: tuple[SupplierFigures, ...]
    extras: tuple[SheetExtra, ...]
    alternates: tuple[SheetAlternate, ...]
    overrides: tuple[Decision, ...]
    releases: tuple[Decision, ...]
    approvals: tuple[Decision, ...]
    open_stops: tuple[tuple[str, str], ...]
    facts: tuple[tuple[str, str], ...]
    basis: str
    shorts: tuple[ShortStock, ...]
    exposure: Money
    waiting: int = 0
    accepted: SheetAccepted | None = None
    assumed: tuple[str, ...] = ()
    beyond: tuple[str, ...] = ()
    lacking: tuple[tuple[str, str], ...] = ()
