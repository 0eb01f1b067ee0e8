"""A terminal at which somebody scans: what is typed line by line, and answers large enough to read
from where the goods are."""

import sys
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TextIO

import typer

ENDS = frozenset({"end", "quit", "exit"})


def typed_lines() -> Iterator[str]:
    """What is typed, line by line, until a word that ends it; the prompt is for people alone."""
    while True:
        if sys.stdin.isatty():
            sys.stderr.write("> ")
            sys.stderr.flush()
        line = sys.stdin.readline()
        if not line or line.strip().casefold() in ENDS:
            return
        if line.strip():
            # Bytes that are no text come as lone surrogates, which no line may hold.
            yield line.encode("utf-8", "replace").decode("utf-8")


@dataclass(frozen=True, slots=True)
class Teller:
    """Where answers go: to standard output where they are what was asked for, else to standard
    error (`aside`)."""

    aside: bool = False

    def right(self, first: str, *more: str) -> None:
        """What was done: the first line large."""
        self._say(f"OK   {first}", "green", more)

    def refused(self, first: str, *more: str) -> None:
        """What was not: the first line large, with a bell."""
        # Whoever scans looks at the goods, and not at the screen.
        self._say(f"NO   {first}", "red", more, bell="\a")

    def more(self, text: str) -> None:
        """A line below."""
        self._out.write(f"   {text}\n")

    @property
    def _out(self) -> TextIO:
        return sys.stderr if self.aside else sys.stdout

    def _say(self, first: str, colour: str, more: Iterable[str], bell: str = "") -> None:
        """Said by word first; bold on a terminal, where it stands alone on its line."""
        if self._out.isatty():
            first = bell + typer.style(f" {first} ", bold=True, reverse=True, fg=colour)
        self._out.write(f"{first}\n")
        for line in more:
            self.more(line)
