"""What every business action is given: the store, the ids, and who acts when."""

from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass
from datetime import date, datetime
from typing import Any
from unicodedata import category

from wholekit.domain.errors import CallError, ConflictError
from wholekit.domain.kits import Policy, Shelf
from wholekit.domain.plain import to_plain
from wholekit.domain.quotes import AuditEntry, Job
from wholekit.domain.rules import RuleBook
from wholekit.services.ports import IdSource, Store, UnitOfWork, Words

LONGEST_TEXT = 2_000


@dataclass(frozen=True, slots=True)
class Deed:
    """Who does or asks something, and when (with its time zone).

    named: the name was said, and is not just the one the machine is signed in under.
    """

    who: str
    at: datetime
    named: bool = True

    @property
    def day(self) -> date:
        """The day of the deed, where the clock hangs."""
        return self.at.date()


@dataclass(frozen=True, slots=True)
class Desk:
    """Where the work is done: store, source of ids, rule book and words."""

    store: Store
    ids: IdSource
    rules: RuleBook
    words: Words


def job_of(uow: UnitOfWork, reference: str) -> Job:
    """The job of a reference: its label (`J-00012`), bare number or id. Raises CallError."""
    job = None
    digits = reference.strip().upper().removeprefix("J-")
    if digits.isdecimal() and digits.isascii() and len(digits) < 10:
        job = uow.jobs.by_number(int(digits))
    job = job or uow.jobs.get(reference.strip())
    if job is None:
        raise CallError("job-unknown", job=reference)
    return job


def held_job(uow: UnitOfWork, reference: str) -> Job:
    """The job of a reference, held for change until the unit of work ends. Raises CallError."""
    found = uow.jobs.for_change(job_of(uow, reference).id)
    if found is None:
        raise CallError("job-unknown", job=reference)
    return found


def shelf_of(uow: UnitOfWork, job: Job) -> Shelf:
    """The shelf of the catalogue revisions a job is priced on. Raises CallError if it has none."""
    if not job.catalogs:
        raise CallError("job-without-catalogs", job=job.label, currency=job.currency)
    catalogs = [uow.catalogs.load(ref) for ref in job.catalogs]
    for catalog in catalogs:
        if catalog.currency != job.currency:
            raise CallError(
                "job-currency",
                job=job.label,
                currency=job.currency,
                supplier=catalog.supplier,
                other=catalog.currency,
            )
    return Shelf(catalogs, Policy(job.prefer, job.stock_first))


def need_reason(reason: str, what: str) -> str:
    """The reason, trimmed. Raises CallError if there is none."""
    if not reason.strip():
        raise CallError("reason-needed", what=what)
    return need_line(" ".join(reason.split()), "reason")


def need_plain(thing: object) -> None:
    """Raises CallError where a text of a dataclass is too long, or cannot be printed in a line.

    Control characters and marks that turn the direction of text would steer whoever shows it.
    """
    if not is_dataclass(thing):
        raise TypeError(type(thing).__name__)
    for field in fields(thing):
        value = getattr(thing, field.name)
        for text in value if isinstance(value, tuple) else (value,):
            if isinstance(text, str):
                need_line(text, field.name.replace("_", " "))


def need_line(text: str, what: str) -> str:
    """The text, if it is one line that can be printed. Raises CallError."""
    if len(text) > LONGEST_TEXT:
        raise CallError("text-too-long", what=what, most=LONGEST_TEXT)
    if any(category(sign).startswith("C") or category(sign) in ("Zl", "Zp") for sign in text):
        raise CallError("text-not-plain", what=what)
    return text


def check_version(what: str, subject: str, expected: int | None, found: int) -> None:
    """Raises ConflictError where the caller saw another version; None did not look."""
    if expected is not None and expected != found:
        raise ConflictError("version-stale", what=what, id=subject, expected=expected, found=found)


def note(
    uow: UnitOfWork,
    deed: Deed,
    action: str,
    subject: str,
    subject_id: str,
    *,
    job_id: str = "",
    before: object = None,
    after: object = None,
    reason: str = "",
) -> None:
    """Write one entry in the audit log; before and after as plain data, only what differs."""
    was, now = _plain(before), _plain(after)
    if was is not None and now is not None:
        names = [name for name in {**was, **now} if was.get(name) != now.get(name)]
        was = {name: was.get(name) for name in names}
        now = {name: now.get(name) for name in names}
    uow.audit.add(
        AuditEntry(deed.at, deed.who, action, subject, subject_id, job_id, was, now, reason)
    )


def _plain(value: object) -> Mapping[str, Any] | None:
    if value is None:
        return None
    plain: Mapping[str, Any] = to_plain(value)
    return plain
