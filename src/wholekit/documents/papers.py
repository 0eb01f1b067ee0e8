"""Papers: one frozen dataclass each. What a paper does not hold cannot leak.

The quote and the setting card hold no cost, the pick list and the labels no money at all.
Sentences are already worded; money, dates and rates are raw and written in the paper's locale
when it is rendered. A paper's text is shown as it is: none of it is ever read as markup.
"""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from fractions import Fraction

from wholekit.documents.setting_card import HoldPage, SettingCard
from wholekit.domain.quantities import Money
from wholekit.wording.speech import ENGLISH

# Territories that write on US Letter (CLDR, measurement data; from memory, not read).
LETTER_TERRITORIES = frozenset(
    {"BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"}
)


class PageSize(StrEnum):
    """The sheet a paper is laid out for."""

    LETTER = "letter"
    A4 = "A4"


def page_size_of(locale: str) -> PageSize:
    """The sheet a locale's territory writes on; A4 where the locale names none.

    >>> page_size_of("en_US").value, page_size_of("de_DE").value
    ('letter', 'A4')
    """
    territory = locale.replace("-", "_").rpartition("_")[2]
    return PageSize.LETTER if territory in LETTER_TERRITORIES else PageSize.A4


@dataclass(frozen=True, slots=True)
class Letterhead:
    """Whose paper it is."""

    name: str
    address: tuple[str, ...] = ()
    phone: str = ""
    email: str = ""


@dataclass(frozen=True, slots=True)
class PaperHead:
    """What every paper of one quote shares.

    number: the quote's number, with its revision if it has one. locale: a CLDR name, of amounts and
    dates. language: CLDR's code of the words' language.
    """

    letterhead: Letterhead
    number: str
    issued: date
    customer: str
    job: str
    customer_address: tuple[str, ...] = ()
    prepared_by: str = ""
    locale: str = "en_US"
    page_size: PageSize = PageSize.LETTER
    language: str = ENGLISH

    @property
    def words_of(self) -> str:
        """The locale that the paper's words are those of, for `speaking`."""
        return self.locale if self.language != ENGLISH else ENGLISH


@dataclass(frozen=True, slots=True)
class FindingNote:
    """A finding, worded. severity: `stop`, `warn` or `note`."""

    severity: str
    text: str
    hint: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class MissingPiece:
    """A piece the kit needs and the catalogue cannot supply [count for one opening]."""

    piece: str
    quantity: int
    because: str = ""


@dataclass(frozen=True, slots=True)
class UnusedPiece:
    """A boxed piece this opening does not use [count for one opening]."""

    sku: str
    piece: str
    quantity: int


@dataclass(frozen=True, slots=True)
class Estimate:
    """A calculated figure with its unit, to be checked on site."""

    label: str
    value: str


@dataclass(frozen=True, slots=True)
class Question:
    """Something only the customer can answer, and the openings it concerns."""

    text: str
    marks: tuple[str, ...] = ()


# --- quote -----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class QuoteLine:
    """One item of a kit; quantity and net amounts are for one opening. None: no price known.

    serves: what it is for in this opening, such as `body, arm, 4 wood screws`.
    """

    sku: str
    description: str
    finish: str
    quantity: int
    unit_net: Money | None
    line_net: Money | None
    serves: str = ""


