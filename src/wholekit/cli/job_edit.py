"""`wholekit job edit|try`: openings changed, or a change tried; several marks in one call."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say, wrapped
from wholekit.cli.desk import By, IfVersion, InAlternate, JobRef, deed, desk
from wholekit.cli.job_entries import print_entries, tell_passed_over
from wholekit.cli.quote_compare import comparison_text
from wholekit.domain.catalog.nearest_words import nearest_first
from wholekit.domain.errors import CallError
from wholekit.domain.openings import BUT, Opening, marks_named
from wholekit.intake.changes import changed
from wholekit.intake.openings import read_opening_changes
from wholekit.services.desk import Deed, Desk
from wholekit.services.job_openings import edit_openings
from wholekit.services.job_trials import Trial, TriedStop, try_openings
from wholekit.services.jobs import job_contents
from wholekit.views.comparisons import with_amounts
from wholekit.wording.comparisons import say_comparison
from wholekit.wording.words import listed

MarksAndChanges = typer.Argument(
    ...,
    help="Marks or ranges of marks, then column=value or words of the shorthand; an empty value: "
    "unknown. 101 C1-C5 finish=690 exterior hand=",
    metavar="MARK... CHANGE...",
)


def register(group: typer.Typer) -> None:
    """Put the commands on the group of jobs."""
    group.command("edit")(edit)
    group.command("try")(try_)


def edit(
    job: JobRef,
    given: list[str] = MarksAndChanges,
    alternate: InAlternate = "",
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Change openings, all of them or none: 101-104 finish=690 exterior."""
    place, doer = desk(), deed(by)
    marks, change = _marks_and_change(place, doer, job, given, alternate)
    if if_version is not None and len(marks) > 1:
        raise CallError("version-of-one-mark", known=marks)
    done = edit_openings(place, doer, job, marks, change, alternate, if_version)
    if json:
        print_entries([entry for entry, _ in done], json, "")
        return
    for entry, was_changed in done:
        print_entries([entry], json, "changed" if was_changed else "as it was")


def try_(
    job: JobRef,
    given: list[str] = MarksAndChanges,
    alternate: InAlternate = "",
    by: By = "",
    house: options.HouseFile = None,
    json: options.Json = False,
) -> None:
    """What a change of openings would do to lines, price and stops; nothing is written.

    Status 1 if one of them would have an open stop.
    """
    place, doer = desk(house), deed(by)
    marks, change = _marks_and_change(place, doer, job, given, alternate)
    trial = try_openings(place, doer, job, marks, change, alternate)
    if json:
        print_json(
            {
                "job": trial.job,
                "marks": marks,
                "comparison": with_amounts(trial.comparison),
                "stops_brought": with_amounts(trial.brought),
                "stops_gone": with_amounts(trial.gone),
                "written": False,
            }
        )
    else:
        for line in trial_text(trial, marks):
            say(line)
    raise typer.Exit(1 if trial.stops else 0)


def trial_text(trial: Trial, marks: Sequence[str]) -> Iterator[str]:
    """A trial as text: money, lines, stops that come and go."""
    said = say_comparison(trial.comparison)
    title = f"{trial.job}, {listed(marks)}: as it would be, held against how it stands"
    closing = "Nothing was written; wholekit job edit with the same words does it."
    if trial.comparison.same:
        yield f"{trial.job}, {listed(marks)}: no line and no price would change."
    else:
        told = replace(said, title=title, terms=(), basis=(), closing="")
        yield from comparison_text(told, trial.comparison.currency)
    if trial.brought or trial.gone:
        yield ""
    for stop in trial.brought:
        yield from wrapped(f"{_where(stop)}: {stop.text} [{stop.code}]", "STOP  ")
    for stop in trial.gone:
        yield from wrapped(f"{_where(stop)}: {stop.text} [{stop.code}]", "gone  ")
    yield ""
    yield closing


def _where(stop: TriedStop) -> str:
    return f"{stop.mark} [{stop.alternate}]" if stop.alternate else stop.mark


def _marks_and_change(
    place: Desk, doer: Deed, job: str, given: Sequence[str], alternate: str
) -> tuple[list[str], Callable[[Opening], Opening]]:
    """The marks that the first words mean, and what the others change. Raises CallError,
    InputError."""
    contents = job_contents(place, doer, job)
    known = [entry.mark for entry in contents.openings if entry.alternate == alternate]
    words = list(given)
    names: list[str] = []
    while words and (words[0].lower() == BUT or not marks_named(words[:1], known)[1]):
        names.append(words.pop(0))
    marks = marks_named(names, known)[0]
    tell_passed_over(names, known)
    if not marks:
        raise CallError(
            "job-mark-unknown",
            mark=given[0],
            job=contents.job.label,
            known=nearest_first(given[0], known) or "none",
        )
    if not words:
        right = "column=value, such as finish=690, or words such as exterior"
        raise CallError("one-change-needed", right=right)
    changes = read_opening_changes(words, place.rules)
    return marks, lambda opening: changed(opening, changes)
