"""An issued revision as it was sent, whole: to read it needs no catalogue and no rule book.

Sentences are frozen as they were worded, in English for the house and beside it in the customer's
language where that is another; amounts as they were worked out. What is shown of a
revision comes from here and nowhere else, so it is the same for ever.
"""

from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction
from hashlib import sha256
from json import dumps

from wholekit.domain.plain import from_plain, to_plain
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.tax import LineKind, NamedTax

FORMAT = 1


@dataclass(frozen=True, slots=True)
class FrozenLine:
    """One item for one opening [count]. unit, total: net; cost: own cost each.

    catalog_id: whose; kind: a role or `boxed-set`; multiplier: on list, discount and all.
    by_hand: what was set by hand, in words.
    """

    sku: str
    supplier: str
    catalog_id: str
    series: tuple[str, ...]
    kind: str
    description: str
    finish: str
    quantity: int
    list_price: Money
    multiplier: Fraction
    unit: Money
    total: Money
    cost: Cost
    serves: str = ""
    because: tuple[str, ...] = ()
    bin: str = ""
    by_hand: str = ""


@dataclass(frozen=True, slots=True)
class FrozenFinding:
    """A finding as worded. severity: `stop`, `warn` or `note`. about: see `finding_about`."""

    code: str
    severity: str
    text: str
    hint: str = ""
    source: str = ""
    about: str = ""


@dataclass(frozen=True, slots=True)
class FrozenPiece:
    """A missing or unused piece, in words [count for one opening]."""

    piece: str
    quantity: int
    sku: str = ""
    because: str = ""


@dataclass(frozen=True, slots=True)
class FrozenKit:
    """One kind of kit. price, cost: for one opening, price as quoted, tier_price before discount
    and hand-set prices. fields: what the schedule states, by plain name."""

    size: str
    leaves: int
    summary: str
    mount: str
    body_side: str
    finish: str
    size_required: int | None
    spring_size: int | None
    why_size: str
    why_mount: str
    fields: tuple[tuple[str, str], ...]
    lines: tuple[FrozenLine, ...]
    price: Money
    tier_price: Money
    cost: Cost
    unused: tuple[FrozenPiece, ...] = ()
    missing: tuple[FrozenPiece, ...] = ()
    findings: tuple[FrozenFinding, ...] = ()
    assumed: tuple[str, ...] = ()
    estimates: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FrozenSign:
    """Something a person decided: an override, a release or an approval, in words."""

    what: str
    text: str
    reason: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class FrozenOpening:
    """One mark: how many alike [count], which kit of the snapshot, and what hands decided.

    findings: of this mark alone, from its note; those of its kind stand at the kit.
    """

    mark: str
    quantity: int
    kit: int
    price: Money
    cost: Cost
    alternate: str = ""
    note: str = ""
    signs: tuple[FrozenSign, ...] = ()
    findings: tuple[FrozenFinding, ...] = ()


@dataclass(frozen=True, slots=True)
class FrozenExtra:
    """An extra line. unit, total None: text only; cost None: not known."""

    kind: LineKind
    description: str
    quantity: int
    unit: Money | None
    total: Money | None
    cost: Cost | None
    alternate: str = ""


@dataclass(frozen=True, slots=True)
class FrozenTotals:
    """hardware, extras, freight: as quoted [Money]; net, taxes and gross follow from them.

    inclusive: the amounts contain the tax. exempt: certificate, or empty.
    """

    hardware: Money
    extras: Money
    freight: Money
    net: Money
    taxes: tuple[NamedTax, ...]
    gross: Money
    cost: Cost
    inclusive: bool = False
    exempt: str = ""


@dataclass(frozen=True, slots=True)
class FrozenAlternate:
    """An alternate with what it changes: totals of its additions less its deductions."""

    code: str
    title: str
    deducts: tuple[str, ...]
    totals: FrozenTotals


@dataclass(frozen=True, slots=True)
class FrozenParty:
    """The customer as quoted to."""

    code: str
    name: str
    address: tuple[str, ...]
    contact: str
    locale: str
    terms: str


@dataclass(frozen=True, slots=True)
class FrozenCatalog:
    """A catalogue revision the quote was priced on."""

    catalog_id: str
    supplier: str
    revision: int
    edition: date


@dataclass(frozen=True, slots=True)
class Snapshot:
    """An issued revision, whole.

    net_of: what is net of an amount of each kind of line [fraction], where prices contain tax;
    empty: all of it. floor: the house's margin floor that day [fraction], None in snapshots of
    before it was kept. translations: sentences of the snapshot with what the customer reads in
    their place, where that is not English.
    """

    quote: str
    revision: int
    job: str
    job_name: str
    issued: date
    valid_until: date
    issued_by: str
    currency: str
    customer: FrozenParty
    site: str
    site_address: tuple[str, ...]
    salesperson: str
    bids_due: date | None
    ship_to: str
    house_name: str
    catalogs: tuple[FrozenCatalog, ...]
    rules_version: str
    discount: Fraction
    kits: tuple[FrozenKit, ...]
    openings: tuple[FrozenOpening, ...]
    extras: tuple[FrozenExtra, ...]
    totals: FrozenTotals
    alternates: tuple[FrozenAlternate, ...] = ()
    cover_note: str = ""
    terms: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    signs: tuple[FrozenSign, ...] = ()
    net_of: tuple[tuple[LineKind, Fraction], ...] = ()
    discount_reason: str = ""
    floor: Fraction | None = None
    translations: tuple[tuple[str, str], ...] = ()
    format: int = FORMAT

    def kit_of(self, opening: FrozenOpening) -> FrozenKit:
        """The kit of an opening."""
        return self.kits[opening.kit]


def snapshot_text(snapshot: Snapshot) -> str:
    """The snapshot as one line of JSON, the same for the same snapshot."""
    return dumps(to_plain(snapshot), ensure_ascii=False, separators=(",", ":"), sort_keys=True)


def snapshot_from(data: object) -> Snapshot:
    """The snapshot of plain data read from JSON. Raises ValueError, TypeError, KeyError."""
    return from_plain(Snapshot, data)


def digest(text: str) -> str:
    """SHA-256 of a snapshot's text [64 hexadecimal digits], to prove it unchanged."""
    return sha256(text.encode()).hexdigest()
