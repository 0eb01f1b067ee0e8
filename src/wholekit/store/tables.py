"""The tables, as SQLModel declares them; the migrations make them.

Alike on both engines: money, costs, lengths and yes-or-no are whole numbers; dates are ISO text
(`2026-11-25`), moments ISO text with their offset; exact fractions are text (`31/50`); lists and
engineering data are JSON text as `domain.plain` writes it. SQLite tables are STRICT, so that a
text in a column of whole numbers is refused there as PostgreSQL refuses it. Rows are read and
written with SQLAlchemy Core, never object by object.
"""

from sqlalchemy import Column, ForeignKeyConstraint, Index, UniqueConstraint, text
from sqlmodel import Field

from wholekit.domain.quotes import PersonRole, State
from wholekit.domain.tax import LineKind, Rounding
from wholekit.store import (
    account_tables,
    order_tables,
    paper_tables,
    purchase_tables,
    stock_tables,
)
from wholekit.store.columns import (
    COUNTED,
    KEYED,
    METADATA,
    STRICT,
    WHOLE,
    Row,
    counted_key,
    one_of,
    rule,
    whole,
    words,
)

__all__ = [
    "METADATA",
    "account_tables",
    "order_tables",
    "paper_tables",
    "purchase_tables",
    "stock_tables",
]


class CatalogRevisionRow(Row, table=True):
    """One revision of a supplier's catalogue: a load, whole. Never changed."""

    __tablename__ = "catalog_revision"
    __table_args__ = (
        UniqueConstraint("catalog_id", "revision"),
        rule("revision", "revision > 0"),
        rule("currency", "length(currency) = 3"),
        rule("items", "items >= 0"),
        COUNTED,
    )
    id: int = counted_key()
    catalog_id: str = words()
    revision: int = whole()
    supplier: str = words()
    currency: str = words()
    edition: str = words()
    folder: str = words()
    loaded_at: str = words()
    loaded_by: str = words()
    items: int = whole()


class CatalogSeriesRow(Row, table=True):
    """The engineering data of one series, as JSON."""

    __tablename__ = "catalog_series"
    __table_args__ = (KEYED,)
    revision_id: int = whole(key=True, to="catalog_revision.id")
    position: int = whole(key=True)
    series: str = words()
    data: str = words()


class CatalogItemRow(Row, table=True):
    """One item of a price book. list_price [minor units]; cost [1/10 000 of the major unit].

    supplies: piece and count of each, as JSON. book_row: its row in the price book. substitutes:
    SKUs parted by spaces. reorder_at, least_order [packs]. price_breaks: packs and cost of each, as
    JSON.
    """

    __tablename__ = "catalog_item"
    __table_args__ = (
        Index(None, "barcode"),
        rule("list_price", "list_price >= 0"),
        rule("cost", "cost >= 0"),
        rule("pack_size", "pack_size > 0"),
        rule("on_hand", "on_hand >= 0"),
        rule("lead_days", "lead_days >= 0"),
        rule("discontinued", "discontinued IN (0, 1)"),
        rule("breakable", "breakable IN (0, 1)"),
        rule("reorder_at", "reorder_at >= 0"),
        rule("least_order", "least_order > 0"),
        KEYED,
    )
    revision_id: int = whole(key=True, to="catalog_revision.id")
    sku: str = words(key=True)
    position: int = whole()
    description: str = words()
    finish: str | None = words(empty=True)
    list_price: int = whole()
    cost: int = whole()
    supplies: str = words()
    pack_size: int = whole()
    on_hand: int = whole()
    bin: str = words()
    lead_days: int = whole()
    barcode: str = words()
    discontinued: int = whole()
    replaced_by: str | None = words(empty=True)
    book_row: int = whole()
    substitutes: str = words()
    breakable: int = whole()
    reorder_at: int | None = whole(empty=True)
    least_order: int = whole()
    price_breaks: str = words()


class AuditRow(Row, table=True):
    """One change of state. Only ever added to: triggers refuse the rest."""

    __tablename__ = "audit_entry"
    __table_args__ = (
        Index(None, "job_id"),
        Index(None, "subject", "subject_id"),
        rule("who", "length(who) > 0"),
        COUNTED,
    )
    id: int = counted_key()
    at: str = words()
    who: str = words()
    action: str = words()
    subject: str = words()
    subject_id: str = words()
    job_id: str = words()
    before: str | None = words(empty=True)
    after: str | None = words(empty=True)
    reason: str = words()


class RunningNumberRow(Row, table=True):
    """The last number taken of each running series."""

    __tablename__ = "running_number"
    __table_args__ = (rule("last", "last > 0"), KEYED)
    series: str = words(key=True)
    last: int = whole()


