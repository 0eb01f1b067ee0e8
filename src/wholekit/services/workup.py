"""A job worked up on a day."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date

from wholekit.domain.errors import CallError
from wholekit.domain.kits import Shelf
from wholekit.domain.quotes import Job, JobContents
from wholekit.domain.quotes.asking import Asking, asking_of
from wholekit.domain.quotes.parties import PriceBook
from wholekit.domain.quotes.ready import (
    Availability,
    JobReady,
    KitsWanted,
    Ready,
    job_ready,
    ready_of,
)
from wholekit.domain.quotes.totals import Destination
from wholekit.domain.quotes.worked import WorkedJob, WorkedOpening, work_up
from wholekit.domain.rules import RuleBook
from wholekit.domain.tax import ShipTo
from wholekit.services.availability import ShelfStock, availability_of
from wholekit.services.desk import Desk, shelf_of
from wholekit.services.ports import UnitOfWork
from wholekit.services.stock_port import Stock


@dataclass(frozen=True, slots=True)
class Workup:
    """A job worked up, with where it goes, the catalogue revisions it stands on and what its kits
    may draw on. served: by alternate and mark, kits [count] that have their goods already."""

    job: WorkedJob
    place: Destination
    catalogs: tuple[PriceBook, ...]
    available: Availability
    shelf: Shelf | None = None
    served: Mapping[tuple[str, str], int] = field(default_factory=dict)

    def ready(self) -> tuple[tuple[Ready, ...], ...]:
        """When the kits of each opening can be whole, asked for on the day of the work-up; those
        that have their goods are, and draw nothing."""
        day = self.place.day
        every = [opening.entry.opening.quantity for opening in self.job.openings]
        done = [
            min(count, self.served.get((opening.entry.alternate, opening.entry.mark), 0))
            for count, opening in zip(every, self.job.openings, strict=True)
        ]
        kits = (
            KitsWanted(count - have, opening.kit, opening.firm, opening.entry.alternate)
            for count, have, opening in zip(every, done, self.job.openings, strict=True)
        )
        found = ready_of(kits, self.available, day)
        return tuple(_with(have, parts, day) for have, parts in zip(done, found, strict=True))

    def base_ready(self, known: tuple[tuple[Ready, ...], ...] | None = None) -> JobReady:
        """The kits of the base bid by day; openings of alternates come after them. known: what
        `ready` gave, where it was asked already."""
        ready = zip(self.job.openings, known or self.ready(), strict=True)
        base = (parts for opening, parts in ready if not opening.entry.alternate)
        return job_ready(base, self.place.day)

    def asking(self, rules: RuleBook) -> Asking:
        """What is asked of the job, worked out when it is wanted. Raises RuleError."""
        return asking_of(self.job, self.shelf, rules, self.place.day)


def _with(have: int, parts: tuple[Ready, ...], day: date) -> tuple[Ready, ...]:
    """The parts of an opening with so many kits that are whole on the day."""
    if not have:
        return parts
    rest = [part for part in parts if part.kits]
    if rest and rest[0].day == day:
        return replace(rest[0], kits=rest[0].kits + have), *rest[1:]
    return Ready(have, day), *rest


def work_up_job(
    uow: UnitOfWork, desk: Desk, job: Job, day: date, shelf: Shelf | None = None
) -> Workup:
    """The job's kits, prices and place on a day. shelf: in place of the job's own.

    Raises CallError (customer or ship-to gone, no catalogues, currencies), InputError (overrides).
    """
    return work_up_contents(uow, desk, uow.jobs.contents_under(job), day, shelf)


def work_up_contents(
    uow: UnitOfWork, desk: Desk, contents: JobContents, day: date, shelf: Shelf | None = None
) -> Workup:
    """As `work_up_job`, of contents at hand."""
    # Late: a schedule on its own has no orders, and needs nothing of the pick room.
    from wholekit.services.served import served

    job = contents.job
    customer = uow.customers.get(job.customer)
    if customer is None:
        raise CallError("customer-unknown", name=job.customer)
    ship_to = None
    if job.ship_to:
        ship_to = uow.ship_tos.get(job.ship_to)
        if ship_to is None:
            raise CallError("ship-to-unknown", name=job.ship_to)
        # At every work-up, as the place's rates may have changed since the job chose one.
        check_freight(job, ship_to)
    # A job of extra lines alone needs no catalogue.
    stock: Stock = uow.stock
    if shelf is None and contents.openings:
        shelf = shelf_of(uow, desk, job)
        # It was counted in this unit of work.
        stock = ShelfStock(shelf.stock)
    worked = work_up(contents, customer, shelf, desk.rules, day)
    revisions = {ref.catalog_id: ref.revision for ref in job.catalogs}
    return Workup(
        worked,
        Destination(ship_to, day, customer.tax.certificate_on(day), job.freight),
        tuple(
            # 0 where another shelf than the job's own is tried.
            PriceBook(catalog.id, catalog.supplier, revisions.get(catalog.id, 0), catalog.edition)
            for catalog in sorted(worked.catalogs, key=lambda catalog: catalog.id)
        ),
        availability_of(
            (opening.kit for opening in worked.openings),
            stock,
            desk.rules,
            uow.policy.get().holidays,
        ),
        shelf,
        served(uow, contents),
    )


def without_stopped(workup: Workup) -> tuple[Workup, tuple[WorkedOpening, ...]]:
    """The same job with its firm openings alone, and those that are left out.

    Raises CallError where an alternate would lose an opening: what it takes out of the base bid
    would be gone without its replacement.
    """
    job = workup.job
    out = tuple(opening for opening in job.openings if not opening.firm)
    for opening in out:
        if opening.entry.alternate:
            raise CallError(
                "alternate-stopped", name=opening.entry.alternate, mark=opening.entry.mark
            )
    kept = tuple(opening for opening in job.openings if opening.firm)
    contents = replace(job.contents, openings=tuple(opening.entry for opening in kept))
    return replace(workup, job=replace(job, contents=contents, openings=kept)), out


def check_freight(job: Job, place: ShipTo) -> None:
    """Raises CallError where the job's freight rate is not one of the place, or is charged in
    another currency than the job's."""
    rate = place.freight_of(job.freight)
    if job.freight and rate is None:
        raise CallError(
            "freight-unknown",
            freight=job.freight,
            name=place.code,
            known=[freight.name for freight in place.freights],
        )
    if rate is not None and rate.flat.currency != job.currency:
        raise CallError(
            "freight-currency",
            name=place.code,
            currency=rate.flat.currency,
            job_currency=job.currency,
        )
