"""What was told of suppliers' price sheets; rises that are told of and not loaded yet."""

import sqlalchemy as sa
from alembic import op

from wholekit.store.migrations.parts import WHOLE, WORDS

revision = "0015"
down_revision: str | None = "0014"


def upgrade() -> None:
    """Two new tables."""
    op.create_table(
        "catalog_sheet",
        *_words("catalog_id", "told", "told_at", "told_by"),
        sa.Column("version", WHOLE, autoincrement=False, nullable=False),
        sa.CheckConstraint("version > 0", name="ck_catalog_sheet_version"),
        sa.PrimaryKeyConstraint("catalog_id", name="pk_catalog_sheet"),
        sqlite_strict=True,
    )
    op.create_table(
        "catalog_rise",
        *_words("id", "catalog_id", "share", "day", "series", "told_at", "told_by"),
        sa.PrimaryKeyConstraint("id", name="pk_catalog_rise"),
        sqlite_strict=True,
    )


def _words(*names: str) -> list[sa.Column[str]]:
    return [sa.Column(name, WORDS, nullable=False) for name in names]
