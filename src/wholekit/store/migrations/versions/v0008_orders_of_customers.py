"""The number of a customer's order, and the day on which they accepted."""

import sqlalchemy as sa
from alembic import op

from wholekit.store.migrations.parts import WORDS

revision = "0008"
down_revision: str | None = "0007"


def upgrade() -> None:
    """New columns; what was accepted before has no order number, and no day."""
    op.add_column(
        "quote_revision", sa.Column("order_number", WORDS, nullable=False, server_default="")
    )
    op.add_column("quote_revision", sa.Column("accepted_on", WORDS, nullable=True))
