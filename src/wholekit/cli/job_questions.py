"""`wholekit job questions|answer`: what is asked of a job, and answers put into it."""

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say, tell
from wholekit.cli.desk import By, InAlternate, JobRef, deed, desk
from wholekit.cli.job_entries import print_entries, tell_passed_over
from wholekit.cli.questions_text import asking_text
from wholekit.domain.errors import CallError
from wholekit.intake.changes import changed
from wholekit.intake.openings import read_opening_changes
from wholekit.services.jobs import job_contents
from wholekit.services.questions import answer_openings, job_questions
from wholekit.views.questions import asking_answer

# These are no answers to a question.
_NO_ANSWERS = ("mark", "quantity", "note", "size", "width", "height", "leaves")


def register(group: typer.Typer) -> None:
    """Put the commands on the group of jobs."""
    group.command("questions")(questions)
    group.command("answer")(answer)


def questions(job: JobRef, by: By = "", json: options.Json = False) -> None:
    """What only the customer can say and would change a kit, the most telling first."""
    asking = job_questions(desk(), deed(by), job)
    if json:
        print_json(asking_answer(asking))
        return
    for line in asking_text(asking):
        say(line)


def answer(
    job: JobRef,
    given: list[str] = typer.Argument(
        ...,
        help="column=value as in a schedule, then the openings: 101, 101-117, 'but' 104; without "
        "any, all where it is open.",
        metavar="ANSWER... [MARK...]",
    ),
    alternate: InAlternate = "",
    by: By = "",
    json: options.Json = False,
) -> None:
    """Put an answer into openings, all of them or none: egress=yes 101-117 but 104."""
    place = desk()
    answers = [text for text in given if "=" in text]
    changes = read_opening_changes(answers, place.rules)
    wrong = [name for name, value in changes.items() if name in _NO_ANSWERS or value is None]
    if not changes or wrong:
        raise CallError("answer-needed-in-line", given=" ".join(wrong or given))
    marks = [text for text in given if "=" not in text]
    if marks:
        entries = job_contents(place, deed(by), job).openings
        tell_passed_over(marks, [each.mark for each in entries if each.alternate == alternate])
    done = answer_openings(
        place,
        deed(by),
        job,
        changes.keys(),
        lambda opening: changed(opening, changes),
        marks,
        alternate,
    )
    print_entries(done.openings, json, "answered")
    for mark, stated in done.stated:
        tell(f"{mark}: left as it is; it states {stated}")
