"""How a sheet was read, in sentences for the counter."""

from collections.abc import Iterable, Iterator, Mapping

from wholekit.domain.openings import Opening, WhyUnasked
from wholekit.domain.openings.sheet import AskedOfSheet, ReadColumn, SheetReading, SkippedRows
from wholekit.wording.speech import quoted
from wholekit.wording.words import listed, plural

HOW = {
    "heading": "by its heading",
    "near": "by a heading spelt nearly so",
    "cells": "by what its cells hold",
    "chosen": "as chosen",
    "asked": "asked",
}
# Why a column was set aside, beside those that are known to be something else.
ASIDE_BECAUSE = {
    "same": "says the same as another column",
    "claimed": "another column is better known as the same",
    "aside": "nothing to a closer",
}
SKIPPED = {
    "above": "above the table",
    "header-again": "the header again",
    "total": "a total",
    "text": "a title or remark",
    "rule": "a ruled line",
    "left-out": "left out as told",
    "by-others": "a closer by others, says the sheet",
    "no-closer": "no closer wanted, says the sheet",
    "not-in-contract": "not in contract, says the sheet",
    "not-used": "not used, says the sheet",
    "no-mark-no-size": "neither mark nor size",
    "mark-alone": "nothing beside it, so taken for a label of rows and for no opening",
    "other-table": "another table",
    "other-sheet": "another sheet",
}
MARKS = {
    "published": "published",
    "practice": "practice",
    "ours": "a choice of this program",
    "chosen": "as chosen",
}
NO_LABEL = "none"
_SHORT = 6
_MANY_UNREAD = 3
# Skipped rows that somebody may have meant to be read.
_NOT_PLAIN = ("other-", "mark-alone", *(why.value for why in WhyUnasked))


def say_reading(reading: SheetReading) -> Iterator[tuple[str, list[str]]]:
    """The reading by headings, each with its lines: all of it."""
    yield "table", [table_text(reading)]
    columns = [column for column in reading.columns if column.column]
    yield "columns", list(dict.fromkeys(map(column_text, columns)))
    aside = [aside_text(column) for column in reading.columns if not column.column]
    yield "set aside", [*dict.fromkeys(aside), *beyond_texts(reading)]
    yield (
        "values",
        [
            f"{value.column}: {quoted(value.written)} -> {read_text(value.read)} "
            f"({plural(value.count, 'row')}; {MARKS[value.mark]})"
            for value in reading.values
        ],
    )
    yield "skipped", [skipped_text(entry) for entry in reading.skipped]
    yield "filled down", [f"the merged cells {cells}" for cells in reading.merged]
    yield (
        "repeated marks",
        [
            f"{repeat.mark} in rows {listed(map(str, repeat.rows))}: "
            f"{listed(dict.fromkeys(repeat.marks))}"
            for repeat in reading.repeated
        ],
    )
    yield "asked", asked_texts(reading)


def say_shortly(reading: SheetReading) -> Iterator[str]:
    """The reading in a few lines: what was found, what was set aside, what is asked."""
    told = [
        f"{column.heading} = {column.column}"
        for column in reading.columns
        if column.column and column.how in ("near", "cells", "chosen")
    ]
    yield (
        f"Read as sent: {table_text(reading)}; {plural(len(reading.values), 'kind')} of cell "
        f"translated, {plural(_skipped_rows(reading), 'row')} skipped. `wholekit schedule` shows "
        "all of it."
    )
    if told:
        yield f"Columns told by more than their heading: {_few(told)}."
    aside = [column.heading for column in reading.columns if not column.column and column.heading]
    if aside:
        yield f"Set aside: {_few(aside)}."
    for text in beyond_texts(reading):
        yield f"Not read: {text}."
    others = [entry for entry in reading.skipped if entry.why.startswith(_NOT_PLAIN)]
    for entry in others[:_SHORT]:
        yield f"Not read: {skipped_text(entry)}."
    # Above the table stand titles; below and between may stand what holds for every door.
    said = [entry for entry in reading.skipped if entry.why == "text"]
    if said:
        yield f"Said beside the rows, and not read: {_few([entry.text for entry in said])}."
    asked = asked_texts(reading)
    for text in asked[:_SHORT]:
        yield f"ASKED  {text}"
    if len(asked) > _SHORT:
        yield f"ASKED  {len(asked) - _SHORT} more; `wholekit schedule` lists them"


