"""A job as it stands, with as much of it worked out as can be."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from wholekit.domain.customers import Customer
from wholekit.domain.errors import CallError, InputError, Problem
from wholekit.domain.kits import Shelf
from wholekit.domain.quotes import Job, JobContents, JobOpening
from wholekit.domain.quotes.roles import Action
from wholekit.domain.quotes.worked import WorkedOpening
from wholekit.domain.tax import FreightRate
from wholekit.services.desk import Deed, Desk, job_of, shelf_of
from wholekit.services.ports import UnitOfWork
from wholekit.services.rights import needs
from wholekit.services.workup import Workup, work_up_contents, work_up_job


@dataclass(frozen=True, slots=True)
class JobView:
    """A job whole. workup: None where totals cannot be worked out, because of `faults`.

    worked: the openings that have a kit and prices, by (alternate, mark). freight: the rate of its
    ship-to that is charged.
    """

    contents: JobContents
    customer: Customer
    freight: FreightRate | None
    workup: Workup | None
    worked: dict[tuple[str, str], WorkedOpening]
    faults: tuple[CallError | Problem, ...] = ()

    @property
    def stopped(self) -> bool:
        """Whether any opening has a stop that nobody has let go."""
        return any(opening.open_stops() for opening in self.worked.values())

    @property
    def job(self) -> Job:
        """The header."""
        return self.contents.job


@needs(Action.SEE_JOBS)
def view_job(desk: Desk, deed: Deed, reference: str) -> JobView:
    """A job at the prices of the deed's day; what cannot be worked out is told among `faults`.

    That is a catalogue or ship-to that is missing or of another currency, and hand settings that
    no longer fit. Raises CallError: there is no such job, or its customer is gone.
    """
    with desk.store.reading() as uow:
        job = job_of(uow, reference)
        try:
            # Whole first, since totals need every opening; one by one only where that fails.
            workup = work_up_job(uow, desk, job, deed.day)
        except (CallError, InputError) as error:
            return _partly(uow, desk, deed, job, error)
    place = workup.place
    return JobView(
        workup.job.contents,
        workup.job.customer,
        None if place.ship_to is None else place.ship_to.freight_of(place.freight),
        workup,
        _by_mark(workup.job.openings),
    )


def _partly(
    uow: UnitOfWork, desk: Desk, deed: Deed, job: Job, error: CallError | InputError
) -> JobView:
    contents = uow.jobs.contents_under(job)
    customer = uow.customers.get(job.customer)
    if customer is None:
        raise error
    found = error.problems if isinstance(error, InputError) else (error,)
    ship_to = uow.ship_tos.get(job.ship_to) if job.ship_to else None
    return JobView(
        contents,
        customer,
        None if ship_to is None else ship_to.freight_of(job.freight),
        None,
        _by_mark(_those_that_can(uow, desk, deed, contents)),
        found,
    )


def _those_that_can(
    uow: UnitOfWork, desk: Desk, deed: Deed, contents: JobContents
) -> Sequence[WorkedOpening]:
    """The openings that can be worked out by themselves, wherever they go."""
    placeless = replace(contents.job, ship_to="", freight="")
    try:
        shelf = shelf_of(uow, desk, placeless)
    except CallError:
        return ()
    fit = tuple(
        opening
        for opening in contents.openings
        # Only what a hand has set can fail by itself; all others need no trial.
        if not opening.overrides
        or _works(uow, desk, deed, JobContents(placeless, (opening,)), shelf)
    )
    return work_up_contents(uow, desk, JobContents(placeless, fit), deed.day, shelf).job.openings


def _works(uow: UnitOfWork, desk: Desk, deed: Deed, contents: JobContents, shelf: Shelf) -> bool:
    try:
        work_up_contents(uow, desk, contents, deed.day, shelf)
    except InputError:
        return False
    return True


def _by_mark(openings: Sequence[WorkedOpening]) -> dict[tuple[str, str], WorkedOpening]:
    return {_key(opening.entry): opening for opening in openings}


def _key(entry: JobOpening) -> tuple[str, str]:
    return entry.alternate, entry.mark
