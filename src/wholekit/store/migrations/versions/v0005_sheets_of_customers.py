"""What was chosen of a customer's sheets: headings, cells, and which sheet is meant."""

import sqlalchemy as sa
from alembic import op

from wholekit.store.migrations.parts import WHOLE, WORDS

revision = "0005"
down_revision: str | None = "0004"


def upgrade() -> None:
    """A new table."""
    op.create_table(
        "customer_sheet",
        sa.Column("customer", WORDS, nullable=False),
        sa.Column("choices", WORDS, nullable=False),
        sa.Column("chosen_at", WORDS, nullable=False),
        sa.Column("chosen_by", WORDS, nullable=False),
        sa.Column("version", WHOLE, autoincrement=False, nullable=False),
        sa.CheckConstraint("version > 0", name="ck_customer_sheet_version"),
        sa.ForeignKeyConstraint(["customer"], ["customer.code"], name="fk_customer_sheet_customer"),
        sa.PrimaryKeyConstraint("customer", name="pk_customer_sheet"),
        sqlite_strict=True,
    )