def say_unclear(job: str, openings: Iterable[Opening]) -> Iterator[str]:
    """What was written but not plainly, or said nothing known, with the call that answers it."""
    marks: dict[tuple[str, str, tuple[str, ...]], list[str]] = {}
    for opening in openings:
        for unclear in opening.type.unclear:
            key = unclear.field, unclear.written, unclear.candidates
            marks.setdefault(key, []).append(opening.mark)
    for (field, written, candidates), named in marks.items():
        candidates = tuple(
            NO_LABEL if (field, text) == ("fire_minutes", "0") else text for text in candidates
        )
        yield (
            f"ASKED  {', '.join(named[:_SHORT])}{', …' if len(named) > _SHORT else ''}: what is "
            f"{quoted(written)} under {field}? {listed(candidates, 'or')}. Held until answered: "
            f"wholekit job answer {job} {field}=… {' '.join(named)}"
        )


def table_text(reading: SheetReading) -> str:
    """`sheet Doors, header in row 4, 12 rows from row 5 to 19`."""
    if reading.clean:
        return f"{reading.where}: clean as it stands, {plural(reading.rows, 'opening')}"
    where = f"{reading.where}, sheet {reading.sheet}" if reading.sheet else reading.where
    form = f" ({reading.form})" if reading.form else ""
    heads = "header in row " if len(reading.header_rows) == 1 else "header in rows "
    if reading.tables > 1:
        heads = f"{reading.tables} tables, headers in rows "
    header = heads + listed(map(str, reading.header_rows))
    if not reading.rows:
        return f"{where}{form}, {header}, no rows"
    span = f"rows {reading.first_row} to {reading.last_row}"
    return f"{where}{form}, {header}, {plural(reading.rows, 'opening row')} in {span}"


def column_text(column: ReadColumn) -> str:
    """`Door No. -> mark (by its heading)`."""
    unit = f", in {column.unit}" if column.unit else ""
    return f"{column.heading or '(no heading)'} -> {column.column} ({HOW[column.how]}{unit})"


def aside_text(column: ReadColumn) -> str:
    """`HW Set: hardware set`."""
    heading = column.heading or f"column {column.number}, without a heading"
    if column.how == "chosen":
        return f"{heading}: as chosen"
    if column.how == "unknown":
        return f"{heading}: means nothing here"
    return f"{heading}: {ASIDE_BECAUSE.get(column.means, column.means)}"


def beyond_texts(reading: SheetReading) -> list[str]:
    """`3 columns behind the 100th`, where there are any."""
    count = reading.columns_beyond
    return [f"{plural(count, 'column')} behind the 100th"] if count else []


def read_text(read: Mapping[str, str]) -> str:
    """`size 3'-0\\" x 7'-0\\", leaves 2`; unknown for nothing."""
    return ", ".join(f"{name} {text or 'unknown'}" for name, text in read.items()) or "unknown"


def skipped_text(entry: SkippedRows) -> str:
    """`rows 1 to 3: above the table (TARROWBY CLINIC)`."""
    rows = (
        f"row {entry.first}"
        if entry.first == entry.last
        else (f"rows {entry.first} to {entry.last}")
    )
    where = f"sheet {entry.sheet}, {rows}" if entry.sheet else rows
    text = f" ({entry.text})" if entry.text else ""
    return f"{where}: {SKIPPED[entry.why]}{text}"


