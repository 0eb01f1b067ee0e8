"""What the commands share: data to stdout, everything else to stderr, and text that fits."""

import json
import shutil
import sys
import textwrap
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import fields, is_dataclass
from typing import Any

MOST_COLUMNS = 100
LEAST_COLUMNS = 60
LONG_WORK = 2_000


def width() -> int:
    """Columns to write in: the terminal's, between 60 and 100; 80 where there is none."""
    columns = shutil.get_terminal_size((80, 24)).columns
    return max(LEAST_COLUMNS, min(MOST_COLUMNS, columns))


def say(text: str = "") -> None:
    """One line of data."""
    sys.stdout.write(text + "\n")


def tell(text: str) -> None:
    """One line that is not data."""
    sys.stderr.write(text + "\n")


def print_json(answer: Any) -> None:  # noqa: ANN401  # any answer dataclass, or plain data
    """One JSON document, and nothing else."""
    sys.stdout.write(json_text(answer))


def json_text(answer: Any) -> str:  # noqa: ANN401  # as above
    """An answer as JSON: dataclasses as objects, in the order of their fields."""
    return json.dumps(answer, default=_plain, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _plain(value: Any) -> Any:  # noqa: ANN401  # whatever json does not know
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: getattr(value, field.name) for field in fields(value)}
    return str(value)


def wrapped(text: str, first: str = "", rest: str | None = None) -> Iterator[str]:
    """Text broken to the width, `first` before its first line and `rest` before the others."""
    indent = " " * len(first) if rest is None else rest
    yield from textwrap.wrap(
        text, width(), initial_indent=first, subsequent_indent=indent, break_on_hyphens=False
    ) or [first.rstrip()]


def table(
    rows: Iterable[Sequence[str]], heads: Sequence[str], right: frozenset[int], grow: int
) -> Iterator[str]:
    """Columns side by side; column `grow` is wrapped so that the table fits the width.

    right: the columns set flush right.
    """
    body = [list(row) for row in rows]
    widths = [max(len(row[column]) for row in [list(heads), *body]) for column in range(len(heads))]
    others = sum(widths) - widths[grow] + 2 * (len(heads) - 1)
    widths[grow] = max(12, min(widths[grow], width() - others))
    for number, row in enumerate([list(heads), *body]):
        cell = textwrap.wrap(row[grow], widths[grow]) or [""]
        for part, text in enumerate(cell):
            shown = [
                text if column == grow else (value if part == 0 else "")
                for column, value in enumerate(row)
            ]
            yield "  ".join(
                value.rjust(widths[column]) if column in right else value.ljust(widths[column])
                for column, value in enumerate(shown)
            ).rstrip()
        if number == 0:
            yield "  ".join("-" * column for column in widths)


def progress_of(total: int) -> Callable[[int], None] | None:
    """Tells on a terminal how far long work is; None where nobody watches or it is short."""
    if total < LONG_WORK or not sys.stderr.isatty():
        return None

    def told(done: int) -> None:
        sys.stderr.write(f"\r{done:,} of {total:,} openings …" if done < total else "\n")
        sys.stderr.flush()

    return told
