"""Engines for SQLite and PostgreSQL, and transactions that read and transactions that write."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.pool import ConnectionPoolEntry

from wholekit.store.errors import told

BUSY_SECONDS = 30
# Marks an SQLite file as a store of this program ("wkit").
APPLICATION_ID = 0x776B6974
_WRITER = "wholekit_writer"


@dataclass(frozen=True, slots=True)
class Place:
    """A store's place: its engine, the SQLite file if it is one, and a name safe to show."""

    engine: Engine
    file: Path | None
    name: str

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A transaction that sees one moment of the store throughout, and cannot change it.

        Raises StoreError.
        """
        with told(self.name), self.engine.connect() as connection:
            if self.file is None:
                connection = connection.execution_options(
                    isolation_level="REPEATABLE READ", postgresql_readonly=True
                )
            with connection.begin():
                if self.file is not None:
                    connection.exec_driver_sql("PRAGMA query_only = ON")
                try:
                    yield connection
                finally:
                    if self.file is not None:
                        connection.exec_driver_sql("PRAGMA query_only = OFF")

    @contextmanager
    def changing(self) -> Iterator[Connection]:
        """A transaction that the caller commits, or nothing of it happens. Raises StoreError.

        SQLite: writers queue from the first statement on, so none meets a lock halfway.
        """
        with told(self.name), self.engine.connect() as connection:
            yield connection.execution_options(**{_WRITER: True})

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """The same, committed at the end unless an error came."""
        with self.changing() as connection, connection.begin():
            yield connection

    def close(self) -> None:
        """Let go of every connection."""
        self.engine.dispose()


def sqlite_place(file: Path) -> Place:
    """One SQLite file. The folder must be there."""
    engine = create_engine(URL.create("sqlite", database=str(file)))
    event.listen(engine, "connect", _prepare)
    event.listen(engine, "begin", _begin)
    return Place(engine, file, str(file))


def postgresql_place(url: str) -> Place:
    """A PostgreSQL database; its name is shown without the password."""
    made = make_url(url).set(drivername="postgresql+psycopg")
    # A server that restarted leaves dead connections in the pool: ask before use.
    engine = create_engine(
        made,
        pool_pre_ping=True,
        connect_args={"options": f"-c lock_timeout={BUSY_SECONDS}s -c timezone=UTC"},
    )
    return Place(engine, None, made.render_as_string(hide_password=True))


def _prepare(connection: DBAPIConnection, _entry: ConnectionPoolEntry) -> None:
    # The driver's own transactions start late and end early (before DDL); ours are begun below.
    connection.isolation_level = None
    cursor = connection.cursor()
    cursor.execute(f"PRAGMA busy_timeout = {BUSY_SECONDS * 1000}")
    cursor.execute("PRAGMA foreign_keys = ON")
    # An issued quote must outlast a power cut, not only a crash of the program.
    cursor.execute("PRAGMA synchronous = FULL")
    cursor.close()


def _begin(connection: Connection) -> None:
    writer = connection.get_execution_options().get(_WRITER)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writer else "BEGIN")
