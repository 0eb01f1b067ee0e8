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
LEAST_COLUMN = 12
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


def moment(at: str) -> str:
    """An ISO time as a list shows it: the day and the minute."""
    return at[:16].replace("T", " ")


def print_json(answer: Any) -> None:  # noqa: ANN401  # any answer dataclass, or plain data
    """One JSON document, and nothing else."""
    sys.stdout.write(json_text(answer))


def json_text(answer: Any) -> str:  # noqa: ANN401  # as above
    """An answer as JSON: dataclasses as objects, in the order of their fields."""
    # NaN and Infinity are no JSON (RFC 8259, 6): better a fault here than a file nobody can read.
    return json.dumps(answer, default=_plain, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _plain(value: Any) -> Any:  # noqa: ANN401  # whatever json does not know
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: getattr(value, field.name) for field in fields(value)}
    return str(value)


def wrapped(text: str, first: str = "", rest: str | None = None) -> Iterator[str]:
    """Text broken to the width, `first` before its first line and `rest` before the others."""
    indent = " " * len(first) if rest is None else rest
    # A SKU, or 1-3/4 in, is not to be torn at its hyphen.
    yield from textwrap.wrap(
        text, width(), initial_indent=first, subsequent_indent=indent, break_on_hyphens=False
    ) or [first.rstrip()]


def table(
    rows: Iterable[Sequence[str]],
    heads: Sequence[str],
    right: frozenset[int],
    grow: int | Sequence[int],
    below: Sequence[str] = (),
) -> Iterator[str]:
    """Columns side by side; the columns of `grow` are wrapped so that the table fits the width.

    right: the columns set flush right. grow: one column or several; the widest gives way first.
    below: a text to stand under each row, over all columns; empty where there is none.
    """
    body = [list(row) for row in rows]
    growing = (grow,) if isinstance(grow, int) else tuple(grow)
    widths = [max(len(row[column]) for row in [list(heads), *body]) for column in range(len(heads))]
    _narrow(widths, growing, width() - 2 * (len(heads) - 1))
    for number, row in enumerate([list(heads), *body]):
        cells = [
            textwrap.wrap(value, widths[column], break_on_hyphens=False) or [""]
            if column in growing
            else [value]
            for column, value in enumerate(row)
        ]
        for part in range(max(map(len, cells))):
            shown = [cell[part] if part < len(cell) else "" for cell in cells]
            yield "  ".join(
                value.rjust(widths[column]) if column in right else value.ljust(widths[column])
                for column, value in enumerate(shown)
            ).rstrip()
        if number == 0:
            yield "  ".join("-" * column for column in widths)
        elif number <= len(below) and below[number - 1]:
            yield from wrapped(below[number - 1], " " * min(widths[0] + 2, 8))


def _narrow(widths: list[int], growing: Sequence[int], room: int) -> None:
    """Take from the widest of the growing columns until all fit the room, or are at the least."""
    while sum(widths) > room:
        widest = max(growing, key=lambda column: widths[column])
        if widths[widest] <= LEAST_COLUMN:
            return
        widths[widest] -= 1


def page_line(shown: int, count: int, page: int, page_size: int) -> str:
    """What part of a list this is.

    >>> page_line(50, 120, 1, 50), page_line(0, 120, 9, 50)
    ('50 of 120, page 1 of 3', '0 of 120, page 9 of 3: past the end')
    """
    pages = page_count(count, page_size)
    past = ": past the end" if page > pages else ""
    return f"{shown} of {count}, page {page} of {pages}{past}"


def page_count(count: int, page_size: int) -> int:
    """Pages of a list, at least one."""
    return max(1, -(-count // page_size))


def tell_look_alikes(marks: Iterable[str]) -> None:
    """Warns of marks that people would take for one another."""
    # Late: most commands print without ever knowing an opening.
    from wholekit.domain.openings import look_alikes
    from wholekit.wording.openings import say_look_alikes

    for alike in look_alikes(marks):
        tell(say_look_alikes(alike))


def progress_of(total: int) -> Callable[[int], None] | None:
    """Tells on a terminal how far long work is; None where nobody watches or it is short."""
    if total < LONG_WORK or not sys.stderr.isatty():
        return None

    def show(done: int) -> None:
        sys.stderr.write(f"\r{done:,} of {total:,} openings …" if done < total else "\n")
        sys.stderr.flush()

    return show
