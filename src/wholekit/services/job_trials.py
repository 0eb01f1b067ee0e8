"""One opening of a job looked at by itself, and changes to openings tried without being made."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from wholekit.domain.errors import CallError
from wholekit.domain.openings import Opening
from wholekit.domain.quotes import BASE, JobContents, JobOpening, Offer
from wholekit.domain.quotes.changes import Comparison
from wholekit.domain.quotes.compare import compare
from wholekit.domain.quotes.offer import OfferOpening
from wholekit.domain.quotes.roles import Action
from wholekit.domain.quotes.worked import WorkedOpening
from wholekit.services.desk import Deed, Desk, job_of
from wholekit.services.job_openings import edited, entry_of, work_up_alone
from wholekit.services.jobs import need_alternate
from wholekit.services.ports import UnitOfWork
from wholekit.services.rights import needs
from wholekit.services.snapshots import Headed, make_snapshot
from wholekit.services.workup import Workup, work_up_contents


@dataclass(frozen=True, slots=True)
class TriedStop:
    """A stop that a change brings or takes away: where, its code and its sentence."""

    mark: str
    alternate: str
    code: str
    text: str


@dataclass(frozen=True, slots=True)
class Trial:
    """A job as it stands held against the job with a change. changed: the openings it is about,
    as they would be; brought, gone: stops that nobody has released; stops: how many those openings
    would have [count]."""

    job: str
    changed: tuple[JobOpening, ...]
    comparison: Comparison
    brought: tuple[TriedStop, ...]
    gone: tuple[TriedStop, ...]
    stops: int


@needs(Action.SEE_JOBS)
def opening_worked(
    desk: Desk, deed: Deed, reference: str, mark: str = "", alternate: str = BASE
) -> Workup:
    """One opening of a job, worked up alone; the only one of its job where no mark is named.

    Raises CallError, InputError (hand settings that no longer fit).
    """
    with desk.store.reading() as uow:
        job = job_of(uow, reference)
        need_alternate(job, alternate)
        known = [its for other, its in uow.jobs.marks(job.id) if other == alternate]
        if not mark and len(known) != 1:
            raise CallError("job-mark-needed", job=job.label, known=known or "none")
        entry = entry_of(uow, job, mark or known[0], alternate)
        return work_up_alone(uow, desk, deed, job, entry)


@needs(Action.SEE_JOBS)
def try_opening(
    desk: Desk,
    deed: Deed,
    reference: str,
    mark: str,
    change: Callable[[Opening], Opening],
    alternate: str = BASE,
) -> tuple[WorkedOpening, WorkedOpening]:
    """One opening as it stands and with a change, each worked up alone; nothing is written.

    Raises CallError, ConflictError (a mark that is taken), InputError.
    """
    with desk.store.reading() as uow:
        job = job_of(uow, reference)
        entry = entry_of(uow, job, mark, alternate)
        tried = edited(uow, job, entry, change)
        (before,) = work_up_alone(uow, desk, deed, job, entry).job.openings
        (after,) = work_up_alone(uow, desk, deed, job, tried).job.openings
    return before, after


@needs(Action.SEE_JOBS)
def try_openings(
    desk: Desk,
    deed: Deed,
    reference: str,
    marks: Sequence[str],
    change: Callable[[Opening], Opening],
    alternate: str = BASE,
) -> Trial:
    """What a change of openings would come to; nothing is written.

    Raises CallError, ConflictError (a mark that is taken), InputError.
    """
    with desk.store.reading() as uow:
        job = job_of(uow, reference)
        contents = uow.jobs.contents(job.id)
        if contents is None:
            raise CallError("job-unknown", job=reference)
        entries = [entry_of(uow, job, mark, alternate) for mark in marks]
        tried = {entry.id: edited(uow, job, entry, change) for entry in entries}
        openings = tuple(tried.get(entry.id, entry) for entry in contents.openings)
        before = _offer(uow, desk, deed, contents)
        after = _offer(uow, desk, deed, replace(contents, openings=openings))
    were, are = _open_stops(before), _open_stops(after)
    places = {(entry.alternate, entry.mark) for entry in tried.values()}
    return Trial(
        job.label,
        tuple(tried.values()),
        compare(before, after),
        tuple(stop for stop in are if stop not in were),
        tuple(stop for stop in were if stop not in are),
        sum((stop.alternate, stop.mark) in places for stop in are),
    )


def _offer(uow: UnitOfWork, desk: Desk, deed: Deed, contents: JobContents) -> Offer:
    workup = work_up_contents(uow, desk, contents, deed.day)
    headed = Headed(contents.job.label, 0, deed.day, deed.day, "", "", None)
    return make_snapshot(workup, desk.words, desk.rules, headed).offer


def _open_stops(offer: Offer) -> list[TriedStop]:
    def stops_of(opening: OfferOpening) -> list[TriedStop]:
        kit, said = offer.kit_of(opening), offer.words.kits[opening.kit]
        return [
            TriedStop(opening.mark, opening.alternate, kit.findings[at].code, said.findings[at][0])
            for at in offer.open_stops(opening)
        ]

    return [stop for opening in offer.openings for stop in stops_of(opening)]
