"""Papers: one frozen dataclass each. What a paper does not hold cannot leak.

The quote and the setting card hold no cost, the pick list and the labels no money at all.
Sentences are already worded; money, dates and rates are raw and written in the paper's locale
when it is rendered. A paper's text is shown as it is: none of it is ever read as markup.
"""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from wholekit.documents.kit_label import KitLabel
from wholekit.documents.label_stock import SHEET_10, LabelStock
from wholekit.documents.quote_form import QuoteForm
from wholekit.documents.setting_card import HoldPage, SettingCard
from wholekit.domain.house_style import Logo, PageSize
from wholekit.domain.quantities import Money
from wholekit.domain.quotes.offer import OfferExtra, Totals
from wholekit.wording.front_question import FrontQuestion
from wholekit.wording.speech import ENGLISH

# Territories that write on US Letter (CLDR, measurement data; from memory, not read).
LETTER_TERRITORIES = frozenset(
    {"BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"}
)


def page_size_of(locale: str) -> PageSize:
    """The sheet a locale's territory writes on; A4 where the locale names none.

    >>> page_size_of("en_US").value, page_size_of("de_DE").value
    ('letter', 'A4')
    """
    territory = locale.replace("-", "_").rpartition("_")[2]
    return PageSize.LETTER if territory in LETTER_TERRITORIES else PageSize.A4


@dataclass(frozen=True, slots=True)
class Letterhead:
    """Whose paper it is. footer: the foot of each page, where it is not who it is; accent: the
    house's colour, `#rrggbb`; empty: black."""

    name: str
    address: tuple[str, ...] = ()
    phone: str = ""
    email: str = ""
    registration: tuple[str, ...] = ()
    footer: str = ""
    logo: Logo | None = None
    accent: str = ""


@dataclass(frozen=True, slots=True)
class PaperHead:
    """What every paper of one quote shares.

    number: the quote's number, with its revision if it has one. locale: a CLDR name, of amounts and
    dates. language: CLDR's code of the words' language. notice: to be said loudly on every page,
    such as that the goods are not ordered.
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
    notice: str = ""

    @property
    def words_of(self) -> str:
        """The locale that the paper's words are those of, for `speaking`."""
        return self.locale if self.language != ENGLISH else ENGLISH


# In place of a severity: a stop that somebody let go by name.
RELEASED = "released"


@dataclass(frozen=True, slots=True)
class FindingNote:
    """A finding, worded. severity: `stop`, `warn`, `note`, or `released`."""

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


# --- quote -----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class QuoteLine:
    """One item of a kit; quantity [count] and net [Money] are for one opening."""

    sku: str
    description: str
    finish: str
    quantity: int
    net: Money


@dataclass(frozen=True, slots=True)
class QuoteMark:
    """One opening in the table of its kit. quantity: alike under its mark [count]; size: one
    leaf's, as text; note: the customer's; checks: numbers of the notes that concern it; room: where
    it is, as scheduled; weight: one leaf's, where it is estimated; brief: hand and fire label,
    as far as they are known."""

    mark: str
    quantity: int
    size: str
    summary: str
    note: str
    checks: tuple[int, ...] = ()
    room: str = ""
    weight: str = ""
    brief: str = ""

    @property
    def told(self) -> str:
        """What the short form tells of it in a row."""
        return " · ".join(filter(None, (self.brief, self.room, self.note)))


@dataclass(frozen=True, slots=True)
class QuoteKit:
    """A kit, written once, and the openings it is for.

    places: their marks as ranges; quantity: openings [count]; mount: the word shown; size_set
    [class]: None where no body serves; each, price: of one opening and of all [Money].
    finish: as it is said, with what the customer calls it; as_written: that is another word.
    """

    places: str
    quantity: int
    leaves: int
    mount: str
    size_set: int | None
    finish: str
    lines: tuple[QuoteLine, ...]
    each: Money
    price: Money
    marks: tuple[QuoteMark, ...]
    missing: tuple[MissingPiece, ...] = ()
    as_written: bool = False


@dataclass(frozen=True, slots=True)
class QuoteItem:
    """An item over all firm kits of the base bid [count, Money]."""

    sku: str
    description: str
    finish: str
    quantity: int
    net: Money


@dataclass(frozen=True, slots=True)
class Told:
    """Something that holds for some openings. places: their marks as ranges, empty for all;
    stands: the same with the question or the note that tells of each, where there is one."""

    text: str
    places: str = ""
    stands: str = ""


@dataclass(frozen=True, slots=True)
class QuoteNote:
    """A finding with the openings it concerns; places as in `Told`."""

    note: FindingNote
    places: str = ""


