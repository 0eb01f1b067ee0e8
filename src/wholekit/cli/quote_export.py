"""`wholekit quote export`: an issued revision in an open format."""

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from wholekit.cli import options
from wholekit.cli.console import say
from wholekit.cli.desk import By, deed, desk
from wholekit.domain.errors import CallError
from wholekit.services.quote_papers import Shown, revision_shown


class ExportForm(StrEnum):
    """What an open format is called on the command line."""

    CSV = "csv"
    ICS = "ics"


def register(group: typer.Typer) -> None:
    """Put the command on the group of quotes."""
    group.command("export")(export)


def export(
    reference: Annotated[
        str,
        typer.Argument(help="Q-00012/3, or Q-00012 (its latest issued).", metavar="NUMBER"),
    ],
    form: Annotated[
        ExportForm,
        typer.Option("--as", help="csv: an accepted order for the books; ics: days it names."),
    ],
    out: Annotated[Path, typer.Option("--out", help="The file to write.", metavar="FILE")],
    by: By = "",
    house: options.HouseFile = None,
) -> None:
    """An issued revision in an open format; the same revision gives the same bytes."""
    shown = revision_shown(desk(house), deed(by), reference)
    if shown.draft:
        raise CallError("export-of-issued-alone", quote=shown.label)
    content = _content(shown, form)
    beside = out.with_name(out.name + ".part")
    try:
        beside.write_bytes(content)
        beside.replace(out)
    except OSError as error:
        beside.unlink(missing_ok=True)
        raise CallError("out-unwritable", folder=str(out), error=str(error)) from error
    say(f"{out}  {form.value}, {shown.label}")


def _content(shown: Shown, form: ExportForm) -> bytes:
    # Late: no other command needs what writes these.
    if form is ExportForm.ICS:
        from wholekit.documents.exchange.calendar import calendar_bytes

        return calendar_bytes(shown.snapshot.offer)
    if shown.acceptance is None:
        raise CallError("books-of-orders-alone", quote=shown.label)
    from wholekit.documents.exchange.books import order_csv

    return order_csv(shown.snapshot.offer, shown.acceptance)
