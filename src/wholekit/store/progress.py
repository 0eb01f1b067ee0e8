"""How far long work of the store is."""

from collections.abc import Callable, Iterable, Iterator
from typing import TypeVar

Value = TypeVar("Value")
# What is being done, how much of it is done, and how much there is of it in all.
Progress = Callable[[str, int, int], None]
OFTEN = 5_000


def untold(_what: str, _done: int, _total: int) -> None:
    """Tells nobody."""


def counted(
    rows: Iterable[Value], what: str, before: int, total: int, progress: Progress
) -> Iterator[Value]:
    """The rows as they are, telling every few thousand how many there were, after `before`."""
    for number, row in enumerate(rows, start=1):
        yield row
        if number % OFTEN == 0:
            progress(what, before + number, total)
