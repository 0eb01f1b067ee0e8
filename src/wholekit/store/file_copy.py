"""One SQLite file copied into another: consistent, whoever writes meanwhile."""

import sqlite3
import time
from contextlib import closing
from pathlib import Path

from wholekit.store import access
from wholekit.store.engine import APPLICATION_ID, BUSY_SECONDS
from wholekit.store.errors import StoreError, fault_said, store_faults
from wholekit.store.progress import Progress

# Pages between two calls that tell how far the copy is.
_PAGES = 2_000
COPYING, WRITING = "copying", "writing"


def copy_file(source: Path, target: Path, what: str, progress: Progress) -> None:
    """SQLite's own online copy, in one transaction of the target. Raises StoreError."""
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
        except sqlite3.Error as error:
            raise _fault(source, error) from error
        try:
            read.backup(written, pages=_PAGES, progress=told_pages)
        except sqlite3.Error as error:
            raise _fault(target, error) from error
        if not access.still(read, source):
            raise StoreError("store-moved", place=str(source))


def into_one_file(path: Path) -> None:
    """Fold the write-ahead log in, so that the file alone is the store. Raises sqlite3.Error."""
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA journal_mode = DELETE").fetchone()
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")


def _fault(file: Path, error: sqlite3.Error) -> StoreError:
    said = str(error)
    return fault_said(str(file), said) or StoreError(
        "store-unwritable", place=str(file), error=said
    )
