"""Papers that were asked for are kept in a row, so that it outlives the program."""

import sqlalchemy as sa
from alembic import op

from wholekit.store.migrations.parts import WHOLE, WORDS

revision = "0016"
down_revision: str | None = "0015"


def upgrade() -> None:
    """Make the table; what was asked for before was made at once."""
    op.create_table(
        "asked_paper",
        sa.Column("id", WHOLE, autoincrement=True, nullable=False),
        *_words("key", "reference", "paper", "asked_by", "language", "state", "taken_by", "fault"),
        *_whole("asked_at", "done", "parts", "tries", "held_until"),
        sa.CheckConstraint(
            "state IN ('waiting', 'making', 'done', 'failed')", name="ck_asked_paper_state"
        ),
        sa.CheckConstraint("length(key) = 64", name="ck_asked_paper_key"),
        sa.CheckConstraint("done >= 0 AND done <= parts", name="ck_asked_paper_done"),
        sa.CheckConstraint("tries >= 0", name="ck_asked_paper_tries"),
        sa.UniqueConstraint("key", name="uq_asked_paper_key"),
        sa.PrimaryKeyConstraint("id", name="pk_asked_paper"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
    op.create_index("ix_asked_paper_state", "asked_paper", ["state"])


def _words(*names: str) -> list[sa.Column[str]]:
    return [sa.Column(name, WORDS, nullable=False) for name in names]


def _whole(*names: str) -> list[sa.Column[int]]:
    return [sa.Column(name, WHOLE, autoincrement=False, nullable=False) for name in names]
