"""How far long work of the store is."""

from collections.abc import Iterable, Iterator
from typing import TypeVar

from wholekit.services.progress import Progress as Progress  # told on from here
from wholekit.services.progress import untold as untold

Value = TypeVar("Value")
OFTEN = 5_000


def counted(
    rows: Iterable[Value], what: str, before: int, total: int, progress: Progress
) -> Iterator[Value]:
    """The rows as they are, telling every few thousand how many there were, after `before`."""
    for number, row in enumerate(rows, start=1):
        yield row
        if number % OFTEN == 0:
            progress(what, before + number, total)
