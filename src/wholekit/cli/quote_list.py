"""`wholekit quote list`: every job's quote as it stands, or the revisions of one."""

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say, table
from wholekit.cli.desk import By, PageNumber, PageSize, deed, desk, now
from wholekit.cli.job_list import print_jobs
from wholekit.services import quote_reading
from wholekit.services.ports import JobFilter
from wholekit.views.reviews import RevisionAnswer, revision_answer
from wholekit.wording.job_sentences import LOST
from wholekit.wording.words import listed


def register(group: typer.Typer) -> None:
    """Put the command on the group of quotes."""
    group.command("list")(list_revisions)


def list_revisions(
    reference: str | None = typer.Argument(
        None, help="A job (J-00012) or quote (Q-00012): its revisions. None: all quotes by page."
    ),
    page: PageNumber = 1,
    page_size: PageSize = 50,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Quotes, the latest first; of a job every revision, and what became of it."""
    if reference is None:
        print_jobs(JobFilter(quoted=True), page, page_size, by, json)
        return
    day = now().date()
    answers = [
        revision_answer(revision, revision.state_on(day))
        for revision in quote_reading.quote_revisions(desk(), deed(by), reference)
    ]
    if json:
        print_json(answers)
        return
    rows = (
        (
            answer.quote,
            answer.state,
            (answer.issued or "")[:10],
            answer.issued_by,
            answer.valid_until or "",
            "; ".join(part for part in (_fate(answer), answer.note) if part),
        )
        for answer in answers
    )
    heads = ("quote", "state", "issued", "by", "valid until", "remark")
    for line in table(rows, heads, frozenset(), 5):
        say(line)


def _fate(answer: RevisionAnswer) -> str:
    """Why a revision was lost; or with which alternates it was accepted, when, by which order."""
    parts = (
        f"with {listed(answer.accepted)}" if answer.accepted else "",
        f"accepted {answer.accepted_on}" if answer.accepted_on else "",
        f"order {answer.order_number}" if answer.order_number else "",
        LOST.get(answer.lost_reason, ""),
    )
    return ", ".join(part for part in parts if part)
