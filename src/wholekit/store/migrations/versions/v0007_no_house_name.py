"""A house that never said its name had been given one of ours: it has none now."""

from alembic import op

revision = "0007"
down_revision: str | None = "0006"


def upgrade() -> None:
    """The settings without that name; what was issued under it stays as it was sent."""
    # The settings are one JSON text, written without spaces.
    op.execute(
        "UPDATE house_policy SET data = replace(data, "
        """'"house_name":"Door hardware supply"', '"house_name":""')"""
    )