@dataclass(frozen=True, slots=True)
class QuoteOpening:
    """One opening with its kit. size: one leaf's, as text. mount: the word shown.

    size_required, size_set [class], None beyond the tables or where no body serves.
    price_each: one opening; price_extended: all of this mark.
    """

    mark: str
    quantity: int
    leaves: int
    size: str
    summary: str
    mount: str
    size_required: int | None
    size_set: int | None
    why_size: str
    why_mount: str
    lines: tuple[QuoteLine, ...]
    price_each: Money
    price_extended: Money
    unused: tuple[UnusedPiece, ...] = ()
    missing: tuple[MissingPiece, ...] = ()
    findings: tuple[FindingNote, ...] = ()
    assumptions: tuple[str, ...] = ()
    questions: tuple[str, ...] = ()
    estimates: tuple[Estimate, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class QuoteExtra:
    """Anything else that is quoted. unit, total [Money]: None where it is a text only."""

    description: str
    quantity: int
    unit: Money | None
    total: Money | None


@dataclass(frozen=True, slots=True)
class QuoteTax:
    """A named tax: its rate [fraction], what it is worked out on and what it comes to [Money]."""

    name: str
    rate: Fraction
    base: Money
    tax: Money


@dataclass(frozen=True, slots=True)
class QuoteTotals:
    """Totals as quoted [Money]. saved: what the discount [fraction] takes off the hardware, in
    `hardware` already. inclusive: the amounts contain the tax. exempt: certificate, or empty."""

    hardware: Money
    extras: Money
    freight: Money
    net: Money
    taxes: tuple[QuoteTax, ...]
    gross: Money
    discount: Fraction
    saved: Money
    inclusive: bool = False
    exempt: str = ""

    @property
    def charged(self) -> bool:
        """Whether freight or taxes were looked at for the place the goods go to."""
        return bool(self.freight.minor or self.taxes or self.exempt)


@dataclass(frozen=True, slots=True)
class QuoteAlternate:
    """An option beside the base bid: what it adds, base marks it takes out, what that changes."""

    code: str
    title: str
    deducts: tuple[str, ...]
    openings: tuple[QuoteOpening, ...]
    extras: tuple[QuoteExtra, ...]
    totals: QuoteTotals


@dataclass(frozen=True, slots=True)
class QuotePaper:
    """What the customer is sent. No cost, no margin.

    assumptions, questions, findings, cautions: those of the whole job; what holds for every
    opening stands here once and not at the openings. total: sum of the extended prices.
    multiplier: None unless the customer is to see it; list_total likewise.
    leaves: leaves over the whole job [count].

    A quote kept in the store has totals with freight and taxes too, of the base bid and of each
    alternate; openings, extras and leaves are then the base bid's, and total is its gross. draft:
    it may still change, and every page says so. facts: label and value, for the head. basis: what
    it was priced on.
    """

    head: PaperHead
    valid_until: date
    openings: tuple[QuoteOpening, ...]
    total: Money
    leaves: int
    terms: tuple[str, ...] = ()
    assumptions: tuple[str, ...] = ()
    questions: tuple[Question, ...] = ()
    findings: tuple[FindingNote, ...] = ()
    cautions: tuple[str, ...] = ()
    multiplier: Fraction | None = None
    list_total: Money | None = None
    totals: QuoteTotals | None = None
    extras: tuple[QuoteExtra, ...] = ()
    alternates: tuple[QuoteAlternate, ...] = ()
    cover_note: str = ""
    facts: tuple[tuple[str, str], ...] = ()
    site: tuple[str, ...] = ()
    basis: str = ""
    draft: bool = False


# --- pick list and labels --------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class PickLine:
    """One item for one mark: quantity over all its openings; each: for one opening [packs].

    short: how many of the quantity are not on the shelf.
    """

    sku: str
    description: str
    finish: str
    bin: str
    each: int
    quantity: int
    short: int = 0


@dataclass(frozen=True, slots=True)
class PickOpening:
    """What goes into the bags of one mark. bags: one per kit. stops: why it must not go out."""

    mark: str
    quantity: int
    bags: int
    size: str
    mount: str
    size_set: int | None
    lines: tuple[PickLine, ...]
    stops: tuple[str, ...] = ()
    missing: tuple[MissingPiece, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class BinLine:
    """One item over the whole job, and how it is split over the marks."""

    bin: str
    sku: str
    description: str
    finish: str
    quantity: int
    short: int
    split: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class PickListPaper:
    """What the pick room works from. No money."""

    head: PaperHead
    openings: tuple[PickOpening, ...]
    by_bin: tuple[BinLine, ...]
    bags: int


def gather_by_bin(openings: tuple[PickOpening, ...]) -> tuple[BinLine, ...]:
    """The bags' lines, added up by bin and SKU, in the order of a walk along the bins."""
    lines: dict[tuple[str, str], list[tuple[str, PickLine]]] = {}
    for opening in openings:
        for line in opening.lines:
            lines.setdefault((line.bin, line.sku), []).append((opening.mark, line))
    return tuple(
        BinLine(
            bin=place,
            sku=sku,
            description=found[0][1].description,
            finish=found[0][1].finish,
            quantity=sum(line.quantity for _, line in found),
            short=sum(line.short for _, line in found),
            split=tuple((mark, line.quantity) for mark, line in found),
        )
        for (place, sku), found in sorted(lines.items())
    )


@dataclass(frozen=True, slots=True)
class KitLabel:
    """The label of one bag. pieces: items in the bag [count]. alerts: such as `FIRE DOOR`."""

    mark: str
    bag: int
    bags: int
    size: str
    mount: str
    size_set: int | None
    hand: str
    items: int
    finish: str = ""
    place: str = ""
    alerts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class KitLabelsPaper:
    """A sheet of labels, one per kit bag. No money."""

    head: PaperHead
    labels: tuple[KitLabel, ...]


# --- margin sheet ----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Figures:
    """Price, cost and margin of something. rate: margin / price, None where the price is nil."""

    price: Money
    cost: Money
    margin: Money
    rate: Fraction | None
    below_floor: bool = False


@dataclass(frozen=True, slots=True)
class MarginOpening:
    """One mark's figures over all its openings."""

    mark: str
    quantity: int
    size: str
    mount: str
    figures: Figures
    incomplete: bool = False


@dataclass(frozen=True, slots=True)
class SupplierFigures:
    """One supplier's part in the job."""

    supplier: str
    items: int
    figures: Figures


@dataclass(frozen=True, slots=True)
class ShortStock:
    """An item the shelf does not cover [packs], how long it takes [days] and what it ties up."""

    sku: str
    description: str
    needed: int
    on_hand: int
    short: int
    lead_days: int
    price: Money
    marks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class MarginPaper:
    """The owner's sheet. Never leaves the house. floor [margin / price]; multiplier [1]."""

    head: PaperHead
    total: Figures
    floor: Fraction
    multiplier: Fraction
    openings: tuple[MarginOpening, ...]
    suppliers: tuple[SupplierFigures, ...]
    shorts: tuple[ShortStock, ...] = ()
    exposure: Money | None = None
    notes: tuple[str, ...] = ()


# --- setting card ----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class SettingCardPaper:
    """A setting card, or a page HOLD, for each kind of opening. For the fitter; no money."""

    head: PaperHead
    cards: tuple[SettingCard | HoldPage, ...]


Paper = QuotePaper | PickListPaper | KitLabelsPaper | MarginPaper | SettingCardPaper
