"""An offer: what is quoted, in codes, values, quantities and money, with its sentences beside.

It is safe for customers: no cost, no tier, no reason of the house is in it (see `own`). A draft,
an issued revision and a schedule on its own are all offers. What is compared, matched or added up
is read from codes and values; sentences are only shown.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction

from wholekit.domain.catalog import Body, FastenerKind, Role, Template
from wholekit.domain.customers import BOXED_SET
from wholekit.domain.findings import Severity
from wholekit.domain.kits import Use
from wholekit.domain.kits.proof import Proof
from wholekit.domain.openings import BodySide, Mount, OpeningType, UnaskedDoor, read_stated
from wholekit.domain.plain import SPARSE
from wholekit.domain.quantities import Mass, Money
from wholekit.domain.quotes.job import BASE
from wholekit.domain.quotes.parties import Party, PriceBook
from wholekit.domain.quotes.ready import JobReady, Ready, job_ready
from wholekit.domain.quotes.standing import OpeningStanding
from wholekit.domain.tax import LineKind, NamedTax

# An amount among the fields of a finding, which are kept as text.
_AMOUNT = re.compile(r"Money\(minor=(-?\d+), currency='(\w+)'\)")


@dataclass(frozen=True, slots=True)
class OfferLine:
    """One item for one opening [count]. unit, total: net [Money].

    catalog_id: whose; kind: a role or `boxed-set`. description: the catalogue's. on_hand [packs]
    and lead_days [d] are of the price book it was priced on. saved: what the discount takes off
    each [Money]; None where nothing, or not kept."""

    sku: str
    supplier: str
    catalog_id: str
    series: tuple[str, ...]
    kind: str
    description: str
    finish: str
    quantity: int
    unit: Money
    total: Money
    uses: tuple[Use, ...] = ()
    bin: str = ""
    on_hand: int = 0
    lead_days: int = 0
    saved: Money | None = None


@dataclass(frozen=True, slots=True)
class OfferPiece:
    """A missing or unused piece [count for one opening]. sku: of the box it comes in, if any."""

    role: Role
    quantity: int
    kinds: tuple[FastenerKind, ...] = ()
    sku: str = ""


@dataclass(frozen=True, slots=True)
class OfferFinding:
    """A finding by its code. about: see `finding_about`."""

    code: str
    severity: Severity
    about: str = ""

    @property
    def fields(self) -> dict[str, str]:
        """What it said, by name, as text."""
        parts = (part.partition("=") for part in self.about.split("; ") if part)
        return {name: value for name, _, value in parts}

    @property
    def difference(self) -> Money | None:
        """What the kit it offers costs beside the one at hand [Money]; None where none is sold.

        >>> OfferFinding("", Severity.NOTE, f"difference={Money(-250, 'USD')}").difference
        Money(minor=-250, currency='USD')
        """
        found = _AMOUNT.fullmatch(self.fields.get("difference", ""))
        return None if found is None else Money(int(found[1]), found[2])


@dataclass(frozen=True, slots=True)
class OfferAssumption:
    """A default that stands in for an unknown. text: its value as a schedule spells it."""

    field: str
    text: str

    @property
    def value(self) -> object:
        """The value itself."""
        return read_stated(self.field, self.text)


@dataclass(frozen=True, slots=True)
class OfferKit:
    """One kind of kit, for one opening. adjustment: what a price agreed for the whole opening adds
    to its lines; saved: what the job's discount takes off the lines [Money].
    size_required, spring_size [class]; body, template, proof: None where there is none, and in
    what was issued before they were kept.
    """

    type: OpeningType
    mount: Mount
    body_side: BodySide
    size_required: int | None
    spring_size: int | None
    finish: str
    weight: Mass | None
    lines: tuple[OfferLine, ...]
    adjustment: Money
    price: Money
    saved: Money
    assumed: tuple[OfferAssumption, ...] = ()
    unused: tuple[OfferPiece, ...] = ()
    missing: tuple[OfferPiece, ...] = ()
    findings: tuple[OfferFinding, ...] = ()
    body: Body | None = None
    template: Template | None = None
    proof: Proof | None = None

    @property
    def discounted(self) -> Money:
        """What the discount takes off its price [Money]; a price agreed for all of it stands."""
        return Money.zero(self.price.currency) if self.adjustment.minor else self.saved

    @property
    def idle_arms(self) -> tuple[str, ...]:
        """As `Kit.idle_arms`."""
        used = {line.sku for line in self.lines if line.uses}
        arms = (left.sku for left in self.unused if left.role is Role.HOLD_OPEN_ARM)
        return tuple(sku for sku in dict.fromkeys(arms) if sku not in used)

    @property
    def kind(self) -> "KitKind":
        """What it is. The series of a body in a boxed set is that of the set's pieces."""
        found = [line for line in self.lines if line.kind == Role.BODY]
        found = found or [line for line in self.lines if line.kind == BOXED_SET]
        series = tuple(sorted({name for line in found for name in line.series}))
        return KitKind(series, self.mount, self.spring_size, self.finish, self.type.leaves)


