"""Backups, and stores made from them: one SQLite file, whichever engine the store is in.

A backup is itself a store of its version in SQLite, complete and consistent as of one moment while
others go on writing. It restores into either engine.
"""

import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from sqlalchemy import Connection, func, inspect, select

from wholekit.store import bulk
from wholekit.store.engine import APPLICATION_ID, Place, sqlite_place
from wholekit.store.errors import StoreError, told
from wholekit.store.migrate import NEWEST, Condition, condition, require_current, upgrade
from wholekit.store.tables import METADATA

Progress = Callable[[str], None]
_PAGES = 2_000


def back_up(place: Place, path: Path, progress: Progress = lambda _said: None) -> None:
    """Write a backup of a store to a new file. Raises StoreError; then there is no such file.

    A SQLite store that waits for its upgrade can be backed up as it is.
    """
    with place.reading() as connection:
        waiting = condition(connection)[0] is Condition.OUTDATED
    if place.file is None or not waiting:
        require_current(place)
    if path.exists():
        raise StoreError("backup-there", path=str(path))
    with _new_file(path, "backup-unwritable") as part:
        if place.file is not None:
            _copy_file(place.file, part, progress)
        else:
            target = sqlite_place(part)
            upgrade(target)
            with place.reading() as source, target.writing() as written:
                _copy_rows(source, written, progress)
            target.close()
        _into_one_file(part)


def restore(
    path: Path, place: Place, *, overwrite: bool, progress: Progress = lambda _said: None
) -> None:
    """Make a store what a backup says. Raises StoreError; then the store is as it was.

    overwrite: replace a store that has data in it. A backup of an older version is upgraded on
    the way; one of a newer version is refused.
    """
    _require_backup(path)
    _require_free(place, overwrite)
    if place.file is not None:
        _restore_file(path, place, progress)
        return
    with _new_file(
        path.with_name(f"{path.name}.restoring"), "backup-unwritable", keep=False
    ) as part:
        _copy_file(path, part, progress)
        source = sqlite_place(part)
        upgrade(source)
        _restore_rows(source, place, progress)
        source.close()


def _restore_file(path: Path, place: Place, progress: Progress) -> None:
    """Into a file beside the store, upgraded there, and put in its place in one step."""
    file = place.file
    if file is None:
        raise ValueError(place.name)
    place.close()
    with _new_file(
        file.with_name(f"{file.name}.restoring"), "store-unwritable", keep=False
    ) as part:
        _copy_file(path, part, progress)
        made = sqlite_place(part)
        upgrade(made)
        made.close()
        _into_one_file(part)
        # Through SQLite, so that a program that has the store open sees one state or the other.
        _copy_file(part, file, progress)
    with closing(sqlite3.connect(file)) as connection:
        connection.execute("PRAGMA journal_mode = WAL").fetchone()


def _restore_rows(source: Place, place: Place, progress: Progress) -> None:
    """Empty the tables of a PostgreSQL store and fill them anew, in one transaction."""
    upgrade(place)
    with source.reading() as read, place.writing() as written:
        tables = ", ".join(f'"{table.name}"' for table in METADATA.sorted_tables)
        # The guards of what is never changed stand aside for this transaction alone.
        for table in METADATA.sorted_tables:
            written.exec_driver_sql(f'ALTER TABLE "{table.name}" DISABLE TRIGGER USER')
        written.exec_driver_sql(f"TRUNCATE {tables}")
        _copy_rows(read, written, progress)
        for table in METADATA.sorted_tables:
            written.exec_driver_sql(f'ALTER TABLE "{table.name}" ENABLE TRIGGER USER')
        for table in METADATA.sorted_tables:
            key = table.primary_key.columns[0]
            if key.autoincrement is True:
                written.exec_driver_sql(
                    f"SELECT setval(pg_get_serial_sequence('{table.name}', '{key.name}'), "  # noqa: S608  # own names
                    f'coalesce(max("{key.name}"), 0) + 1, false) FROM "{table.name}"'
                )


def _copy_rows(source: Connection, target: Connection, progress: Progress) -> None:
    """Every row of every table, parents first."""
    for table in METADATA.sorted_tables:
        columns = [column.name for column in table.columns]
        rows = source.execution_options(yield_per=bulk.CHUNK).execute(
            select(table).order_by(*table.primary_key.columns)
        )
        count = bulk.insert(target, table, columns, (tuple(row) for row in rows))
        progress(f"{table.name}: {count}")


def _copy_file(source: Path, target: Path, progress: Progress) -> None:
    """SQLite's own online copy: consistent, whoever writes meanwhile."""

    def told_pages(_status: int, left: int, every: int) -> None:
        progress(f"{every - left} of {every} pages")

    with (
        told(str(target)),
        closing(sqlite3.connect(source.absolute().as_uri() + "?mode=rw", uri=True)) as read,
        closing(sqlite3.connect(target, timeout=30)) as written,
    ):
        try:
            # One moment of the source: without it every write of others would start the copy anew.
            read.execute("BEGIN")
            read.execute("SELECT count(*) FROM sqlite_master").fetchone()
            read.backup(written, pages=_PAGES, progress=told_pages)
        except sqlite3.Error as error:
            code = "store-full" if "full" in str(error) else "store-unwritable"
            raise StoreError(code, place=str(target), error=str(error)) from error


def _into_one_file(path: Path) -> None:
    """Fold the write-ahead log in, so that the file alone is the backup."""
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA journal_mode = DELETE").fetchone()
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")


@contextmanager
def _new_file(path: Path, code: str, *, keep: bool = True) -> Iterator[Path]:
    """A file that appears whole under its name or not at all; without keep it goes in the end."""
    part = path.with_name(f".{path.name}.part")
    try:
        part.unlink(missing_ok=True)
        with part.open("xb"):
            pass
        yield part
        if keep:
            _sync(part)
            part.rename(path)
    except OSError as error:
        place = {"path": str(path), "place": str(path)}
        raise StoreError(code, error=error.strerror or str(error), **place) from error
    finally:
        for leftover in (part, *(part.with_name(part.name + end) for end in ("-wal", "-shm"))):
            leftover.unlink(missing_ok=True)


def _sync(path: Path) -> None:
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def _require_backup(path: Path) -> None:
    if not path.is_file():
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
        there = set(inspect(connection).get_table_names())
        filled = any(
            connection.execute(select(func.count()).select_from(table)).scalar_one()
            for table in METADATA.sorted_tables
            if table.name in there
        )
    if filled and not overwrite:
        raise StoreError("store-not-empty", place=place.name)
