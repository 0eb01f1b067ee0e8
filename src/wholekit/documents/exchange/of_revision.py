"""An issued revision in the open formats: which there are, and the bytes of each."""

import tempfile
from collections.abc import Callable
from email.headerregistry import Address
from enum import StrEnum
from pathlib import Path

from wholekit.domain.errors import CallError
from wholekit.services.quote_papers import Shown
from wholekit.wording.orders import notice_of


class ExportForm(StrEnum):
    """What an open format is called."""

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


def content_of(shown: Shown, form: ExportForm) -> bytes:
    """Days, UBL quotation or an order for the books. Raises CallError for one not accepted."""
    # Late: nobody else needs what writes these.
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


def workbook_of(shown: Shown, part: WorkbookPart) -> bytes:
    """A workbook; margins need the house's own in what is shown."""
    from wholekit.documents.exchange.house_workbooks import margin_workbook, pick_workbook
    from wholekit.documents.exchange.quote_workbook import quote_workbook
    from wholekit.documents.fill_pick import pick_list_paper
    from wholekit.documents.fill_sheet import sheet_paper

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


def mail_of(shown: Shown, address: Address | None, templates: Path) -> bytes:
    """A mail with the quote, ready to be looked over and sent. Raises CallError, PaperError."""
    from wholekit.documents.exchange.mail import mail_bytes
    from wholekit.documents.fill_quote import quote_paper
    from wholekit.documents.render import render_paper

    offer = shown.snapshot.offer
    with tempfile.TemporaryDirectory() as folder:
        pdf = Path(folder) / "quote.pdf"
        render_paper(quote_paper(offer), pdf, templates)
        return mail_bytes(offer, pdf.read_bytes(), address)
