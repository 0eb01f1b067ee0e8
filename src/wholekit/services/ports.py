"""What the services ask of a store: protocols over domain objects, and nothing of how it is kept.

Writing happens inside `Store.writing()`: after `commit()` all of it is there, without it nothing.
Every repository method that changes something raises ConflictError where the version it was told
is not the one that is there, and leaves all as it was.
"""

from collections.abc import Collection, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import TYPE_CHECKING, Protocol

from wholekit.domain.customers import Customer
from wholekit.domain.findings import Finding
from wholekit.domain.kits import Kit
from wholekit.domain.openings import OpeningType
from wholekit.domain.openings.sheet import KeptChoices
from wholekit.domain.quotes import (
    Approval,
    AuditEntry,
    ExtraLine,
    HousePolicy,
    Job,
    JobContents,
    JobOpening,
    Offer,
    Override,
    Person,
    Revision,
    Snapshot,
    State,
    state_on,
)
from wholekit.domain.quotes.asking import NOTHING_ASKED, Asking
from wholekit.domain.quotes.offer import OfferWords
from wholekit.domain.rules import RuleBook
from wholekit.domain.tax import ShipTo
from wholekit.services.catalog_port import CatalogRepository
from wholekit.services.paging import Page as Page  # asked for with the ports
from wholekit.services.price_port import PlannedRiseRepository, PriceSheetRepository

if TYPE_CHECKING:
    from wholekit.domain.picking import BagEvent
    from wholekit.domain.stock import Movement
    from wholekit.services.account_port import AccountRepository

    # What only the pick room needs is not loaded for a kit at the counter.
    from wholekit.services.order_port import OrderRepository, WareRepository
    from wholekit.services.paper_port import PaperQueue
    from wholekit.services.purchase_port import PurchaseRepository
    from wholekit.services.stock_port import StockLedger


class IdSource(Protocol):
    """Where new ids come from; no two alike."""

    def new(self) -> str:
        """A new id, at most 40 characters of a-z, 0-9 and hyphen."""


@dataclass(frozen=True, slots=True)
class JobFilter:
    """Which jobs: empty or None = any. quoted: those with a quote only.

    text, case aside: in name, site or customer; or the whole of its own number or that of its
    quote, of a mark, of an item that was quoted, or of the customer's order.
    """

    customer: str = ""
    salesperson: str = ""
    text: str = ""
    due_from: date | None = None
    due_to: date | None = None
    quoted: bool = False


@dataclass(frozen=True, slots=True)
class JobSummary:
    """A job in a list. state, valid_until: of its latest revision, None without one; openings:
    marks [count]; net: of the latest issued revision [minor units], None before the first."""

    id: str
    number: int
    name: str
    customer: str
    customer_name: str
    salesperson: str
    bids_due: date | None
    created_at: datetime
    currency: str
    openings: int
    quote_number: int
    revision: int
    state: State | None
    net: int | None
    valid_until: date | None = None

    def on(self, day: date) -> "JobSummary":
        """The row as it is on a day: an issued quote past its last valid day has expired."""
        if self.state is None:
            return self
        return replace(self, state=state_on(self.state, self.valid_until, day))


class JobRepository(Protocol):
    """Jobs with their openings and extra lines.

    `for_change` holds the job for this unit of work until its end, where the engine can, so that
    marks, positions and issuing see nobody else's half.
    """

    def add(self, job: Job) -> None:
        """A new job's header."""

    def get(self, job_id: str) -> Job | None:
        """The header, or None."""

    def several(self, job_ids: Collection[str]) -> Sequence[Job]:
        """Headers by id; those that are not there are left out."""

    def by_number(self, number: int) -> Job | None:
        """The header of a running number, or None."""

    def for_change(self, job_id: str) -> Job | None:
        """The header, and the job held for this unit of work."""

    def save(self, job: Job, expected: int) -> None:
        """The header anew; `job.version` is expected + 1. Raises ConflictError."""

    def contents(self, job_id: str) -> JobContents | None:
        """Header, openings and extra lines, both by (alternate, position, id)."""

    def contents_under(self, job: Job) -> JobContents:
        """The same under a header that this unit of work has read."""

    def contents_of(self, job_ids: Collection[str]) -> Mapping[str, JobContents]:
        """The same of several jobs by id; those that are not there are left out."""

    def page(self, wanted: JobFilter, page: Page) -> tuple[Sequence[JobSummary], int]:
        """Rows by running number, latest first, and how many there are in all."""

    def opening(self, job_id: str, alternate: str, mark: str) -> JobOpening | None:
        """The opening of a mark, or None."""

    def marks(self, job_id: str) -> Mapping[tuple[str, str], int]:
        """(alternate, mark) of every opening with its position."""

    def add_openings(self, openings: Sequence[JobOpening]) -> None:
        """New openings of one job. Raises ConflictError (`mark-taken`) for a mark that is there."""

    def save_opening(self, opening: JobOpening, expected: int) -> None:
        """One opening anew; its version is expected + 1. Raises ConflictError."""

    def remove_opening(self, opening: JobOpening, expected: int) -> None:
        """Take an opening out. Raises ConflictError."""

    def extra(self, job_id: str, extra_id: str) -> ExtraLine | None:
        """An extra line, or None."""

    def add_extra(self, extra: ExtraLine) -> None:
        """A new extra line."""

    def save_extra(self, extra: ExtraLine, expected: int) -> None:
        """One extra line anew. Raises ConflictError."""

    def remove_extra(self, extra: ExtraLine, expected: int) -> None:
        """Take an extra line out. Raises ConflictError."""


