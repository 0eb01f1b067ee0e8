"""What goes wrong with the store itself, told as codes.

StoreError
├── store-unreachable, store-unwritable, store-full, store-busy, store-broken   the place it is in
├── store-newer, store-outdated, store-foreign                                  the data's version
└── backup-there, backup-missing, backup-foreign, store-not-empty               backup and restore
"""

import errno
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError, OperationalError

from wholekit.domain.errors import WholekitError


class StoreError(WholekitError):
    """The store cannot be opened, read or written; nothing was half written."""


# By what the driver says; SQLite has one exception class for all of these.
_SAYINGS = {
    "store-full": ("database or disk is full", "No space left", "could not extend file"),
    "store-unwritable": (
        "readonly database", "unable to open database file", "read-only transaction",
    ),
    "store-busy": ("database is locked", "database table is locked", "lock timeout", "deadlock"),
    "store-broken": ("malformed", "not a database", "disk I/O error"),
    "store-unreachable": ("connection", "could not translate host name", "does not exist"),
}  # fmt: skip


@contextmanager
def told(place: str) -> Iterator[None]:
    """Turn what the driver raises about the place itself into a StoreError that names it.

    Errors of the data (a broken constraint) pass unchanged: they are for the caller to judge.
    """
    try:
        yield
    except DBAPIError as error:
        said = " ".join(str(error.orig).split())
        for code, sayings in _SAYINGS.items():
            # Only what the driver itself calls a matter of running is about reaching the place.
            if code == "store-unreachable" and not isinstance(error, OperationalError):
                continue
            if any(saying in said for saying in sayings):
                raise StoreError(code, place=place, error=said) from error
        raise
    except OSError as error:
        code = "store-full" if error.errno == errno.ENOSPC else "store-unwritable"
        raise StoreError(code, place=place, error=error.strerror or str(error)) from error
