"""Jobs: made, changed, given alternates, moved to newer catalogues, listed."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from wholekit.domain.customers import Customer
from wholekit.domain.errors import CallError
from wholekit.domain.openings import UnaskedDoor
from wholekit.domain.quotes import Alternate, CatalogRef, Job, JobContents, State
from wholekit.domain.quotes.roles import Action
from wholekit.domain.tax import ShipTo
from wholekit.services.desk import (
    Deed,
    Desk,
    check_version,
    held_job,
    job_of,
    need_plain,
    need_reason,
    note,
)
from wholekit.services.ports import JobFilter, JobSummary, Page, UnitOfWork
from wholekit.services.rights import needs
from wholekit.services.workup import check_freight

# What a person may set on a job; the rest follows from other actions.
EDITABLE = frozenset(
    {"name", "customer", "site", "site_address", "contact", "ship_to", "freight", "bids_due",
     "salesperson", "note", "prefer", "stock_first"}
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class NewJob:
    """What a job begins with. suppliers: catalogue ids to price on; empty = all in its currency.

    ship_to: None = the customer's. freight: one of the place's named rates; empty = its usual one.
    """

    name: str
    customer: str
    site: str = ""
    site_address: tuple[str, ...] = ()
    contact: str = ""
    ship_to: str | None = None
    bids_due: date | None = None
    salesperson: str = ""
    note: str = ""
    suppliers: tuple[str, ...] = ()
    prefer: tuple[str, ...] = ()
    stock_first: bool = False
    freight: str = ""


@needs(Action.CHANGE_JOBS)
def create_job(desk: Desk, deed: Deed, new: NewJob) -> Job:
    """A new job, priced on the latest catalogues in its customer's currency, if there are any.

    Raises CallError: unknown customer, ship-to, freight rate or supplier, no name, somebody the
    house does not know.
    """
    with desk.store.writing() as uow:
        customer = uow.customers.get(new.customer)
        if customer is None:
            raise CallError("customer-unknown", name=new.customer)
        if not new.name.strip():
            raise CallError("job-name-needed")
        # By revision: a later load moves no price of this job until the job is moved to it.
        catalogs = _current(uow, customer.currency, new.suppliers or _usual(uow, customer, new))
        _check_preferred(new.prefer, catalogs)
        job = Job(
            id=desk.ids.new(),
            number=uow.numbers.take("job"),
            name=new.name.strip(),
            customer=customer.code,
            currency=customer.currency,
            created_at=deed.at,
            created_by=deed.who,
            site=new.site,
            site_address=new.site_address,
            contact=new.contact,
            ship_to=customer.ship_to if new.ship_to is None else new.ship_to,
            freight=new.freight,
            bids_due=new.bids_due,
            salesperson=new.salesperson or deed.signs,
            note=new.note,
            catalogs=catalogs,
            prefer=new.prefer,
            stock_first=new.stock_first,
        )
        job = _placed(uow, job)
        need_plain(job)
        uow.jobs.add(job)
        note(uow, deed, "job-created", "job", job.id, job_id=job.id, after=job)
        uow.commit()
    return job


@needs(Action.CHANGE_JOBS)
def edit_job(
    desk: Desk, deed: Deed, reference: str, changes: dict[str, object], expected: int | None = None
) -> Job:
    """Set fields of a job (see EDITABLE).

    With another customer (of the same currency) prices are theirs at once, and ship-to and contact
    are those given, or else the new customer's own. A freight rate that a new ship-to does not have
    gives way to its usual one. Raises CallError, ConflictError.
    """
    unknown = sorted(set(changes) - EDITABLE)
    if unknown:
        raise CallError("job-field-unknown", field=unknown[0], known=sorted(EDITABLE))

    def change(uow: UnitOfWork, job: Job) -> Job:
        new = replace(job, **changes)  # type: ignore[arg-type]  # the command read them by field
        if not new.name.strip():
            raise CallError("job-name-needed")
        if new.customer != job.customer:
            new = _handed_over(uow, job, new, changes)
        if new.ship_to != job.ship_to and "freight" not in changes:
            new = _freight_kept(uow, new)
        # Only then: a rate that has gone from its place meanwhile must not keep a name or a note
        # from being set.
        if (new.ship_to, new.freight) != (job.ship_to, job.freight):
            new = _placed(uow, new)
        _check_preferred(new.prefer, new.catalogs)
        return new

    return _change(desk, deed, reference, expected, "job-edited", change)


@needs(Action.GIVE_DISCOUNTS)
def set_discount(
    desk: Desk,
    deed: Deed,
    reference: str,
    discount: Fraction,
    reason: str,
    expected: int | None = None,
) -> Job:
    """Set the job's discount off the customer's prices [fraction], with a reason.

    Whether it is within the role's limit is seen at issue. Raises CallError (a name that the house
    does not know), ConflictError.
    """
    if not 0 <= discount < 1:
        raise CallError("discount-out-of-range", given=f"{float(discount):.1%}")
    said = need_reason(reason, "discount") if discount else reason.strip()

    def change(_: UnitOfWork, job: Job) -> Job:
        return replace(job, discount=discount, discount_reason=said)

    return _change(desk, deed, reference, expected, "discount-set", change, said)


@needs(Action.CHANGE_JOBS)
def set_alternate(
    desk: Desk,
    deed: Deed,
    reference: str,
    alternate: Alternate,
    expected: int | None = None,
) -> Job:
    """Add an alternate, or set one anew by its code. Raises CallError, ConflictError.

    It has a title, and the marks it takes out must be marks of the base bid.
    """
    if not alternate.code.strip():
        raise CallError("alternate-code-needed")
    if not alternate.title.strip():
        raise CallError("alternate-title-needed", name=alternate.code)

    def change(uow: UnitOfWork, job: Job) -> Job:
        marks = uow.jobs.marks(job.id)
        for mark in alternate.deducts:
            if ("", mark) not in marks:
                raise CallError(
                    "mark-unknown",
                    mark=mark,
                    known=[base_mark for other, base_mark in marks if not other],
                )
        if len(set(alternate.deducts)) != len(alternate.deducts):
            raise CallError("alternate-deducts-twice", name=alternate.code)
        others = [other for other in job.alternates if other.code != alternate.code]
        return replace(
            job, alternates=tuple(sorted([*others, alternate], key=lambda each: each.code))
        )

    return _change(desk, deed, reference, expected, "alternate-set", change)


@needs(Action.CHANGE_JOBS)
def remove_alternate(
    desk: Desk, deed: Deed, reference: str, code: str, expected: int | None = None
) -> Job:
    """Take an alternate out; it must be empty. Raises CallError, ConflictError."""

    def change(uow: UnitOfWork, job: Job) -> Job:
        need_alternate(job, code)
        contents = uow.jobs.contents(job.id)
        if contents is not None and (
            any(opening.alternate == code for opening in contents.openings)
            or any(extra.alternate == code for extra in contents.extras)
        ):
            raise CallError("alternate-not-empty", name=code, job=job.label)
        return replace(
            job, alternates=tuple(other for other in job.alternates if other.code != code)
        )

    return _change(desk, deed, reference, expected, "alternate-removed", change)


@needs(Action.CHANGE_JOBS)
def reprice_job(
    desk: Desk,
    deed: Deed,
    reference: str,
    suppliers: Sequence[str] = (),
    expected: int | None = None,
) -> Job:
    """Move a job to the latest revision of its catalogues. suppliers: in place of those it has.

    A job that is on them already is left as it is, and nothing is written. Raises CallError,
    ConflictError.
    """

    def change(uow: UnitOfWork, job: Job) -> Job:
        # A job that has none yet takes all in its currency.
        wanted = tuple(suppliers) or tuple(ref.catalog_id for ref in job.catalogs)
        catalogs = _current(uow, job.currency, wanted)
        _check_preferred(job.prefer, catalogs)
        return replace(job, catalogs=catalogs)

    return _change(desk, deed, reference, expected, "job-repriced", change)


@needs(Action.SEE_JOBS)
def job_header(desk: Desk, deed: Deed, reference: str) -> Job:
    """A job's header. Raises CallError."""
    with desk.store.reading() as uow:
        return job_of(uow, reference)