class CustomerRow(Row, table=True):
    """A customer. folded: code and name, case aside, for searching."""

    __tablename__ = "customer"
    __table_args__ = (
        rule("currency", "length(currency) = 3"),
        rule("terms_days", "terms_days >= 0"),
        rule("version", "version > 0"),
        STRICT,
    )
    code: str = words(key=True)
    name: str = words()
    address: str = words()
    contact: str = words()
    email: str = words()
    phone: str = words()
    currency: str = words()
    locale: str = words()
    multiplier: str = words()
    tiers: str = words()
    tax_certificate: str = words()
    tax_expires: str | None = words(empty=True)
    terms_days: int = whole()
    terms_text: str = words()
    ship_to: str = words()
    note: str = words()
    folded: str = words()
    version: int = whole()


class CustomerSheetRow(Row, table=True):
    """What was chosen of a customer's sheets, as JSON, when and by whom."""

    __tablename__ = "customer_sheet"
    __table_args__ = (rule("version", "version > 0"), STRICT)
    customer: str = words(key=True, to="customer.code")
    choices: str = words()
    chosen_at: str = words()
    chosen_by: str = words()
    version: int = whole()


class CatalogSheetRow(Row, table=True):
    """What was told of a supplier's price sheets, as JSON, when and by whom."""

    __tablename__ = "catalog_sheet"
    __table_args__ = (rule("version", "version > 0"), STRICT)
    catalog_id: str = words(key=True)
    told: str = words()
    told_at: str = words()
    told_by: str = words()
    version: int = whole()


class CatalogRiseRow(Row, table=True):
    """A rise that is told of and not loaded yet. share: of the price before, `3/50`."""

    __tablename__ = "catalog_rise"
    __table_args__ = (STRICT,)
    id: str = words(key=True)
    catalog_id: str = words()
    share: str = words()
    day: str = words()
    series: str = words()
    told_at: str = words()
    told_by: str = words()


class ShipToRow(Row, table=True):
    """A place goods go to, with its named rates as JSON."""

    __tablename__ = "ship_to"
    __table_args__ = (
        one_of("rounding", Rounding),
        rule("inclusive", "inclusive IN (0, 1)"),
        rule("version", "version > 0"),
        STRICT,
    )
    code: str = words(key=True)
    name: str = words()
    address: str = words()
    taxes: str = words()
    freights: str = words()
    inclusive: int = whole()
    rounding: str = words()
    version: int = whole()


class PersonRow(Row, table=True):
    """Somebody of the house."""

    __tablename__ = "person"
    __table_args__ = (one_of("role", PersonRole), rule("version", "version > 0"), STRICT)
    name: str = words(key=True)
    role: str = words()
    full_name: str = words()
    version: int = whole()


class HousePolicyRow(Row, table=True):
    """The owner's settings: one row, once they were set."""

    __tablename__ = "house_policy"
    __table_args__ = (rule("one", "id = 1"), rule("version", "version > 0"), STRICT)
    id: int = whole(key=True)
    data: str = words()
    version: int = whole()


class JobRow(Row, table=True):
    """The header of a job. folded: name and site, case aside, for searching."""

    __tablename__ = "job"
    __table_args__ = (
        Index(None, "customer"),
        rule("number", "number > 0"),
        rule("currency", "length(currency) = 3"),
        rule("stock_first", "stock_first IN (0, 1)"),
        rule("version", "version > 0"),
        STRICT,
    )
    id: str = words(key=True)
    number: int = Field(sa_column=Column(WHOLE, nullable=False, unique=True))
    name: str = words()
    customer: str = words(to="customer.code")
    currency: str = words()
    created_at: str = words()
    created_by: str = words()
    site: str = words()
    site_address: str = words()
    contact: str = words()
    ship_to: str = words()
    freight: str = words()
    bids_due: str | None = words(empty=True)
    salesperson: str = words()
    note: str = words()
    discount: str = words()
    discount_reason: str = words()
    prefer: str = words()
    stock_first: int = whole()
    alternates: str = words()
    folded: str = words()
    version: int = whole()
    unasked: str = words()
    not_used: str = words()


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
    job_id: str = words(key=True, to="job.id")
    position: int = whole(key=True)
    catalog_id: str = words()
    revision: int = whole()