@dataclass(frozen=True, slots=True)
class KitKind:
    """A kind of kit, the same in several quotes: series, mount, spring size, finish, leaves."""

    series: tuple[str, ...]
    mount: Mount
    spring_size: int | None
    finish: str
    leaves: int


@dataclass(frozen=True, slots=True)
class OfferOpening:
    """One mark: how many alike [count], and which kit of the offer. of_note: what its note says
    more than its columns. released: code and `about` of the stops that somebody let go. ready: when
    its kits can be whole; empty where that was not kept."""

    mark: str
    quantity: int
    kit: int
    price: Money
    alternate: str = BASE
    note: str = ""
    of_note: tuple[OfferFinding, ...] = ()
    released: tuple[tuple[str, str], ...] = ()
    ready: tuple[Ready, ...] = field(default=(), metadata={SPARSE: True})
    room: str = field(default="", metadata={SPARSE: True})
    finish_written: str = field(default="", metadata={SPARSE: True})

    @property
    def place(self) -> str:
        """The mark, with its alternate in brackets."""
        return f"{self.mark} [{self.alternate}]" if self.alternate else self.mark


@dataclass(frozen=True, slots=True)
class OfferExtra:
    """An extra line. unit, total None: text only [Money]."""

    kind: LineKind
    description: str
    quantity: int
    unit: Money | None
    total: Money | None
    alternate: str = BASE


@dataclass(frozen=True, slots=True)
class Totals:
    """hardware, extras, freight: as quoted [Money]; net, taxes and gross follow from them.

    inclusive: the amounts contain the tax. exempt: certificate, or empty.
    """

    hardware: Money
    extras: Money
    freight: Money
    net: Money
    taxes: tuple[NamedTax, ...]
    gross: Money
    inclusive: bool = False
    exempt: str = ""

    @property
    def charged(self) -> bool:
        """Whether freight or taxes were looked at for the place the goods go to."""
        return bool(self.freight.minor or self.taxes or self.exempt)

    def joined(self, other: "Totals", sign: int = 1) -> "Totals":
        """With others added, or (sign -1) taken off; the same taxes are in both."""

        def sum_of(first: Money, second: Money) -> Money:
            return first + second.times(sign)

        taxes = tuple(
            replace(first, base=sum_of(first.base, second.base), tax=sum_of(first.tax, second.tax))
            for first, second in zip(self.taxes, other.taxes, strict=True)
        )
        return replace(
            self,
            hardware=sum_of(self.hardware, other.hardware),
            extras=sum_of(self.extras, other.extras),
            freight=sum_of(self.freight, other.freight),
            net=sum_of(self.net, other.net),
            taxes=taxes,
            gross=sum_of(self.gross, other.gross),
        )


@dataclass(frozen=True, slots=True)
class OfferAlternate:
    """An alternate with what it changes: totals of its additions less its deductions.

    firm: what it changes of the firm totals, where base openings are in none and that is not the
    same: what it takes out was then in no sum, and rounding falls otherwise.
    """

    code: str
    title: str
    deducts: tuple[str, ...]
    totals: Totals
    firm: Totals | None = field(default=None, metadata={SPARSE: True})

    @property
    def change(self) -> Totals:
        """What it adds to what is signed for, or takes off: with the firm totals to the cent."""
        return self.firm or self.totals


@dataclass(frozen=True, slots=True)
class KitWords:
    """A kit in sentences. lines: (serves, because) of each line; findings: (text, hint, source);
    missing: (piece, because); unused: one of
    the pieces; assumed: (text, because); estimates: (what, figure); weight: that it is estimated,
    or empty."""

    size: str
    summary: str
    mount: str
    body_side: str
    why_size: str
    why_mount: str
    lines: tuple[tuple[str, tuple[str, ...]], ...] = ()
    findings: tuple[tuple[str, str, str], ...] = ()
    missing: tuple[tuple[str, str], ...] = ()
    unused: tuple[str, ...] = ()
    assumed: tuple[tuple[str, str], ...] = ()
    estimates: tuple[tuple[str, str], ...] = ()
    weight: str = ""