def asked_texts(reading: SheetReading) -> list[str]:
    """Each question in its line; many cells of one column that were left unknown in one."""
    unknown: dict[str, list[AskedOfSheet]] = {}
    for question in reading.asked:
        if question.what == "unread" and not question.candidates:
            unknown.setdefault(question.column, []).append(question)
    many = {name: found for name, found in unknown.items() if len(found) > _MANY_UNREAD}
    texts = [
        asked_text(question)
        for question in reading.asked
        if question not in many.get(question.column, ())
    ]
    for name, found in many.items():
        rows = plural(sum(question.count for question in found), "row")
        cells = _few([quoted(question.written) for question in found])
        texts.append(
            f"{name}: {len(found)} kinds of cell in {rows} say nothing known here ({cells}): left "
            f"unknown, with the cell among the remarks; --value '{name}:CELL=…'"
        )
    return texts


def asked_text(question: AskedOfSheet) -> str:
    """A question with its candidates, and how it is answered."""
    candidates = listed(question.candidates, "or")
    rows = f" ({plural(question.count, 'row')}, as row {question.rows[0]})" if question.rows else ""
    cell = f"{question.column} {quoted(question.written)}{rows}"
    if question.what == "column":
        guess = f"perhaps {candidates}" if candidates else "no heading is near it"
        return f"Which column is {question.column}? {guess}: --column 'HEADING={question.column}'"
    if question.what == "columns":
        return (
            f"{candidates} both seem to be {question.column}: set all but one aside, "
            "--column 'HEADING=aside'"
        )
    if question.what == "mixed":
        return (
            f"{quoted(question.written)} is not read as {question.column}, but "
            f"{plural(question.count, 'cell')} of it may say one "
            f"({listed(question.candidates)}): --column '{question.written}={question.column}', or "
            f"tell the openings it is true of: job answer JOB {question.column}=… MARKS"
        )
    if question.what == "hinted":
        return (
            f"{plural(question.count, 'cell')} of {quoted(question.written)} may say the "
            f"{question.column} ({listed(question.candidates)}); it is not read from there. Tell "
            f"the openings it is true of: job answer JOB {question.column}=… MARKS"
        )
    if question.what == "repeat":
        total, single = question.candidates
        return (
            f"mark {question.written} stands in rows {listed(map(str, question.rows))} with the "
            f"same facts: {total} openings were counted; or are they {single}?"
        )
    if question.what == "tables":
        heads = [
            f"row {row} ({text})"
            for row, text in zip(question.rows, question.candidates, strict=True)
        ]
        more = [f"{len(heads) - _SHORT} more"] if len(heads) > _SHORT else []
        return (
            f"Which table holds the openings? Headers stand in {listed([*heads[:_SHORT], *more])}: "
            f"--table {question.rows[0]}, and again for another, or --table all"
        )
    if question.what == "unread":
        told = f"--value '{question.column}:{question.written}=…'"
        if question.candidates:
            return (
                f"{cell} says nothing known here: held until "
                f"somebody tells which of {candidates} it is ({told}, or job answer)"
            )
        return (
            f"{cell} says nothing known here: left unknown, "
            f"with the cell among the remarks; {told}, or job edit JOB MARK {question.column}=…"
        )
    if question.what == "total":
        return (
            f"the total in row {question.rows[0]} is {question.written}, but the rows come to "
            f"{candidates}: is one missing, or counted twice?"
        )
    if question.what == "merged-quantity":
        return (
            f"the merged count {question.written}: was taken for each of its rows, or is it for "
            "all of them?"
        )
    return f"{cell} may be {candidates}: --value '{question.column}:{question.written}=…'"


def _skipped_rows(reading: SheetReading) -> int:
    return sum(
        entry.last - entry.first + 1 for entry in reading.skipped if entry.why != "other-sheet"
    )


def _few(texts: list[str]) -> str:
    shown = texts[:_SHORT]
    return ", ".join([*shown, "…"] if len(texts) > _SHORT else shown)
