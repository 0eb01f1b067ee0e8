"""What openings would come to in a job, before they are put into it."""

from collections.abc import Sequence
from dataclasses import dataclass

from wholekit.domain.openings import Opening, plain_mark
from wholekit.domain.quotes import BASE, JobContents, JobOpening
from wholekit.domain.quotes.roles import Action
from wholekit.services.desk import Deed, Desk, job_of
from wholekit.services.jobs import need_alternate
from wholekit.services.rights import needs
from wholekit.services.workup import Workup, work_up_contents


@dataclass(frozen=True, slots=True)
class Preview:
    """Openings worked up at a job's prices. taken: their marks that the job has already."""

    workup: Workup
    taken: tuple[str, ...]


@needs(Action.SEE_JOBS)
def preview_openings(
    desk: Desk, deed: Deed, reference: str, openings: Sequence[Opening], alternate: str = BASE
) -> Preview:
    """What these openings would be in the job; nothing is written. Raises CallError."""
    with desk.store.reading() as uow:
        job = job_of(uow, reference)
        need_alternate(job, alternate)
        entries = tuple(
            JobOpening(f"preview-{place}", job.id, place, opening, alternate)
            for place, opening in enumerate(openings, start=1)
        )
        workup = work_up_contents(uow, desk, JobContents(job, entries), deed.day)
        marks = [plain_mark(opening.mark) for opening in openings]
        found = [uow.jobs.opening(job.id, alternate, mark) is not None for mark in marks]
    return Preview(workup, tuple(mark for mark, there in zip(marks, found, strict=True) if there))
