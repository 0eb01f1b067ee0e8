"""How far long work is, on one line of a terminal that is written anew and taken away at the end.

Nothing is shown where standard error is no terminal, and nothing of what is done at once.
"""

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from wholekit.cli.console import width

# What is being done, how much of it is done, and how much there is of it in all.
Progress = Callable[[str, int, int], None]
# Work that is done within this time needs no telling [s].
AT_ONCE = 0.3
# No oftener than the eye can read [s].
STEP = 0.1


@contextmanager
def shown(title: str = "") -> Iterator[Progress]:
    """What to tell the work's steps to; the line is gone when the work ends, well or not.

    title: stands before every step.
    """
    line = _Line(title)
    if not sys.stderr.isatty():
        yield lambda _what, _done, _total: None
        return
    try:
        yield line.tell
    finally:
        line.clear()


def percent(done: int, total: int) -> int:
    """How much is done [%], 100 only when all is.

    >>> percent(0, 3), percent(2_999, 3_000), percent(3, 3), percent(0, 0)
    (0, 99, 100, 100)
    """
    return 100 if done >= total else 100 * done // total


class _Line:
    """The line: what stands on it, and since when."""

    def __init__(self, title: str) -> None:
        self._title = title
        self._next = time.monotonic() + AT_ONCE
        self._text = ""

    def tell(self, what: str, done: int, total: int) -> None:
        now = time.monotonic()
        if now < self._next:
            return
        self._next = now + STEP
        head, tail = f"{self._title} {what}".strip(), f" … {percent(done, total):3d} %"
        room = width() - 1 - len(tail)
        # Of a long path the end says more than the beginning.
        self._write((head if len(head) <= room else "…" + head[1 - room :]) + tail)

    def clear(self) -> None:
        if self._text:
            self._write("")
            sys.stderr.write("\r")
            sys.stderr.flush()

    def _write(self, text: str) -> None:
        # As long as the text before it, so that nothing of that is left standing.
        sys.stderr.write("\r" + text.ljust(len(self._text)))
        sys.stderr.flush()
        self._text = text
