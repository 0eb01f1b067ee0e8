"""Pickers among the people of the house; on a draft, a request that waits for an owner."""

import sqlalchemy as sa
from alembic import op

from wholekit.store.migrations.parts import WHOLE, WORDS, on_postgresql

revision = "0004"
down_revision: str | None = "0003"

_ROLES = "role IN ('counter', 'sales', 'picker', 'owner')"


def upgrade() -> None:
    """A wider rule on roles, and a new column."""
    op.add_column("quote_revision", sa.Column("request", WORDS, nullable=True))
    if on_postgresql():
        op.drop_constraint("ck_person_role", "person")
        op.create_check_constraint("ck_person_role", "person", _ROLES)
        return
    # SQLite changes no rule of a table that is there; nothing refers to this one.
    op.rename_table("person", "person_before")
    op.create_table(
        "person",
        sa.Column("name", WORDS, nullable=False),
        sa.Column("role", WORDS, nullable=False),
        sa.Column("full_name", WORDS, nullable=False),
        sa.Column("version", WHOLE, autoincrement=False, nullable=False),
        sa.CheckConstraint(_ROLES, name="ck_person_role"),
        sa.CheckConstraint("version > 0", name="ck_person_version"),
        sa.PrimaryKeyConstraint("name", name="pk_person"),
        sqlite_strict=True,
    )
    op.execute(
        "INSERT INTO person (name, role, full_name, version) "
        "SELECT name, role, full_name, version FROM person_before"
    )
    op.drop_table("person_before")
