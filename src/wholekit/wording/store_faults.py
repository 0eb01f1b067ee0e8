"""What is wrong with a store or a backup, in sentences."""

from collections.abc import Sequence

MOST_SAID = 5
UNSEALED = (
    "{path} carries no sum of its own: it is of an older wholekit, or a copy of a store's file. It "
    "was checked in full and is consistent, but a letter or a figure that changed in it would not "
    "show."
)
SENTENCES: dict[str, str] = {
    "guard-missing": "a guard of what is never changed is missing: {what}",
    "integrity": "the file itself is damaged: {what}",
    "items-missing": "a catalogue revision is not whole: {what} items",
    "number-gap": "running numbers have a gap or a repeat: {what}",
    "orphans": "rows refer to something that is not there: {what}",
    "rule-broken": "rows break a rule of their table: {what}",
    "seal-missing": "the sum at the end of the file is gone, so the file was cut short or changed: "
    "{what}",
    "seal-wrong": "the file is not as it was written, its sum differs: {what}",
    "snapshot-changed": "an issued revision is not as it was issued: {what}",
    "snapshot-missing": "an issued revision lacks its contents: {what}",
    "stock-differs": "kept stock is not what its movements add up to: {what}",
    "total-differs": "a total is not the sum of its lines: {what}",
    "unreadable": "a part of the file cannot be read: {what}",
}


def say_fault(code: str, what: str) -> str:
    """A fault of the store in words."""
    return SENTENCES[code].format(what=what)


def say_faults(faults: Sequence[tuple[str, str]]) -> str:
    """Faults, each a code and what it is about, in one line; of many the first.

    >>> say_faults([("orphans", "job.customer: 2")])
    'rows refer to something that is not there: job.customer: 2'
    """
    said = [say_fault(code, what) for code, what in faults[:MOST_SAID]]
    more = len(faults) - len(said)
    return "; ".join(said) + (f"; and {more} more" if more else "")
