"""Jobs, their openings and lines, and the revisions of their quotes: what may change when."""

from wholekit.domain.quotes.audit import AuditEntry
from wholekit.domain.quotes.job import (
    BASE,
    Alternate,
    CatalogRef,
    ExtraLine,
    Job,
    JobContents,
    JobOpening,
    Override,
    OverrideKind,
    Release,
    finding_about,
)
from wholekit.domain.quotes.offer import Offer
from wholekit.domain.quotes.own import Snapshot, digest, snapshot_from, snapshot_text
from wholekit.domain.quotes.people import DiscountLimit, HousePolicy, Person, PersonRole
from wholekit.domain.quotes.revision import (
    AS_QUOTED,
    LOST_REASONS,
    Acceptance,
    Approval,
    ApprovedPart,
    Request,
    Revision,
    State,
    quote_label,
    state_on,
)

__all__ = [
    "AS_QUOTED",
    "BASE",
    "LOST_REASONS",
    "Acceptance",
    "Alternate",
    "Approval",
    "ApprovedPart",
    "AuditEntry",
    "CatalogRef",
    "DiscountLimit",
    "ExtraLine",
    "HousePolicy",
    "Job",
    "JobContents",
    "JobOpening",
    "Offer",
    "Override",
    "OverrideKind",
    "Person",
    "PersonRole",
    "Release",
    "Request",
    "Revision",
    "Snapshot",
    "State",
    "digest",
    "finding_about",
    "quote_label",
    "snapshot_from",
    "snapshot_text",
    "state_on",
]
