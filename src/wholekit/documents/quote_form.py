"""How much a quote says."""

from enum import StrEnum


class QuoteForm(StrEnum):
    """Short is without mark tables, notes that ask for nothing, and the appendix."""

    SHORT = "short"
    FULL = "full"
