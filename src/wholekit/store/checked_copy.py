"""A backup copied to a place apart and checked whole there, before anything is made of it."""

import errno
import os
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy.exc import DBAPIError

from wholekit.domain.errors import WholekitError
from wholekit.store.check import StoreFault, check_store, file_faults
from wholekit.store.engine import APPLICATION_ID, sqlite_place
from wholekit.store.errors import StoreError, is_damage
from wholekit.store.file_copy import COPYING, copy_file, into_one_file
from wholekit.store.migrate import NEWEST, Condition, condition, upgrade
from wholekit.store.progress import Progress
from wholekit.store.seal import Seal, copy_sealed, is_marked, is_sealed, unmark


@dataclass(frozen=True, slots=True)
class Checked:
    """What was found of a backup; a seal of NONE is one of before backups had any."""

    seal: Seal
    faults: tuple[StoreFault, ...]


def checked_copy(path: Path, part: Path, *, with_faults: bool, progress: Progress) -> Checked:
    """Copy a backup into a part, bring that to this version, and check all of it.

    with_faults: take one with faults too, as far as it can be read. Raises StoreError: no backup,
    one of a newer version, one with faults.
    """
    seal = _copied(path, part, progress)
    faults = [] if seal.sound else [StoreFault(f"seal-{seal.value}", path.name)]
    broken = ""
    try:
        _require_backup(path, part, seal)
        faults += _brought_up(part, with_faults, progress)
        unmark(part)
        into_one_file(part)
    except Exception as error:  # noqa: BLE001  # out of damaged data anything may come
        broken = _damage(error, seal)
        faults.append(StoreFault("unreadable", broken))
    found = Checked(seal, tuple(dict.fromkeys(faults)))
    if found.faults and not with_faults:
        told = tuple((fault.code, fault.what) for fault in found.faults)
        raise StoreError("backup-faulty", path=str(path), faults=told)
    if broken:
        raise StoreError("backup-broken", path=str(path), error=broken)
    return found


def _copied(path: Path, part: Path, progress: Progress) -> Seal:
    # Unlike Path.is_file this is false, not an error, for a name longer than names may be.
    if not os.path.isfile(path):  # noqa: PTH113
        raise StoreError("backup-missing", path=str(path))
    try:
        if is_sealed(path):
            return copy_sealed(path, part, COPYING, progress)
        copy_file(path, part, COPYING, progress)
        return Seal.MISSING if is_marked(part) else Seal.NONE
    except OSError as error:
        code = "store-full" if error.errno == errno.ENOSPC else "backup-unreadable"
        said = error.strerror or type(error).__name__
        raise StoreError(code, path=str(path), place=str(part), error=said) from error
    except (StoreError, sqlite3.Error) as error:
        said = _damage(error, Seal.NONE)
        code = "backup-foreign" if "not a database" in said else "backup-broken"
        raise StoreError(code, path=str(path), error=said) from error


def _require_backup(path: Path, part: Path, seal: Seal) -> None:
    with closing(sqlite_place(part)) as made, made.reading() as connection:
        found, version = condition(connection)
        mark = connection.exec_driver_sql("PRAGMA application_id").scalar()
    foreign = found in (Condition.EMPTY, Condition.FOREIGN) or mark != APPLICATION_ID
    if not seal.sound and (foreign or found is Condition.NEWER):
        # What was written says so; what was damaged is no word of another program.
        raise StoreError("store-broken", place=str(part), error=f"version {version or '?'}")
    if found is Condition.NEWER:
        raise StoreError("backup-newer", path=str(path), version=version, newest=NEWEST)
    if foreign:
        raise StoreError("backup-foreign", path=str(path))


def _brought_up(part: Path, with_faults: bool, progress: Progress) -> list[StoreFault]:
    """Every fault of a copy that is brought to this version, or stays where that is no use."""
    with closing(sqlite_place(part)) as made:
        with made.reading() as connection:
            outdated = condition(connection)[0] is Condition.OUTDATED
        # Before the upgrade, which would stumble over what is not as it should be.
        faults = list(file_faults(made)) if outdated else []
        if faults and not with_faults:
            return faults
        upgrade(made)
        return [*faults, *check_store(made, progress).faults]


def _damage(error: Exception, seal: Seal) -> str:
    """What is damaged, as the error says it; raises the error if it is about something else."""
    if isinstance(error, StoreError) and error.code == "store-broken":
        return str(error.fields["error"])
    if isinstance(error, WholekitError):
        raise error
    said = str(error.orig if isinstance(error, DBAPIError) else error)
    database = isinstance(error, (DBAPIError, sqlite3.Error))
    # What was read as it was written and fails all the same is a fault of the program.
    if seal is Seal.RIGHT and not (database and is_damage(said)):
        raise error
    return " ".join(said.split()) if database else type(error).__name__
