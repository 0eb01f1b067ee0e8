"""Jobs: made, changed, given alternates, moved to newer catalogues, listed."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from wholekit.domain.errors import CallError
from wholekit.domain.quotes import Alternate, CatalogRef, Job, JobContents
from wholekit.services.desk import (
    Deed,
    Desk,
    check_version,
    held_job,
    job_of,
    need_known,
    need_plain,
    need_reason,
    note,
)
from wholekit.services.ports import JobFilter, JobRow, Page, UnitOfWork

# What a person may set on a job; the rest follows from other actions.
EDITABLE = frozenset(
    {"name", "site", "site_address", "contact", "ship_to", "bids_due", "salesperson", "note",
     "prefer", "stock_first"}
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class NewJob:
    """What a job begins with. suppliers: catalogue ids to price on; empty = all in its currency."""

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


def create_job(desk: Desk, deed: Deed, new: NewJob) -> Job:
    """A new job, priced on the latest catalogues in its customer's currency, if there are any.

    Raises CallError: unknown customer, ship-to or supplier, no name.
    """
    with desk.store.writing() as uow:
        customer = uow.customers.get(new.customer)
        if customer is None:
            raise CallError("customer-unknown", name=new.customer)
        if not new.name.strip():
            raise CallError("job-name-needed")
        ship_to = customer.ship_to if new.ship_to is None else new.ship_to
        _check_ship_to(uow, ship_to)
        catalogs = _current(uow, customer.currency, new.suppliers)
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
            ship_to=ship_to,
            bids_due=new.bids_due,
            salesperson=new.salesperson or deed.who,
            note=new.note,
            catalogs=catalogs,
            prefer=new.prefer,
            stock_first=new.stock_first,
        )
        need_plain(job)
        uow.jobs.add(job)
        note(uow, deed, "job-created", "job", job.id, job_id=job.id, after=job)
        uow.commit()
    return job


def edit_job(
    desk: Desk, deed: Deed, reference: str, changes: dict[str, object], expected: int | None = None
) -> Job:
    """Set fields of a job (see EDITABLE). Raises CallError, ConflictError."""
    unknown = sorted(set(changes) - EDITABLE)
    if unknown:
        raise CallError("job-field-unknown", field=unknown[0], known=sorted(EDITABLE))

    def change(uow: UnitOfWork, job: Job) -> Job:
        if "ship_to" in changes:
            _check_ship_to(uow, str(changes["ship_to"]))
        new = replace(job, **changes)  # type: ignore[arg-type]  # the command read them by field
        if not new.name.strip():
            raise CallError("job-name-needed")
        _check_preferred(new.prefer, new.catalogs)
        return new

    return _change(desk, deed, reference, expected, "job-edited", change)


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
    said = need_reason(reason, "a discount") if discount else reason.strip()

    def change(uow: UnitOfWork, job: Job) -> Job:
        need_known(uow, deed, "give a discount")
        return replace(job, discount=discount, discount_reason=said)

    return _change(desk, deed, reference, expected, "discount-set", change, said)


def set_alternate(
    desk: Desk,
    deed: Deed,
    reference: str,
    alternate: Alternate,
    expected: int | None = None,
) -> Job:
    """Add an alternate, or set one anew by its code. Raises CallError, ConflictError.

    The marks it takes out must be marks of the base bid.
    """

    def change(uow: UnitOfWork, job: Job) -> Job:
        if not alternate.code.strip():
            raise CallError("alternate-code-needed")
        marks = uow.jobs.marks(job.id)
        for mark in alternate.deducts:
            if ("", mark) not in marks:
                raise CallError(
                    "mark-unknown", mark=mark, known=[one for other, one in marks if not other]
                )
        if len(set(alternate.deducts)) != len(alternate.deducts):
            raise CallError("alternate-deducts-twice", name=alternate.code)
        others = [one for one in job.alternates if one.code != alternate.code]
        return replace(
            job, alternates=tuple(sorted([*others, alternate], key=lambda one: one.code))
        )

    return _change(desk, deed, reference, expected, "alternate-set", change)


def remove_alternate(
    desk: Desk, deed: Deed, reference: str, code: str, expected: int | None = None
) -> Job:
    """Take an alternate out; it must be empty. Raises CallError, ConflictError."""

    def change(uow: UnitOfWork, job: Job) -> Job:
        need_alternate(job, code)
        contents = uow.jobs.contents(job.id)
        if contents is not None and (
            any(one.alternate == code for one in contents.openings)
            or any(one.alternate == code for one in contents.extras)
        ):
            raise CallError("alternate-not-empty", name=code)
        return replace(job, alternates=tuple(one for one in job.alternates if one.code != code))

    return _change(desk, deed, reference, expected, "alternate-removed", change)


def reprice_job(
    desk: Desk,
    deed: Deed,
    reference: str,
    suppliers: Sequence[str] = (),
    expected: int | None = None,
) -> Job:
    """Move a job to the latest revision of its catalogues. suppliers: in place of those it has.

    Raises CallError, ConflictError.
    """

    def change(uow: UnitOfWork, job: Job) -> Job:
        wanted = tuple(suppliers) or tuple(ref.catalog_id for ref in job.catalogs)
        return replace(job, catalogs=_current(uow, job.currency, wanted))

    return _change(desk, deed, reference, expected, "job-repriced", change)


def job_contents(desk: Desk, reference: str) -> JobContents:
    """A job whole. Raises CallError."""
    with desk.store.reading() as uow:
        contents = uow.jobs.contents(job_of(uow, reference).id)
    if contents is None:
        raise CallError("job-unknown", job=reference)
    return contents


def list_jobs(desk: Desk, wanted: JobFilter, page: Page) -> tuple[Sequence[JobRow], int]:
    """Jobs, latest first, and how many there are."""
    with desk.store.reading() as uow:
        return uow.jobs.page(wanted, page)


def need_alternate(job: Job, code: str) -> None:
    """Raises CallError unless the code is the base bid's (empty) or one of the job's alternates."""
    if code and all(one.code != code for one in job.alternates):
        raise CallError(
            "alternate-unknown",
            name=code,
            job=job.label,
            known=[one.code for one in job.alternates],
        )


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
        new = replace(change(uow, job), version=job.version + 1)
        need_plain(new)
        for one in new.alternates:
            need_plain(one)
        uow.jobs.save(new, job.version)
        note(uow, deed, action, "job", job.id, job_id=job.id, before=job, after=new, reason=reason)
        uow.commit()
    return new


def _check_ship_to(uow: UnitOfWork, code: str) -> None:
    if code and uow.ship_tos.get(code) is None:
        raise CallError("ship-to-unknown", name=code)


def _check_preferred(prefer: Sequence[str], catalogs: Sequence[CatalogRef]) -> None:
    known = [ref.catalog_id for ref in catalogs]
    for supplier in prefer:
        if supplier not in known:
            raise CallError("supplier-unknown", supplier=supplier, known=known)


def _current(uow: UnitOfWork, currency: str, suppliers: Sequence[str]) -> tuple[CatalogRef, ...]:
    current = {one.catalog_id: one for one in uow.catalogs.current()}
    for supplier in suppliers:
        if supplier not in current:
            raise CallError("supplier-unknown", supplier=supplier, known=list(current))
    return tuple(
        CatalogRef(one.catalog_id, one.revision)
        for one in current.values()
        if one.currency == currency and (not suppliers or one.catalog_id in suppliers)
    )
