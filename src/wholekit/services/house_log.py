"""Who did what when, over all jobs, customers and accounts of the house."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from wholekit.domain.quotes import AuditEntry
from wholekit.domain.quotes.roles import Action
from wholekit.services.buying import SUBJECT as PURCHASE
from wholekit.services.desk import Deed, Desk, job_of
from wholekit.services.job_history import name_in
from wholekit.services.ports import LogFilter, Page, UnitOfWork
from wholekit.services.rights import needs

# Subjects that are called by their id.
NAMED = frozenset({"account", "bag", "catalog", "customer", "person", "purchase", "ship-to"})


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
        suppliers = _suppliers(uow, entries)
    return LogPage(
        tuple(
            LogEntry(each, _about(each, suppliers), labels.get(each.job_id, "")) for each in entries
        ),
        count,
        names,
    )


def _about(entry: AuditEntry, suppliers: Mapping[str, str]) -> str:
    if entry.subject not in NAMED:
        return name_in(entry)
    supplier = suppliers.get(entry.subject_id, "") if entry.subject == PURCHASE else ""
    return ", ".join(filter(None, (entry.subject_id, supplier)))


def _suppliers(uow: UnitOfWork, entries: Sequence[AuditEntry]) -> Mapping[str, str]:
    """The supplier of each purchase order that entries are of, as it was placed: later entries
    tell only what differs."""
    labels = {entry.subject_id for entry in entries if entry.subject == PURCHASE}
    placed = uow.audit.of_subject(PURCHASE, *sorted(labels)) if labels else ()
    found = ((each.subject_id, (each.after or {}).get("order")) for each in placed)
    return {label: str(order["supplier"]) for label, order in found if isinstance(order, dict)}


def _labels(uow: UnitOfWork, job_ids: set[str]) -> dict[str, str]:
    return {job.id: job.label for job in uow.jobs.several(sorted(job_ids))}
