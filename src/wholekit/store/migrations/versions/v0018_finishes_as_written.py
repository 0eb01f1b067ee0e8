"""The sheet's own word for the finish of an opening."""

import sqlalchemy as sa
from alembic import op

from wholekit.store.migrations.parts import WORDS

revision = "0018"
down_revision: str | None = "0017"


def upgrade() -> None:
    """A column, empty for the openings that are there."""
    op.add_column(
        "job_opening", sa.Column("finish_written", WORDS, nullable=False, server_default="")
    )
