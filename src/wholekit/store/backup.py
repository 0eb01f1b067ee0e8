"""Backups, and stores made from them: one SQLite file, whichever engine the store is in.

A backup is itself a store of its version in SQLite, complete and consistent as of one moment while
others go on writing. It restores into either engine.
"""

import os
import sqlite3
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager, suppress
from glob import escape
from pathlib import Path
from uuid import uuid4

from sqlalchemy import Connection, MetaData, Table, func, inspect, select

from wholekit.store import access, bulk
from wholekit.store.engine import APPLICATION_ID, BUSY_SECONDS, Place, sqlite_place
from wholekit.store.errors import StoreError, store_faults
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
from wholekit.store.progress import Progress, counted, untold
from wholekit.store.tables import METADATA

# Pages between two calls that tell how far the copy is.
_PAGES = 2_000
# A part that nobody has written to for so long was left by somebody who was killed [s].
_LEFT_BEHIND = 3_600
COPYING, WRITING = "copying", "writing"


def back_up(place: Place, path: Path, progress: Progress = untold) -> None:
    """Write a backup of a store to a new file. Raises StoreError; then there is no such file.

    A store that waits for its upgrade is backed up as it is, in its own version.
    """
    with place.reading() as connection:
        waiting = condition(connection)[0] is Condition.OUTDATED
    if not waiting:
        require_current(place)
    # Before the long work; `_name` refuses again what came into being meanwhile.
    if os.path.exists(path):  # noqa: PTH110  # no error for a name too long
        raise StoreError("backup-there", path=str(path))
    with _new_file(path, "backup-unwritable") as part:
        if place.file is not None:
            _copy_file(place.file, part, COPYING, progress)
        else:
            _copy_to_file(place, part, progress)
        _into_one_file(part)


def restore(path: Path, place: Place, *, overwrite: bool, progress: Progress = untold) -> None:
    """Make a store what a backup says. Raises StoreError; then the store is as it was.

    overwrite: replace a store that has data in it. A backup of an older version is upgraded on
    the way; one of a newer version is refused.
    """
    place.require_writable()
    _require_backup(path)
    _require_free(place, overwrite)
    if place.file is not None:
        _restore_file(path, place, place.file, overwrite, progress)
        return
    with (
        tempfile.TemporaryDirectory(prefix="wholekit-") as folder,
        store_faults(folder),
    ):
        part = Path(folder) / "restoring.sqlite3"
        _copy_file(path, part, COPYING, progress)
        source = sqlite_place(part)
        try:
            upgrade(source)
            _restore_rows(source, place, overwrite, progress)
        finally:
            source.close()


def _restore_file(
    path: Path, place: Place, file: Path, overwrite: bool, progress: Progress
) -> None:
    """Into a file beside the store, upgraded there, and put in its place in one step."""
    with _new_file(
        file.with_name(f"{file.name}.restoring"), "store-unwritable", keep=False
    ) as part:
        _copy_file(path, part, COPYING, progress)
        made = sqlite_place(part)
        upgrade(made)
        made.close()
        _into_one_file(part)
        # Somebody may have filled the store while the backup was read.
        _require_free(place, overwrite)
        place.close()
        prepare_file(place)
        place.close()
        # Through SQLite, so that a program that has the store open sees one state or the other.
        _copy_file(part, file, WRITING, progress)


def _restore_rows(source: Place, place: Place, overwrite: bool, progress: Progress) -> None:
    """Empty the tables of a PostgreSQL store and fill them anew, in one transaction."""
    tables = METADATA.sorted_tables
    with source.reading() as read, place.writing() as written:
        wait_for_upgrades(written)
        upgrade_on(written, place)
        # Who writes waits from here on; who reads goes on seeing what was there. Those who change
        # a job hold it first, so it is waited for before anything else is held.
        for name in ("job", *(table.name for table in tables if table.name != "job")):
            written.exec_driver_sql(f'LOCK TABLE "{name}" IN EXCLUSIVE MODE')
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


def _copy_file(source: Path, target: Path, what: str, progress: Progress) -> None:
    """SQLite's own online copy: consistent, whoever writes meanwhile."""
    moved = time.monotonic()

    def told_pages(status: int, left: int, every: int) -> None:
        nonlocal moved
        # The copy itself would go on trying for ever.
        if status in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
            if time.monotonic() > moved + BUSY_SECONDS:
                raise StoreError("store-busy", place=str(target))
            return
        moved = time.monotonic()
        progress(what, every - left, every)

    with (
        store_faults(str(target)),
        closing(access.connect(source, make=False)) as read,
        # Short, so that waiting comes back to `told_pages`, whose patience counts.
        closing(sqlite3.connect(target, timeout=1)) as written,
    ):
        try:
            # One moment of the source: without it every write of others would start the copy anew.
            read.execute("BEGIN")
            read.execute("SELECT count(*) FROM sqlite_master").fetchone()
            read.backup(written, pages=_PAGES, progress=told_pages)
        except sqlite3.Error as error:
            code = "store-full" if "full" in str(error) else "store-unwritable"
            raise StoreError(code, place=str(target), error=str(error)) from error
        if not access.still(read, source):
            raise StoreError("store-moved", place=str(source))


