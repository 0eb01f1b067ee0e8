"""What was changed on a job, each entry with the name that its subject had at the time."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from wholekit.domain.quotes import AuditEntry, JobContents, Revision
from wholekit.domain.quotes.roles import Action
from wholekit.services.desk import Deed, Desk, job_of
from wholekit.services.ports import UnitOfWork
from wholekit.services.rights import needs

# Name and alternate of each subject, by kind and id.
Names = dict[tuple[str, str], tuple[str, str]]


@dataclass(frozen=True, slots=True)
class JobEvent:
    """An entry of the audit log. about: the mark, the line or the revision it is of, as it was
    called before the change; empty for the job itself."""

    entry: AuditEntry
    about: str = ""


@needs(Action.SEE_JOBS)
def job_events(desk: Desk, deed: Deed, reference: str) -> tuple[JobEvent, ...]:
    """All that was changed on a job, first to last. Raises CallError."""
    with desk.store.reading() as uow:
        job = job_of(uow, reference)
        names = _names_now(uow.jobs.contents(job.id), _revisions(uow, job.id))
        entries = uow.audit.of_job(job.id)
    events = []
    # Entries tell only what differs, so names are followed back from what there is now.
    for entry in reversed(entries):
        key = (entry.subject, entry.subject_id)
        name, alternate = names.get(key, ("", ""))
        state = entry.before or (entry.after if not name else None) or {}
        names[key] = (
            _name(entry.subject, state) or name,
            str(state.get("alternate") or alternate),
        )
        events.append(JobEvent(entry, _in(*names[key])))
    return tuple(reversed(events))


def _revisions(uow: UnitOfWork, job_id: str) -> tuple[Revision, ...]:
    return tuple(uow.revisions.of_job(job_id))


def _names_now(contents: JobContents | None, revisions: tuple[Revision, ...]) -> Names:
    names: Names = {
        ("revision", revision.id): (f"revision {revision.number}", "") for revision in revisions
    }
    if contents is not None:
        for opening in contents.openings:
            names["opening", opening.id] = opening.mark, opening.alternate
        for extra in contents.extras:
            names["extra", extra.id] = extra.description, extra.alternate
    return names


def name_in(entry: AuditEntry) -> str:
    """What an entry by itself calls its subject; empty where it does not tell."""
    for state in (entry.before, entry.after):
        if state is not None and (name := _name(entry.subject, state)):
            return name
    return ""


def _name(subject: str, plain: Mapping[str, Any]) -> str:
    """What the plain data of an entry call its subject; empty where they do not tell."""
    if subject == "opening" and plain.get("opening"):
        return str(plain["opening"]["mark"])
    if subject == "extra" and plain.get("description"):
        return str(plain["description"])
    if subject == "revision" and plain.get("number"):
        return f"revision {plain['number']}"
    return ""


def _in(name: str, alternate: str) -> str:
    return f"{name} [{alternate}]" if alternate else name
