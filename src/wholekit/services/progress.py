"""How far long work is: who is told."""

from collections.abc import Callable

# What is being done, how much of it is done, and how much there is of it in all.
Progress = Callable[[str, int, int], None]


def untold(_what: str, _done: int, _total: int) -> None:
    """Tells nobody."""
