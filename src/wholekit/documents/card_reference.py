"""By which number a bag's label names the setting card of its opening."""

from collections.abc import Mapping, Sequence
from typing import Protocol


class HasMarks(Protocol):
    """A page of the setting cards, whatever else is on it."""

    @property
    def marks(self) -> tuple[str, ...]:
        """The openings that the page is for."""


def card_numbers(pages: Sequence[HasMarks]) -> Mapping[str, int]:
    """For each opening the number of its page in the cards' index, from 1; none for a set of one
    page, which has no index."""
    if len(pages) == 1:
        return {}
    return {mark: number for number, page in enumerate(pages, 1) for mark in page.marks}
