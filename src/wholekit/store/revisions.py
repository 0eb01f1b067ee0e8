"""Revisions of quotes: drafts that move, and what was issued, kept as it is."""

import json
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from functools import lru_cache

from sqlalchemy import ColumnElement, Connection, select

from wholekit.domain.errors import CallError, ConflictError
from wholekit.domain.quantities import Cost
from wholekit.domain.quotes import (
    Approval,
    Request,
    Revision,
    Snapshot,
    State,
    digest,
    snapshot_text,
)
from wholekit.domain.quotes.offer import Totals
from wholekit.services.ports import RevisionFilter
from wholekit.store import bulk, mapping, rows
from wholekit.store.errors import StoreError
from wholekit.store.plain_text import from_text, to_text
from wholekit.store.tables import METADATA
from wholekit.wording.older_snapshots import read_snapshot

REVISION = METADATA.tables["quote_revision"]
SNAPSHOT = METADATA.tables["quote_snapshot"]
LINE = METADATA.tables["quote_line"]
TOTAL = METADATA.tables["quote_total"]
JOB = METADATA.tables["job"]
# The kind of line that makes the others add up to a price agreed for the whole opening.
ADJUSTMENT = "adjustment"
# These two in the order in which `flat_lines` and `_total` give their values.
_LINE_COLUMNS = (
    "revision_id", "position", "part", "alternate", "mark", "catalog_id", "sku", "kind",
    "description", "quantity", "openings", "unit", "total", "cost",
)  # fmt: skip
_TOTAL_COLUMNS = (
    "revision_id", "alternate", "currency", "hardware", "extras", "freight", "net", "tax",
    "gross", "cost",
)  # fmt: skip


