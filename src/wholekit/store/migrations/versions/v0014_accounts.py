"""Accounts: who may sign in, who sits where, who tried."""

import sqlalchemy as sa
from alembic import op

from wholekit.store.migrations.parts import WHOLE, WORDS

revision = "0014"
down_revision: str | None = "0013"


def upgrade() -> None:
    """Make the tables; nobody signed in before."""
    op.create_table(
        "account",
        *_words("name", "password", "secret"),
        *_whole("step", "must_change", "version"),
        sa.CheckConstraint("length(password) > 0", name="ck_account_password"),
        sa.CheckConstraint("must_change IN (0, 1)", name="ck_account_must_change"),
        sa.CheckConstraint("step >= 0", name="ck_account_step"),
        sa.ForeignKeyConstraint(["name"], ["person.name"], name="fk_account_name"),
        sa.PrimaryKeyConstraint("name", name="pk_account"),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
    op.create_table(
        "account_seat",
        *_words("digest", "name", "form_key", "opened_at", "seen_at", "ends_at", "label"),
        sa.CheckConstraint("length(digest) = 64", name="ck_account_seat_digest"),
        sa.ForeignKeyConstraint(["name"], ["account.name"], name="fk_account_seat_name"),
        sa.PrimaryKeyConstraint("digest", name="pk_account_seat"),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
    op.create_index("ix_account_seat_name", "account_seat", ["name"])
    op.create_table(
        "sign_in_try",
        sa.Column("id", WHOLE, autoincrement=True, nullable=False),
        *_words("name", "address"),
        *_whole("at", "good"),
        sa.CheckConstraint("good IN (0, 1)", name="ck_sign_in_try_good"),
        sa.PrimaryKeyConstraint("id", name="pk_sign_in_try"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
    op.create_index("ix_sign_in_try_name", "sign_in_try", ["name", "at"])
    op.create_index("ix_sign_in_try_address", "sign_in_try", ["address", "at"])


def _words(*names: str) -> list[sa.Column[str]]:
    return [sa.Column(name, WORDS, nullable=False) for name in names]


def _whole(*names: str) -> list[sa.Column[int]]:
    return [sa.Column(name, WHOLE, autoincrement=False, nullable=False) for name in names]
