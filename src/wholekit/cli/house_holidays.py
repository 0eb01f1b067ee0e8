"""`wholekit house holiday`: days on which the house is closed, and no lead day counts."""

from collections.abc import Sequence
from datetime import date

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say, table, tell
from wholekit.cli.desk import By, IfVersion, deed, desk, read_day
from wholekit.domain.errors import CallError
from wholekit.domain.working_days import Holiday
from wholekit.services import holidays
from wholekit.services.availability import calendar_of
from wholekit.views.ready import holiday_answers

Day = typer.Argument(..., help="Year-month-day.", metavar="DATE")


def register(house: typer.Typer) -> None:
    """Put the commands on the group of the house."""
    group = typer.Typer(
        help="Days on which the house is closed, and no lead day counts.",
        no_args_is_help=True,
        rich_markup_mode=None,
    )
    group.command("add")(add)
    group.command("list")(list_all)
    group.command("remove")(remove)
    house.add_typer(group, name="holiday")


def add(
    day: str = Day,
    name: str = typer.Argument(..., help="What it is called."),
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Enter a holiday; from then on it is no working day."""
    place, closed = desk(), Holiday(_day(day), name)
    found = holidays.add_holiday(place, deed(by), closed, if_version)
    if closed.day.weekday() not in calendar_of(place.rules).week:
        tell(f"{closed.day} is a {closed.day:%A}, no working day anyway.")
    _print(found, json)


def list_all(by: By = "", json: options.Json = False) -> None:
    """The holidays in the store, by day."""
    _print(holidays.list_holidays(desk(), deed(by)), json)


def remove(
    day: str = Day,
    name: str = typer.Argument("", help="Its name, to be sure that it is the one."),
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Take a holiday out: the house works on that day."""
    _print(holidays.remove_holiday(desk(), deed(by), Holiday(_day(day), name), if_version), json)


def _day(text: str) -> date:
    day = read_day(text)
    if day is None:
        raise CallError("date-unreadable", given=text or "''")
    return day


def _print(found: Sequence[Holiday], json: bool) -> None:
    answers = holiday_answers(found)
    if json:
        print_json(answers)
        return
    if not answers:
        tell("no holidays are entered")
        return
    rows = ((answer.day, answer.weekday, answer.name) for answer in answers)
    for line in table(rows, ("day", "", "holiday"), frozenset(), 2):
        say(line)
