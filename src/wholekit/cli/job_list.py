"""`wholekit job list`: the jobs of the store, by page."""

import typer

from wholekit.cli import options
from wholekit.cli.console import page_count, page_line, print_json, say, table
from wholekit.cli.desk import By, PageNumber, PageSize, deed, desk, read_day
from wholekit.services import jobs
from wholekit.services.ports import JobFilter, Page
from wholekit.views.jobs import job_row_answer


def register(group: typer.Typer) -> None:
    """Put the command on the group of jobs."""
    group.command("list")(list_jobs)


def list_jobs(
    customer: str = typer.Option(
        "", "--customer", help="Of this customer only.", metavar="CODE", callback=options.small
    ),
    salesperson: str = typer.Option("", "--salesperson", help="Of this salesperson only."),
    text: str = typer.Option("", "--text", help="Found in name, site or customer."),
    due_from: str = typer.Option("", "--due-from", help="Bids due from this day.", metavar="DATE"),
    due_to: str = typer.Option("", "--due-to", help="Bids due to this day.", metavar="DATE"),
    page: PageNumber = 1,
    page_size: PageSize = 50,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Jobs, the latest first."""
    wanted = JobFilter(customer, salesperson, text, read_day(due_from), read_day(due_to))
    print_jobs(wanted, page, page_size, by, json)


def print_jobs(wanted: JobFilter, page: int, page_size: int, by: str, json: bool) -> None:
    """One page of the jobs that are wanted, with their quotes, or one JSON document."""
    rows, count = jobs.list_jobs(desk(), deed(by), wanted, Page.numbered(page, page_size))
    answers = [job_row_answer(row) for row in rows]
    if json:
        pages = page_count(count, page_size)
        print_json({"jobs": answers, "count": count, "page": page, "pages": pages,
                    "page_size": page_size})  # fmt: skip
        return
    for line in table(
        (
            (
                answer.job,
                answer.name,
                answer.customer,
                answer.bids_due or "",
                str(answer.openings),
                f"{answer.quote or ''} {answer.state or ''}".strip(),
                "" if answer.net is None else answer.net.amount,
            )
            for answer in answers
        ),
        ("job", "name", "customer", "due", "marks", "quote", "net"),
        frozenset({4, 6}),
        (1, 2, 5),
    ):
        say(line)
    say(page_line(len(answers), count, page, page_size))
