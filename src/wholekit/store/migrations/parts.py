"""What migrations are written with: column types alike on both engines, and guards of rows."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

WHOLE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
WORDS = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")

_POSTGRESQL_REFUSAL = """
CREATE FUNCTION wholekit_refuse() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION '% is kept as it is: no % here', TG_TABLE_NAME, TG_OP
        USING ERRCODE = 'integrity_constraint_violation';
END $$
"""


def on_postgresql() -> bool:
    """Whether this migration runs on PostgreSQL."""
    return op.get_context().dialect.name == "postgresql"


def make_refusal() -> None:
    """The function that PostgreSQL's guards call; the first migration makes it."""
    if on_postgresql():
        op.execute(_POSTGRESQL_REFUSAL)


def guard(table: str, event: str, when: str = "") -> None:
    """Refuse an event (`UPDATE`, `DELETE`) on rows of a table, all of them or those that fit.

    when: SQL over OLD and NEW that both engines read alike.
    """
    name = f"keep_{table}_{event.lower()}"
    condition = f"WHEN ({when}) " if when else ""
    if on_postgresql():
        op.execute(
            f"CREATE TRIGGER {name} BEFORE {event} ON {table} FOR EACH ROW {condition}"
            "EXECUTE FUNCTION wholekit_refuse()"
        )
        return
    op.execute(
        f"CREATE TRIGGER {name} BEFORE {event} ON {table} FOR EACH ROW {condition}"
        f"BEGIN SELECT RAISE(ABORT, '{table} is kept as it is: no {event} here'); END"
    )


def guard_whole(tables: Sequence[str]) -> None:
    """Rows of these tables can be added and nothing else."""
    for table in tables:
        guard(table, "UPDATE")
        guard(table, "DELETE")
        if on_postgresql():
            # TRUNCATE passes by every guard of rows.
            op.execute(
                f"CREATE TRIGGER keep_{table}_truncate BEFORE TRUNCATE ON {table} "
                "FOR EACH STATEMENT EXECUTE FUNCTION wholekit_refuse()"
            )
