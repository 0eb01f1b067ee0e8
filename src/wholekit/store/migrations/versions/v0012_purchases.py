"""Purchase orders: what was ordered of whom, and what came of it."""

import sqlalchemy as sa
from alembic import op

from wholekit.store.migrations.parts import WHOLE, WORDS, guard_whole

revision = "0012"
down_revision: str | None = "0011"

_STATES = "'draft', 'sent', 'part', 'closed', 'cancelled'"


def upgrade() -> None:
    """Make the tables; nothing was ordered before."""
    op.create_table(
        "purchase_order",
        *_whole("number"),
        *_words("supplier", "supplier_address", "currency", "branch", "ship_to", "issued"),
        sa.Column("wanted_by", WORDS, nullable=True),
        *_words("buyer", "note", "state", "placed_at", "placed_by"),
        sa.Column("sent_at", WORDS, nullable=True),
        *_words("sent_by"),
        *_whole("version"),
        sa.CheckConstraint("number > 0", name="ck_purchase_order_number"),
        sa.CheckConstraint("length(currency) = 3", name="ck_purchase_order_currency"),
        sa.CheckConstraint("length(placed_by) > 0", name="ck_purchase_order_placed_by"),
        sa.CheckConstraint("(sent_at IS NULL) = (sent_by = '')", name="ck_purchase_order_sent"),
        sa.CheckConstraint(f"state IN ({_STATES})", name="ck_purchase_order_state"),
        sa.PrimaryKeyConstraint("number", name="pk_purchase_order"),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
    op.create_index("ix_purchase_order_state", "purchase_order", ["state", "number"])
    op.create_table(
        "purchase_line",
        *_whole("order_number", "line"),
        *_words("sku", "description", "finish", "barcode"),
        *_whole("pieces", "packs", "unit"),
        sa.Column("expected", WORDS, nullable=True),
        sa.CheckConstraint("packs > 0", name="ck_purchase_line_packs"),
        sa.CheckConstraint("pieces > 0", name="ck_purchase_line_pieces"),
        sa.CheckConstraint("unit >= 0", name="ck_purchase_line_unit"),
        _of_order("purchase_line"),
        sa.PrimaryKeyConstraint("order_number", "line", name="pk_purchase_line"),
        sa.UniqueConstraint("order_number", "sku", name="uq_purchase_line_order_number_sku"),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
    op.create_table(
        "purchase_receipt",
        *_whole("order_number"),
        *_words("delivery"),
        *_whole("line", "packs"),
        *_words("branch", "bin", "at", "who", "note"),
        sa.CheckConstraint("length(delivery) > 0", name="ck_purchase_receipt_delivery"),
        sa.CheckConstraint("packs > 0", name="ck_purchase_receipt_packs"),
        sa.CheckConstraint("length(who) > 0", name="ck_purchase_receipt_who"),
        _of_order("purchase_receipt"),
        sa.PrimaryKeyConstraint("order_number", "delivery", "line", name="pk_purchase_receipt"),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
    guard_whole(["purchase_receipt"])


def _words(*names: str) -> list[sa.Column[str]]:
    return [sa.Column(name, WORDS, nullable=False) for name in names]


def _whole(*names: str) -> list[sa.Column[int]]:
    return [sa.Column(name, WHOLE, autoincrement=False, nullable=False) for name in names]


def _of_order(table: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(
        ["order_number"], ["purchase_order.number"], name=f"fk_{table}_order_number"
    )
