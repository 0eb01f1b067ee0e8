"""The tables, as SQLModel declares them; the migrations make them.

Alike on both engines: money, costs, lengths and yes-or-no are whole numbers; dates are ISO text
(`2026-11-25`), moments ISO text with their offset; exact fractions are text (`31/50`); lists and
engineering data are JSON text as `domain.plain` writes it. SQLite tables are STRICT, so that a
text in a column of whole numbers is refused there as PostgreSQL refuses it. Rows are read and
written with SQLAlchemy Core, never object by object.
"""

from collections.abc import Iterable
from enum import StrEnum
from typing import Any

from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    Column,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    Integer,
    MetaData,
    Text,
    UniqueConstraint,
    text,
)
from sqlmodel import Field, SQLModel

from wholekit.domain.quotes import PersonRole, State
from wholekit.domain.tax import LineKind, Rounding

NAMES = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s",
    "pk": "pk_%(table_name)s",
}
METADATA = MetaData(naming_convention=NAMES)
WHOLE = BigInteger().with_variant(Integer(), "sqlite")
# Both engines order and compare texts by code point.
WORDS = Text().with_variant(Text(collation="C"), "postgresql")


class Row(SQLModel):
    """What all tables share: their own register, and names for every constraint."""

    metadata = METADATA


def _rule(name: str, sql: str) -> CheckConstraint:
    return CheckConstraint(sql, name=name)


def _one_of(column: str, words: Iterable[StrEnum]) -> CheckConstraint:
    listed = ", ".join(f"'{word.value}'" for word in words)
    return CheckConstraint(f"{column} IN ({listed})", name=column)


def _key() -> Any:  # noqa: ANN401  # a key that the database counts up
    return Field(default=None, sa_column=Column(WHOLE, primary_key=True, autoincrement=True))


def _whole(*, empty: bool = False, key: bool = False, to: str = "") -> Any:  # noqa: ANN401
    """A whole number: a count, minor units, ten-thousandths, nanometres, or 0 and 1.

    to: `table.column` it refers to.
    """
    foreign = [ForeignKey(to)] if to else []
    column = Column(WHOLE, *foreign, nullable=empty, primary_key=key, autoincrement=False)
    return Field(sa_column=column)


def _text(*, empty: bool = False, key: bool = False, to: str = "", unique: bool = False) -> Any:  # noqa: ANN401
    """A text, a date, a moment, a fraction or JSON."""
    foreign = [ForeignKey(to)] if to else []
    column = Column(WORDS, *foreign, nullable=empty, primary_key=key, unique=unique or None)
    return Field(sa_column=column)


STRICT = {"sqlite_strict": True}
KEYED = {"sqlite_strict": True, "sqlite_with_rowid": False}
COUNTED = {"sqlite_strict": True, "sqlite_autoincrement": True}


class CatalogRevisionRow(Row, table=True):
    """One revision of a supplier's catalogue: a load, whole. Never changed."""

    __tablename__ = "catalog_revision"
    __table_args__ = (
        UniqueConstraint("catalog_id", "revision"),
        _rule("revision", "revision > 0"),
        _rule("currency", "length(currency) = 3"),
        _rule("items", "items >= 0"),
        COUNTED,
    )
    id: int = _key()
    catalog_id: str = _text()
    revision: int = _whole()
    supplier: str = _text()
    currency: str = _text()
    edition: str = _text()
    folder: str = _text()
    loaded_at: str = _text()
    loaded_by: str = _text()
    items: int = _whole()


class CatalogSeriesRow(Row, table=True):
    """The engineering data of one series, as JSON."""

    __tablename__ = "catalog_series"
    __table_args__ = (KEYED,)
    revision_id: int = _whole(key=True, to="catalog_revision.id")
    position: int = _whole(key=True)
    series: str = _text()
    data: str = _text()


