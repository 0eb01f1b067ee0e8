"""A new store in one step: the tables as they are declared, and the guards of what is kept.

Stores of versions before come to the same by the steps in `versions`; a test holds the two against
each other on both engines, down to constraints, indexes and triggers.
"""

from sqlalchemy import Connection

from wholekit.store.migrations.parts import guard, guard_whole, make_refusal
from wholekit.store.migrations.versions.v0002_jobs_and_quotes import FROZEN
from wholekit.store.tables import METADATA

# Rows that can be added and nothing else.
KEPT_WHOLE = (
    "audit_entry",
    "quote_snapshot",
    "quote_line",
    "quote_total",
    "stock_movement",
    "bag_event",
    "purchase_receipt",
)
# Rows that may be taken out one day, but never changed.
NEVER_CHANGED = ("catalog_revision", "catalog_series", "catalog_item")


def create(connection: Connection) -> None:
    """Make everything a store has, in the transaction under way."""
    # That there is nothing yet was asked in this very transaction.
    METADATA.create_all(connection, checkfirst=False)
    # The guards below call it on PostgreSQL, so it must be there before them.
    make_refusal()
    guard_whole(KEPT_WHOLE)
    for table in NEVER_CHANGED:
        guard(table, "UPDATE")
    guard("quote_revision", "DELETE", "OLD.state <> 'draft'")
    guard("quote_revision", "UPDATE", f"OLD.state <> 'draft' AND ({FROZEN})")
