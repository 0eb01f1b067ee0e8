"""What of the customers' sheets no kit is worked out from."""

import sqlalchemy as sa
from alembic import op

from wholekit.store.migrations.parts import WORDS

revision = "0017"
down_revision: str | None = "0016"


def upgrade() -> None:
    """A column; of the jobs that are there none were kept."""
    op.add_column("job", sa.Column("not_used", WORDS, nullable=False, server_default="[]"))