class CatalogItemRow(Row, table=True):
    """One item of a price book. list_price [minor units]; cost [1/10 000 of the major unit].

    supplies: piece and count of each, as JSON. book_row: its row in the price book.
    """

    __tablename__ = "catalog_item"
    __table_args__ = (
        _rule("list_price", "list_price >= 0"),
        _rule("cost", "cost >= 0"),
        _rule("pack_size", "pack_size > 0"),
        _rule("on_hand", "on_hand >= 0"),
        _rule("lead_days", "lead_days >= 0"),
        _rule("discontinued", "discontinued IN (0, 1)"),
        KEYED,
    )
    revision_id: int = _whole(key=True, to="catalog_revision.id")
    sku: str = _text(key=True)
    position: int = _whole()
    description: str = _text()
    finish: str | None = _text(empty=True)
    list_price: int = _whole()
    cost: int = _whole()
    supplies: str = _text()
    pack_size: int = _whole()
    on_hand: int = _whole()
    bin: str = _text()
    lead_days: int = _whole()
    barcode: str = _text()
    discontinued: int = _whole()
    replaced_by: str | None = _text(empty=True)
    book_row: int = _whole()


class AuditRow(Row, table=True):
    """One change of state. Only ever added to: triggers refuse the rest."""

    __tablename__ = "audit_entry"
    __table_args__ = (
        Index(None, "job_id"),
        Index(None, "subject", "subject_id"),
        _rule("who", "length(who) > 0"),
        COUNTED,
    )
    id: int = _key()
    at: str = _text()
    who: str = _text()
    action: str = _text()
    subject: str = _text()
    subject_id: str = _text()
    job_id: str = _text()
    before: str | None = _text(empty=True)
    after: str | None = _text(empty=True)
    reason: str = _text()


class RunningNumberRow(Row, table=True):
    """The last number taken of each running series."""

    __tablename__ = "running_number"
    __table_args__ = (_rule("last", "last > 0"), KEYED)
    series: str = _text(key=True)
    last: int = _whole()


class CustomerRow(Row, table=True):
    """A customer. folded: code and name, case aside, for searching."""

    __tablename__ = "customer"
    __table_args__ = (
        _rule("currency", "length(currency) = 3"),
        _rule("terms_days", "terms_days >= 0"),
        _rule("version", "version > 0"),
        STRICT,
    )
    code: str = _text(key=True)
    name: str = _text()
    address: str = _text()
    contact: str = _text()
    email: str = _text()
    phone: str = _text()
    currency: str = _text()
    locale: str = _text()
    multiplier: str = _text()
    tiers: str = _text()
    tax_certificate: str = _text()
    tax_expires: str | None = _text(empty=True)
    terms_days: int = _whole()
    terms_text: str = _text()
    ship_to: str = _text()
    note: str = _text()
    folded: str = _text()
    version: int = _whole()


class CustomerSheetRow(Row, table=True):
    """What was chosen of a customer's sheets, as JSON, when and by whom."""

    __tablename__ = "customer_sheet"
    __table_args__ = (_rule("version", "version > 0"), STRICT)
    customer: str = _text(key=True, to="customer.code")
    choices: str = _text()
    chosen_at: str = _text()
    chosen_by: str = _text()
    version: int = _whole()


class ShipToRow(Row, table=True):
    """A place goods go to, with its named rates as JSON."""

    __tablename__ = "ship_to"
    __table_args__ = (
        _one_of("rounding", Rounding),
        _rule("inclusive", "inclusive IN (0, 1)"),
        _rule("version", "version > 0"),
        STRICT,
    )
    code: str = _text(key=True)
    name: str = _text()
    address: str = _text()
    taxes: str = _text()
    freights: str = _text()
    inclusive: int = _whole()
    rounding: str = _text()
    version: int = _whole()


class PersonRow(Row, table=True):
    """Somebody of the house."""

    __tablename__ = "person"
    __table_args__ = (_one_of("role", PersonRole), _rule("version", "version > 0"), STRICT)
    name: str = _text(key=True)
    role: str = _text()
    full_name: str = _text()
    version: int = _whole()


