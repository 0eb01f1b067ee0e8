"""The seal of a backup: the sum of its bytes (SHA-256), as the last line of the file itself.

SQLite reads as many pages as the header counts and passes over what stands behind them ("File
format", 1.3.7, www.sqlite.org/fileformat2.html), so a sealed backup is an SQLite file still. A
number in the header (`user_version`) says that there is a seal: a file that was cut short is not
taken for one of before backups had any.
"""

import hashlib
import sqlite3
from contextlib import closing
from enum import Enum
from pathlib import Path
from typing import BinaryIO

from wholekit.store.progress import Progress

_HEAD, _END = b"\nwholekit backup sha256 ", b"\n"
_LENGTH = len(_HEAD) + 2 * hashlib.sha256().digest_size + len(_END)
_SEALED = 1
_BLOCK = 1 << 20


class Seal(Enum):
    """What the seal of a backup tells. NONE: a backup of before they had any, or a bare store."""

    NONE = "none"
    RIGHT = "right"
    WRONG = "wrong"
    MISSING = "missing"

    @property
    def sound(self) -> bool:
        """Whether nothing is known to have changed."""
        return self in (Seal.NONE, Seal.RIGHT)


def seal(file: Path) -> None:
    """Write the sum of a finished file behind it."""
    _mark(file, _SEALED)
    with file.open("rb+") as opened:
        digest = hashlib.file_digest(opened, "sha256").hexdigest()
        opened.write(_HEAD + digest.encode("ascii") + _END)


def unmark(file: Path) -> None:
    """Let the header of a copy say no more that there is a seal."""
    _mark(file, 0)


def is_marked(file: Path) -> bool:
    """Whether the header says that there is a seal. Raises sqlite3.Error."""
    with closing(sqlite3.connect(f"{file.absolute().as_uri()}?mode=ro", uri=True)) as connection:
        return bool(connection.execute("PRAGMA user_version").fetchone()[0] == _SEALED)


def is_sealed(file: Path) -> bool:
    """Whether the last line of a file is a seal, right or wrong. Raises OSError."""
    with file.open("rb") as opened:
        return _sum_in(opened, file.stat().st_size) is not None


def copy_sealed(file: Path, copy: Path, what: str, progress: Progress) -> Seal:
    """Copy a sealed file without its seal, and tell whether that is right. Raises OSError.

    Both in one reading: what was summed up is what was copied.
    """
    size = file.stat().st_size
    added = hashlib.sha256()
    with file.open("rb") as source, copy.open("wb") as target:
        found = _sum_in(source, size)
        source.seek(0)
        done, every = 0, size - _LENGTH
        while block := source.read(min(_BLOCK, every - done)):
            added.update(block)
            target.write(block)
            done += len(block)
            progress(what, done, every)
    return Seal.RIGHT if found == added.hexdigest().encode("ascii") else Seal.WRONG


def _sum_in(opened: BinaryIO, size: int) -> bytes | None:
    """The sum that the last line states, in hexadecimal; None where it is no seal."""
    opened.seek(max(0, size - _LENGTH))
    line = opened.read(_LENGTH)
    if not (line.startswith(_HEAD) and line.endswith(_END)):
        return None
    return line[len(_HEAD) : -len(_END)]


def _mark(file: Path, number: int) -> None:
    with closing(sqlite3.connect(file)) as connection:
        connection.execute(f"PRAGMA user_version = {number}")
