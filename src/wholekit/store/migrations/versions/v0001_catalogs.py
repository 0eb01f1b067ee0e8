"""Catalogues by revision, the audit log, and running numbers."""

import sqlalchemy as sa
from alembic import op

from wholekit.store.migrations.parts import WHOLE, WORDS, guard, guard_whole, make_refusal

revision = "0001"
down_revision: str | None = None


def upgrade() -> None:
    """Make them."""
    op.create_table(
        "audit_entry",
        sa.Column("id", WHOLE, autoincrement=True, nullable=False),
        sa.Column("at", WORDS, nullable=False),
        sa.Column("who", WORDS, nullable=False),
        sa.Column("action", WORDS, nullable=False),
        sa.Column("subject", WORDS, nullable=False),
        sa.Column("subject_id", WORDS, nullable=False),
        sa.Column("job_id", WORDS, nullable=False),
        sa.Column("before", WORDS, nullable=True),
        sa.Column("after", WORDS, nullable=True),
        sa.Column("reason", WORDS, nullable=False),
        sa.CheckConstraint("length(who) > 0", name="ck_audit_entry_who"),
        sa.PrimaryKeyConstraint("id", name="pk_audit_entry"),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    op.create_index("ix_audit_entry_job_id", "audit_entry", ["job_id"], unique=False)
    op.create_index(
        "ix_audit_entry_subject_subject_id", "audit_entry", ["subject", "subject_id"], unique=False
    )
    op.create_table(
        "catalog_revision",
        sa.Column("id", WHOLE, autoincrement=True, nullable=False),
        sa.Column("catalog_id", WORDS, nullable=False),
        sa.Column("revision", WHOLE, autoincrement=False, nullable=False),
        sa.Column("supplier", WORDS, nullable=False),
        sa.Column("currency", WORDS, nullable=False),
        sa.Column("edition", WORDS, nullable=False),
        sa.Column("folder", WORDS, nullable=False),
        sa.Column("loaded_at", WORDS, nullable=False),
        sa.Column("loaded_by", WORDS, nullable=False),
        sa.Column("items", WHOLE, autoincrement=False, nullable=False),
        sa.CheckConstraint("items >= 0", name="ck_catalog_revision_items"),
        sa.CheckConstraint("length(currency) = 3", name="ck_catalog_revision_currency"),
        sa.CheckConstraint("revision > 0", name="ck_catalog_revision_revision"),
        sa.PrimaryKeyConstraint("id", name="pk_catalog_revision"),
        sa.UniqueConstraint(
            "catalog_id", "revision", name="uq_catalog_revision_catalog_id_revision"
        ),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    op.create_table(
        "running_number",
        sa.Column("series", WORDS, nullable=False),
        sa.Column("last", WHOLE, autoincrement=False, nullable=False),
        sa.CheckConstraint("last > 0", name="ck_running_number_last"),
        sa.PrimaryKeyConstraint("series", name="pk_running_number"),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
    op.create_table(
        "catalog_item",
        sa.Column("revision_id", WHOLE, autoincrement=False, nullable=False),
        sa.Column("sku", WORDS, nullable=False),
        sa.Column("position", WHOLE, autoincrement=False, nullable=False),
        sa.Column("description", WORDS, nullable=False),
        sa.Column("finish", WORDS, nullable=True),
        sa.Column("list_price", WHOLE, autoincrement=False, nullable=False),
        sa.Column("cost", WHOLE, autoincrement=False, nullable=False),
        sa.Column("supplies", WORDS, nullable=False),
        sa.Column("pack_size", WHOLE, autoincrement=False, nullable=False),
        sa.Column("on_hand", WHOLE, autoincrement=False, nullable=False),
        sa.Column("bin", WORDS, nullable=False),
        sa.Column("lead_days", WHOLE, autoincrement=False, nullable=False),
        sa.Column("barcode", WORDS, nullable=False),
        sa.Column("discontinued", WHOLE, autoincrement=False, nullable=False),
        sa.Column("replaced_by", WORDS, nullable=True),
        sa.Column("book_row", WHOLE, autoincrement=False, nullable=False),
        sa.CheckConstraint("cost >= 0", name="ck_catalog_item_cost"),
        sa.CheckConstraint("discontinued IN (0, 1)", name="ck_catalog_item_discontinued"),
        sa.CheckConstraint("lead_days >= 0", name="ck_catalog_item_lead_days"),
        sa.CheckConstraint("list_price >= 0", name="ck_catalog_item_list_price"),
        sa.CheckConstraint("on_hand >= 0", name="ck_catalog_item_on_hand"),
        sa.CheckConstraint("pack_size > 0", name="ck_catalog_item_pack_size"),
        sa.ForeignKeyConstraint(
            ["revision_id"], ["catalog_revision.id"], name="fk_catalog_item_revision_id"
        ),
        sa.PrimaryKeyConstraint("revision_id", "sku", name="pk_catalog_item"),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
    op.create_table(
        "catalog_series",
        sa.Column("revision_id", WHOLE, autoincrement=False, nullable=False),
        sa.Column("position", WHOLE, autoincrement=False, nullable=False),
        sa.Column("series", WORDS, nullable=False),
        sa.Column("data", WORDS, nullable=False),
        sa.ForeignKeyConstraint(
            ["revision_id"], ["catalog_revision.id"], name="fk_catalog_series_revision_id"
        ),
        sa.PrimaryKeyConstraint("revision_id", "position", name="pk_catalog_series"),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
    make_refusal()
    guard_whole(["audit_entry"])
    # A revision may be taken out whole one day, but never changed.
    for table in ("catalog_revision", "catalog_series", "catalog_item"):
        guard(table, "UPDATE")