class HousePolicyRow(Row, table=True):
    """The owner's settings: one row, once they were set."""

    __tablename__ = "house_policy"
    __table_args__ = (_rule("one", "id = 1"), _rule("version", "version > 0"), STRICT)
    id: int = _whole(key=True)
    data: str = _text()
    version: int = _whole()


class JobRow(Row, table=True):
    """The header of a job. folded: name and site, case aside, for searching."""

    __tablename__ = "job"
    __table_args__ = (
        Index(None, "customer"),
        _rule("number", "number > 0"),
        _rule("currency", "length(currency) = 3"),
        _rule("stock_first", "stock_first IN (0, 1)"),
        _rule("version", "version > 0"),
        STRICT,
    )
    id: str = _text(key=True)
    number: int = Field(sa_column=Column(WHOLE, nullable=False, unique=True))
    name: str = _text()
    customer: str = _text(to="customer.code")
    currency: str = _text()
    created_at: str = _text()
    created_by: str = _text()
    site: str = _text()
    site_address: str = _text()
    contact: str = _text()
    ship_to: str = _text()
    freight: str = _text()
    bids_due: str | None = _text(empty=True)
    salesperson: str = _text()
    note: str = _text()
    discount: str = _text()
    discount_reason: str = _text()
    prefer: str = _text()
    stock_first: int = _whole()
    alternates: str = _text()
    folded: str = _text()
    version: int = _whole()


class JobCatalogRow(Row, table=True):
    """A catalogue revision that a job is priced on."""

    __tablename__ = "job_catalog"
    __table_args__ = (
        ForeignKeyConstraint(
            ["catalog_id", "revision"],
            ["catalog_revision.catalog_id", "catalog_revision.revision"],
        ),
        KEYED,
    )
    job_id: str = _text(key=True, to="job.id")
    position: int = _whole(key=True)
    catalog_id: str = _text()
    revision: int = _whole()


class JobOpeningRow(Row, table=True):
    """One mark of a job. kind: all that decides its kit, as JSON; width, height: a leaf's [nm]."""

    __tablename__ = "job_opening"
    __table_args__ = (
        UniqueConstraint("job_id", "alternate", "mark"),
        _rule("quantity", "quantity > 0"),
        _rule("width", "width > 0"),
        _rule("height", "height > 0"),
        _rule("leaves", "leaves IN (1, 2)"),
        _rule("mark", "length(mark) > 0"),
        _rule("version", "version > 0"),
        STRICT,
    )
    id: str = _text(key=True)
    job_id: str = _text(to="job.id")
    alternate: str = _text()
    position: int = _whole()
    mark: str = _text()
    quantity: int = _whole()
    width: int = _whole()
    height: int = _whole()
    leaves: int = _whole()
    kind: str = _text()
    note: str = _text()
    overrides: str = _text()
    releases: str = _text()
    version: int = _whole()


class JobExtraRow(Row, table=True):
    """An extra line. unit [minor units each]; cost [1/10 000 of the major unit each]."""

    __tablename__ = "job_extra"
    __table_args__ = (
        Index(None, "job_id"),
        _one_of("kind", LineKind),
        _rule("quantity", "quantity > 0"),
        _rule("currency", "(currency IS NOT NULL) = (unit IS NOT NULL OR cost IS NOT NULL)"),
        _rule("version", "version > 0"),
        STRICT,
    )
    id: str = _text(key=True)
    job_id: str = _text(to="job.id")
    alternate: str = _text()
    position: int = _whole()
    kind: str = _text()
    description: str = _text()
    quantity: int = _whole()
    currency: str | None = _text(empty=True)
    unit: int | None = _whole(empty=True)
    cost: int | None = _whole(empty=True)
    version: int = _whole()