@dataclass(frozen=True, slots=True)
class RevisionFilter:
    """Which issued revisions: by issue day (both days in), by the job's customer or salesperson.

    states: as stored, empty = all but drafts.
    """

    issued_from: date | None = None
    issued_to: date | None = None
    customer: str = ""
    salesperson: str = ""
    job_id: str = ""
    states: frozenset[State] = frozenset()


class RevisionRepository(Protocol):
    """Revisions of quotes. What is issued is kept as it is: only its state moves."""

    def add(self, revision: Revision) -> None:
        """A new revision. Raises ConflictError where the job already has one of that number."""

    def get(self, revision_id: str) -> Revision | None:
        """A revision with its snapshot, or None."""

    def of_job(self, job_id: str) -> tuple[Revision, ...]:
        """All revisions of a job by number, snapshots left out (None)."""

    def by_quote(self, quote_number: int) -> tuple[Revision, ...]:
        """All revisions of a quote by number, snapshots left out (None)."""

    def save(self, revision: Revision, expected: int) -> None:
        """A revision anew. Raises ConflictError.

        The snapshot of one that was issued before is never written again: None leaves it as it
        is, and another than the one stored is refused (CallError `snapshot-frozen`).
        """

    def remove(self, revision: Revision, expected: int) -> None:
        """Take a draft out. Raises ConflictError; CallError for one that was issued."""

    def waiting(self) -> Sequence[Revision]:
        """Drafts with a request that no owner has answered, those asked first at the head."""

    def matching(self, wanted: RevisionFilter) -> Sequence[Revision]:
        """Revisions by quote and revision number, snapshots with them; no drafts."""


class CustomerRepository(Protocol):
    """Customers by code."""

    def get(self, code: str) -> Customer | None:
        """The customer, or None."""

    def several(self, codes: Collection[str]) -> Mapping[str, Customer]:
        """Customers by code; those that are not there are left out."""

    def add(self, customer: Customer) -> None:
        """A new customer. Raises ConflictError (`customer-taken`)."""

    def save(self, customer: Customer, expected: int) -> None:
        """A customer anew. Raises ConflictError."""

    def page(self, text: str, page: Page) -> tuple[Sequence[Customer], int]:
        """Customers by code whose code or name holds the text, and how many there are in all."""


class SheetRepository(Protocol):
    """What was chosen of customers' sheets, by the customer's code."""

    def get(self, customer: str) -> KeptChoices | None:
        """The choices, or None."""

    def add(self, kept: KeptChoices) -> None:
        """The first choices of a customer. Raises ConflictError (`sheet-taken`)."""

    def save(self, kept: KeptChoices, expected: int) -> None:
        """Choices anew. Raises ConflictError."""


class ShipToRepository(Protocol):
    """Ship-to places with their rates, by code."""

    def get(self, code: str) -> ShipTo | None:
        """The place, or None."""

    def add(self, place: ShipTo) -> None:
        """A new place. Raises ConflictError (`ship-to-taken`)."""

    def save(self, place: ShipTo, expected: int) -> None:
        """A place anew. Raises ConflictError."""

    def all(self) -> Sequence[ShipTo]:
        """Every place by code."""


class PersonRepository(Protocol):
    """People of the house by name."""

    def get(self, name: str) -> Person | None:
        """The person, or None."""

    def standing(self, name: str, *, held: bool = False) -> tuple[Person, bool] | None:
        """The person, and whether anybody at all has an account; None for a name nobody has. held:
        nobody changes this person until the unit of work ends."""

    def add(self, person: Person) -> None:
        """A new person. Raises ConflictError (`person-taken`)."""

    def save(self, person: Person, expected: int) -> None:
        """A person anew. Raises ConflictError."""

    def all(self) -> Sequence[Person]:
        """Everybody by name."""


class PolicyRepository(Protocol):
    """The owner's settings: one."""

    def get(self) -> HousePolicy:
        """The settings; the defaults, at version 1, until someone sets them."""

    def save(self, policy: HousePolicy, expected: int) -> None:
        """The settings anew. Raises ConflictError."""


@dataclass(frozen=True, slots=True)
class LogFilter:
    """Which entries of the log: empty or None = any. day: where the clock of the deed hung."""

    who: str = ""
    day: date | None = None
    job_id: str = ""


