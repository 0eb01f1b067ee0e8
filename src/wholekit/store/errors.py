"""What goes wrong with the store itself, told as codes.

StoreError
├── store-unreachable, store-unwritable, store-full, store-busy, store-broken   the place it is in
├── store-read-only, store-unreadable, store-log-left, store-moved              its file, and rights
├── store-address-wrong                                                         its address
├── store-sqlite-old, store-newer, store-outdated, store-foreign                versions
├── backup-there, backup-missing, backup-foreign, backup-newer, store-not-empty backup and restore
└── backup-unwritable, backup-unreadable, backup-faulty, backup-broken          the backup's file

ConflictError: store-row-taken, store-row-gone: of two at once the other was first.
"""

import errno
import re
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import (
    DBAPIError,
    IntegrityError,
    InterfaceError,
    OperationalError,
    ProgrammingError,
)

from wholekit.domain.errors import ConflictError, WholekitError


class StoreError(WholekitError):
    """The store cannot be opened, read or written; nothing was half written."""


# By what the driver says; SQLite has one exception class for all of these.
_SAYINGS = {
    "store-full": ("database or disk is full", "No space left", "could not extend file"),
    "store-unwritable": (
        "readonly database", "unable to open database file", "read-only transaction",
    ),
    "store-busy": ("database is locked", "database table is locked", "lock timeout", "deadlock"),
    "store-broken": ("malformed", "not a database", "disk I/O error", "Could not decode"),
    # Last, since its words are the vaguest and stand in the sayings of other faults too.
    "store-unreachable": ("connection", "could not translate host name", "does not exist"),
}  # fmt: skip

# What a table's row is to people.
ROW_WORDS = {
    "account": "account",
    "account_seat": "seat",
    "asked_paper": "paper that was asked for",
    "audit_entry": "entry of the log",
    "bag": "bag",
    "bag_event": "deed at a bag",
    "bag_need": "need of a bag",
    "catalog_item": "item of a catalogue",
    "catalog_revision": "revision of a catalogue",
    "catalog_rise": "rise of a supplier",
    "catalog_series": "series of a catalogue",
    "catalog_sheet": "choices for a supplier's price sheets",
    "customer": "customer",
    "customer_sheet": "choices for a customer's sheets",
    "house_policy": "settings of the house",
    "job": "job",
    "job_catalog": "catalogue of a job",
    "job_extra": "extra line",
    "job_opening": "mark of a job",
    "person": "person",
    "purchase_line": "line of a purchase order",
    "purchase_order": "purchase order",
    "purchase_receipt": "receipt of a purchase order",
    "quote_line": "line of a quote",
    "quote_revision": "revision of a quote",
    "quote_snapshot": "revision of a quote",
    "quote_total": "total of a quote",
    "released_order": "order in the pick room",
    "running_number": "running number",
    "ship_to": "ship-to place",
    "shipment": "shipment",
    "sign_in_try": "try to sign in",
    "stock_bag": "promise of a bag",
    "stock_balance": "stock of an item",
    "stock_bin": "stock of a bin",
    "stock_branch": "branch",
    "stock_item": "item in stock",
    "stock_movement": "movement of stock",
}
# What its row refers to.
PARENT_WORDS = {
    "account": "person",
    "account_seat": "account",
    "bag": "order in the pick room",
    "bag_event": "bag",
    "bag_need": "bag",
    "catalog_item": "revision of a catalogue",
    "catalog_series": "revision of a catalogue",
    "customer_sheet": "customer",
    "job": "customer",
    "job_catalog": "job or catalogue revision",
    "job_extra": "job",
    "job_opening": "job",
    "purchase_line": "purchase order",
    "purchase_receipt": "purchase order",
    "quote_line": "revision of a quote",
    "quote_revision": "job",
    "quote_snapshot": "revision of a quote",
    "quote_total": "revision of a quote",
    "released_order": "revision of a quote or job",
    "shipment": "order in the pick room",
    "stock_bag": "item in stock",
    "stock_balance": "item in stock",
    "stock_bin": "item in stock",
    "stock_movement": "item in stock",
}
NO_TEXT = "a text that is none"
_OF_CONNECTING = (OperationalError, InterfaceError, ProgrammingError)
_TABLE = re.compile(r'(?:INSERT INTO|UPDATE|DELETE FROM|COPY)\s+"?(\w+)"?')
# SQLSTATE, as PostgreSQL's manual lists them (appendix A).
_UNIQUE_VIOLATION, _FOREIGN_KEY_VIOLATION = "23505", "23503"


@contextmanager
def store_faults(place: str) -> Iterator[None]:
    """Turn what the driver raises about the place itself into a StoreError that names it.

    A key that was taken, or a row that went, between asking and writing is a ConflictError. Other
    errors of the data (a broken rule) pass unchanged: services judge the data first.
    """
    try:
        yield
    except DBAPIError as error:
        lost = isinstance(error, IntegrityError) and _lost_race(error)
        if lost:
            raise lost from error
        # Only what the driver itself calls a matter of running is about reaching the place.
        known = fault_said(place, str(error.orig), far=isinstance(error, OperationalError))
        if known is None and error.statement is None and isinstance(error, _OF_CONNECTING):
            # No statement was under way: there is no connection to make one on.
            said = " ".join(str(error.orig).split())
            known = StoreError("store-unreachable", place=place, error=said)
        if known is None:
            raise
        raise known from error
    except sqlite3.Error as error:
        known = fault_said(place, str(error))
        if known is None:
            raise
        raise known from error
    except UnicodeDecodeError as error:
        raise StoreError("store-broken", place=place, error=NO_TEXT) from error
    except UnicodeError as error:
        # A host's name that no address book can hold.
        raise StoreError("store-unreachable", place=place, error="no such host") from error
    except OSError as error:
        code = "store-full" if error.errno == errno.ENOSPC else "store-unwritable"
        said = error.strerror or type(error).__name__
        raise StoreError(code, place=place, error=said) from error


def fault_said(place: str, driver_says: str, *, far: bool = False) -> StoreError | None:
    """What the driver says as an error of the place; None where it is about something else.

    far: whether what it says may be about the way there.
    """
    said = " ".join(driver_says.split())
    for code, sayings in _SAYINGS.items():
        if any(saying in said for saying in sayings) and (far or code != "store-unreachable"):
            return StoreError(code, place=place, error=said)
    return None


def is_damage(driver_says: str) -> bool:
    """Whether the driver says that a file is damaged."""
    known = fault_said("", driver_says)
    return known is not None and known.code == "store-broken"


def _lost_race(error: IntegrityError) -> ConflictError | None:
    """The conflict that a broken key stands for; None for any other broken constraint."""
    said = str(error.orig)
    state = getattr(error.orig, "sqlstate", None)
    found = _TABLE.search(error.statement or "")
    table = found[1] if found else ""
    if state == _UNIQUE_VIOLATION or "UNIQUE constraint failed" in said:
        return ConflictError("store-row-taken", what=ROW_WORDS.get(table, "entry"))
    if state == _FOREIGN_KEY_VIOLATION or "FOREIGN KEY constraint failed" in said:
        return ConflictError("store-row-gone", what=PARENT_WORDS.get(table, "entry"))
    return None
