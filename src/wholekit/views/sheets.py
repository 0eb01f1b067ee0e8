"""The reading of a schedule as data, and the clean schedule it comes to."""

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from wholekit.domain.openings import Opening, OpeningType
from wholekit.domain.openings.sheet import KeptChoices, SheetReading


@dataclass(frozen=True, slots=True)
class TableAnswer:
    """Where the table stands; openings: marks [count]; columns_beyond: not looked at [count].

    tables: those read together [count]; header_rows are then of all of them.
    """

    file: str
    sheet: str
    form: str
    header_rows: tuple[int, ...]
    first_row: int
    last_row: int
    rows: int
    openings: int
    clean: bool
    columns_beyond: int
    tables: int


@dataclass(frozen=True, slots=True)
class ReadingAnswer:
    """A reading; problems: sentences, why its openings cannot be used yet."""

    table: TableAnswer
    columns: tuple[dict[str, Any], ...]
    set_aside: tuple[dict[str, Any], ...]
    values: tuple[dict[str, Any], ...]
    skipped: tuple[dict[str, Any], ...]
    filled_down: tuple[str, ...]
    repeated: tuple[dict[str, Any], ...]
    asked: tuple[dict[str, Any], ...]
    chosen: dict[str, Any]
    problems: tuple[str, ...]


def reading_answer(
    reading: SheetReading, openings: Sequence[Opening], problems: Sequence[str]
) -> ReadingAnswer:
    """The reading of a sheet as data."""
    table = TableAnswer(
        reading.where, reading.sheet, reading.form, reading.header_rows, reading.first_row,
        reading.last_row, reading.rows, len(openings), reading.clean,
        reading.columns_beyond, reading.tables,
    )  # fmt: skip
    columns = [(column, asdict(column)) for column in reading.columns]
    return ReadingAnswer(
        table,
        tuple(data for column, data in columns if column.column),
        tuple(data for column, data in columns if not column.column),
        tuple(map(asdict, reading.values)),
        tuple(map(asdict, reading.skipped)),
        reading.merged,
        tuple(map(asdict, reading.repeated)),
        tuple(map(asdict, reading.asked)),
        asdict(reading.chosen),
        tuple(problems),
    )


@dataclass(frozen=True, slots=True)
class KeptAnswer:
    """What is kept for a customer's sheets; at: ISO moment; version 0 where nothing is."""

    customer: str
    sheet: str
    columns: dict[str, str]
    values: dict[str, dict[str, str]]
    at: str
    by: str
    version: int


def kept_answer(customer: str, kept: KeptChoices | None) -> KeptAnswer:
    """What is kept for a customer's sheets, as data."""
    if kept is None:
        return KeptAnswer(customer, "", {}, {}, "", "", 0)
    return KeptAnswer(
        customer,
        kept.choices.sheet,
        dict(kept.choices.columns),
        {column: dict(cells) for column, cells in kept.choices.values.items()},
        kept.at.isoformat(),
        kept.by,
        kept.version,
    )


def clean_schedule(
    openings: Sequence[Opening],
    texts: Mapping[OpeningType, Mapping[str, str]],
    columns: Sequence[str],
) -> str:
    """The openings as a clean CSV with those of the columns that any of them uses.

    texts: the clean cells of each kind; columns: in their order.
    """
    rows = [
        {
            **texts[opening.type],
            "mark": opening.mark,
            "quantity": str(opening.quantity),
            "room": opening.room,
            "note": opening.note,
        }
        for opening in openings
    ]
    used = [name for name in columns if any(row.get(name) for row in rows)]
    return csv_text([used, *([row.get(name, "") for name in used] for row in rows)])


def csv_text(rows: Sequence[Sequence[str]]) -> str:
    """Rows as CSV."""
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(rows)
    return out.getvalue()
