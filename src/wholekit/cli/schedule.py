"""`wholekit schedule`: how a schedule was read, and the clean one it comes to."""

from collections.abc import Iterator
from pathlib import Path

import typer

from wholekit.bootstrap import open_desk
from wholekit.cli import options
from wholekit.cli.console import print_json, say, tell, tell_look_alikes, wrapped
from wholekit.cli.desk import By, deed
from wholekit.cli.sheets import choices_of
from wholekit.domain.errors import CallError, InputError
from wholekit.domain.openings.sheet import SheetChoices
from wholekit.intake.openings import SheetWay, open_sheet, read_openings
from wholekit.intake.rulebook import load_rulebook
from wholekit.intake.schedule import COLUMNS
from wholekit.intake.sheet import ReadSheet, clean_rows
from wholekit.intake.sheet_choices import map_text
from wholekit.services.sheets import keep_choices, kept_choices
from wholekit.views.sheets import clean_schedule, csv_text, reading_answer
from wholekit.wording.problems import say_problem
from wholekit.wording.reading import say_reading


def register(app: typer.Typer) -> None:
    """Put the command on the application."""
    app.command("schedule")(schedule)


def schedule(
    file: str = typer.Argument(
        ..., help="Opening schedule, CSV or XLSX; - for standard input.", metavar="SCHEDULE"
    ),
    out: Path | None = typer.Option(
        None, "--out", help="Write the clean schedule here; no file may be there.", metavar="FILE"
    ),
    strict: options.Strict = False,
    sheet: options.SheetName = "",
    column: options.ColumnChoices = None,
    value: options.ValueChoices = None,
    map_file: options.MapFile = None,
    table: options.TableRows = None,
    leave_out: options.LeftOutRows = None,
    customer: str = typer.Option(
        "", "--customer", help="Use and keep the choices for this customer.", metavar="CODE"
    ),
    house: options.HouseFile = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """How a schedule was read: table, columns, values, what was set aside, what is asked.

    With --map and choices, the file is written and used the next time; with --customer they are
    kept in the store. Status 1 if anything is asked, 2 if it cannot be read.
    """
    rules = load_rulebook(house)
    if strict:
        openings = read_openings(file, (), rules, SheetWay(strict=True))
        tell_look_alikes(opening.mark for opening in openings)
    given = choices_of(rules, sheet, column, value)
    there = map_file if map_file is not None and (map_file.exists() or not given) else None
    desk = open_desk(house) if customer else None
    kept = SheetChoices() if desk is None else kept_choices(desk, deed(by), customer)
    choices = given.over(choices_of(rules, map_file=there, kept=kept))
    found = open_sheet(file, rules, choices, table or (), leave_out or ())
    problems = [say_problem(problem) for problem in found.problems]
    if json:
        print_json(reading_answer(found.reading, found.openings, problems))
    else:
        for line in reading_lines(found):
            say(line)
    if given and map_file is not None:
        _write_map(map_file, given.over(choices_of(rules, map_file=there)))
    if given and desk is not None:
        keep_choices(desk, deed(by), customer, given)
        tell(f"Kept for {customer}; `wholekit customer sheet {customer}` shows them.")
    only_asked = all(problem.code == "tables-asked" for problem in found.problems)
    if problems and (out is not None or not only_asked):
        raise InputError(list(found.problems), sheet=True)
    if out is not None:
        _write_clean(out, found)
    if found.reading.chosen:
        tell(f"Choices used: {_count(found.reading.chosen)}.")
    raise typer.Exit(1 if found.reading.asked else 0)


def reading_lines(found: ReadSheet) -> Iterator[str]:
    """The whole reading as text."""
    for head, lines in say_reading(found.reading):
        if lines:
            yield head
        for text in lines:
            yield from wrapped(text, "    ", "      ")


def _write_clean(out: Path, found: ReadSheet) -> None:
    if found.reading.clean:
        text = csv_text(clean_rows(found.data))
    else:
        text = clean_schedule(found.openings, found.texts, COLUMNS)
    _write_new(out, text)
    tell(f"{out}  clean schedule, {len(found.openings)} marks")


def _write_new(path: Path, text: str) -> None:
    """Writes a file that is not there yet. Raises CallError."""
    try:
        with path.open("x", encoding="utf-8", newline="") as file:
            file.write(text)
    except FileExistsError:
        raise CallError("file-there", path=path) from None
    except OSError as error:
        raise CallError("out-unwritable", folder=path, error=error.strerror or "?") from None


def _write_map(path: Path, choices: SheetChoices) -> None:
    """Writes the map anew, by way of a file beside it: what was there stays if that fails."""
    beside = path.with_name(f".{path.name}.new")
    try:
        beside.write_text(map_text(choices), encoding="utf-8")
        beside.replace(path)
    except OSError as error:
        raise CallError("out-unwritable", folder=path, error=error.strerror or "?") from None
    tell(f"{path}  {_count(choices)} kept")


def _count(choices: SheetChoices) -> str:
    number = bool(choices.sheet) + len(choices.columns) + sum(map(len, choices.values.values()))
    return f"{number} choice" if number == 1 else f"{number} choices"
