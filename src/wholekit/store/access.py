"""How a SQLite file may be opened: to write, to read, or to read while it lies still.

A store is written with a log beside it, and whoever reads it by SQLite's usual means opens the log
and the index of the log, even makes them. Where nothing can be written that fails, so there the
file alone is read, if it alone is the store.
"""

import os
import sqlite3
from dataclasses import dataclass
from enum import Enum
from pathlib import Path

from wholekit.store.errors import StoreError

# Strict tables.
OLDEST_SQLITE = (3, 37, 0)
# Rights count as the file would be opened, where the system can tell them apart.
_EFFECTIVE = os.access in os.supports_effective_ids


class Access(Enum):
    """How a file is opened; the value goes into its address."""

    WRITE = "mode=rwc"
    READ = "mode=ro"
    # Without lock and without log: sound only while nobody writes, so that is asked at the end.
    STILL = "mode=ro&immutable=1"


@dataclass(frozen=True, slots=True)
class Stamp:
    """What tells that a file was changed: number, size [bytes], time of change [ns]."""

    number: int
    size: int
    changed: int


class OpenFile(sqlite3.Connection):
    """A connection that knows how its file was opened, and what it was like then."""

    access: Access = Access.WRITE
    stamp: Stamp | None = None


def require_sqlite() -> None:
    """Raises StoreError if Python came with an SQLite that lacks what the tables need."""
    if sqlite3.sqlite_version_info < OLDEST_SQLITE:
        oldest = ".".join(map(str, OLDEST_SQLITE))
        raise StoreError("store-sqlite-old", version=sqlite3.sqlite_version, oldest=oldest)


def read_only_part(file: Path) -> str | None:
    """What keeps this process from writing the file: `disk`, `file` or `folder`; None if nothing.

    Raises OSError where the folder cannot be looked into.
    """
    # SQLite keeps its log beside the file that a link leads to: the rights of that folder count.
    real = file.resolve()
    if not real.parent.is_dir():
        return None
    if hasattr(os, "statvfs") and os.statvfs(real.parent).f_flag & os.ST_RDONLY:
        return "disk"
    if real.exists() and not may(real, os.W_OK):
        return "file"
    return None if may(real.parent, os.W_OK | os.X_OK) else "folder"


def may(path: Path, wanted: int) -> bool:
    """Whether this process has a right (os.R_OK, os.W_OK, os.X_OK) to a path."""
    return os.access(path, wanted, effective_ids=_EFFECTIVE)


def access_to(file: Path) -> Access:
    """How the file may be opened now. Raises OSError as above."""
    if read_only_part(file) is None or not file.exists():
        return Access.WRITE
    log, index = beside(file)
    # An index means that somebody has it open or ended without tidying up; a log with anything in
    # it holds what the file alone does not yet. An empty log holds nothing.
    if index.exists() or (log.exists() and log.stat().st_size):
        return Access.READ
    return Access.STILL


def beside(file: Path) -> tuple[Path, Path]:
    """SQLite's log of a file and the index of the log."""
    real = file.resolve()
    return real.with_name(f"{real.name}-wal"), real.with_name(f"{real.name}-shm")


def stamp_of(file: Path) -> Stamp:
    """What the file is like now."""
    found = file.stat()
    return Stamp(found.st_ino, found.st_size, found.st_mtime_ns)


def connect(file: Path, timeout: float = 5, *, make: bool = True) -> OpenFile:
    """A connection to the file, opened as it may be.

    timeout: how long to wait for a lock [s]; make: make a file where there is none.
    """
    access = access_to(file)
    stamp = stamp_of(file) if access is Access.STILL else None
    mode = access.value if make else access.value.replace("rwc", "rw")
    connection = sqlite3.connect(
        # As an address: else a ? or # in the file's name would begin the mode.
        f"{file.absolute().as_uri()}?{mode}",
        timeout=timeout,
        uri=True,
        # The pool may hand a connection to another thread, though never to two at once.
        check_same_thread=False,
        factory=OpenFile,
    )
    connection.access = access
    connection.stamp = stamp
    return connection


def still(connection: sqlite3.Connection, file: Path) -> bool:
    """Whether what was read through the connection is one state of the file.

    SQLite sees to that by its locks; a file opened as lying still must not have been changed.
    """
    stamp = connection.stamp if isinstance(connection, OpenFile) else None
    return stamp is None or stamp == stamp_of(file)
