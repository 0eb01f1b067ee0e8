"""A job as it stands: its header, openings with hand overrides and releases, extra lines."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from fractions import Fraction

from wholekit.domain.findings import Finding
from wholekit.domain.kits.choices import Wish
from wholekit.domain.openings import Opening, UnaskedDoor
from wholekit.domain.plain import SPARSE
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.tax import LineKind

BASE = ""


@dataclass(frozen=True, slots=True)
class CatalogRef:
    """One revision of one supplier's catalogue in the store."""

    catalog_id: str
    revision: int


@dataclass(frozen=True, slots=True)
class Alternate:
    """An option beside the base bid: openings and lines under its code are added, `deducts` are
    marks of the base bid it takes out. Its total may be an addition or a deduction."""

    code: str
    title: str
    deducts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Job:
    """The header of a job. Openings and extra lines are kept beside it, each with its version.

    number: the house's running number, from 1. customer, ship_to: codes. freight: which of the
    place's named rates, empty = its first. discount: off the
    customer's prices, for the whole job [fraction]; discount_reason says why. catalogs: the
    catalogue revisions it is priced on. unasked: doors of the customer's sheets that nothing was
    asked for, also where they became openings since. not_used: headings of those sheets that
    nothing was read from. version: counts changes of the header, from 1.
    """

    id: str
    number: int
    name: str
    customer: str
    currency: str
    created_at: datetime
    created_by: str
    site: str = ""
    site_address: tuple[str, ...] = ()
    contact: str = ""
    ship_to: str = ""
    freight: str = ""
    bids_due: date | None = None
    salesperson: str = ""
    note: str = ""
    discount: Fraction = Fraction(0)
    discount_reason: str = ""
    catalogs: tuple[CatalogRef, ...] = ()
    prefer: tuple[str, ...] = ()
    stock_first: bool = False
    alternates: tuple[Alternate, ...] = ()
    version: int = 1
    unasked: tuple[UnaskedDoor, ...] = field(default=(), metadata={SPARSE: True})
    not_used: tuple[str, ...] = field(default=(), metadata={SPARSE: True})

    @property
    def label(self) -> str:
        """The number as people write it: `J-00012`."""
        return f"J-{self.number:05d}"


class OverrideKind(StrEnum):
    """What a hand has set: the spring size, an item, a price, or which kit of several."""

    SIZE = "size"
    ITEM = "item"
    PRICE = "price"
    CHOICE = "choice"


@dataclass(frozen=True, slots=True)
class Override:
    """Something set by hand on an opening, by whom, when and why; it stays visible.

    SIZE: `size` [class]. ITEM: `sku` is replaced by `other_sku` (None: left out), or `other_sku`
    is added where sku is empty; quantity for one opening [count], None keeps the line's. PRICE:
    `price` each for `sku`, or for the whole opening where sku is empty [Money]. CHOICE: `wish`,
    beside the opening's facts.
    """

    kind: OverrideKind
    reason: str
    by: str
    at: datetime
    size: int | None = None
    sku: str = ""
    other_sku: str | None = None
    quantity: int | None = None
    price: Money | None = None
    wish: Wish | None = None

    @property
    def about(self) -> tuple[str, str]:
        """What it sets: of two about the same, the later stands."""
        return self.kind.value, self.sku or (self.other_sku or "")


@dataclass(frozen=True, slots=True)
class Release:
    """A stop finding let go by name: code and what exactly it said, by whom, when and why."""

    code: str
    about: str
    reason: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class JobOpening:
    """One mark of a job. alternate: empty for the base bid. position: order in the job.

    version: counts changes of this opening, from 1; a change made on an older one is refused.
    """

    id: str
    job_id: str
    position: int
    opening: Opening
    alternate: str = BASE
    overrides: tuple[Override, ...] = ()
    releases: tuple[Release, ...] = ()
    version: int = 1

    @property
    def mark(self) -> str:
        """The opening's mark."""
        return self.opening.mark


@dataclass(frozen=True, slots=True)
class ExtraLine:
    """Anything else the customer wants: hinges, freight, labour, free text.

    unit: net price each [Money], None for a line of text only. cost: own cost each, None where
    it is not known. version: counts changes, from 1.
    """

    id: str
    job_id: str
    position: int
    kind: LineKind
    description: str
    quantity: int = 1
    unit: Money | None = None
    cost: Cost | None = None
    alternate: str = BASE
    version: int = 1

    @property
    def total(self) -> Money | None:
        """Net for the line [Money]; None for text only."""
        return None if self.unit is None else self.unit.times(self.quantity)


@dataclass(frozen=True, slots=True)
class JobContents:
    """A job whole: header, openings and extra lines in their order."""

    job: Job
    openings: tuple[JobOpening, ...] = ()
    extras: tuple[ExtraLine, ...] = ()


def finding_about(finding: Finding) -> str:
    """What exactly a finding said, so that a release does not outlive what it was given for.

    >>> from wholekit.domain.findings import Severity
    >>> finding_about(Finding("size-too-small", Severity.STOP, {"wanted": 4, "largest": 3}))
    'largest=3; wanted=4'
    """
    return "; ".join(f"{name}={_said(value)}" for name, value in sorted(finding.fields.items()))


def in_order(openings: Sequence[JobOpening]) -> tuple[JobOpening, ...]:
    """Base bid first, then alternates by code; within each by position, then id."""
    return tuple(
        sorted(openings, key=lambda opening: (opening.alternate, opening.position, opening.id))
    )


def _said(value: object) -> str:
    if isinstance(value, tuple | list):
        return ", ".join(_said(part) for part in value)
    return str(value)
