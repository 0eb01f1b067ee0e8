"""Schedules as they were sent: the choices of the options, and the reading told on stderr."""

from collections.abc import Sequence
from pathlib import Path

from wholekit.cli.console import tell, wrapped
from wholekit.domain.openings.sheet import SheetChoices, SheetReading
from wholekit.domain.rules import RuleBook
from wholekit.intake.openings import SheetWay, readers_of
from wholekit.intake.sheet_choices import parse_choices, read_map
from wholekit.wording.reading import say_shortly


def sheet_way(
    rules: RuleBook,
    strict: bool = False,
    sheet: str = "",
    column: Sequence[str] | None = None,
    value: Sequence[str] | None = None,
    map_file: Path | None = None,
    kept: SheetChoices | None = None,
    tables: Sequence[str] | None = None,
    left_out: Sequence[str] | None = None,
) -> SheetWay:
    """How the options say that a schedule is read; what they say goes before the map file, and
    that before what was kept. Raises InputError."""
    choices = choices_of(rules, sheet, column, value, map_file, kept)
    return SheetWay(strict, choices, tell_reading, tuple(tables or ()), tuple(left_out or ()))


def choices_of(
    rules: RuleBook,
    sheet: str = "",
    column: Sequence[str] | None = None,
    value: Sequence[str] | None = None,
    map_file: Path | None = None,
    kept: SheetChoices | None = None,
) -> SheetChoices:
    """The choices of options, map file and store together. Raises InputError."""
    choices = SheetChoices() if kept is None else kept
    if map_file is not None or sheet or column or value:
        readers = readers_of(rules)
        if map_file is not None:
            choices = read_map(map_file, readers).over(choices)
        choices = parse_choices(sheet, column or (), value or (), readers).over(choices)
    return choices


def tell_reading(reading: SheetReading) -> None:
    """The reading in a few lines on stderr."""
    for text in say_shortly(reading):
        for line in wrapped(text, "", "  "):
            tell(line)
