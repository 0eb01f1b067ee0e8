"""Jobs with their openings and extra lines."""

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import datetime

from sqlalchemy import (
    BigInteger,
    BindParameter,
    ColumnElement,
    Connection,
    Select,
    bindparam,
    cast,
    func,
    or_,
    select,
)
from sqlalchemy.dialects.postgresql import JSONB

from wholekit.domain.errors import ConflictError
from wholekit.domain.quotes import CatalogRef, ExtraLine, Job, JobContents, JobOpening, State
from wholekit.services.ports import JobFilter, JobSummary, Page
from wholekit.store import bulk, mapping, rows
from wholekit.store.tables import METADATA

JOB = METADATA.tables["job"]
JOB_CATALOG = METADATA.tables["job_catalog"]
OPENING = METADATA.tables["job_opening"]
EXTRA = METADATA.tables["job_extra"]
CUSTOMER = METADATA.tables["customer"]
REVISION = METADATA.tables["quote_revision"]
LINE = METADATA.tables["quote_line"]
CATALOG = METADATA.tables["catalog_revision"]
TOTAL = METADATA.tables["quote_total"]
# Asked with every page of a job: put together once.
_BY_NUMBER = select(JOB).where(JOB.c.number == bindparam("number"))
# A job or a quote by its number, as people write it: J-00012, q12/3.
_NUMBER = re.compile("(?P<series>[JQjq])-?(?P<number>[0-9]{1,9})(?:/[0-9]+)?", re.ASCII)
_OF_JOBS: BindParameter[str] = bindparam("jobs", expanding=True)
_CATALOGS = (
    select(JOB_CATALOG).where(JOB_CATALOG.c.job_id.in_(_OF_JOBS)).order_by(JOB_CATALOG.c.position)
)
_OPENINGS = (
    select(OPENING)
    .where(OPENING.c.job_id.in_(_OF_JOBS))
    .order_by(OPENING.c.alternate, OPENING.c.position, OPENING.c.id)
)
_EXTRAS = (
    select(EXTRA)
    .where(EXTRA.c.job_id.in_(_OF_JOBS))
    .order_by(EXTRA.c.alternate, EXTRA.c.position, EXTRA.c.id)
)
# What fits into one question on every engine and driver.
_MARKS_AT_ONCE = 500