@needs(Action.SEE_JOBS)
def job_contents(desk: Desk, deed: Deed, reference: str) -> JobContents:
    """A job whole. Raises CallError."""
    with desk.store.reading() as uow:
        contents = uow.jobs.contents(job_of(uow, reference).id)
    if contents is None:
        raise CallError("job-unknown", job=reference)
    return contents


@needs(Action.SEE_JOBS)
def list_jobs(
    desk: Desk, deed: Deed, wanted: JobFilter, page: Page
) -> tuple[Sequence[JobSummary], int]:
    """Jobs, latest first, with the state of their quotes on the deed's day, and how many in all.

    Raises CallError: no such customer, days in the wrong order.
    """
    if wanted.due_from and wanted.due_to and wanted.due_to < wanted.due_from:
        raise CallError("dates-reversed", first=f"{wanted.due_from}", last=f"{wanted.due_to}")
    with desk.store.reading() as uow:
        if wanted.customer and uow.customers.get(wanted.customer) is None:
            raise CallError("customer-unknown", name=wanted.customer)
        rows, count = uow.jobs.page(wanted, page)
    return [row.on(deed.day) for row in rows], count


def need_alternate(job: Job, code: str) -> None:
    """Raises CallError unless the code is the base bid's (empty) or one of the job's alternates."""
    if code and all(other.code != code for other in job.alternates):
        raise CallError(
            "alternate-unknown",
            name=code,
            job=job.label,
            known=[other.code for other in job.alternates],
        )


