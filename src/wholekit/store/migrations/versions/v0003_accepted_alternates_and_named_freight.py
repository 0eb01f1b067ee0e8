"""Which alternates a customer accepted; several named freight rates at a place, one for a job."""

import sqlalchemy as sa
from alembic import op

from wholekit.store.migrations.parts import WORDS

revision = "0003"
down_revision: str | None = "0002"


def upgrade() -> None:
    """New columns; a place's one freight rate becomes a list of one."""
    op.add_column(
        "quote_revision", sa.Column("accepted", WORDS, nullable=False, server_default="[]")
    )
    op.add_column("job", sa.Column("freight", WORDS, nullable=False, server_default=""))
    op.add_column("ship_to", sa.Column("freights", WORDS, nullable=False, server_default="[]"))
    # A rate is kept as one JSON value, so brackets around its text make the list.
    op.execute("UPDATE ship_to SET freights = '[' || freight || ']' WHERE freight IS NOT NULL")
    op.drop_column("ship_to", "freight")
