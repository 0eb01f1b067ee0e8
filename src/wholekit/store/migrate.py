"""The store's version: which it is, and its upgrade in one transaction, all or nothing."""

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from enum import Enum
from pathlib import Path
from types import ModuleType

from sqlalchemy import Connection, inspect, text
from sqlalchemy.engine.interfaces import DBAPIConnection

from wholekit.store.engine import APPLICATION_ID, BUSY_SECONDS, Place
from wholekit.store.errors import StoreError, store_faults

FOLDER = Path(__file__).parent / "migrations"
# Named here too, since every command asks for them and Alembic takes long to import; a test holds
# them against the modules in the folder.
VERSIONS = (
    "0001",
    "0002",
    "0003",
    "0004",
    "0005",
    "0006",
    "0007",
    "0008",
    "0009",
    "0010",
    "0011",
    "0012",
    "0013",
    "0014",
    "0015",
    "0016",
    "0017",
    "0018",
)
NEWEST = VERSIONS[-1]
# Any number does, as long as every copy of the program takes the same.
_UPGRADE_LOCK = 0x776B_6974
Progress = Callable[[str], None]


class Condition(Enum):
    """What is found where a store should be."""

    EMPTY = "empty"
    CURRENT = "current"
    OUTDATED = "outdated"
    NEWER = "newer"
    FOREIGN = "foreign"


def condition(connection: Connection) -> tuple[Condition, str]:
    """The condition of a store, and the version it states (empty if none)."""
    tables = set(inspect(connection).get_table_names())
    if not tables:
        return Condition.EMPTY, ""
    if "alembic_version" not in tables:
        return Condition.FOREIGN, ""
    version = connection.execute(text("SELECT version_num FROM alembic_version")).scalar() or ""
    # Other programs use Alembic too; only a store of this one has the log beside it.
    if "audit_entry" not in tables:
        return Condition.FOREIGN, version
    if version == NEWEST:
        return Condition.CURRENT, version
    # A version never heard of can only have been made by a program after this one.
    return (Condition.OUTDATED if version in VERSIONS else Condition.NEWER), version


def require_current(place: Place) -> None:
    """Raises StoreError unless the store can be worked with; makes one where there is none."""
    with place.reading() as connection:
        found, version = condition(connection)
    if found is Condition.EMPTY:
        upgrade(place)
        return
    _refuse(place, found, version)
    if found is Condition.OUTDATED:
        raise StoreError("store-outdated", place=place.name, version=version, newest=NEWEST)


def upgrade(
    place: Place, to: str | None = None, progress: Progress = lambda _said: None
) -> list[str]:
    """Bring a store to the newest version (or `to`); the versions gone through. A new store is made
    in the newest at once.

    One transaction: whoever is killed in the middle leaves the version before. Raises StoreError
    for a newer or foreign store, which is left as it is.
    """
    with place.reading() as connection:
        found, version = condition(connection)
    _refuse(place, found, version)
    if found is Condition.CURRENT:
        return []
    if found is Condition.EMPTY and place.file is not None:
        # The kind of the log cannot be changed within a transaction, so before it.
        prepare_file(place)
    with store_faults(place.name), _alone(place) as connection:
        return upgrade_on(connection, place, to, progress)


def upgrade_on(
    connection: Connection,
    place: Place,
    to: str | None = None,
    progress: Progress = lambda _said: None,
) -> list[str]:
    """The same in a transaction that is under way and that no other upgrade runs beside."""
    # Late, for the reason told at VERSIONS.
    from alembic.operations import Operations
    from alembic.runtime.migration import MigrationContext
    from alembic.script import ScriptDirectory

    from wholekit.store.migrations.baseline import create

    # Asked anew: while this one waited for the lock, another may have upgraded the store.
    found, version = condition(connection)
    _refuse(place, found, version)
    context = MigrationContext.configure(connection, opts={"transactional_ddl": True})
    known = ScriptDirectory(str(FOLDER))
    waiting = [*known.iterate_revisions(to or NEWEST, version or "base")]
    done = []
    with Operations.context(context):
        if not version and to in (None, NEWEST):
            # Nobody's data need carrying through the versions of before.
            progress(NEWEST)
            create(connection)
            context.stamp(known, NEWEST)
            return [NEWEST]
        for script in reversed(waiting):
            progress(script.revision)
            _run(script.module)
            context.stamp(known, script.revision)
            done.append(script.revision)
    return done


def _run(module: ModuleType) -> None:
    module.upgrade()


def _refuse(place: Place, found: Condition, version: str) -> None:
    if found is Condition.NEWER:
        raise StoreError("store-newer", place=place.name, version=version, newest=NEWEST)
    if found is Condition.FOREIGN:
        raise StoreError("store-foreign", place=place.name)


@contextmanager
def _alone(place: Place) -> Iterator[Connection]:
    """A writing transaction for changes of tables that no other upgrade runs beside."""
    if place.file is None:
        with place.writing() as connection:
            wait_for_upgrades(connection)
            yield connection
        return
    place.require_writable()
    with place.engine.connect() as connection:
        # Rebuilding a table drops the old one; its children are checked at the end instead.
        raw = connection.connection.driver_connection
        if raw is None:
            raise StoreError("store-unreachable", place=place.name, error="no connection")
        # Within a transaction SQLite passes this over in silence; so it is said to the driver
        # itself, since SQLAlchemy would begin one for it.
        raw.execute("PRAGMA foreign_keys = OFF")
        try:
            writer = connection.execution_options(wholekit_writer=True)
            with writer.begin():
                yield writer
                if writer.exec_driver_sql("PRAGMA foreign_key_check").first() is not None:
                    raise StoreError("store-broken", place=place.name, error="foreign keys")
        finally:
            raw.execute("PRAGMA foreign_keys = ON")


def wait_for_upgrades(connection: Connection) -> None:
    """Hold a PostgreSQL store's upgrades off until this transaction ends."""
    connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({_UPGRADE_LOCK})")


def prepare_file(place: Place) -> None:
    """Write-ahead logging, so that readers and one writer do not wait for each other.

    Several programs may make the same new file at once; SQLite does not wait for this lock.
    """
    place.require_writable()
    last = time.monotonic() + BUSY_SECONDS
    while True:
        try:
            with store_faults(place.name), place.engine.connect() as connection:
                raw = connection.connection.driver_connection
                if raw is not None:
                    _set(raw, "journal_mode", "WAL")
                    _set(raw, "application_id", str(APPLICATION_ID))
            return
        except StoreError as error:
            if error.code != "store-busy" or time.monotonic() > last:
                raise
            time.sleep(0.05)


def _set(raw: DBAPIConnection, pragma: str, wanted: str) -> None:
    """Write a setting of the file, unless it has it."""
    cursor = raw.cursor()
    # Asked first: nearly always it is set, and setting it would want a lock on the whole file.
    cursor.execute(f"PRAGMA {pragma}")
    (found,) = cursor.fetchone() or ("",)
    if str(found).upper() != wanted:
        cursor.execute(f"PRAGMA {pragma} = {wanted}")
        cursor.fetchone()
    cursor.close()
