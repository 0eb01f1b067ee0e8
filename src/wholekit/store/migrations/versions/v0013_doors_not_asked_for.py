"""Doors of the customers' sheets that nothing is quoted for."""

import sqlalchemy as sa
from alembic import op

from wholekit.store.migrations.parts import WORDS

revision = "0013"
down_revision: str | None = "0012"


def upgrade() -> None:
    """A column; of the jobs that are there none were kept."""
    op.add_column("job", sa.Column("unasked", WORDS, nullable=False, server_default="[]"))
