"""Who did what when, over all jobs, customers and accounts of the house."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from wholekit.domain.quotes import AuditEntry
from wholekit.domain.quotes.roles import Action
from wholekit.services.desk import Deed, Desk, job_of
from wholekit.services.job_history import name_in
from wholekit.services.ports import LogFilter, Page, UnitOfWork
from wholekit.services.rights import needs

# Subjects that are called by their id.
NAMED = frozenset({"account", "catalog", "customer", "person", "ship-to"})


@dataclass(frozen=True, slots=True)
class LogEntry:
    """An entry of the log. about: what it is of, as far as the entry tells; job: its label, empty
    for none."""

    entry: AuditEntry
    about: str
    job: str


@dataclass(frozen=True, slots=True)
class LogPage:
    """A part of the log, the latest first. count: of all that is asked for; names: whoever stands
    in it."""

    entries: tuple[LogEntry, ...]
    count: int
    names: Sequence[str]


@needs(Action.SEE_LOG)
def house_log(desk: Desk, deed: Deed, wanted: LogFilter, page: Page, job: str = "") -> LogPage:
    """What was done. job: of this job alone, by its label or number. Raises CallError."""
    with desk.store.reading() as uow:
        if job:
            wanted = replace(wanted, job_id=job_of(uow, job).id)
        entries, count = uow.audit.page(wanted, page)
        labels = _labels(uow, {entry.job_id for entry in entries if entry.job_id})
        names = uow.audit.names()
    return LogPage(
        tuple(LogEntry(each, _about(each), labels.get(each.job_id, "")) for each in entries),
        count,
        names,
    )


def _about(entry: AuditEntry) -> str:
    return entry.subject_id if entry.subject in NAMED else name_in(entry)


def _labels(uow: UnitOfWork, job_ids: set[str]) -> dict[str, str]:
    return {job.id: job.label for job in uow.jobs.several(sorted(job_ids))}
