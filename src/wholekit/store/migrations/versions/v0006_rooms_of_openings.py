"""The room that an opening leads to, as the schedule names it."""

import sqlalchemy as sa
from alembic import op

from wholekit.store.migrations.parts import WORDS

revision = "0006"
down_revision: str | None = "0005"


def upgrade() -> None:
    """A column, empty for the openings that are there."""
    op.add_column("job_opening", sa.Column("room", WORDS, nullable=False, server_default=""))
