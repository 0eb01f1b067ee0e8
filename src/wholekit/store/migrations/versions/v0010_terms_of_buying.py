"""On what terms an item is bought: substitutes, broken packs, reorder point, price breaks."""

import sqlalchemy as sa
from alembic import op

from wholekit.store.migrations.parts import WORDS, on_postgresql

revision = "0010"
down_revision: str | None = "0009"

_WHOLE = (
    ("breakable", "NOT NULL DEFAULT 0", "breakable IN (0, 1)"),
    ("reorder_at", "NULL", "reorder_at >= 0"),
    ("least_order", "NOT NULL DEFAULT 1", "least_order > 0"),
)


def upgrade() -> None:
    """New columns; of what was loaded before no terms are known."""
    op.add_column(
        "catalog_item", sa.Column("substitutes", WORDS, nullable=False, server_default="")
    )
    kind = "BIGINT" if on_postgresql() else "INTEGER"
    for name, more, rule in _WHOLE:
        # In SQL of its own: SQLite takes a rule with its column only, and Alembic parts the two.
        op.execute(
            f"ALTER TABLE catalog_item ADD COLUMN {name} {kind} {more} "
            f"CONSTRAINT ck_catalog_item_{name} CHECK ({rule})"
        )
    op.add_column(
        "catalog_item", sa.Column("price_breaks", WORDS, nullable=False, server_default="[]")
    )
