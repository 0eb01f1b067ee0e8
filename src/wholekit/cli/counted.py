"""`SKU=12`, as it is told to the commands of the pick room."""

from wholekit.domain.errors import CallError


def read_counted(text: str) -> tuple[str, int]:
    """A code and a count of packs, 0 too. Raises CallError."""
    told, sign, count = text.rpartition("=")
    # Longer numbers nobody counts, and one of thousands of digits takes long to read.
    fits = count.isascii() and count.isdecimal() and len(count) < 10
    if not (sign and told.strip() and fits):
        raise CallError("counts-unreadable", given=text[:80])
    return told.strip(), int(count)
