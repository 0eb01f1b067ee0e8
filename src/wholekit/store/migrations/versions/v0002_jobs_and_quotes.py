"""Customers, ship-to places, people, jobs, and the revisions of their quotes."""

import sqlalchemy as sa
from alembic import op

from wholekit.store.migrations.parts import WHOLE, WORDS, guard, guard_whole

revision = "0002"
down_revision: str | None = "0001"

FROZEN = " OR ".join(
    ["NEW.state = 'draft'"]
    + [
        f"NEW.{column} <> OLD.{column}"
        for column in (
            "id", "job_id", "quote_number", "number", "created_at", "created_by", "cover_note",
            "approvals", "valid_days", "issued_by", "snapshot_digest",
        )
    ]
    + [
        # These may be NULL, which `<>` finds neither like nor unlike anything.
        f"coalesce(NEW.{column}, '') <> coalesce(OLD.{column}, '')"
        for column in ("issued_at", "issued_on", "valid_until")
    ]
)  # fmt: skip


def upgrade() -> None:
    """Make them; what was issued is guarded."""
    op.create_table(
        "customer",
        sa.Column("code", WORDS, nullable=False),
        sa.Column("name", WORDS, nullable=False),
        sa.Column("address", WORDS, nullable=False),
        sa.Column("contact", WORDS, nullable=False),
        sa.Column("email", WORDS, nullable=False),
        sa.Column("phone", WORDS, nullable=False),
        sa.Column("currency", WORDS, nullable=False),
        sa.Column("locale", WORDS, nullable=False),
        sa.Column("multiplier", WORDS, nullable=False),
        sa.Column("tiers", WORDS, nullable=False),
        sa.Column("tax_certificate", WORDS, nullable=False),
        sa.Column("tax_expires", WORDS, nullable=True),
        sa.Column("terms_days", WHOLE, autoincrement=False, nullable=False),
        sa.Column("terms_text", WORDS, nullable=False),
        sa.Column("ship_to", WORDS, nullable=False),
        sa.Column("note", WORDS, nullable=False),
        sa.Column("folded", WORDS, nullable=False),
        sa.Column("version", WHOLE, autoincrement=False, nullable=False),
        sa.CheckConstraint("length(currency) = 3", name="ck_customer_currency"),
        sa.CheckConstraint("terms_days >= 0", name="ck_customer_terms_days"),
        sa.CheckConstraint("version > 0", name="ck_customer_version"),
        sa.PrimaryKeyConstraint("code", name="pk_customer"),
        sqlite_strict=True,
    )
    op.create_table(
        "house_policy",
        sa.Column("id", WHOLE, autoincrement=False, nullable=False),
        sa.Column("data", WORDS, nullable=False),
        sa.Column("version", WHOLE, autoincrement=False, nullable=False),
        sa.CheckConstraint("id = 1", name="ck_house_policy_one"),
        sa.CheckConstraint("version > 0", name="ck_house_policy_version"),
        sa.PrimaryKeyConstraint("id", name="pk_house_policy"),
        sqlite_strict=True,
    )
    op.create_table(
        "person",
        sa.Column("name", WORDS, nullable=False),
        sa.Column("role", WORDS, nullable=False),
        sa.Column("full_name", WORDS, nullable=False),
        sa.Column("version", WHOLE, autoincrement=False, nullable=False),
        sa.CheckConstraint("role IN ('counter', 'sales', 'owner')", name="ck_person_role"),
        sa.CheckConstraint("version > 0", name="ck_person_version"),
        sa.PrimaryKeyConstraint("name", name="pk_person"),
        sqlite_strict=True,
    )
    op.create_table(
        "ship_to",
        sa.Column("code", WORDS, nullable=False),
        sa.Column("name", WORDS, nullable=False),
        sa.Column("address", WORDS, nullable=False),
        sa.Column("taxes", WORDS, nullable=False),
        sa.Column("freight", WORDS, nullable=True),
        sa.Column("inclusive", WHOLE, autoincrement=False, nullable=False),
        sa.Column("rounding", WORDS, nullable=False),
        sa.Column("version", WHOLE, autoincrement=False, nullable=False),
        sa.CheckConstraint("rounding IN ('line', 'document')", name="ck_ship_to_rounding"),
        sa.CheckConstraint("inclusive IN (0, 1)", name="ck_ship_to_inclusive"),
        sa.CheckConstraint("version > 0", name="ck_ship_to_version"),
        sa.PrimaryKeyConstraint("code", name="pk_ship_to"),
        sqlite_strict=True,
    )
    op.create_table(
        "job",
        sa.Column("id", WORDS, nullable=False),
        sa.Column("number", WHOLE, nullable=False),
        sa.Column("name", WORDS, nullable=False),
        sa.Column("customer", WORDS, nullable=False),
        sa.Column("currency", WORDS, nullable=False),
        sa.Column("created_at", WORDS, nullable=False),
        sa.Column("created_by", WORDS, nullable=False),
        sa.Column("site", WORDS, nullable=False),
        sa.Column("site_address", WORDS, nullable=False),
        sa.Column("contact", WORDS, nullable=False),
        sa.Column("ship_to", WORDS, nullable=False),
        sa.Column("bids_due", WORDS, nullable=True),
        sa.Column("salesperson", WORDS, nullable=False),
        sa.Column("note", WORDS, nullable=False),
        sa.Column("discount", WORDS, nullable=False),
        sa.Column("discount_reason", WORDS, nullable=False),
        sa.Column("prefer", WORDS, nullable=False),
        sa.Column("stock_first", WHOLE, autoincrement=False, nullable=False),
        sa.Column("alternates", WORDS, nullable=False),
        sa.Column("folded", WORDS, nullable=False),
        sa.Column("version", WHOLE, autoincrement=False, nullable=False),
        sa.CheckConstraint("length(currency) = 3", name="ck_job_currency"),
        sa.CheckConstraint("number > 0", name="ck_job_number"),
        sa.CheckConstraint("stock_first IN (0, 1)", name="ck_job_stock_first"),
        sa.CheckConstraint("version > 0", name="ck_job_version"),
        sa.ForeignKeyConstraint(["customer"], ["customer.code"], name="fk_job_customer"),
        sa.PrimaryKeyConstraint("id", name="pk_job"),
        sa.UniqueConstraint("number", name="uq_job_number"),
        sqlite_strict=True,
    )
    op.create_index("ix_job_customer", "job", ["customer"], unique=False)
    op.create_table(
        "job_catalog",
        sa.Column("job_id", WORDS, nullable=False),
        sa.Column("position", WHOLE, autoincrement=False, nullable=False),
        sa.Column("catalog_id", WORDS, nullable=False),
        sa.Column("revision", WHOLE, autoincrement=False, nullable=False),
        sa.ForeignKeyConstraint(
            ["catalog_id", "revision"],
            ["catalog_revision.catalog_id", "catalog_revision.revision"],
            name="fk_job_catalog_catalog_id",
        ),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_job_catalog_job_id"),
        sa.PrimaryKeyConstraint("job_id", "position", name="pk_job_catalog"),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
    op.create_table(
        "job_extra",
        sa.Column("id", WORDS, nullable=False),
        sa.Column("job_id", WORDS, nullable=False),
        sa.Column("alternate", WORDS, nullable=False),
        sa.Column("position", WHOLE, autoincrement=False, nullable=False),
        sa.Column("kind", WORDS, nullable=False),
        sa.Column("description", WORDS, nullable=False),
        sa.Column("quantity", WHOLE, autoincrement=False, nullable=False),
        sa.Column("currency", WORDS, nullable=True),
        sa.Column("unit", WHOLE, autoincrement=False, nullable=True),
        sa.Column("cost", WHOLE, autoincrement=False, nullable=True),
        sa.Column("version", WHOLE, autoincrement=False, nullable=False),
        sa.CheckConstraint(
            "kind IN ('hardware', 'freight', 'labour', 'other')", name="ck_job_extra_kind"
        ),
        sa.CheckConstraint(
            "(currency IS NOT NULL) = (unit IS NOT NULL OR cost IS NOT NULL)",
            name="ck_job_extra_currency",
        ),
        sa.CheckConstraint("quantity > 0", name="ck_job_extra_quantity"),
        sa.CheckConstraint("version > 0", name="ck_job_extra_version"),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_job_extra_job_id"),
        sa.PrimaryKeyConstraint("id", name="pk_job_extra"),
        sqlite_strict=True,
    )
    op.create_index("ix_job_extra_job_id", "job_extra", ["job_id"], unique=False)
    op.create_table(
        "job_opening",
        sa.Column("id", WORDS, nullable=False),
        sa.Column("job_id", WORDS, nullable=False),
        sa.Column("alternate", WORDS, nullable=False),
        sa.Column("position", WHOLE, autoincrement=False, nullable=False),
        sa.Column("mark", WORDS, nullable=False),
        sa.Column("quantity", WHOLE, autoincrement=False, nullable=False),
        sa.Column("width", WHOLE, autoincrement=False, nullable=False),
        sa.Column("height", WHOLE, autoincrement=False, nullable=False),
        sa.Column("leaves", WHOLE, autoincrement=False, nullable=False),
        sa.Column("kind", WORDS, nullable=False),
        sa.Column("note", WORDS, nullable=False),
        sa.Column("overrides", WORDS, nullable=False),
        sa.Column("releases", WORDS, nullable=False),
        sa.Column("version", WHOLE, autoincrement=False, nullable=False),
        sa.CheckConstraint("height > 0", name="ck_job_opening_height"),
        sa.CheckConstraint("leaves IN (1, 2)", name="ck_job_opening_leaves"),
        sa.CheckConstraint("length(mark) > 0", name="ck_job_opening_mark"),
        sa.CheckConstraint("quantity > 0", name="ck_job_opening_quantity"),
        sa.CheckConstraint("version > 0", name="ck_job_opening_version"),
        sa.CheckConstraint("width > 0", name="ck_job_opening_width"),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_job_opening_job_id"),
        sa.PrimaryKeyConstraint("id", name="pk_job_opening"),
        sa.UniqueConstraint(
            "job_id", "alternate", "mark", name="uq_job_opening_job_id_alternate_mark"
        ),
        sqlite_strict=True,
    )
    op.create_table(
        "quote_revision",
        sa.Column("id", WORDS, nullable=False),
        sa.Column("job_id", WORDS, nullable=False),
        sa.Column("quote_number", WHOLE, autoincrement=False, nullable=False),
        sa.Column("number", WHOLE, autoincrement=False, nullable=False),
        sa.Column("state", WORDS, nullable=False),
        sa.Column("created_at", WORDS, nullable=False),
        sa.Column("created_by", WORDS, nullable=False),
        sa.Column("valid_days", WHOLE, autoincrement=False, nullable=False),
        sa.Column("cover_note", WORDS, nullable=False),
        sa.Column("approvals", WORDS, nullable=False),
        sa.Column("issued_at", WORDS, nullable=True),
        sa.Column("issued_on", WORDS, nullable=True),
        sa.Column("issued_by", WORDS, nullable=False),
        sa.Column("valid_until", WORDS, nullable=True),
        sa.Column("closed_at", WORDS, nullable=True),
        sa.Column("closed_by", WORDS, nullable=False),
        sa.Column("lost_reason", WORDS, nullable=False),
        sa.Column("note", WORDS, nullable=False),
        sa.Column("snapshot_digest", WORDS, nullable=False),
        sa.Column("version", WHOLE, autoincrement=False, nullable=False),
        sa.CheckConstraint(
            "(state = 'draft') = (issued_at IS NULL)", name="ck_quote_revision_issued"
        ),
        sa.CheckConstraint(
            "state = 'draft' OR (length(snapshot_digest) = 64 AND quote_number > 0)",
            name="ck_quote_revision_frozen",
        ),
        sa.CheckConstraint(
            "state IN ('draft', 'issued', 'accepted', 'declined', 'expired', 'superseded')",
            name="ck_quote_revision_state",
        ),
        sa.CheckConstraint("number > 0", name="ck_quote_revision_number"),
        sa.CheckConstraint("quote_number >= 0", name="ck_quote_revision_quote_number"),
        sa.CheckConstraint("version > 0", name="ck_quote_revision_version"),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_quote_revision_job_id"),
        sa.PrimaryKeyConstraint("id", name="pk_quote_revision"),
        sa.UniqueConstraint("job_id", "number", name="uq_quote_revision_job_id_number"),
        sqlite_strict=True,
    )
    op.create_index("ix_quote_revision_issued_on", "quote_revision", ["issued_on"], unique=False)
    op.create_index(
        # One draft a job, however two who draft at once may race.
        "ix_quote_revision_one_draft",
        "quote_revision",
        ["job_id"],
        unique=True,
        sqlite_where=sa.text("state = 'draft'"),
        postgresql_where=sa.text("state = 'draft'"),
    )
    op.create_index(
        # Drafts without a number all have 0.
        "ix_quote_revision_quote",
        "quote_revision",
        ["quote_number", "number"],
        unique=True,
        sqlite_where=sa.text("quote_number > 0"),
        postgresql_where=sa.text("quote_number > 0"),
    )
    op.create_table(
        "quote_line",
        sa.Column("revision_id", WORDS, nullable=False),
        sa.Column("position", WHOLE, autoincrement=False, nullable=False),
        sa.Column("part", WORDS, nullable=False),
        sa.Column("alternate", WORDS, nullable=False),
        sa.Column("mark", WORDS, nullable=False),
        sa.Column("catalog_id", WORDS, nullable=False),
        sa.Column("sku", WORDS, nullable=False),
        sa.Column("kind", WORDS, nullable=False),
        sa.Column("description", WORDS, nullable=False),
        sa.Column("quantity", WHOLE, autoincrement=False, nullable=False),
        sa.Column("openings", WHOLE, autoincrement=False, nullable=False),
        sa.Column("unit", WHOLE, autoincrement=False, nullable=False),
        sa.Column("total", WHOLE, autoincrement=False, nullable=False),
        sa.Column("cost", WHOLE, autoincrement=False, nullable=True),
        sa.CheckConstraint("part IN ('opening', 'extra')", name="ck_quote_line_part"),
        sa.CheckConstraint("openings > 0", name="ck_quote_line_openings"),
        sa.CheckConstraint("quantity > 0", name="ck_quote_line_quantity"),
        sa.CheckConstraint("total = unit * quantity * openings", name="ck_quote_line_total"),
        sa.ForeignKeyConstraint(
            ["revision_id"], ["quote_revision.id"], name="fk_quote_line_revision_id"
        ),
        sa.PrimaryKeyConstraint("revision_id", "position", name="pk_quote_line"),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
    op.create_index(
        "ix_quote_line_catalog_id_sku", "quote_line", ["catalog_id", "sku"], unique=False
    )
    op.create_table(
        "quote_snapshot",
        sa.Column("revision_id", WORDS, nullable=False),
        sa.Column("data", WORDS, nullable=False),
        sa.ForeignKeyConstraint(
            ["revision_id"], ["quote_revision.id"], name="fk_quote_snapshot_revision_id"
        ),
        sa.PrimaryKeyConstraint("revision_id", name="pk_quote_snapshot"),
        sqlite_strict=True,
    )
    op.create_table(
        "quote_total",
        sa.Column("revision_id", WORDS, nullable=False),
        sa.Column("alternate", WORDS, nullable=False),
        sa.Column("currency", WORDS, nullable=False),
        sa.Column("hardware", WHOLE, autoincrement=False, nullable=False),
        sa.Column("extras", WHOLE, autoincrement=False, nullable=False),
        sa.Column("freight", WHOLE, autoincrement=False, nullable=False),
        sa.Column("net", WHOLE, autoincrement=False, nullable=False),
        sa.Column("tax", WHOLE, autoincrement=False, nullable=False),
        sa.Column("gross", WHOLE, autoincrement=False, nullable=False),
        sa.Column("cost", WHOLE, autoincrement=False, nullable=False),
        sa.CheckConstraint("gross = net + tax", name="ck_quote_total_gross"),
        sa.CheckConstraint("length(currency) = 3", name="ck_quote_total_currency"),
        sa.ForeignKeyConstraint(
            ["revision_id"], ["quote_revision.id"], name="fk_quote_total_revision_id"
        ),
        sa.PrimaryKeyConstraint("revision_id", "alternate", name="pk_quote_total"),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
    guard_whole(["quote_snapshot", "quote_line", "quote_total"])
    guard("quote_revision", "DELETE", "OLD.state <> 'draft'")
    guard("quote_revision", "UPDATE", f"OLD.state <> 'draft' AND ({FROZEN})")
