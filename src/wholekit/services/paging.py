"""Which part of a long list is asked for."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Page:
    """Which part of a list: how many to skip and the most to give [rows]."""

    offset: int = 0
    limit: int = 50

    @classmethod
    def numbered(cls, number: int, size: int) -> "Page":
        """The page of a number from 1, of so many rows."""
        return cls((number - 1) * size, size)
