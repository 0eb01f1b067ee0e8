"""Backups, and stores made from them: one SQLite file, whichever engine the store is in.

A backup is itself a store of its version in SQLite, complete and consistent as of one moment while
others go on writing, and sealed. It restores into either engine, once it was read and checked whole
in a place apart.
"""

import os
import shutil
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path

from sqlalchemy import Connection, MetaData, Table, func, inspect, select
from sqlalchemy.exc import DBAPIError

from wholekit.domain.errors import ConflictError
from wholekit.services.ports import UnitOfWork
from wholekit.store import access, bulk
from wholekit.store.accounts import NoAccounts
from wholekit.store.check import StoreFault, check_store, file_faults
from wholekit.store.checked_copy import Checked, checked_copy
from wholekit.store.engine import Place, sqlite_place
from wholekit.store.errors import StoreError, store_faults
from wholekit.store.file_copy import COPYING, WRITING, copy_file, into_one_file
from wholekit.store.migrate import (
    NEWEST,
    Condition,
    condition,
    prepare_file,
    require_current,
    upgrade,
    upgrade_on,
    wait_for_upgrades,
)
from wholekit.store.new_file import new_file, sync
from wholekit.store.parties import PeopleOnTrust
from wholekit.store.progress import Progress, counted, untold
from wholekit.store.seal import seal
from wholekit.store.tables import METADATA
from wholekit.store.unit_of_work import SqlUnitOfWork

# Raises CallError unless the people of a store let somebody copy or replace it.
Allow = Callable[[UnitOfWork], None]


def anybody(_work: UnitOfWork) -> None:
    """Lets anybody."""


def back_up(
    place: Place, path: Path, progress: Progress = untold, *, allow: Allow = anybody
) -> tuple[StoreFault, ...]:
    """Write a backup of a store to a new file; the faults that the store has and so its backup.

    A store that waits for its upgrade is backed up as it is, in its own version. Raises CallError,
    StoreError; then there is no such file.
    """
    with place.reading() as connection:
        waiting = condition(connection)[0] is Condition.OUTDATED
        _ask(connection, allow)
    if not waiting:
        require_current(place)
    # Before the long work; `new_file` refuses again what came into being meanwhile.
    if os.path.exists(path):  # noqa: PTH110  # no error for a name too long
        raise StoreError("backup-there", path=str(path))
    with new_file(path, "backup-unwritable") as part:
        if place.file is not None:
            copy_file(place.file, part, COPYING, progress)
        else:
            _copy_to_file(place, part, progress)
        into_one_file(part)
        with closing(sqlite_place(part)) as made:
            faults = file_faults(made) if waiting else check_store(made, progress).faults
        seal(part)
    return faults


def restore(
    path: Path,
    place: Place,
    *,
    overwrite: bool,
    with_faults: bool = False,
    allow: Allow = anybody,
    progress: Progress = untold,
) -> Checked:
    """Make a store what a backup says. Raises CallError, StoreError; then the store is as it was.

    overwrite: replace a store that has data in it. with_faults: take a backup with faults too. A
    backup of an older version is upgraded on the way; one of a newer version is refused.
    """
    _require_free(place, overwrite, allow)
    place.require_writable()
    with _apart(place) as part:
        checked = checked_copy(path, part, with_faults=with_faults, progress=progress)
        if place.file is not None:
            _replace_file(part, place, place.file, overwrite, allow, progress)
        else:
            with _told_of(path), closing(sqlite_place(part)) as source:
                _restore_rows(source, place, overwrite, allow, progress)
    return checked


@contextmanager
def _apart(place: Place) -> Iterator[Path]:
    """Where a backup is copied to: beside a SQLite store, so on its disk; it goes in the end."""
    if place.file is not None:
        real = place.file.resolve()
        beside = real.with_name(f"{real.name}.restoring")
        with new_file(beside, "store-unwritable", keep=False) as part:
            yield part
        return
    with tempfile.TemporaryDirectory(prefix="wholekit-") as folder, store_faults(folder):
        yield Path(folder) / "restoring.sqlite3"


def _replace_file(
    part: Path, place: Place, file: Path, overwrite: bool, allow: Allow, progress: Progress
) -> None:
    # Asked again: somebody may have filled the store while the backup was read, or taken the right.
    sound = _require_free(place, overwrite, allow)
    if not sound:
        # The people of a damaged file cannot be read, so those of the backup are asked.
        with closing(sqlite_place(part)) as made, made.reading() as connection:
            _ask(connection, allow)
    place.close()
    if not sound:
        _put_aside(file.resolve(), part)
    prepare_file(place)
    place.close()
    if sound:
        # Through SQLite and not by a rename: a program that has the store open sees one state or
        # the other, and a log it has written never meets a file that it is not of.
        copy_file(part, file, WRITING, progress)


def _put_aside(file: Path, part: Path) -> None:
    """The part in the place of a damaged file, which stays beside it as `.damaged`."""
    sync(part)
    # The log first: left behind, it would be read into the file that takes the place.
    for log in access.beside(file):
        if log.exists():
            log.replace(log.with_name(f"{log.name}.damaged"))
    aside = file.with_name(f"{file.name}.damaged")
    aside.unlink(missing_ok=True)
    try:
        # A second name, so that at no time there is no file: one would be made anew, empty.
        aside.hardlink_to(file)
    except (OSError, NotImplementedError):
        shutil.copyfile(file, aside)
    part.replace(file)