class QuoteRevisionRow(Row, table=True):
    """One revision of a job's quote. Once issued, triggers hold all but its state fast;
    accepted: codes of the alternates the customer took, as JSON. request: of a draft, as JSON."""

    __tablename__ = "quote_revision"
    __table_args__ = (
        UniqueConstraint("job_id", "number"),
        Index(
            "ix_quote_revision_one_draft",
            "job_id",
            unique=True,
            sqlite_where=text("state = 'draft'"),
            postgresql_where=text("state = 'draft'"),
        ),
        Index(
            "ix_quote_revision_quote",
            "quote_number",
            "number",
            unique=True,
            sqlite_where=text("quote_number > 0"),
            postgresql_where=text("quote_number > 0"),
        ),
        Index(None, "issued_on"),
        _one_of("state", State),
        _rule("quote_number", "quote_number >= 0"),
        _rule("number", "number > 0"),
        _rule("issued", "(state = 'draft') = (issued_at IS NULL)"),
        _rule("frozen", "state = 'draft' OR (length(snapshot_digest) = 64 AND quote_number > 0)"),
        _rule("version", "version > 0"),
        STRICT,
    )
    id: str = _text(key=True)
    job_id: str = _text(to="job.id")
    quote_number: int = _whole()
    number: int = _whole()
    state: str = _text()
    created_at: str = _text()
    created_by: str = _text()
    valid_days: int = _whole()
    cover_note: str = _text()
    approvals: str = _text()
    issued_at: str | None = _text(empty=True)
    issued_on: str | None = _text(empty=True)
    issued_by: str = _text()
    valid_until: str | None = _text(empty=True)
    closed_at: str | None = _text(empty=True)
    closed_by: str = _text()
    lost_reason: str = _text()
    accepted: str = _text()
    note: str = _text()
    snapshot_digest: str = _text()
    request: str | None = _text(empty=True)
    version: int = _whole()


class QuoteSnapshotRow(Row, table=True):
    """What was issued, whole, as one line of JSON; its SHA-256 stands in the revision's row."""

    __tablename__ = "quote_snapshot"
    __table_args__ = (STRICT,)
    revision_id: str = _text(key=True, to="quote_revision.id")
    data: str = _text()


class QuoteLineRow(Row, table=True):
    """One line of an issued revision, flat, to be added up by SQL [minor units, 1/10 000].

    part: `opening` (an item of a kit, `quantity` for one of `openings` alike) or `extra`.
    """

    __tablename__ = "quote_line"
    __table_args__ = (
        Index(None, "catalog_id", "sku"),
        _rule("part", "part IN ('opening', 'extra')"),
        _rule("quantity", "quantity > 0"),
        _rule("openings", "openings > 0"),
        _rule("total", "total = unit * quantity * openings"),
        KEYED,
    )
    revision_id: str = _text(key=True, to="quote_revision.id")
    position: int = _whole(key=True)
    part: str = _text()
    alternate: str = _text()
    mark: str = _text()
    catalog_id: str = _text()
    sku: str = _text()
    kind: str = _text()
    description: str = _text()
    quantity: int = _whole()
    openings: int = _whole()
    unit: int = _whole()
    total: int = _whole()
    cost: int | None = _whole(empty=True)


class QuoteTotalRow(Row, table=True):
    """The totals of an issued revision as quoted: the base bid (alternate empty), each alternate.

    Amounts [minor units of the currency]; cost [1/10 000 of the major unit].
    """

    __tablename__ = "quote_total"
    __table_args__ = (
        _rule("currency", "length(currency) = 3"),
        _rule("gross", "gross = net + tax"),
        KEYED,
    )
    revision_id: str = _text(key=True, to="quote_revision.id")
    alternate: str = _text(key=True)
    currency: str = _text()
    hardware: int = _whole()
    extras: int = _whole()
    freight: int = _whole()
    net: int = _whole()
    tax: int = _whole()
    gross: int = _whole()
    cost: int = _whole()


ROWS: tuple[type[Row], ...] = (
    CatalogRevisionRow,
    CatalogSeriesRow,
    CatalogItemRow,
    AuditRow,
    RunningNumberRow,
    CustomerRow,
    ShipToRow,
    PersonRow,
    HousePolicyRow,
    JobRow,
    JobCatalogRow,
    JobOpeningRow,
    JobExtraRow,
    QuoteRevisionRow,
    QuoteSnapshotRow,
    QuoteLineRow,
    QuoteTotalRow,
)