class SqlJobs:
    """The jobs of one unit of work."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def add(self, job: Job) -> None:
        """A new job's header."""
        self._connection.execute(JOB.insert(), mapping.job_values(job))
        self._write_catalogs(job)

    def get(self, job_id: str) -> Job | None:
        """The header, or None."""
        return self._header(select(JOB).where(JOB.c.id == job_id))

    def several(self, job_ids: Collection[str]) -> Sequence[Job]:
        """Headers by id; those that are not there are left out."""
        return self._headers(select(JOB).where(JOB.c.id.in_(job_ids)))

    def by_number(self, number: int) -> Job | None:
        """The header of a running number, or None."""
        return self._header(_BY_NUMBER, {"number": number})

    def for_change(self, job_id: str) -> Job | None:
        """The header, and the job held for this unit of work: by its row on PostgreSQL; SQLite
        lets one unit of work write at a time."""
        return self._header(select(JOB).where(JOB.c.id == job_id).with_for_update())

    def save(self, job: Job, expected: int) -> None:
        """The header anew; `job.version` is expected + 1. Raises ConflictError."""
        rows.save(self._connection, JOB, JOB.c.id, mapping.job_values(job), expected, "job")
        # After the version was found right: who came second must not touch them.
        self._connection.execute(JOB_CATALOG.delete().where(JOB_CATALOG.c.job_id == job.id))
        self._write_catalogs(job)

    def contents(self, job_id: str) -> JobContents | None:
        """Header, openings and extra lines, both by (alternate, position, id)."""
        return self.contents_of([job_id]).get(job_id)

    def contents_under(self, job: Job) -> JobContents:
        """The same under a header that this unit of work has read."""
        return self._filled([job])[job.id]

    def contents_of(self, job_ids: Collection[str]) -> Mapping[str, JobContents]:
        """The same of several jobs by id; those that are not there are left out."""
        return self._filled(self._headers(select(JOB).where(JOB.c.id.in_(job_ids))))

    def _filled(self, jobs: Sequence[Job]) -> Mapping[str, JobContents]:
        openings: dict[str, list[JobOpening]] = {job.id: [] for job in jobs}
        extras: dict[str, list[ExtraLine]] = {job.id: [] for job in jobs}
        if not jobs:
            return {}
        ids = {"jobs": list(openings)}
        for row in self._connection.execute(_OPENINGS, ids):
            openings[row.job_id].append(mapping.opening_of(row))
        for row in self._connection.execute(_EXTRAS, ids):
            extras[row.job_id].append(mapping.extra_of(row))
        return {
            job.id: JobContents(job, tuple(openings[job.id]), tuple(extras[job.id])) for job in jobs
        }

    def page(self, wanted: JobFilter, page: Page) -> tuple[Sequence[JobSummary], int]:
        """Rows by running number, latest first, and how many there are in all.

        Two questions, however many jobs there are.
        """
        joined = JOB.join(CUSTOMER, JOB.c.customer == CUSTOMER.c.code)
        conditions = list(_conditions(wanted))
        count = self._connection.execute(
            select(func.count()).select_from(joined).where(*conditions)
        ).scalar_one()
        found = self._connection.execute(
            select(
                JOB,
                CUSTOMER.c.name.label("customer_name"),
                *_looked_up(self._connection.dialect.name),
            )
            .select_from(joined)
            .where(*conditions)
            .order_by(JOB.c.number.desc())
            .limit(page.limit)
            .offset(page.offset)
        )
        return list(map(_job_row, found)), count

    def opening(self, job_id: str, alternate: str, mark: str) -> JobOpening | None:
        """The opening of a mark, or None."""
        row = self._connection.execute(
            select(OPENING).where(
                OPENING.c.job_id == job_id,
                OPENING.c.alternate == alternate,
                OPENING.c.mark == mark,
            )
        ).first()
        return None if row is None else mapping.opening_of(row)

    def marks(self, job_id: str) -> Mapping[tuple[str, str], int]:
        """(alternate, mark) of every opening with its position."""
        found = self._connection.execute(
            select(OPENING.c.alternate, OPENING.c.mark, OPENING.c.position).where(
                OPENING.c.job_id == job_id
            )
        )
        return {(row.alternate, row.mark): row.position for row in found}

    def add_openings(self, openings: Sequence[JobOpening]) -> None:
        """New openings of one job. Raises ConflictError (`mark-taken`) for a mark that is there."""
        self._refuse_taken(openings)
        writer = mapping.OpeningWriter()
        bulk.insert(self._connection, OPENING, mapping.OPENING_COLUMNS, map(writer.row, openings))

    def save_opening(self, opening: JobOpening, expected: int) -> None:
        """One opening anew; its version is expected + 1. Raises ConflictError."""
        self._refuse_taken([opening])
        values = mapping.OpeningWriter().values(opening)
        rows.save(self._connection, OPENING, OPENING.c.id, values, expected, "opening")

    def remove_opening(self, opening: JobOpening, expected: int) -> None:
        """Take an opening out. Raises ConflictError."""
        rows.remove(self._connection, OPENING, OPENING.c.id, opening.id, expected, "opening")

    def extra(self, job_id: str, extra_id: str) -> ExtraLine | None:
        """An extra line, or None."""
        row = self._connection.execute(
            select(EXTRA).where(EXTRA.c.job_id == job_id, EXTRA.c.id == extra_id)
        ).first()
        return None if row is None else mapping.extra_of(row)

    def add_extra(self, extra: ExtraLine) -> None:
        """A new extra line."""
        self._connection.execute(EXTRA.insert(), mapping.extra_values(extra))

    def save_extra(self, extra: ExtraLine, expected: int) -> None:
        """One extra line anew. Raises ConflictError."""
        values = mapping.extra_values(extra)
        rows.save(self._connection, EXTRA, EXTRA.c.id, values, expected, "extra")

    def remove_extra(self, extra: ExtraLine, expected: int) -> None:
        """Take an extra line out. Raises ConflictError."""
        rows.remove(self._connection, EXTRA, EXTRA.c.id, extra.id, expected, "extra")

    def _header(
        self, wanted: Select[tuple[object, ...]], asked: Mapping[str, object] | None = None
    ) -> Job | None:
        return next(iter(self._headers(wanted, asked)), None)

    def _headers(
        self, wanted: Select[tuple[object, ...]], asked: Mapping[str, object] | None = None
    ) -> Sequence[Job]:
        found = self._connection.execute(wanted, asked).all()
        refs: dict[str, list[CatalogRef]] = {row.id: [] for row in found}
        if not found:
            return ()
        for row in self._connection.execute(_CATALOGS, {"jobs": list(refs)}):
            refs[row.job_id].append(CatalogRef(row.catalog_id, row.revision))
        return [mapping.job_of(row, refs[row.id]) for row in found]

    def _write_catalogs(self, job: Job) -> None:
        found = [
            {
                "job_id": job.id,
                "position": position,
                "catalog_id": ref.catalog_id,
                "revision": ref.revision,
            }
            for position, ref in enumerate(job.catalogs)
        ]
        # SQLAlchemy takes an empty list for one row without values.
        if found:
            self._connection.execute(JOB_CATALOG.insert(), found)

    def _refuse_taken(self, openings: Sequence[JobOpening]) -> None:
        """The unique constraint stands behind this; asked first, the transaction stays whole."""
        wanted: dict[tuple[str, str, str], str] = {}
        for opening in openings:
            place = (opening.job_id, opening.alternate, opening.mark)
            if wanted.setdefault(place, opening.id) != opening.id:
                raise ConflictError("mark-taken", mark=opening.mark, alternate=opening.alternate)
        every = sorted(wanted)
        for start in range(0, len(every), _MARKS_AT_ONCE):
            part = every[start : start + _MARKS_AT_ONCE]
            found = self._connection.execute(
                select(OPENING.c.job_id, OPENING.c.alternate, OPENING.c.mark, OPENING.c.id).where(
                    OPENING.c.job_id.in_({job_id for job_id, _, _ in part}),
                    OPENING.c.mark.in_([mark for _, _, mark in part]),
                )
            )
            for row in found:
                own = wanted.get((row.job_id, row.alternate, row.mark))
                if own is not None and own != row.id:
                    raise ConflictError("mark-taken", mark=row.mark, alternate=row.alternate)