class SqlRevisions:
    """The revisions of one unit of work."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def add(self, revision: Revision) -> None:
        """A new revision. Raises ConflictError where the job already has one of that number."""
        if not rows.add_unless_taken(self._connection, REVISION, _values(revision)):
            raise ConflictError("revision-taken", number=revision.number)
        if revision.snapshot is not None:
            self._freeze(revision, revision.snapshot)

    def get(self, revision_id: str) -> Revision | None:
        """A revision with its snapshot, or None."""
        return next(iter(self._where(REVISION.c.id == revision_id)), None)

    def of_job(self, job_id: str) -> tuple[Revision, ...]:
        """All revisions of a job by number, snapshots with them."""
        return self._where(REVISION.c.job_id == job_id)

    def by_quote(self, quote_number: int) -> tuple[Revision, ...]:
        """All revisions of a quote by number, snapshots with them."""
        return self._where(REVISION.c.quote_number == quote_number)

    def save(self, revision: Revision, expected: int) -> None:
        """A revision anew. Raises ConflictError; CallError (`snapshot-frozen`) for a snapshot
        other than the one that was issued."""
        # What the store says decides, not the caller's copy, which may be of before the issue.
        there = self._connection.execute(
            select(REVISION.c.snapshot_digest).where(REVISION.c.id == revision.id)
        ).scalar()
        values = _values(revision)
        if there:
            if revision.snapshot and not self._is_frozen(revision.id, revision.snapshot, there):
                raise CallError("snapshot-frozen", label=revision.label)
            # The stored text is never rewritten, so its digest stays, even where a snapshot that is
            # equal would be put into other words by now.
            values["snapshot_digest"] = there
        rows.save(self._connection, REVISION, REVISION.c.id, values, expected, "revision")
        # Only now that the version was found right: of two who issue at once one ends above.
        if not there and revision.snapshot is not None:
            self._freeze(revision, revision.snapshot)

    def remove(self, revision: Revision, expected: int) -> None:
        """Take a draft out. Raises ConflictError; CallError for one that was issued."""
        state = self._connection.execute(
            select(REVISION.c.state).where(REVISION.c.id == revision.id)
        ).scalar()
        if state not in (None, State.DRAFT.value):
            raise CallError("draft-only", label=revision.label)
        rows.remove(self._connection, REVISION, REVISION.c.id, revision.id, expected, "revision")

    def waiting(self) -> Sequence[Revision]:
        """Drafts with a request that no owner has answered, those asked first at the head."""
        drafts = self._where(REVISION.c.state == State.DRAFT.value, REVISION.c.request.is_not(None))
        asked = [
            (draft.request.at, draft.id, draft)
            for draft in drafts
            if draft.request is not None and draft.request.waiting
        ]
        return [revision for _, _, revision in sorted(asked, key=lambda row: row[:2])]

    def matching(self, wanted: RevisionFilter) -> Sequence[Revision]:
        """Revisions by quote and revision number, snapshots with them; no drafts."""
        return self._where(*_conditions(wanted))

    def _where(self, *conditions: ColumnElement[bool]) -> tuple[Revision, ...]:
        found = self._connection.execute(
            select(REVISION, SNAPSHOT.c.data)
            # Drafts have no snapshot.
            .join(SNAPSHOT, SNAPSHOT.c.revision_id == REVISION.c.id, isouter=True)
            .join(JOB, JOB.c.id == REVISION.c.job_id)
            .where(*conditions)
            .order_by(REVISION.c.quote_number, REVISION.c.number, REVISION.c.id)
        )
        return tuple(map(_revision, found))

    def _is_frozen(self, revision_id: str, snapshot: Snapshot, there: str) -> bool:
        """Whether a snapshot is the one that was issued, under a digest.

        What an older program froze reads the same, though it would be written in other words now.
        """
        if digest(snapshot_text(snapshot)) == there:
            return True
        data = self._connection.execute(
            select(SNAPSHOT.c.data).where(SNAPSHOT.c.revision_id == revision_id)
        ).scalar_one()
        return bool(_snapshot(data) == snapshot)

    def _freeze(self, revision: Revision, snapshot: Snapshot) -> None:
        text = snapshot_text(snapshot)
        if digest(text) != revision.snapshot_digest:
            raise CallError("snapshot-frozen", label=revision.label)
        self._connection.execute(SNAPSHOT.insert(), {"revision_id": revision.id, "data": text})
        # Flat beside the whole, so that SQL can add it up without knowing this program; `db check`
        # holds the two against each other.
        bulk.insert(
            self._connection,
            LINE,
            _LINE_COLUMNS,
            (
                (revision.id, position, *line)
                for position, line in enumerate(flat_lines(snapshot), start=1)
            ),
        )
        bulk.insert(
            self._connection,
            TOTAL,
            _TOTAL_COLUMNS,
            (
                (revision.id, alternate, *_total(totals, cost))
                for alternate, totals, cost in every_total(snapshot)
            ),
        )


def flat_lines(snapshot: Snapshot) -> Iterator[tuple[object, ...]]:
    """Every priced line of a snapshot as a row, from `part` on."""
    offer = snapshot.offer
    for opening in offer.openings:
        kit, count = offer.kit_of(opening), opening.quantity
        for line, own in zip(kit.lines, snapshot.own_kit(opening).lines, strict=True):
            yield (
                "opening", opening.alternate, opening.mark, line.catalog_id, line.sku, line.kind,
                line.description, line.quantity, count, line.unit.minor,
                line.unit.minor * line.quantity * count, own.cost.units,
            )  # fmt: skip
        agreed = kit.adjustment.minor
        if agreed:
            yield (
                "opening", opening.alternate, opening.mark, "", "", ADJUSTMENT,
                offer.words.price_agreed, 1, count, agreed, agreed * count, 0,
            )  # fmt: skip
    for extra, cost in zip(offer.extras, snapshot.own.extras, strict=True):
        if extra.unit is not None:
            yield (
                "extra", extra.alternate, "", "", "", extra.kind.value, extra.description,
                extra.quantity, 1, extra.unit.minor, extra.unit.minor * extra.quantity,
                None if cost is None else cost.units,
            )  # fmt: skip


def every_total(snapshot: Snapshot) -> Iterator[tuple[str, Totals, Cost]]:
    """The base bid's totals and cost, under an empty code, and each alternate's."""
    yield "", snapshot.offer.totals, snapshot.own.cost
    for alternate, cost in zip(snapshot.offer.alternates, snapshot.own.alternates, strict=True):
        yield alternate.code, alternate.totals, cost


def _total(totals: Totals, cost: Cost) -> tuple[object, ...]:
    return (
        totals.net.currency,
        totals.hardware.minor,
        totals.extras.minor,
        totals.freight.minor,
        totals.net.minor,
        sum(charge.tax.minor for charge in totals.taxes),
        totals.gross.minor,
        cost.units,
    )


def _conditions(wanted: RevisionFilter) -> Iterable[ColumnElement[bool]]:
    yield REVISION.c.state != State.DRAFT.value
    if wanted.states:
        yield REVISION.c.state.in_(sorted(state.value for state in wanted.states))
    # ISO days, as texts, come in the order of the days.
    if wanted.issued_from is not None:
        yield REVISION.c.issued_on >= wanted.issued_from.isoformat()
    if wanted.issued_to is not None:
        yield REVISION.c.issued_on <= wanted.issued_to.isoformat()
    if wanted.job_id:
        yield REVISION.c.job_id == wanted.job_id
    if wanted.customer:
        yield JOB.c.customer == wanted.customer
    if wanted.salesperson:
        yield JOB.c.salesperson == wanted.salesperson


def _values(revision: Revision) -> mapping.Values:
    issued = revision.issued_at
    return {
        "id": revision.id,
        "job_id": revision.job_id,
        "quote_number": revision.quote_number,
        "number": revision.number,
        "state": revision.state.value,
        "created_at": revision.created_at.isoformat(),
        "created_by": revision.created_by,
        "valid_days": revision.valid_days,
        "cover_note": revision.cover_note,
        "approvals": to_text(revision.approvals),
        "issued_at": mapping.moment_text(issued),
        # The day where it was issued, in a column of its own: a moment keeps its own offset, so
        # that texts of moments do not sort.
        "issued_on": None if issued is None else issued.date().isoformat(),
        "issued_by": revision.issued_by,
        "valid_until": mapping.day_text(revision.valid_until),
        "closed_at": mapping.moment_text(revision.closed_at),
        "closed_by": revision.closed_by,
        "lost_reason": revision.lost_reason,
        "accepted": to_text(revision.accepted),
        "order_number": revision.order_number,
        "accepted_on": mapping.day_text(revision.accepted_on),
        "note": revision.note,
        "snapshot_digest": revision.snapshot_digest,
        "request": None if revision.request is None else to_text(revision.request),
        "version": revision.version,
    }


def _revision(row: mapping.AnyRow) -> Revision:
    snapshot = None
    if row.data is not None:
        # What was changed behind the program's back is refused before any of it is believed.
        if digest(row.data) != row.snapshot_digest:
            raise StoreError("snapshot-changed", revision=row.id)
        snapshot = _snapshot(row.data)
    return Revision(
        id=row.id,
        job_id=row.job_id,
        quote_number=row.quote_number,
        number=row.number,
        state=State(row.state),
        created_at=datetime.fromisoformat(row.created_at),
        created_by=row.created_by,
        valid_days=row.valid_days,
        cover_note=row.cover_note,
        approvals=from_text(tuple[Approval, ...], row.approvals),
        issued_at=mapping.moment_of(row.issued_at),
        issued_by=row.issued_by,
        valid_until=mapping.day_of(row.valid_until),
        closed_at=mapping.moment_of(row.closed_at),
        closed_by=row.closed_by,
        lost_reason=row.lost_reason,
        accepted=from_text(tuple[str, ...], row.accepted),
        order_number=row.order_number,
        accepted_on=mapping.day_of(row.accepted_on),
        note=row.note,
        snapshot=snapshot,
        snapshot_digest=row.snapshot_digest,
        request=None if row.request is None else from_text(Request, row.request),
        version=row.version,
    )


@lru_cache(maxsize=8)
def _snapshot(text: str) -> Snapshot:
    """The snapshot of a text: one deed asks for the same revision several times."""
    return read_snapshot(json.loads(text))
