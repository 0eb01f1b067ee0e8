"""Single rows: added unless taken, saved unless somebody else was first."""

from collections.abc import Mapping
from functools import cache

from sqlalchemy import Column, Connection, Executable, Table, select
from sqlalchemy.dialects import postgresql, sqlite

from wholekit.domain.errors import ConflictError


def add_unless_taken(connection: Connection, table: Table, values: Mapping[str, object]) -> bool:
    """Insert a row; False, and nothing done, where its key or a unique value is there already.

    Told by the database and not by an error: on PostgreSQL an error would end the transaction.
    """
    added = _added(table, connection.dialect.name)
    return connection.execute(added, dict(values)).first() is not None


@cache
def _added(table: Table, dialect: str) -> Executable:
    make = postgresql.insert if dialect == "postgresql" else sqlite.insert
    return make(table).on_conflict_do_nothing().returning(*table.primary_key.columns)


def save(
    connection: Connection,
    table: Table,
    key: Column[str] | Column[int],
    values: Mapping[str, object],
    expected: int,
    what: str,
) -> None:
    """Write a row anew if its version is the expected one. Raises ConflictError."""
    name = values[key.name]
    # The version is part of the condition and not asked before: somebody could come in between.
    changed = connection.execute(
        table.update().where(key == name, table.c.version == expected).values(**values)
    )
    if changed.rowcount != 1:
        raise stale(connection, table, key, name, expected, what)


def remove(
    connection: Connection,
    table: Table,
    key: Column[str] | Column[int],
    name: str,
    expected: int,
    what: str,
) -> None:
    """Take a row out if its version is the expected one. Raises ConflictError."""
    gone = connection.execute(table.delete().where(key == name, table.c.version == expected))
    if gone.rowcount != 1:
        raise stale(connection, table, key, name, expected, what)


def stale(
    connection: Connection,
    table: Table,
    key: Column[str] | Column[int],
    name: object,
    expected: int,
    what: str,
) -> ConflictError:
    """The error for a version that is no longer, or not any more, there."""
    found = connection.execute(select(table.c.version).where(key == name)).scalar()
    return ConflictError("version-stale", what=what, id=str(name), expected=expected, found=found)