def _conditions(wanted: JobFilter) -> Iterable[ColumnElement[bool]]:
    if wanted.customer:
        yield JOB.c.customer == wanted.customer
    if wanted.salesperson:
        yield JOB.c.salesperson == wanted.salesperson
    if wanted.text:
        # Both sides are folded by Python, as SQLite's lower() knows the ASCII letters only;
        # escaped, since % and _ in what somebody types mean themselves.
        text = wanted.text.casefold()
        yield or_(
            JOB.c.folded.contains(text, autoescape=True),
            CUSTOMER.c.folded.contains(text, autoescape=True),
            *_named(wanted.text.strip()),
        )
    if wanted.due_from is not None:
        yield JOB.c.bids_due >= wanted.due_from.isoformat()
    if wanted.due_to is not None:
        yield JOB.c.bids_due <= wanted.due_to.isoformat()
    if wanted.quoted:
        yield JOB.c.id.in_(select(REVISION.c.job_id))


def _named(text: str) -> Iterable[ColumnElement[bool]]:
    """Jobs by what is called just so: each is looked up by itself, and not job by job."""
    numbered = _NUMBER.fullmatch(text)
    if numbered is not None:
        number = int(numbered["number"])
        if numbered["series"] in "jJ":
            yield JOB.c.number == number
        else:
            quoted = select(REVISION.c.job_id).where(REVISION.c.quote_number == number)
            yield JOB.c.id.in_(quoted)
    # Codes are plain letters and digits, whose case the engine knows.
    low = text.lower()
    yield JOB.c.id.in_(select(OPENING.c.job_id).where(func.lower(OPENING.c.mark) == low))
    ordered = select(REVISION.c.job_id).where(func.lower(REVISION.c.order_number) == low)
    yield JOB.c.id.in_(ordered)
    sold = (
        select(REVISION.c.job_id)
        .join(LINE, LINE.c.revision_id == REVISION.c.id)
        # By the index of a catalogue's items.
        .where(LINE.c.catalog_id.in_(select(CATALOG.c.catalog_id)))
        .where(LINE.c.sku.in_({text, text.upper()}))
    )
    yield JOB.c.id.in_(sold)


