"""The audit log, only ever added to."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, Connection, Row, func, select, true

from wholekit.domain.quotes import AuditEntry
from wholekit.services.ports import LogFilter, Page
from wholekit.store.plain_text import read_object, to_text
from wholekit.store.tables import METADATA

AUDIT = METADATA.tables["audit_entry"]


class SqlAudit:
    """The audit log of one unit of work."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def add(self, entry: AuditEntry) -> None:
        """One entry more, with the unit of work it belongs to."""
        self._connection.execute(
            AUDIT.insert(),
            {
                "at": entry.at.isoformat(),
                "who": entry.who,
                "action": entry.action,
                "subject": entry.subject,
                "subject_id": entry.subject_id,
                "job_id": entry.job_id,
                "before": None if entry.before is None else to_text(entry.before),
                "after": None if entry.after is None else to_text(entry.after),
                "reason": entry.reason,
            },
        )

    def of_job(self, job_id: str) -> Sequence[AuditEntry]:
        """A job's entries, first to last."""
        return self._where(AUDIT.c.job_id == job_id)

    def count_of_job(self, job_id: str) -> int:
        """How many entries a job has."""
        counted = select(func.count()).select_from(AUDIT).where(AUDIT.c.job_id == job_id)
        return self._connection.execute(counted).scalar_one()

    def of_subject(self, subject: str, *subject_ids: str) -> Sequence[AuditEntry]:
        """The entries of one subject, or of several of a kind, first to last."""
        return self._where((AUDIT.c.subject == subject) & AUDIT.c.subject_id.in_(subject_ids))

    def page(self, wanted: LogFilter, page: Page) -> tuple[Sequence[AuditEntry], int]:
        """Entries, the latest first, and how many there are in all."""
        condition: ColumnElement[bool] = true()
        if wanted.who:
            condition = condition & (AUDIT.c.who == wanted.who)
        if wanted.day is not None:
            # Kept as ISO 8601 in the time of whoever did it, so that a day is how it begins.
            condition = condition & AUDIT.c.at.startswith(f"{wanted.day.isoformat()}T")
        if wanted.job_id:
            condition = condition & (AUDIT.c.job_id == wanted.job_id)
        count = self._connection.execute(
            select(func.count()).select_from(AUDIT).where(condition)
        ).scalar_one()
        rows = self._connection.execute(
            select(AUDIT)
            .where(condition)
            .order_by(AUDIT.c.id.desc())
            .offset(page.offset)
            .limit(page.limit)
        )
        return tuple(map(_entry, rows)), count

    def names(self) -> Sequence[str]:
        """Whoever stands in it, by name."""
        found = self._connection.execute(select(AUDIT.c.who).distinct().order_by(AUDIT.c.who))
        return tuple(found.scalars())

    def _where(self, condition: ColumnElement[bool]) -> Sequence[AuditEntry]:
        found = self._connection.execute(select(AUDIT).where(condition).order_by(AUDIT.c.id))
        return tuple(map(_entry, found))


def _entry(row: Row[tuple[Any, ...]]) -> AuditEntry:
    return AuditEntry(
        at=datetime.fromisoformat(row.at),
        who=row.who,
        action=row.action,
        subject=row.subject,
        subject_id=row.subject_id,
        job_id=row.job_id,
        before=read_object(row.before),
        after=read_object(row.after),
        reason=row.reason,
    )
