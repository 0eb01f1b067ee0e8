"""`wholekit job history`: what was changed on a job."""

from collections.abc import Iterator, Sequence

import typer

from wholekit.cli import options
from wholekit.cli.console import moment, print_json, say, wrapped
from wholekit.cli.desk import By, JobRef, deed, desk
from wholekit.services.job_history import job_events
from wholekit.views.history import EventAnswer, event_answers


def register(group: typer.Typer) -> None:
    """Put the command on the group of jobs."""
    group.command("history")(history)


def history(job: JobRef, by: By = "", json: options.Json = False) -> None:
    """All that was changed on a job: when, by whom, from what to what, and why."""
    print_events(event_answers(job_events(desk(), deed(by), job)), json)


def print_events(events: Sequence[EventAnswer], json: bool) -> None:
    """Entries of a history as text or data."""
    if json:
        print_json(events)
        return
    for event in events:
        for line in _text(event):
            say(line)


def _text(event: EventAnswer) -> Iterator[str]:
    when = moment(event.at)
    about = f": {event.about}" if event.about else ""
    yield from wrapped(f"{event.action}{about}", f"{when}  {event.who}  ", "    ")
    for change in event.changes:
        yield from wrapped(change, "    ", "      ")
    if event.reason:
        yield from wrapped(f"because: {event.reason}", "    ", "      ")
