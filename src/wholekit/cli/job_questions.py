"""`wholekit job questions|answer`: what is asked of a job, and answers put into it."""

from collections.abc import Sequence

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say, tell
from wholekit.cli.desk import By, InAlternate, JobRef, deed, desk
from wholekit.cli.job_entries import print_entries, tell_passed_over
from wholekit.cli.questions_text import asking_text
from wholekit.domain.errors import CallError
from wholekit.domain.rules import RuleBook
from wholekit.intake.changes import OWN, changed
from wholekit.intake.openings import read_opening_changes
from wholekit.services.jobs import job_contents
from wholekit.services.questions import GivenAnswer, answer_openings, job_questions
from wholekit.views.questions import asking_answer

# These are no answers to a question.
_NO_ANSWERS = (*OWN, "size", "width", "height", "leaves")


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
        "any, all where it is open. Then another answer, if there is one.",
        metavar="ANSWER... [MARK...]",
    ),
    alternate: InAlternate = "",
    by: By = "",
    json: options.Json = False,
) -> None:
    """Put answers into openings, all or none: egress=yes 101-117 but 104 door=wood 108."""
    place = desk()
    answers = [_answer(texts, marks, place.rules) for texts, marks in _groups(given)]
    if any(each.names for each in answers):
        entries = job_contents(place, deed(by), job).openings
        known = [each.mark for each in entries if each.alternate == alternate]
        for each in answers:
            tell_passed_over(each.names, known)
    done = answer_openings(place, deed(by), job, answers, alternate)
    fields = list(dict.fromkeys(field for each in answers for field in each.fields))
    print_entries(done.openings, json, "answered", fields)
    for mark, stated in done.stated:
        tell(f"{mark}: left as it is; it states {stated}")


def _groups(given: Sequence[str]) -> list[tuple[list[str], list[str]]]:
    """Answers with the openings named behind them; an answer behind openings begins anew."""
    found: list[tuple[list[str], list[str]]] = []
    for text in given:
        if not found or ("=" in text and found[-1][1]):
            found.append(([], []))
        found[-1][0 if "=" in text else 1].append(text)
    return found


def _answer(texts: Sequence[str], marks: Sequence[str], rules: RuleBook) -> GivenAnswer:
    changes = read_opening_changes(list(texts), rules)
    wrong = [name for name, value in changes.items() if name in _NO_ANSWERS or value is None]
    if not changes or wrong:
        raise CallError("answer-needed-in-line", given=" ".join(wrong or [*texts, *marks]))
    return GivenAnswer(changes.keys(), lambda opening: changed(opening, changes), marks)
