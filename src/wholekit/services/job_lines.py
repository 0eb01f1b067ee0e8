"""Extra lines of a job: hinges, freight, labour, free text, with or without cost."""

from dataclasses import dataclass, replace

from wholekit.domain.errors import CallError
from wholekit.domain.quantities import MOST_SUM, Cost, Money
from wholekit.domain.quotes import BASE, ExtraLine, Job
from wholekit.domain.quotes.roles import Action
from wholekit.domain.tax import LineKind
from wholekit.services.desk import Deed, Desk, check_version, held_job, need_plain, note
from wholekit.services.jobs import need_alternate
from wholekit.services.ports import UnitOfWork
from wholekit.services.rights import needs

MOST_QUANTITY = 1_000_000


@dataclass(frozen=True, slots=True)
class NewExtra:
    """An extra line to be added; unit None is text only, cost None is not known."""

    kind: LineKind
    description: str
    quantity: int = 1
    unit: Money | None = None
    cost: Cost | None = None
    alternate: str = BASE


@needs(Action.CHANGE_JOBS)
def add_extra(desk: Desk, deed: Deed, reference: str, new: NewExtra) -> ExtraLine:
    """A line put at the end of a job's extra lines. Raises CallError."""
    with desk.store.writing() as uow:
        job = held_job(uow, reference)
        need_alternate(job, new.alternate)
        contents = uow.jobs.contents(job.id)
        lines = () if contents is None else contents.extras
        extra = ExtraLine(
            desk.ids.new(),
            job.id,
            max((line.position for line in lines), default=0) + 1,
            new.kind,
            " ".join(new.description.split()),
            new.quantity,
            new.unit,
            new.cost,
            new.alternate,
        )
        _check(job, extra)
        uow.jobs.add_extra(extra)
        note(uow, deed, "line-added", "extra", extra.id, job_id=job.id, after=extra)
        uow.commit()
    return extra


@needs(Action.CHANGE_JOBS)
def edit_extra(
    desk: Desk,
    deed: Deed,
    reference: str,
    line: int,
    changes: dict[str, object],
    expected: int | None = None,
) -> ExtraLine:
    """Change description, quantity, unit or cost of a line by its place in the job, from 1.

    Raises CallError, ConflictError.
    """
    with desk.store.writing() as uow:
        job = held_job(uow, reference)
        extra = extra_at(uow, job, line)
        check_version("extra", str(line), expected, extra.version)
        new = replace(extra, **changes, version=extra.version + 1)  # type: ignore[arg-type]
        _check(job, new)
        uow.jobs.save_extra(new, extra.version)
        note(uow, deed, "line-edited", "extra", extra.id, job_id=job.id, before=extra, after=new)
        uow.commit()
    return new


@needs(Action.CHANGE_JOBS)
def remove_extra(
    desk: Desk, deed: Deed, reference: str, line: int, expected: int | None = None
) -> ExtraLine:
    """Take a line out by its place in the job, from 1. Raises CallError, ConflictError."""
    with desk.store.writing() as uow:
        job = held_job(uow, reference)
        extra = extra_at(uow, job, line)
        check_version("extra", str(line), expected, extra.version)
        uow.jobs.remove_extra(extra, extra.version)
        note(uow, deed, "line-removed", "extra", extra.id, job_id=job.id, before=extra)
        uow.commit()
    return extra


def extra_at(uow: UnitOfWork, job: Job, line: int) -> ExtraLine:
    """The extra line at a place, from 1. Raises CallError."""
    contents = uow.jobs.contents(job.id)
    lines = () if contents is None else contents.extras
    if not 1 <= line <= len(lines):
        raise CallError("line-unknown", line=line, job=job.label, count=len(lines))
    return lines[line - 1]


def _check(job: Job, extra: ExtraLine) -> None:
    """Raises CallError. A price below zero would be a discount the limits do not see."""
    need_plain(extra)
    if not extra.description:
        raise CallError("line-description-needed")
    if not 1 <= extra.quantity <= MOST_QUANTITY:
        raise CallError("quantity-out-of-range", given=extra.quantity, most=MOST_QUANTITY)
    for amount in (extra.unit, extra.cost):
        if amount is not None and amount.currency != job.currency:
            raise CallError(
                "override-currency", currency=amount.currency, job_currency=job.currency
            )
    if extra.unit is not None and extra.unit.minor < 0:
        raise CallError("line-price-negative", given=extra.unit.decimal_text, job=job.label)
    price = 0 if extra.unit is None else extra.unit.minor
    cost = 0 if extra.cost is None else extra.cost.units
    # Refused where it is entered, and not only when the quote is to go out.
    if max(price, cost) * extra.quantity > MOST_SUM:
        raise CallError("line-over-limit", quantity=extra.quantity)
    if extra.unit is None and extra.cost is not None:
        raise CallError("line-cost-without-price")
