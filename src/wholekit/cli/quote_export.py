"""`wholekit quote export`: an issued revision in an open format."""

from pathlib import Path
from typing import Annotated

import typer

from wholekit.cli import options
from wholekit.cli.console import say, tell, wrapped
from wholekit.cli.desk import By, deed, desk
from wholekit.documents.exchange.of_revision import (
    ExportForm,
    WorkbookPart,
    content_of,
    mail_of,
    workbook_of,
)
from wholekit.domain.errors import CallError
from wholekit.services.customers import customer_of
from wholekit.services.desk import Deed, Desk
from wholekit.services.quote_papers import Shown, order_shown, revision_shown, sheet_shown
from wholekit.settings import bundled
from wholekit.wording.exports import NO_SENDER


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
        typer.Option(
            "--as",
            help="csv: an accepted order for the books; ics: days it names; ubl: UBL 2.1 "
            "Quotation; xlsx: a workbook; eml: a mail with the quote, ready to send.",
        ),
    ],
    out: Annotated[Path, typer.Option("--out", help="The file to write.", metavar="FILE")],
    part: Annotated[
        WorkbookPart | None,
        typer.Option("--of", help="With xlsx: the quote (unless said), pick list or margins."),
    ] = None,
    to: Annotated[
        str, typer.Option("--to", help="With eml: to whom, else the customer's mail address.")
    ] = "",
    by: By = "",
    house: options.HouseFile = None,
) -> None:
    """An issued revision in an open format; the same revision gives the same bytes.

    Margins are the owner's; none of the others has a cost in it, and the pick list no price.
    """
    if part is not None and form is not ExportForm.XLSX:
        raise CallError("export-option-unwanted", option="--of", right="--as xlsx")
    if to and form is not ExportForm.EML:
        raise CallError("export-option-unwanted", option="--to", right="--as eml")
    place, asks = desk(house), deed(by)
    # Each asks for its own right: the pick room's list has no price, the margins are the owner's.
    reading = {WorkbookPart.PICK_LIST: order_shown, WorkbookPart.MARGINS: sheet_shown}
    shown = reading.get(part or WorkbookPart.QUOTE, revision_shown)(place, asks, reference)
    if shown.draft:
        raise CallError("export-of-issued-alone", quote=shown.label)
    if form is ExportForm.XLSX:
        content = workbook_of(shown, part or WorkbookPart.QUOTE)
    elif form is ExportForm.EML:
        content = _mail(place, asks, shown, to)
    else:
        content = content_of(shown, form)
    write_whole(out, content)
    say(f"{out}  {form.value}, {shown.label}")


def write_whole(out: Path, content: bytes) -> None:
    """Write a file whole, or leave what was there. Raises CallError."""
    beside = out.with_name(out.name + ".part")
    try:
        beside.write_bytes(content)
        beside.replace(out)
    except OSError as error:
        beside.unlink(missing_ok=True)
        raise CallError("out-unwritable", folder=str(out), error=str(error)) from error


def _mail(place: Desk, asks: Deed, shown: Shown, to: str) -> bytes:
    from wholekit.documents.exchange.mail import mail_address

    offer = shown.snapshot.offer
    customer = customer_of(place, asks, offer.customer.code)
    # Before the paper is made, which takes a while.
    address = None
    if to:
        address = mail_address(to)
    elif customer.email:
        address = mail_address(customer.email, offer.customer.contact or customer.name)
    else:
        tell(f"no mail address of {offer.customer.name} is known: the mail is to nobody yet")
    if not (offer.house_email and offer.house_name):
        for line in wrapped(NO_SENDER):
            tell(line)
    tell(f"making the quote of {shown.label} …")
    return mail_of(shown, address, bundled("templates"))
