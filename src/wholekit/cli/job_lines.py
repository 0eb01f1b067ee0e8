"""`wholekit job add-line|edit-line|remove-line`: whatever else the customer wants."""

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say
from wholekit.cli.desk import (
    By,
    IfVersion,
    InAlternate,
    JobRef,
    deed,
    desk,
    job_at,
    read_cost,
    read_signed_money,
)
from wholekit.domain.errors import CallError
from wholekit.domain.quotes import ExtraLine
from wholekit.domain.tax import LineKind
from wholekit.services import job_lines
from wholekit.views.kits import price_answer


def register(group: typer.Typer) -> None:
    """Put the commands on the group of jobs."""
    group.command("add-line")(add_line)
    group.command("edit-line")(edit_line)
    group.command("remove-line")(remove_line)


def add_line(
    job: JobRef,
    description: str = typer.Argument(..., help="What it is."),
    kind: LineKind = typer.Option(LineKind.OTHER, "--kind", help="What it is for tax."),
    quantity: int = typer.Option(1, "--quantity", min=1, help="How many."),
    price: str | None = typer.Option(
        None, "--price", help="Net price each; none: a line of text.", metavar="AMOUNT"
    ),
    cost: str | None = typer.Option(
        None, "--cost", help="Own cost each; none: not known.", metavar="AMOUNT"
    ),
    alternate: InAlternate = "",
    by: By = "",
    json: options.Json = False,
) -> None:
    """Add hinges, freight, labour or a line of text to a job."""
    place = desk()
    currency = job_at(place, deed(by), job).job.currency
    extra = job_lines.add_extra(
        place,
        deed(by),
        job,
        job_lines.NewExtra(
            kind,
            description,
            quantity,
            None if price is None else read_signed_money(price, currency),
            None if cost is None else read_cost(cost, currency),
            alternate,
        ),
    )
    _print(extra, json, "added")


def edit_line(
    job: JobRef,
    line: int = typer.Argument(..., help="The line's place, as job show tells it."),
    description: str | None = typer.Option(None, "--description", help="What it is."),
    quantity: int | None = typer.Option(None, "--quantity", min=1, help="How many."),
    price: str | None = typer.Option(None, "--price", help="Net price each.", metavar="AMOUNT"),
    cost: str | None = typer.Option(None, "--cost", help="Own cost each.", metavar="AMOUNT"),
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Change an extra line; an empty price or cost takes it away."""
    place = desk()
    currency = job_at(place, deed(by), job).job.currency
    changes: dict[str, object] = {}
    if description is not None:
        changes["description"] = " ".join(description.split())
    if quantity is not None:
        changes["quantity"] = quantity
    if price is not None:
        changes["unit"] = read_signed_money(price, currency) if price.strip() else None
    if cost is not None:
        changes["cost"] = read_cost(cost, currency) if cost.strip() else None
    if not changes:
        raise CallError("one-change-needed", right="--description, --quantity, --price or --cost")
    _print(job_lines.edit_extra(place, deed(by), job, line, changes, if_version), json, "changed")


def remove_line(
    job: JobRef,
    line: int = typer.Argument(..., help="The line's place, as job show tells it."),
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Take an extra line out of a job; the history keeps it."""
    _print(job_lines.remove_extra(desk(), deed(by), job, line, if_version), json, "removed")


def _print(extra: ExtraLine, json: bool, what: str) -> None:
    total = extra.total
    if json:
        print_json(
            {
                "kind": extra.kind.value,
                "description": extra.description,
                "quantity": extra.quantity,
                "total": None if total is None else price_answer(total),
                "alternate": extra.alternate,
                "version": extra.version,
            }
        )
        return
    amount = "" if total is None else f"  {total.decimal_text} {total.currency}"
    say(f"{extra.quantity} × {extra.description}: {what}{amount}")
