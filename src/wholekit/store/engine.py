"""Engines for SQLite and PostgreSQL, and transactions that read and transactions that write."""

import os
import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from threading import Lock

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.exc import ArgumentError, DisconnectionError
from sqlalchemy.pool import ConnectionPoolEntry, PoolProxiedConnection

from wholekit.store.access import (
    OpenFile,
    access_to,
    beside,
    connect,
    may,
    read_only_part,
    require_sqlite,
    still,
)
from wholekit.store.errors import StoreError, store_faults

# One patience for every kind of waiting [s]: a lock of either engine, a server that does not
# answer, a copy that gets no further.
BUSY_SECONDS = 30
# Marks an SQLite file as a store of this program ("wkit").
APPLICATION_ID = 0x776B6974
_WRITER = "wholekit_writer"
_LOOK_AGAIN = 0.005  # [s]


@dataclass(frozen=True, slots=True)
class Place:
    """A store's place: its engine, the SQLite file if it is one, and a name safe to show."""

    engine: Engine
    file: Path | None
    name: str
    _turn: Lock = field(default_factory=Lock, repr=False, compare=False)

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A transaction that sees one moment of the store throughout, and cannot change it.

        Where nothing can be written, the file is read as it lies. Raises StoreError.
        """
        with store_faults(self.name):
            read_only = self._read_only()
        try:
            with store_faults(self.name), self.engine.connect() as connection:
                if self.file is None:
                    with _reading_postgresql(connection):
                        yield connection
                else:
                    with _reading_file(connection):
                        yield connection
                    # Asked when all was read: only then is it known that nobody wrote in between.
                    self._require_still(connection)
        except StoreError as error:
            # With a log left beside it, even a reader wants to make the log's index, and here it
            # cannot.
            if self.file is not None and read_only and error.code == "store-unwritable":
                log = str(beside(self.file)[0])
                raise StoreError("store-log-left", place=self.name, log=log) from error
            raise

    def _read_only(self) -> str | None:
        """What is read-only, if anything. Raises StoreError if there is no reading either."""
        if self.file is None:
            return None
        part = read_only_part(self.file)
        if part and not self.file.exists():
            raise StoreError("store-read-only", place=self.name, part=part)
        if self.file.exists() and not may(self.file, os.R_OK):
            raise StoreError("store-unreadable", place=self.name)
        return part

    def _require_still(self, connection: Connection) -> None:
        raw = connection.connection.driver_connection
        if self.file and isinstance(raw, OpenFile) and not still(raw, self.file):
            raise StoreError("store-moved", place=self.name)

    def require_writable(self) -> None:
        """Raises StoreError if the file, its folder or the disk is read-only."""
        with store_faults(self.name):
            part = None if self.file is None else read_only_part(self.file)
        if part:
            raise StoreError("store-read-only", place=self.name, part=part)

    @contextmanager
    def changing(self) -> Iterator[Connection]:
        """A transaction that the caller commits, or nothing of it happens. Raises StoreError;
        ConflictError where somebody else was first.

        SQLite: writers queue from the first statement on, so none meets a lock halfway.
        """
        self.require_writable()
        with self._in_turn(), store_faults(self.name), self.engine.connect() as connection:
            # Told to the connection, since SQLAlchemy begins the transaction at the first statement
            # only, and `_begin` has nothing else to see which kind it is to be.
            yield connection.execution_options(**{_WRITER: True})

    @contextmanager
    def _in_turn(self) -> Iterator[None]:
        """One thread of this process at a time writes into a file. Raises StoreError.

        SQLite lets the others sleep and try again, whoever came first; of many that wait one may
        never find it free.
        """
        if self.file is None:
            yield
            return
        if not self._turn.acquire(timeout=BUSY_SECONDS):
            raise StoreError("store-busy", place=self.name)
        try:
            yield
        finally:
            self._turn.release()

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """The same, committed at the end unless an error came."""
        with self.changing() as connection, connection.begin():
            yield connection

    def close(self) -> None:
        """Let go of every connection."""
        self.engine.dispose()


def sqlite_place(file: Path) -> Place:
    """One SQLite file. The folder must be there. Raises StoreError for an SQLite too old."""
    require_sqlite()

    def opened() -> sqlite3.Connection:
        return connect(file)

    def check_out(
        connection: DBAPIConnection, _entry: ConnectionPoolEntry, _proxy: PoolProxiedConnection
    ) -> None:
        # Rights may have come or gone since, and a file that lay still may have been changed.
        if isinstance(connection, OpenFile) and (
            connection.access is not access_to(file) or not still(connection, file)
        ):
            raise DisconnectionError

    engine = create_engine(URL.create("sqlite", database=str(file)), creator=opened)
    event.listen(engine, "connect", _prepare)
    event.listen(engine, "checkout", check_out)
    event.listen(engine, "begin", _begin)
    return Place(engine, file, str(file))


@contextmanager
def _reading_file(connection: Connection) -> Iterator[None]:
    with connection.begin():
        connection.exec_driver_sql("PRAGMA query_only = ON")
        try:
            yield
        finally:
            # The next to get this connection from the pool may be a writer.
            connection.exec_driver_sql("PRAGMA query_only = OFF")


@contextmanager
def _reading_postgresql(connection: Connection) -> Iterator[None]:
    # At the server's own level, READ COMMITTED, each question would see another moment.
    connection.execution_options(isolation_level="REPEATABLE READ", postgresql_readonly=True)
    with connection.begin():
        yield


def postgresql_place(url: str) -> Place:
    """A PostgreSQL database; its name is shown with host and database, never with a password.

    Raises StoreError for an address that cannot be read.
    """
    made = _read_address(url)
    try:
        # A server that restarted leaves dead connections in the pool: ask before use.
        engine = create_engine(
            made.set(drivername="postgresql+psycopg"),
            pool_pre_ping=True,
            connect_args={
                "options": f"-c lock_timeout={BUSY_SECONDS}s -c timezone=UTC",
                # A host that swallows what it is sent would be waited for without end.
                **({} if "connect_timeout" in made.query else {"connect_timeout": BUSY_SECONDS}),
            },
        )
    except (ArgumentError, ValueError, TypeError):
        raise StoreError("store-address-wrong") from None
    return Place(engine, None, _shown(made))


def _read_address(url: str) -> URL:
    """The parts of an address. No error tells any of it: what is read amiss may be a password."""
    try:
        made = make_url(url)
    except (ArgumentError, ValueError):
        raise StoreError("store-address-wrong") from None
    parts = [made.host or "", made.database or "", made.username or ""]
    # An @, / or : of the password itself would begin the host, the database or the port.
    in_doubt = any(sign in part for part in parts for sign in "@?#") or "/" in parts[1]
    if in_doubt or url.partition("://")[2].partition("?")[0].count("@") > 1:
        raise StoreError("store-address-wrong")
    if made.port is not None and not 0 < made.port < 65_536:
        raise StoreError("store-address-wrong")
    return made


def _shown(made: URL) -> str:
    # Several hosts, or a socket's folder, are given in the query and read as a tuple or a text.
    host = made.query.get("host", made.host) or "this machine"
    port = "" if made.port is None else f":{made.port}"
    where = host if isinstance(host, str) else ",".join(host)
    return f"postgresql://{where}{port}/{made.database or ''}"


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
    # SQLite fails one that reads first and then wants to write, at once and however long it would
    # wait, where another wrote in between (SQLITE_BUSY_SNAPSHOT). So writers lock at the start.
    raw = connection.connection.driver_connection
    if not connection.get_execution_options().get(_WRITER) or raw is None:
        connection.exec_driver_sql("BEGIN")
        return
    # SQLite itself looks once in a tenth of a second whether it is its turn: of many writers some
    # would never find it.
    raw.execute("PRAGMA busy_timeout = 0")
    try:
        until = time.monotonic() + BUSY_SECONDS
        while time.monotonic() < until:
            try:
                raw.execute("BEGIN IMMEDIATE")
            except sqlite3.OperationalError as error:
                if "locked" not in str(error):
                    break
                time.sleep(_LOOK_AGAIN)
            else:
                return
        connection.exec_driver_sql("BEGIN IMMEDIATE")
    finally:
        raw.execute(f"PRAGMA busy_timeout = {BUSY_SECONDS * 1000}")