@dataclass(frozen=True, slots=True)
class Forces:
    """Calculated figures of some openings (empty: of all), one for each heading."""

    places: str
    figures: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ForceTable:
    """Openings of which the same is calculated: in still air alone, or in wind too."""

    headings: tuple[str, ...]
    rows: tuple[Forces, ...]


@dataclass(frozen=True, slots=True)
class OpenOpenings:
    """Openings that are in no firm total, and why: stopped, not whole, or not quoted at all."""

    places: str
    quantity: int
    sizes: tuple[str, ...]
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class QuoteAlternate:
    """An option beside the base bid: what it adds, base marks it takes out, what that changes.

    adds, deducts: marks as ranges; totals: with those of the quote they are what is signed for;
    unasked: as on the quote, of its own sheet; series: that its closers are of another series than
    those it takes out, empty where they are not.
    """

    code: str
    title: str
    adds: str
    deducts: str
    kits: tuple[QuoteKit, ...]
    extras: tuple[OfferExtra, ...]
    totals: Totals
    unasked: str = ""
    series: str = ""


@dataclass(frozen=True, slots=True)
class QuoteReady:
    """How many kits of which marks can be ready on a day; None: no date is known."""

    day: date | None
    kits: int
    places: str


@dataclass(frozen=True, slots=True)
class QuoteAppendix:
    """What a contractor may want to know and does not sign by.

    fitting: how mount and size came about; assumed: beyond what stands on the front; boxes: what
    comes in boxes and is not used; forces: the calculated figures, a table for those of the same
    headings; reckoned: with seals and latch or without; uncalculated: openings without figures,
    empty for all.
    """

    fitting: tuple[Told, ...] = ()
    assumed: tuple[Told, ...] = ()
    boxes: tuple[Told, ...] = ()
    forces: tuple[ForceTable, ...] = ()
    reckoned: tuple[Told, ...] = ()
    uncalculated: str | None = None


@dataclass(frozen=True, slots=True)
class QuotePaper:
    """What the customer is sent. No cost, no margin.

    kits, items, extras, openings and leaves [count] are of the base bid's firm openings, and totals
    are theirs; open_kits: of those that are not, as far as they are worked out; open: why, with
    those that were not quoted. mixed: the firm total was not kept, and totals hold the open ones
    too. firm: the firm kits alone; discount [fraction] takes off saved of them [Money].
    assumptions: of what can hurt, by marks; questions, cautions: of the whole job. facts: label and
    value, for the head. draft: it may still change, and every page says so. ready: when the kits
    of the base bid can be ready as of ready_asked; empty where the house does not say so; delivery:
    then how many come from stock. unasked: doors of the customer's sheet that are not quoted, with
    why; empty for none; unread: those that cannot be read, with blanks, and how many. doubts: what
    speaks against a firm opening, to be read before signing; by_others: what these openings need
    and the quote does not hold. unmended: what may help where a door may not latch, and where no
    answer does. not_used: what of the customer's sheet no kit is worked out from. open_places: what
    is open, as it stands on the sheet. groups: openings that
    the questions name together, by their letter, with their marks. finishes: firm ones that the
    customer's sheet has another word for.
    """

    head: PaperHead
    valid_until: date
    kits: tuple[QuoteKit, ...]
    openings: int
    leaves: int
    totals: Totals
    firm: Money
    discount: Fraction
    saved: Money
    open_kits: tuple[QuoteKit, ...] = ()
    open: tuple[OpenOpenings, ...] = ()
    mixed: bool = False
    items: tuple[QuoteItem, ...] = ()
    notes: tuple[QuoteNote, ...] = ()
    terms: tuple[str, ...] = ()
    assumptions: tuple[str, ...] = ()
    questions: tuple[FrontQuestion, ...] = ()
    cautions: tuple[str, ...] = ()
    extras: tuple[OfferExtra, ...] = ()
    alternates: tuple[QuoteAlternate, ...] = ()
    cover_note: str = ""
    facts: tuple[tuple[str, str], ...] = ()
    site: tuple[str, ...] = ()
    draft: bool = False
    ready: tuple[QuoteReady, ...] = ()
    ready_asked: date | None = None
    appendix: QuoteAppendix = QuoteAppendix()
    form: QuoteForm = QuoteForm.FULL
    unasked: str = ""
    revision: int = 0
    doubts: tuple[Told, ...] = ()
    by_others: tuple[Told, ...] = ()
    unmended: str = ""
    delivery: str = ""
    unread: str = ""
    unread_count: int = 0
    not_used: tuple[str, ...] = ()
    open_places: str = ""
    groups: tuple[tuple[str, str], ...] = ()
    finishes: str = ""

    @property
    def nothing_firm(self) -> bool:
        """Whether there is nothing that a signature could accept."""
        return not self.kits and not self.totals.gross.minor

    @property
    def open_count(self) -> int:
        """How many openings are open [count]."""
        return sum(one.quantity for one in self.open)