@dataclass(frozen=True, slots=True)
class OfferWords:
    """An offer's sentences as sent, in one language [CLDR code]; kits in the offer's order.

    questions: what only the customer can say, with the marks it concerns (none: every one);
    answers: to each of them, what may be answered and what comes of it. notes: by the place of an
    opening, what is said of its note. refusals: by question and answer, at which openings it cannot
    be had so, or empty. unmended: what may help where a firm opening may not latch or passes a
    limit, and where no answer does; empty for none. registration, footer: the house's own lines of
    its letterhead and at the foot of each page. items: by catalogue and description, what it is in
    this language. groups: places of the openings that questions and answers name together, each by
    its letter.
    """

    language: str
    kits: tuple[KitWords, ...] = ()
    terms: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    payment: str = ""
    price_agreed: str = ""
    questions: tuple[tuple[str, tuple[str, ...]], ...] = ()
    notes: tuple[tuple[str, tuple[tuple[str, str, str], ...]], ...] = ()
    answers: tuple[tuple[tuple[str, str], ...], ...] = field(default=(), metadata={SPARSE: True})
    registration: tuple[str, ...] = field(default=(), metadata={SPARSE: True})
    footer: str = field(default="", metadata={SPARSE: True})
    refusals: tuple[tuple[str, ...], ...] = field(default=(), metadata={SPARSE: True})
    unmended: str = field(default="", metadata={SPARSE: True})
    items: tuple[tuple[str, str, str], ...] = field(default=(), metadata={SPARSE: True})
    groups: tuple[tuple[str, ...], ...] = field(default=(), metadata={SPARSE: True})

    def item(self, line: OfferLine) -> str:
        """What a line's item is called: as its catalogue says it in this language, if it does."""
        for catalog, description, said in self.items:
            if (catalog, description) == (line.catalog_id, line.description):
                return said
        return line.description

    def of_note(self, opening: OfferOpening) -> tuple[tuple[str, str, str], ...]:
        """What is said of an opening's note: (text, hint, source) of each finding."""
        return dict(self.notes).get(opening.place, ()) if opening.of_note else ()