class JobOpeningRow(Row, table=True):
    """One mark of a job. kind: all that decides its kit, as JSON; width, height: a leaf's [nm]."""

    __tablename__ = "job_opening"
    __table_args__ = (
        UniqueConstraint("job_id", "alternate", "mark"),
        rule("quantity", "quantity > 0"),
        rule("width", "width > 0"),
        rule("height", "height > 0"),
        rule("leaves", "leaves IN (1, 2)"),
        rule("mark", "length(mark) > 0"),
        rule("version", "version > 0"),
        STRICT,
    )
    id: str = words(key=True)
    job_id: str = words(to="job.id")
    alternate: str = words()
    position: int = whole()
    mark: str = words()
    quantity: int = whole()
    width: int = whole()
    height: int = whole()
    leaves: int = whole()
    kind: str = words()
    note: str = words()
    room: str = words()
    finish_written: str = words()
    overrides: str = words()
    releases: str = words()
    version: int = whole()


class JobExtraRow(Row, table=True):
    """An extra line. unit [minor units each]; cost [1/10 000 of the major unit each]."""

    __tablename__ = "job_extra"
    __table_args__ = (
        Index(None, "job_id"),
        one_of("kind", LineKind),
        rule("quantity", "quantity > 0"),
        rule("currency", "(currency IS NOT NULL) = (unit IS NOT NULL OR cost IS NOT NULL)"),
        rule("version", "version > 0"),
        STRICT,
    )
    id: str = words(key=True)
    job_id: str = words(to="job.id")
    alternate: str = words()
    position: int = whole()
    kind: str = words()
    description: str = words()
    quantity: int = whole()
    currency: str | None = words(empty=True)
    unit: int | None = whole(empty=True)
    cost: int | None = whole(empty=True)
    version: int = whole()


class QuoteRevisionRow(Row, table=True):
    """One revision of a job's quote. Once issued, triggers hold all but its state fast;
    accepted: codes of the alternates the customer took, as JSON; order_number: the customer's.
    request: of a draft, as JSON."""

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
        one_of("state", State),
        rule("quote_number", "quote_number >= 0"),
        rule("number", "number > 0"),
        rule("issued", "(state = 'draft') = (issued_at IS NULL)"),
        rule("frozen", "state = 'draft' OR (length(snapshot_digest) = 64 AND quote_number > 0)"),
        rule("version", "version > 0"),
        STRICT,
    )
    id: str = words(key=True)
    job_id: str = words(to="job.id")
    quote_number: int = whole()
    number: int = whole()
    state: str = words()
    created_at: str = words()
    created_by: str = words()
    valid_days: int = whole()
    cover_note: str = words()
    approvals: str = words()
    issued_at: str | None = words(empty=True)
    issued_on: str | None = words(empty=True)
    issued_by: str = words()
    valid_until: str | None = words(empty=True)
    closed_at: str | None = words(empty=True)
    closed_by: str = words()
    lost_reason: str = words()
    accepted: str = words()
    order_number: str = words()
    accepted_on: str | None = words(empty=True)
    note: str = words()
    snapshot_digest: str = words()
    request: str | None = words(empty=True)
    version: int = whole()


class QuoteSnapshotRow(Row, table=True):
    """What was issued, whole, as one line of JSON; its SHA-256 stands in the revision's row."""

    __tablename__ = "quote_snapshot"
    __table_args__ = (STRICT,)
    revision_id: str = words(key=True, to="quote_revision.id")
    data: str = words()


class QuoteLineRow(Row, table=True):
    """One line of an issued revision, flat, to be added up by SQL [minor units, 1/10 000].

    part: `opening` (an item of a kit, `quantity` for one of `openings` alike) or `extra`.
    """

    __tablename__ = "quote_line"
    __table_args__ = (
        Index(None, "catalog_id", "sku"),
        rule("part", "part IN ('opening', 'extra')"),
        rule("quantity", "quantity > 0"),
        rule("openings", "openings > 0"),
        rule("total", "total = unit * quantity * openings"),
        KEYED,
    )
    revision_id: str = words(key=True, to="quote_revision.id")
    position: int = whole(key=True)
    part: str = words()
    alternate: str = words()
    mark: str = words()
    catalog_id: str = words()
    sku: str = words()
    kind: str = words()
    description: str = words()
    quantity: int = whole()
    openings: int = whole()
    unit: int = whole()
    total: int = whole()
    cost: int | None = whole(empty=True)


class QuoteTotalRow(Row, table=True):
    """The totals of an issued revision as quoted: the base bid (alternate empty), each alternate.

    Amounts [minor units of the currency]; cost [1/10 000 of the major unit].
    """

    __tablename__ = "quote_total"
    __table_args__ = (
        rule("currency", "length(currency) = 3"),
        rule("gross", "gross = net + tax"),
        KEYED,
    )
    revision_id: str = words(key=True, to="quote_revision.id")
    alternate: str = words(key=True)
    currency: str = words()
    hardware: int = whole()
    extras: int = whole()
    freight: int = whole()
    net: int = whole()
    tax: int = whole()
    gross: int = whole()
    cost: int = whole()
