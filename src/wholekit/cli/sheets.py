"""Schedules as they were sent: the choices of the options, and the reading told on stderr."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from wholekit.cli.console import tell, wrapped
from wholekit.domain.openings import Opening, note_findings
from wholekit.domain.openings.sheet import SheetChoices, SheetReading
from wholekit.domain.rules import RuleBook
from wholekit.intake.openings import SheetWay, readers_of
from wholekit.intake.sheet_choices import parse_choices, read_map
from wholekit.intake.unclear import UNCLEAR_FIELDS
from wholekit.wording.findings import say_finding
from wholekit.wording.reading import say_shortly, say_unclear


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
    in_job: bool = False,
) -> SheetWay:
    """How the options say that a schedule is read; what they say goes before the map file, and
    that before what was kept. in_job: what a cell means is answered in the job. Raises
    InputError."""
    choices = choices_of(rules, sheet, column, value, map_file, kept)
    tell_it = tell_reading_in_job if in_job else tell_reading
    return SheetWay(strict, choices, tell_it, tuple(tables or ()), tuple(left_out or ()))


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
    _tell(say_shortly(reading))


def tell_reading_in_job(reading: SheetReading) -> None:
    """The reading without what the job itself asks of its openings."""
    open_still = [
        each
        for each in reading.asked
        if each.what not in ("value", "unread") or each.column not in UNCLEAR_FIELDS
    ]
    _tell(say_shortly(replace(reading, asked=tuple(open_still))))


def tell_to_answer(job: str, openings: Sequence[Opening], rules: RuleBook) -> None:
    """What the sheet leaves open of a job's openings, each with the call that answers it, and what
    their remarks say that their columns do not."""
    for text in (*say_unclear(job, openings), *_of_notes(openings, rules)):
        for line in wrapped(text, "", "  "):
            tell(line)


def _of_notes(openings: Sequence[Opening], rules: RuleBook) -> Iterator[str]:
    marks: dict[str, list[str]] = {}
    for opening in openings:
        for finding in note_findings(opening, rules):
            marks.setdefault(say_finding(finding, rules).text, []).append(opening.mark)
    for text, named in marks.items():
        yield f"REMARK {', '.join(named)}: {text}"


def _tell(texts: Iterable[str]) -> None:
    for text in texts:
        for line in wrapped(text, "", "  "):
            tell(line)