@dataclass(frozen=True, slots=True)
class Offer:
    """What is quoted, whole. words: the house's own, in English; sent: in the customer's language,
    None where that is English. discount: off the customer's prices [fraction].

    quote, revision: empty and 0 until the first issue; house_lines: address. left_out: openings of
    the job that are no part of the offer, for a stop or a missing piece; no sum holds them.
    ready_asked: the day on which it was asked when the kits can be whole, None where it was not
    kept; ready_shown: the customer's paper says so. priced_firm: see `firm_totals`; None where
    every opening is firm, and in what was issued before it was kept. unasked: doors of the
    customer's sheet that nothing was asked for, not_used: headings of it that nothing was
    read from; empty in what was issued before they were kept. checks_ask: what its checks ask
    stands among its questions; not in what was issued before that was so. series: what makers call
    those of its kits whose code is another.
    """

    quote: str
    revision: int
    job: str
    job_name: str
    issued: date
    valid_until: date
    issued_by: str
    currency: str
    customer: Party
    house_name: str
    catalogs: tuple[PriceBook, ...]
    rules_version: str
    kits: tuple[OfferKit, ...]
    openings: tuple[OfferOpening, ...]
    extras: tuple[OfferExtra, ...]
    totals: Totals
    words: OfferWords
    sent: OfferWords | None = None
    site: str = ""
    site_address: tuple[str, ...] = ()
    salesperson: str = ""
    bids_due: date | None = None
    ship_to: str = ""
    discount: Fraction = Fraction(0)
    alternates: tuple[OfferAlternate, ...] = ()
    cover_note: str = ""
    house_lines: tuple[str, ...] = ()
    house_phone: str = ""
    house_email: str = field(default="", metadata={SPARSE: True})
    left_out: tuple[OfferOpening, ...] | None = None
    ready_asked: date | None = None
    ready_shown: bool = field(default=False, metadata={SPARSE: True})
    ship_to_address: tuple[str, ...] = field(default=(), metadata={SPARSE: True})
    priced_firm: Totals | None = field(default=None, metadata={SPARSE: True})
    unasked: tuple[UnaskedDoor, ...] = field(default=(), metadata={SPARSE: True})
    not_used: tuple[str, ...] = field(default=(), metadata={SPARSE: True})
    checks_ask: bool = field(default=False, metadata={SPARSE: True})
    series: tuple[tuple[str, str], ...] = field(default=(), metadata={SPARSE: True})

    @property
    def label(self) -> str:
        """The quote's name, or the job's while it has none."""
        return f"{self.quote}/{self.revision}" if self.revision else self.quote or self.job

    @property
    def goes_to(self) -> tuple[str, ...]:
        """The place of delivery; where none was named the site, else the customer's address."""
        if self.ship_to:
            return (self.ship_to, *self.ship_to_address)
        site = tuple(line for line in (self.site, *self.site_address) if line)
        return site or (self.customer.name, *self.customer.address)

    def kit_of(self, opening: OfferOpening) -> OfferKit:
        """The kit of an opening."""
        return self.kits[opening.kit]

    @property
    def not_quoted(self) -> tuple[str, ...]:
        """Places that no range of its openings may run over, since nothing is quoted for them."""
        out = (opening.place for opening in self.left_out or ())
        return (*out, *(door.place for door in self.unasked))

    def chosen(self, alternates: Sequence[str] = ()) -> "Offer":
        """What is had with some alternates: the base bid without the marks they take out, and the
        openings and extra lines they add."""
        out = {
            mark
            for alternate in self.alternates
            if alternate.code in alternates
            for mark in alternate.deducts
        }
        codes = (BASE, *alternates)
        return replace(
            self,
            openings=tuple(
                opening
                for opening in self.openings
                if opening.alternate in codes and (opening.alternate or opening.mark not in out)
            ),
            extras=tuple(extra for extra in self.extras if extra.alternate in codes),
        )

    def totals_with(self, alternates: Sequence[str]) -> Totals:
        """What is firm of the base bid, with what some alternates change, each as it was quoted."""
        found = self.firm_totals or self.totals
        for alternate in self.alternates:
            if alternate.code in alternates:
                found = found.joined(alternate.change)
        return found

    def open_stops(self, opening: OfferOpening) -> Iterator[int]:
        """Which findings of an opening's kit are stops that nobody has released [index]."""
        for at, finding in enumerate(self.kit_of(opening).findings):
            if (
                finding.severity is Severity.STOP
                and (finding.code, finding.about) not in opening.released
            ):
                yield at

    def is_held(self, opening: OfferOpening) -> bool:
        """Whether a stop is open."""
        return any(True for _ in self.open_stops(opening))

    def standing(self, opening: OfferOpening) -> OpeningStanding:
        """Whether an opening may go out, and what keeps it."""
        if self.is_held(opening):
            return OpeningStanding.STOPPED
        return OpeningStanding.INCOMPLETE if self.kit_of(opening).missing else OpeningStanding.FIRM

    def is_firm(self, opening: OfferOpening) -> bool:
        """Whether an opening's kit is whole, and no stop of it is open."""
        return self.standing(opening) is OpeningStanding.FIRM

    @property
    def firm(self) -> Money:
        """What of the base bid's hardware belongs to openings that are firm [Money]."""
        firm = (opening for opening in self.chosen().openings if self.is_firm(opening))
        return Money(sum(opening.price.minor for opening in firm), self.currency)

    @property
    def firm_totals(self) -> Totals | None:
        """The base bid's totals without the openings that are not firm, freight and tax worked out
        anew; None where that was not kept and cannot be told."""
        if all(map(self.is_firm, self.chosen().openings)):
            return self.totals
        if self.priced_firm is not None or self.totals.charged:
            return self.priced_firm
        # Nothing but the openings' own prices and the extra lines is in it.
        loose = self.totals.hardware - self.firm
        net = self.totals.net - loose
        return replace(self.totals, hardware=self.firm, net=net, gross=net)

    @property
    def stopped(self) -> bool:
        """Whether any opening lacks a piece or has a stop that nobody has released."""
        return not all(map(self.is_firm, self.openings))

    @property
    def ready(self) -> JobReady | None:
        """When all its kits can be whole (see `chosen`); None where that was not kept."""
        if self.ready_asked is None:
            return None
        return job_ready((opening.ready for opening in self.openings), self.ready_asked)

    @property
    def saved(self) -> Money:
        """What the discount takes off its openings [Money]; a price set by hand stands."""
        saved = (self.kit_of(each).discounted.minor * each.quantity for each in self.openings)
        return Money(sum(saved), self.currency)

    @property
    def opening_count(self) -> int:
        """Openings, those alike counted each."""
        return sum(opening.quantity for opening in self.openings)

    @property
    def leaf_count(self) -> int:
        """Leaves over all openings."""
        return sum(opening.quantity * self.kit_of(opening).type.leaves for opening in self.openings)