# --- pick list and labels --------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class PickLine:
    """One item for one mark: quantity over all its openings; each: for one opening [packs].

    short: how many of the quantity the shelf has not for it.
    """

    sku: str
    description: str
    finish: str
    bin: str
    each: int
    quantity: int
    short: int = 0

    @property
    def take(self) -> int:
        """What is put into its bags now [packs]."""
        return self.quantity - self.short


@dataclass(frozen=True, slots=True)
class PickOpening:
    """What goes into the bags of one mark. bags: one per kit. stops: why it must not go out;
    released: stops that somebody let go by name. fire_minutes: of its label, 0 without one.
    asks_office: whether its card bids the fitter ask before he drills. waits:
    whether the shelf leaves each of these bags without a piece; of a mark of which only some wait
    those stand apart, with the number of the first of them. numbers: of each bag, where some are
    packed already. of_all: how many bags the mark has in all [count]."""

    mark: str
    quantity: int
    bags: int
    size: str
    mount: str
    size_set: int | None
    lines: tuple[PickLine, ...]
    stops: tuple[str, ...] = ()
    released: tuple[str, ...] = ()
    missing: tuple[MissingPiece, ...] = ()
    note: str = ""
    room: str = ""
    fire_minutes: int = 0
    waits: bool = False
    asks_office: bool = False
    first: int = 1
    numbers: tuple[int, ...] = ()
    of_all: int = 0


@dataclass(frozen=True, slots=True)
class BinLine:
    """One item over all bags that are picked, and how what is there is split over the marks.

    waits: working days until more of it can be here, 0 where nobody says [count]; comes: the day,
    had it been ordered on the day the offer asks of; None where it is not known.
    """

    bin: str
    sku: str
    description: str
    finish: str
    quantity: int
    short: int
    split: tuple[tuple[str, int], ...]
    waits: int = 0
    comes: date | None = None

    @property
    def take(self) -> int:
        """What is taken from the bin [packs]: the shares of its marks together."""
        return self.quantity - self.short


@dataclass(frozen=True, slots=True)
class PickExtra:
    """Other goods of the job, beside the kits [count]."""

    description: str
    quantity: int


@dataclass(frozen=True, slots=True)
class InHand:
    """What the pick room has done of an order by a day: its bags, those packed and still here, and
    those shipped [count]; done: openings of which nothing is left to pack, as ranges; not_released:
    openings that may go and were not sent to it."""

    day: date
    bags: int
    packed: int
    shipped: int
    done: str = ""
    not_released: str = ""


@dataclass(frozen=True, slots=True)
class LabelWords:
    """What the bags' labels say. language: they are in [CLDR code]."""

    language: str
    hold: str
    waits: str
    short: str


@dataclass(frozen=True, slots=True)
class PickListPaper:
    """What the pick room works from. No money.

    walk: what is wanted, bin by bin, for the bags that may be picked; bags: how many they are
    [count]; some of them may wait for goods. held: bags that are stopped or not whole, for which
    nothing is taken. asked: the day from which it is counted when more comes. beyond: marks that no
    range runs over, of doors that are not quoted. in_hand: None where it was not released.
    on_labels: where the labels are in another language, what they say; else None.
    """

    head: PaperHead
    walk: tuple[BinLine, ...]
    openings: tuple[PickOpening, ...]
    bags: int
    held: tuple[PickOpening, ...] = ()
    extras: tuple[PickExtra, ...] = ()
    asked: date | None = None
    beyond: tuple[str, ...] = ()
    in_hand: InHand | None = None
    on_labels: LabelWords | None = None

    @property
    def waiting(self) -> int:
        """How many of the bags are not complete [count]."""
        return sum(opening.bags for opening in self.openings if opening.waits)


@dataclass(frozen=True, slots=True)
class KitLabelsPaper:
    """Labels, one per kit bag, for a stock. No money. more: those of other orders that are on the
    same cart, each on sheets of its own after these."""

    head: PaperHead
    labels: tuple[KitLabel, ...]
    stock: LabelStock = SHEET_10
    more: tuple["KitLabelsPaper", ...] = ()


# --- setting card ----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class SettingCardPaper:
    """A setting card, or a page HOLD, for each kind of opening. For the fitter; no money."""

    head: PaperHead
    cards: tuple[SettingCard | HoldPage, ...]


Paper = QuotePaper | PickListPaper | KitLabelsPaper | SettingCardPaper