def save_unasked(
    uow: UnitOfWork, deed: Deed, job: Job, doors: tuple[UnaskedDoor, ...], columns: tuple[str, ...]
) -> None:
    """Put doors that nothing was asked for, and headings of columns that nothing was read from, in
    place of a held job's; the same again writes nothing."""
    if (doors, columns) == (job.unasked, job.not_used):
        return
    new = replace(job, unasked=doors, not_used=columns, version=job.version + 1)
    uow.jobs.save(new, job.version)
    note(uow, deed, "job-edited", "job", job.id, job_id=job.id, before=job, after=new)


def _change(
    desk: Desk,
    deed: Deed,
    reference: str,
    expected: int | None,
    action: str,
    change: Callable[[UnitOfWork, Job], Job],
    reason: str = "",
) -> Job:
    with desk.store.writing() as uow:
        job = held_job(uow, reference)
        check_version("job", job.label, expected, job.version)
        wanted = change(uow, job)
        # No change, so no new version that others would stumble over, and no entry in the log.
        if wanted == job:
            return job
        new = replace(wanted, version=job.version + 1)
        need_plain(new)
        # `need_plain` looks no deeper than the fields of what it is given.
        for alternate in new.alternates:
            need_plain(alternate)
        uow.jobs.save(new, job.version)
        note(uow, deed, action, "job", job.id, job_id=job.id, before=job, after=new, reason=reason)
        uow.commit()
    return new


def _place_of(uow: UnitOfWork, code: str) -> ShipTo:
    place = uow.ship_tos.get(code)
    if place is None:
        raise CallError("ship-to-unknown", name=code)
    return place


def _placed(uow: UnitOfWork, job: Job) -> Job:
    """The job with its freight rate as its ship-to spells it. Raises CallError."""
    if not job.ship_to:
        if job.freight:
            raise CallError("freight-without-place")
        return job
    place = _place_of(uow, job.ship_to)
    rate = place.freight_named(job.freight)
    placed = job if not job.freight or rate is None else replace(job, freight=rate.name)
    check_freight(placed, place)
    return placed


def _freight_kept(uow: UnitOfWork, job: Job) -> Job:
    """The job with its freight rate kept where its new ship-to has one of the name."""
    there = bool(job.ship_to) and _place_of(uow, job.ship_to).freight_named(job.freight) is not None
    return job if there else replace(job, freight="")


def _handed_over(uow: UnitOfWork, old: Job, new: Job, given: Mapping[str, object]) -> Job:
    """The job as another customer's. Raises CallError."""
    customer = uow.customers.get(new.customer)
    if customer is None:
        raise CallError("customer-unknown", name=new.customer)
    if customer.currency != old.currency:
        raise CallError(
            "customer-currency",
            name=customer.code,
            currency=customer.currency,
            job=old.label,
            job_currency=old.currency,
        )
    for revision in uow.revisions.of_job(old.id):
        # What was accepted is an order of the customer who accepted it.
        if revision.state is State.ACCEPTED:
            raise CallError("customer-accepted", label=revision.label, name=old.customer)
    return replace(
        new,
        ship_to=new.ship_to if "ship_to" in given else customer.ship_to,
        contact=new.contact if "contact" in given else "",
    )


def _usual(uow: UnitOfWork, customer: Customer, new: NewJob) -> tuple[str, ...]:
    """The one supplier of the house's settings, where it sells in the customer's currency.

    A job that says whom it prefers chooses among all.
    """
    supplier = uow.policy.get().one_supplier
    sold = (
        stored.catalog_id == supplier and stored.currency == customer.currency
        for stored in uow.catalogs.current()
    )
    return (supplier,) if supplier and not new.prefer and any(sold) else ()


def _check_preferred(prefer: Sequence[str], catalogs: Sequence[CatalogRef]) -> None:
    known = [ref.catalog_id for ref in catalogs]
    for supplier in prefer:
        if supplier not in known:
            raise CallError("prefer-not-priced", supplier=supplier, known=known)


def _current(uow: UnitOfWork, currency: str, suppliers: Sequence[str]) -> tuple[CatalogRef, ...]:
    current = {revision.catalog_id: revision for revision in uow.catalogs.current()}
    for supplier in suppliers:
        if supplier not in current:
            raise CallError("supplier-not-in-store", supplier=supplier, known=list(current))
        if current[supplier].currency != currency:
            raise CallError(
                "supplier-currency",
                supplier=supplier,
                currency=current[supplier].currency,
                job_currency=currency,
            )
    return tuple(
        CatalogRef(stored.catalog_id, stored.revision)
        for stored in current.values()
        if stored.currency == currency and (not suppliers or stored.catalog_id in suppliers)
    )
