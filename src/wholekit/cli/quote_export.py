"""`wholekit quote export`: an issued revision in an open format."""

import tempfile
from collections.abc import Callable
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from wholekit.cli import options
from wholekit.cli.console import say, tell, wrapped
from wholekit.cli.desk import By, deed, desk
from wholekit.domain.errors import CallError
from wholekit.services.customers import customer_of
from wholekit.services.desk import Deed, Desk
from wholekit.services.quote_papers import Shown, order_shown, revision_shown, sheet_shown
from wholekit.settings import bundled
from wholekit.wording.exports import NO_SENDER


class ExportForm(StrEnum):
    """What an open format is called on the command line."""

    CSV = "csv"
    EML = "eml"
    ICS = "ics"
    UBL = "ubl"
    XLSX = "xlsx"


class WorkbookPart(StrEnum):
    """What of a quote a workbook holds."""

    QUOTE = "quote"
    PICK_LIST = "pick-list"
    MARGINS = "margins"


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
        content = _workbook(shown, part or WorkbookPart.QUOTE)
    elif form is ExportForm.EML:
        content = _mail(place, asks, shown, to)
    else:
        content = _content(shown, form)
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


def _content(shown: Shown, form: ExportForm) -> bytes:
    # Late: no other command needs what writes these.
    offer = shown.snapshot.offer
    if form is ExportForm.ICS:
        from wholekit.documents.exchange.calendar import calendar_bytes

        return calendar_bytes(offer)
    if form is ExportForm.UBL:
        from wholekit.documents.exchange.quotation import quotation_xml

        return quotation_xml(offer)
    if shown.acceptance is None:
        raise CallError("books-of-orders-alone", quote=shown.label)
    from wholekit.documents.exchange.books import order_csv

    return order_csv(offer, shown.acceptance)


def _workbook(shown: Shown, part: WorkbookPart) -> bytes:
    from wholekit.documents.exchange.house_workbooks import margin_workbook, pick_workbook
    from wholekit.documents.exchange.quote_workbook import quote_workbook
    from wholekit.documents.fill_pick import pick_list_paper
    from wholekit.documents.fill_sheet import sheet_paper
    from wholekit.wording.orders import notice_of

    offer, accepted = shown.snapshot.offer, shown.accepted
    notice = notice_of(ordered=accepted is not None, changed=shown.changed)
    make: dict[WorkbookPart, Callable[[], bytes]] = {
        WorkbookPart.QUOTE: lambda: quote_workbook(offer),
        WorkbookPart.PICK_LIST: lambda: pick_workbook(
            pick_list_paper(offer.chosen(accepted or ()), notice)
        ),
        WorkbookPart.MARGINS: lambda: margin_workbook(
            sheet_paper(shown.snapshot, shown.floor, accepted=accepted)
        ),
    }
    return make[part]()


def _mail(place: Desk, asks: Deed, shown: Shown, to: str) -> bytes:
    from wholekit.documents.exchange.mail import mail_address, mail_bytes
    from wholekit.documents.fill_quote import quote_paper
    from wholekit.documents.render import render_paper

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
    with tempfile.TemporaryDirectory() as folder:
        pdf = Path(folder) / "quote.pdf"
        render_paper(quote_paper(offer), pdf, bundled("templates"))
        return mail_bytes(offer, pdf.read_bytes(), address)
