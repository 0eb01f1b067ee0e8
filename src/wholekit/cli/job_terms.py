"""`wholekit job discount|alternate|drop-alternate|reprice`: the terms a job is quoted on."""

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say, tell
from wholekit.cli.desk import (
    By,
    IfVersion,
    JobRef,
    Reason,
    SignedArguments,
    deed,
    desk,
)
from wholekit.domain.openings import plain_mark
from wholekit.domain.quantities import parse_share
from wholekit.domain.quotes import Alternate
from wholekit.services import jobs
from wholekit.views.jobs import header_answer
from wholekit.wording.job_notes import no_catalogs
from wholekit.wording.rates import percent


def register(group: typer.Typer) -> None:
    """Put the commands on the group of jobs."""
    group.command("discount", cls=SignedArguments)(discount)
    group.command("alternate")(alternate)
    group.command("drop-alternate")(drop_alternate)
    group.command("reprice")(reprice)


def discount(
    job: JobRef,
    share: str = typer.Argument(..., help="Off the customer's prices: 5% or 0.05."),
    reason: Reason = "",
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Set a job's discount; beyond the role's limit an owner must approve before issue."""
    changed = jobs.set_discount(desk(), deed(by), job, parse_share(share), reason, if_version)
    if json:
        print_json(header_answer(changed))
    else:
        say(f"{changed.label}  discount {percent(changed.discount)}")


def alternate(
    job: JobRef,
    code: str = typer.Argument(..., help="The alternate's code, such as alt-1."),
    title: str = typer.Option("", "--title", help="What it offers; needed."),
    deduct: list[str] | None = typer.Option(
        None, "--deduct", help="A base mark it takes out; may be given again.", metavar="MARK"
    ),
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Add an alternate, or set it anew; openings are put in with --alternate CODE."""
    option = Alternate(code.strip(), " ".join(title.split()), tuple(map(plain_mark, deduct or ())))
    changed = jobs.set_alternate(desk(), deed(by), job, option, if_version)
    if json:
        print_json(header_answer(changed))
    else:
        say(f"{changed.label}  alternate {option.code}: {option.title}")


def drop_alternate(
    job: JobRef,
    code: str = typer.Argument(..., help="The alternate's code."),
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Take an empty alternate out of a job."""
    changed = jobs.remove_alternate(desk(), deed(by), job, code, if_version)
    if json:
        print_json(header_answer(changed))
    else:
        say(f"{changed.label}  alternate {code} removed")


def reprice(
    job: JobRef,
    supplier: list[str] | None = typer.Option(
        None, "--supplier", help="These catalogues in place of its own.", metavar="ID"
    ),
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Move a job to the latest revision of its catalogues."""
    place = desk()
    before = jobs.job_header(place, deed(by), job)
    changed = jobs.reprice_job(place, deed(by), job, tuple(supplier or ()), if_version)
    moved = changed.version != before.version
    for note in no_catalogs(changed):
        tell(note)
    if json:
        print_json({**header_answer(changed), "catalogs": changed.catalogs, "moved": moved})
        return
    if changed.catalogs and not moved:
        say(f"{changed.label}  already on the latest revisions:")
    for catalog in changed.catalogs:
        say(f"{changed.label}  {catalog.catalog_id} revision {catalog.revision}")
