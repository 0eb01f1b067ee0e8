"""What is written down of every change of state: who, when, what, before, after."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class AuditEntry:
    """One change. before, after: plain data (see `domain.plain`), None where there is none.

    action: `job-created`, `opening-edited`, … (wording.job_sentences has them all). subject: `job`,
    `opening`, `extra`, `revision`, `customer`, `ship-to`, `person`, `policy`, `catalog`; with its
    id or code. job_id: the job it belongs to, or empty.
    """

    at: datetime
    who: str
    action: str
    subject: str
    subject_id: str
    job_id: str = ""
    before: Mapping[str, object] | None = None
    after: Mapping[str, object] | None = None
    reason: str = ""