def _into_one_file(path: Path) -> None:
    """Fold the write-ahead log in, so that the file alone is the backup."""
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA journal_mode = DELETE").fetchone()
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")


@contextmanager
def _new_file(path: Path, code: str, *, keep: bool = True) -> Iterator[Path]:
    """A file that appears whole under its name or not at all; without keep it goes in the end.

    Its part has a name that no other process takes.
    """
    part = path.with_name(f".{path.name}.{uuid4().hex[:12]}.part")
    try:
        _sweep(path)
        with part.open("xb"):
            pass
        yield part
        if keep:
            # On the disk before it has its name: after a power cut no name may stand for half a
            # file.
            _sync(part)
            _name(part, path)
    except FileExistsError as error:
        raise StoreError("backup-there", path=str(path)) from error
    except OSError as error:
        place = {"path": str(path), "place": str(path)}
        raise StoreError(code, error=error.strerror or str(error), **place) from error
    finally:
        for leftover in (part, *access.beside(part)):
            leftover.unlink(missing_ok=True)


def _name(part: Path, path: Path) -> None:
    """Give a finished part its name. Raises FileExistsError; a file is never replaced."""
    try:
        # A link fails where the name is taken; a rename would replace what is there.
        path.hardlink_to(part)
    except FileExistsError:
        raise
    except (OSError, NotImplementedError):
        # A disk without hard links.
        if path.exists():
            raise FileExistsError(path) from None
        part.rename(path)


def _sweep(path: Path) -> None:
    """Take away what was left of the same work by somebody who was killed."""
    for part in path.parent.glob(f".{escape(path.name)}.*.part"):
        with suppress(FileNotFoundError):
            if time.time() - part.stat().st_mtime > _LEFT_BEHIND:
                for leftover in (part, *access.beside(part)):
                    leftover.unlink(missing_ok=True)


def _sync(path: Path) -> None:
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def _require_backup(path: Path) -> None:
    # Unlike Path.is_file this is false, not an error, for a name longer than names may be.
    if not os.path.isfile(path):  # noqa: PTH113
        raise StoreError("backup-missing", path=str(path))
    source = sqlite_place(path)
    try:
        with source.reading() as connection:
            found, version = condition(connection)
            mark = connection.exec_driver_sql("PRAGMA application_id").scalar()
    except StoreError:
        raise StoreError("backup-foreign", path=str(path)) from None
    finally:
        source.close()
    if found is Condition.NEWER:
        raise StoreError("backup-newer", path=str(path), version=version, newest=NEWEST)
    if found in (Condition.EMPTY, Condition.FOREIGN) or mark != APPLICATION_ID:
        raise StoreError("backup-foreign", path=str(path))


def _require_free(place: Place, overwrite: bool) -> None:
    """A newer or foreign store is never overwritten; one with data only when told.

    A damaged file is put aside when told, since restoring is what mends it.
    """
    try:
        _judge(place, overwrite)
    except StoreError as error:
        if error.code != "store-broken" or place.file is None:
            raise
        if not overwrite:
            raise StoreError("store-not-empty", place=place.name) from error
        place.close()
        # The log goes too: left behind, it would be read into the file that takes the place.
        for end in ("", "-wal", "-shm"):
            damaged = place.file.with_name(place.file.name + end)
            if damaged.exists():
                damaged.replace(damaged.with_name(damaged.name + ".damaged"))


def _judge(place: Place, overwrite: bool) -> None:
    with place.reading() as connection:
        found, version = condition(connection)
        if found is Condition.NEWER:
            raise StoreError("store-newer", place=place.name, version=version, newest=NEWEST)
        if found is Condition.FOREIGN:
            raise StoreError("store-foreign", place=place.name)
        if not overwrite and _filled(connection):
            raise StoreError("store-not-empty", place=place.name)


def _filled(connection: Connection) -> bool:
    """Whether any table has a row."""
    there = set(inspect(connection).get_table_names())
    return any(
        connection.execute(select(table.primary_key.columns[0]).limit(1)).first() is not None
        for table in METADATA.sorted_tables
        if table.name in there
    )
