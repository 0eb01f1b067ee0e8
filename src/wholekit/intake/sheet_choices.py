"""What somebody chooses of a sheet, as options say it and as a map file keeps it."""

import json
from collections.abc import Mapping, Sequence
from pathlib import Path

from wholekit.domain.errors import InputError, Problem
from wholekit.domain.openings.sheet import ASIDE, SheetChoices
from wholekit.domain.quantities import QuantityError
from wholekit.intake.cells import LONGEST_CELL, Read, clean, quantity
from wholekit.intake.dialect import translate
from wholekit.intake.headings import key, meant, near
from wholekit.intake.schedule import COLUMNS
from wholekit.intake.tables import column_name
from wholekit.intake.toml_table import read_toml
from wholekit.intake.unclear import OR, UNCLEAR_FIELDS

MOST_CHOICES = 2_000


def parse_choices(
    sheet: str, columns: Sequence[str], values: Sequence[str], readers: Mapping[str, Read]
) -> SheetChoices:
    """Choices as options say them: `HEADING=column` and `column:CELL=clean`.

    A column is one of ours, or `aside`; before a cell it may be named by its heading too. An empty
    clean cell is unknown. Raises InputError with all that are wrong.
    """
    problems: list[Problem] = []
    found: dict[str, str] = {}
    for text in columns:
        heading, sign, column = text.rpartition("=")
        if not sign or not key(heading):
            problems.append(Problem("choice-of-column", {"given": text[:60]}, "--column"))
        else:
            found[" ".join(heading.split())] = column
    cells: dict[str, dict[str, str]] = {}
    for text in values:
        column, sign, rest = text.partition(":")
        cell, also, value = rest.rpartition("=")
        if not sign or not also or not cell.strip():
            problems.append(Problem("choice-of-value", {"given": text[:60]}, "--value"))
        else:
            cells.setdefault(_of_heading(column, found, readers), {})[" ".join(cell.split())] = (
                value.strip()
            )
    choices = SheetChoices(" ".join(sheet.split()), found, cells)
    checked = _checked(choices, "--column", "--value", readers, problems)
    if problems:
        raise InputError(problems)
    return checked


def read_map(path: Path, readers: Mapping[str, Read]) -> SheetChoices:
    """The choices of a map file. Raises InputError with all that is wrong with it."""
    problems: list[Problem] = []
    document = read_toml(path, path.name, problems)
    if document is None:
        raise InputError(problems)
    sheet = document.pop("sheet", "")
    columns = document.pop("columns", {})
    values = document.pop("values", {})
    kept: dict[str, dict[str, str]] = {}
    cells_sound = isinstance(values, dict) and all(map(_texts, values.values()))
    if not isinstance(sheet, str) or not _texts(columns) or not cells_sound:
        problems.append(Problem("map-wrong", {}, path.name))
    elif isinstance(values, dict):
        kept = {str(column): dict(cells) for column, cells in values.items()}
    problems += [Problem("map-key-unknown", {"key": name[:60]}, path.name) for name in document]
    if problems:
        raise InputError(problems)
    choices = SheetChoices(str(sheet), dict(columns), kept)  # type: ignore[call-overload]  # checked
    checked = _checked(choices, path.name, path.name, readers, problems)
    if problems:
        raise InputError(problems)
    return checked


def map_text(choices: SheetChoices) -> str:
    """Choices as a map file, TOML.

    >>> print(map_text(SheetChoices("Doors", {"Lbl": "fire_minutes"}, {"door": {"K": "wood"}})))
    sheet = "Doors"
    <BLANKLINE>
    [columns]
    "Lbl" = "fire_minutes"
    <BLANKLINE>
    [values.door]
    "K" = "wood"
    <BLANKLINE>
    """
    lines = [f"sheet = {_quoted(choices.sheet)}", ""] if choices.sheet else []
    if choices.columns:
        lines += ["[columns]", *_entries(choices.columns), ""]
    for column, cells in sorted(choices.values.items()):
        lines += [f"[values.{column}]", *_entries(cells), ""]
    return "\n".join(lines)


def _of_heading(text: str, chosen: Mapping[str, str], readers: Mapping[str, Read]) -> str:
    """The column of ours that a text names, as ours or as a heading; else the text itself."""
    name = column_name(text)
    if name in readers or name == "quantity":
        return name
    given = {key(heading): column_name(column) for heading, column in chosen.items()}
    known = meant(text) or near(text)
    columns = known.heading.columns if known is not None else ()
    return given.get(key(text)) or next(
        (each for each in columns if each in readers or each == "quantity"), name
    )


def _checked(
    choices: SheetChoices,
    of_column: str,
    of_value: str,
    readers: Mapping[str, Read],
    problems: list[Problem],
) -> SheetChoices:
    """The choices with our columns in their plain form; what is wrong is put down."""
    right = ", ".join((*COLUMNS, ASIDE))
    columns: dict[str, str] = {}
    for heading, given in choices.columns.items():
        column = ASIDE if given.strip() in ("", "-") else column_name(given)
        if column not in COLUMNS and column != ASIDE:
            fields = {"given": given[:60], "right": right}
            problems.append(Problem("choice-column-unknown", fields, of_column, None, heading[:60]))
        columns[heading] = column
    known = {**readers, "quantity": quantity}
    for column, cells in choices.values.items():
        if column not in known:
            fields = {"given": column[:60], "right": ", ".join(known)}
            problems.append(Problem("choice-column-unknown", fields, of_value))
            continue
        for text in cells.values():
            _check_value(column, text, known[column], of_value, problems)
    if sum(map(len, choices.values.values())) + len(columns) > MOST_CHOICES:
        problems.append(Problem("choices-over-limit", {"most": MOST_CHOICES}, of_column))
    return SheetChoices(choices.sheet, columns, choices.values)


def _check_value(column: str, text: str, read: Read, where: str, problems: list[Problem]) -> None:
    """Puts down a clean cell that the strict reader does not take; empty is unknown."""
    parts = text.split(OR) if column in UNCLEAR_FIELDS else [text]
    try:
        for part in parts:
            cell = clean(part, LONGEST_CELL)
            told = translate(column, cell) if cell else None
            if cell and (told is None or told.asked):
                read(cell)
    except QuantityError as error:
        fields = {"given": error.given, **error.fields}
        problems.append(Problem(error.code, fields, where, None, column))


def _texts(value: object) -> bool:
    return isinstance(value, dict) and all(isinstance(text, str) for text in value.values())


def _entries(texts: Mapping[str, str]) -> list[str]:
    return [f"{_quoted(name)} = {_quoted(text)}" for name, text in texts.items()]


def _quoted(text: str) -> str:
    # A basic string of TOML has JSON's escapes; but DEL, which JSON lets pass, it wants escaped.
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