@contextmanager
def _told_of(path: Path) -> Iterator[None]:
    """What the rows of a backup with faults break in PostgreSQL, told as the backup's."""
    try:
        yield
    except (DBAPIError, ConflictError) as error:
        # Nobody else can be in the way of a transaction that holds every table.
        cause = error.__cause__ if isinstance(error, ConflictError) else error
        said = str(cause.orig if isinstance(cause, DBAPIError) else cause)
        raise StoreError("backup-broken", path=str(path), error=" ".join(said.split())) from error


def _restore_rows(
    source: Place, place: Place, overwrite: bool, allow: Allow, progress: Progress
) -> None:
    """Empty the tables of a PostgreSQL store and fill them anew, in one transaction."""
    tables = METADATA.sorted_tables
    with source.reading() as read, place.writing() as written:
        wait_for_upgrades(written)
        upgrade_on(written, place)
        # Who writes waits from here on; who reads goes on seeing what was there. Whoever changes
        # anything holds himself first and then the job, so these are waited for in that order,
        # before anything else is held.
        first = ("person", "job")
        for name in (*first, *(table.name for table in tables if table.name not in first)):
            written.exec_driver_sql(f'LOCK TABLE "{name}" IN EXCLUSIVE MODE')
        _ask(written, allow)
        if not overwrite and _filled(written):
            raise StoreError("store-not-empty", place=place.name)
        # The guards of what is never changed stand aside for this transaction alone.
        for table in tables:
            written.exec_driver_sql(f'ALTER TABLE "{table.name}" DISABLE TRIGGER USER')
        # Not TRUNCATE: to somebody who began to read before, the tables would then be empty.
        for table in reversed(tables):
            written.execute(table.delete())
        _copy_rows(read, written, tables, WRITING, progress)
        for table in tables:
            written.exec_driver_sql(f'ALTER TABLE "{table.name}" ENABLE TRIGGER USER')
        for table in tables:
            _count_on(written, table)


def _count_on(written: Connection, table: Table) -> None:
    """The next key of a table that counts its keys: behind the highest there is.

    RESTART belongs to the transaction; setval would last even if the restore did not.
    """
    key = table.primary_key.columns[0]
    if key.autoincrement is True:
        highest = written.execute(select(func.coalesce(func.max(key), 0))).scalar_one()
        sequence = written.exec_driver_sql(
            f"SELECT pg_get_serial_sequence('{table.name}', '{key.name}')"  # own names
        ).scalar_one()
        written.exec_driver_sql(f"ALTER SEQUENCE {sequence} RESTART WITH {int(highest) + 1}")


def _copy_to_file(place: Place, part: Path, progress: Progress) -> None:
    """A PostgreSQL store's tables, of the version they have, into a SQLite file."""
    target = sqlite_place(part)
    try:
        with place.reading() as source:
            _, version = condition(source)
            upgrade(target, to=version)
            with target.writing() as written:
                tables = METADATA.sorted_tables if version == NEWEST else _tables_of(written)
                _copy_rows(source, written, tables, COPYING, progress)
    finally:
        target.close()


def _tables_of(connection: Connection) -> list[Table]:
    """The tables of a store of an older version, as they are there, parents first."""
    there = MetaData()
    there.reflect(bind=connection)
    # The file's own upgrade has written its version already.
    return [table for table in there.sorted_tables if table.name != "alembic_version"]


def _copy_rows(
    source: Connection, target: Connection, tables: Sequence[Table], what: str, progress: Progress
) -> None:
    """Every row of every table, parents first."""
    total = sum(
        source.execute(select(func.count()).select_from(table)).scalar_one() for table in tables
    )
    done = 0
    for table in tables:
        columns = [column.name for column in table.columns]
        # Else psycopg would fetch the whole table into memory first.
        rows = source.execution_options(yield_per=bulk.CHUNK).execute(
            select(table).order_by(*table.primary_key.columns)
        )
        waiting = counted((tuple(row) for row in rows), what, done, total, progress)
        done += bulk.insert(target, table, columns, waiting)
        progress(what, done, total)


def _require_free(place: Place, overwrite: bool, allow: Allow) -> bool:
    """Raises StoreError for a newer or foreign store, and for one with data unless told to
    overwrite; CallError where its people do not let. False for a damaged file that may go."""
    if place.file is not None and not place.file.exists():
        return True
    try:
        with place.reading() as connection:
            _judge(connection, place, overwrite, allow)
    except StoreError as error:
        if error.code != "store-broken" or place.file is None:
            raise
        if not overwrite:
            raise StoreError("store-not-empty", place=place.name) from error
        return False
    return True


def _judge(connection: Connection, place: Place, overwrite: bool, allow: Allow) -> None:
    found, version = condition(connection)
    if found is Condition.NEWER:
        raise StoreError("store-newer", place=place.name, version=version, newest=NEWEST)
    if found is Condition.FOREIGN:
        raise StoreError("store-foreign", place=place.name)
    _ask(connection, allow)
    if not overwrite and _filled(connection):
        raise StoreError("store-not-empty", place=place.name)


def _ask(connection: Connection, allow: Allow) -> None:
    """Ask the people of a store, of whatever version; the first had no table of them. Raises
    CallError, StoreError."""
    there = inspect(connection)
    if not there.has_table("person"):
        return
    work = SqlUnitOfWork(connection)
    if not there.has_table("account"):
        # Where nobody could sign in yet, names were on trust.
        work.accounts = NoAccounts(connection)
        work.people = PeopleOnTrust(connection)
    try:
        allow(work)
    except ValueError as error:
        # A role that there is not.
        raise StoreError("store-broken", place="", error="person") from error


def _filled(connection: Connection) -> bool:
    """Whether any table has a row."""
    there = set(inspect(connection).get_table_names())
    return any(
        connection.execute(select(table.primary_key.columns[0]).limit(1)).first() is not None
        for table in METADATA.sorted_tables
        if table.name in there
    )