class AuditLog(Protocol):
    """What was changed; nothing of it can be edited."""

    def add(self, entry: AuditEntry) -> None:
        """One entry more, with the unit of work it belongs to."""

    def of_job(self, job_id: str) -> Sequence[AuditEntry]:
        """A job's entries, first to last."""

    def count_of_job(self, job_id: str) -> int:
        """How many entries a job has."""

    def of_subject(self, subject: str, *subject_ids: str) -> Sequence[AuditEntry]:
        """The entries of one subject, or of several of a kind, first to last."""

    def page(self, wanted: LogFilter, page: Page) -> tuple[Sequence[AuditEntry], int]:
        """Entries, the latest first, and how many there are in all."""

    def names(self) -> Sequence[str]:
        """Whoever stands in it, by name."""


class Numbers(Protocol):
    """Running numbers without gaps or repeats: a number is taken with the unit of work."""

    def take(self, series: str) -> int:
        """The next number of a series (`job`, `quote`, `purchase-order`), from 1.

        Whoever else takes one waits for this unit of work to end; without commit it is not taken.
        """

    def latest(self, series: str) -> int:
        """The number of a series that was taken last, 0 for none."""


class UnitOfWork(Protocol):
    """All repositories over one transaction."""

    @property
    def jobs(self) -> JobRepository:
        """Jobs."""

    @property
    def revisions(self) -> RevisionRepository:
        """Revisions."""

    @property
    def customers(self) -> CustomerRepository:
        """Customers."""

    @property
    def sheets(self) -> SheetRepository:
        """What was chosen of customers' sheets."""

    @property
    def ship_tos(self) -> ShipToRepository:
        """Ship-to places."""

    @property
    def people(self) -> PersonRepository:
        """People."""

    @property
    def policy(self) -> PolicyRepository:
        """The owner's settings."""

    @property
    def catalogs(self) -> CatalogRepository:
        """Catalogues."""

    @property
    def price_sheets(self) -> PriceSheetRepository:
        """What was told of suppliers' price sheets."""

    @property
    def planned_rises(self) -> PlannedRiseRepository:
        """Rises not loaded yet."""

    @property
    def stock(self) -> "StockLedger":
        """Stock."""

    @property
    def wares(self) -> "WareRepository":
        """Items as the pick room knows them."""

    @property
    def orders(self) -> "OrderRepository":
        """Orders of the pick room."""

    @property
    def purchases(self) -> "PurchaseRepository":
        """Purchase orders."""

    @property
    def accounts(self) -> "AccountRepository":
        """Accounts, seats and tries."""

    @property
    def papers(self) -> "PaperQueue":
        """Papers that were asked for."""

    @property
    def audit(self) -> AuditLog:
        """The audit log."""

    @property
    def numbers(self) -> Numbers:
        """Running numbers."""

    def count_scan(self, bag_id: str, event: "BagEvent", movements: "Sequence[Movement]") -> None:
        """What happened to a bag, with the movements that it is, none of it there before. Raises
        as `StockLedger.move`; ConflictError where the id was given to something else."""

    def commit(self) -> None:
        """Make everything of this unit of work last; it is then at its end."""


class Store(Protocol):
    """Where units of work come from."""

    def reading(self) -> AbstractContextManager[UnitOfWork]:
        """A unit of work over one consistent view; nothing can be changed in it."""

    def writing(self) -> AbstractContextManager[UnitOfWork]:
        """A unit of work that may change things; left without commit, nothing has happened."""


class Words(Protocol):
    """How an offer is put into words."""

    def offer(
        self,
        offer: Offer,
        kits: Sequence[Kit],
        notes: Mapping[str, Sequence[Finding]],
        rules: RuleBook,
        asking: Asking = NOTHING_ASKED,
    ) -> OfferWords:
        """An offer's sentences in the language in use.

        kits: those of the offer, with their why; notes: what openings' notes say, by place;
        asking: what is asked of the customer.
        """

    def assumed(self, asking: Asking, kits: Sequence[Kit]) -> tuple[str, ...]:
        """What is open and not asked for, as it is assumed, in the units of the kits' openings."""

    def language(self, locale: str) -> str:
        """The CLDR language that papers of a locale come in; `en` where there is no other."""

    def in_english(self, locale: str) -> str:
        """The locale of English words beside it: its own where it is one of English."""

    def speaking(self, locale: str) -> AbstractContextManager[None]:
        """What is worded inside comes in the locale's language."""

    def override(self, override: Override) -> str:
        """What a hand has set, without the reason."""

    def approval(self, approval: Approval) -> str:
        """What was approved, part by part, without the reason."""

    def finding(self, finding: Finding, kind: OpeningType, rules: RuleBook) -> str:
        """A finding's sentence, in the units of its opening."""


def snapshot_of(revision: Revision) -> Snapshot:
    """The snapshot of an issued revision; asking a draft for one is a fault of the program."""
    if revision.snapshot is None:
        raise ValueError(revision.id)
    return revision.snapshot
