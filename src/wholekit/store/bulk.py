"""Many rows at once, as fast as each driver can take them."""

from collections.abc import Iterable, Sequence
from itertools import islice

from sqlalchemy import Connection, Table
from sqlalchemy.exc import DBAPIError, IntegrityError

# Rows a chunk: enough to be fast, few enough to hold little in memory.
CHUNK = 10_000


def insert(
    connection: Connection, table: Table, columns: Sequence[str], rows: Iterable[tuple[object, ...]]
) -> int:
    """Insert rows of plain values (whole numbers, texts, None); how many there were.

    Past SQLAlchemy, which would read every value by its name: SQLite's driver takes the tuples as
    they are, PostgreSQL takes them as a COPY. Measured in tests/bench/bench_store.py.
    """
    if connection.dialect.name == "postgresql":
        return _copy(connection, table, columns, rows)
    names = ", ".join(f'"{column}"' for column in columns)
    marks = ", ".join("?" for _ in columns)
    statement = f'INSERT INTO "{table.name}" ({names}) VALUES ({marks})'  # noqa: S608  # own names
    count = 0
    waiting = iter(rows)
    while chunk := list(islice(waiting, CHUNK)):
        connection.exec_driver_sql(statement, chunk)
        count += len(chunk)
    return count


def _copy(
    connection: Connection, table: Table, columns: Sequence[str], rows: Iterable[tuple[object, ...]]
) -> int:
    # Late: a store on SQLite needs no driver for PostgreSQL, whose import takes longer than a scan.
    import psycopg

    raw = connection.connection.driver_connection
    if not isinstance(raw, psycopg.Connection):
        raise TypeError("psycopg is the driver for PostgreSQL")
    names = ", ".join(f'"{column}"' for column in columns)
    statement = f'COPY "{table.name}" ({names}) FROM STDIN'
    count = 0
    try:
        with raw.cursor().copy(statement) as copy:
            for count, row in enumerate(rows, start=1):  # noqa: B007  # the last is the count
                copy.write_row(row)
    # As SQLAlchemy would raise them, since callers know no driver.
    except psycopg.IntegrityError as error:
        raise IntegrityError(statement, None, error) from error
    except psycopg.Error as error:
        raise DBAPIError(statement, None, error) from error
    return count