def _looked_up(dialect: str) -> tuple[ColumnElement[object], ...]:
    """What a row of the list shows from other tables: found by index, for the rows shown only."""
    openings = select(func.count()).where(OPENING.c.job_id == JOB.c.id).scalar_subquery()
    latest = select(REVISION).where(REVISION.c.job_id == JOB.c.id)
    newest = latest.order_by(REVISION.c.number.desc()).limit(1)
    # An alias tied to the job alone, else the revision asked for below would be taken for it.
    other = REVISION.alias()
    issued = (
        select(other.c.id)
        .where(other.c.job_id == JOB.c.id, other.c.state != State.DRAFT.value)
        .order_by(other.c.number.desc())
        .limit(1)
        .correlate(JOB)
    )
    net = (
        # PostgreSQL adds such numbers up as numeric, which arrives as a Decimal.
        select(cast(func.sum(TOTAL.c.net), BigInteger))
        .join(REVISION, REVISION.c.id == TOTAL.c.revision_id)
        .where(
            TOTAL.c.revision_id == issued.scalar_subquery(),
            (TOTAL.c.alternate == "") | TOTAL.c.alternate.in_(_accepted(dialect)),
        )
    )
    return (
        openings.label("openings"),
        newest.with_only_columns(REVISION.c.quote_number).scalar_subquery().label("quote_number"),
        newest.with_only_columns(REVISION.c.number).scalar_subquery().label("revision"),
        newest.with_only_columns(REVISION.c.state).scalar_subquery().label("state"),
        newest.with_only_columns(REVISION.c.valid_until).scalar_subquery().label("valid_until"),
        net.scalar_subquery().label("net"),
    )


def _accepted(dialect: str) -> Select[tuple[str]]:
    """The codes of the alternates accepted with a revision, a row each, by the engine's own JSON.

    Codes are free text: no pattern over the list's text tells them apart.
    """
    if dialect == "sqlite":
        codes = func.json_each(REVISION.c.accepted).table_valued("value")
        return select(codes.c.value)
    listed = func.jsonb_array_elements_text(cast(REVISION.c.accepted, JSONB))
    return select(listed.column_valued("value"))


def _job_row(row: mapping.AnyRow) -> JobSummary:
    return JobSummary(
        id=row.id,
        number=row.number,
        name=row.name,
        customer=row.customer,
        customer_name=row.customer_name,
        salesperson=row.salesperson,
        bids_due=mapping.day_of(row.bids_due),
        created_at=datetime.fromisoformat(row.created_at),
        currency=row.currency,
        openings=row.openings,
        quote_number=row.quote_number or 0,
        revision=row.revision or 0,
        state=None if row.state is None else State(row.state),
        net=row.net,
        valid_until=mapping.day_of(row.valid_until),
    )
