"""An issued revision as files: for a spreadsheet, a mail, a calendar, another program."""

from typing import Annotated

from fastapi import APIRouter, Request
from starlette.exceptions import HTTPException
from starlette.responses import Response

from wholekit.documents.exchange.mail import mail_address
from wholekit.documents.exchange.of_revision import (
    ExportForm,
    WorkbookPart,
    content_of,
    mail_of,
    workbook_of,
)
from wholekit.domain.errors import CallError
from wholekit.domain.quotes.roles import Action
from wholekit.services.accounts import Seated
from wholekit.services.customers import customer_of
from wholekit.services.quote_papers import Shown, order_shown, revision_shown, sheet_shown
from wholekit.settings import bundled
from wholekit.web.numbers import InPath
from wholekit.web.place import place_of
from wholekit.web.seats import deed_of, sits
from wholekit.web.workbooks import XLSX, download

room = APIRouter()
# Of the other forms: the ending of the file, and what it is (IANA's names).
FILES = {
    ExportForm.CSV: ("csv", "text/csv; charset=utf-8"),
    ExportForm.ICS: ("ics", "text/calendar; charset=utf-8"),
    ExportForm.UBL: ("xml", "application/xml"),
}


@room.get("/quotes/{quote}/{revision}/as/{form}")
def export(
    request: Request,
    quote: str,
    revision: InPath,
    form: str,
    _seated: Annotated[Seated, sits(Action.SEE_QUOTES)],
) -> Response:
    """The quote as a workbook, mail, days, UBL, or (accepted) an order for the books."""
    known = {each.value: each for each in ExportForm}.get(form)
    if known is None:
        raise HTTPException(404)
    place, deed = place_of(request), deed_of(request)
    shown = _issued(revision_shown(place.desk, deed, f"{quote}/{revision}"))
    if known is ExportForm.XLSX:
        return download(workbook_of(shown, WorkbookPart.QUOTE), _name(shown, "quote.xlsx"), XLSX)
    if known is ExportForm.EML:
        return download(_mail(request, shown), _name(shown, "quote.eml"), "message/rfc822")
    ending, kind = FILES[known]
    return download(content_of(shown, known), _name(shown, f"quote.{ending}"), kind)


@room.get("/papers/{quote}/{revision}/pick-list.xlsx")
def pick_list(
    request: Request,
    quote: str,
    revision: InPath,
    _seated: Annotated[Seated, sits(Action.SEE_PICK_PAPERS)],
) -> Response:
    """The pick list as a workbook, without a price."""
    shown = _issued(order_shown(place_of(request).desk, deed_of(request), f"{quote}/{revision}"))
    content = workbook_of(shown, WorkbookPart.PICK_LIST)
    return download(content, _name(shown, "pick-list.xlsx"), XLSX)


@room.get("/quotes/{quote}/{revision}/margins.xlsx")
def margins(
    request: Request,
    quote: str,
    revision: InPath,
    _seated: Annotated[Seated, sits(Action.SEE_COST)],
) -> Response:
    """The owner's figures of the quote as a workbook."""
    shown = _issued(sheet_shown(place_of(request).desk, deed_of(request), f"{quote}/{revision}"))
    content = workbook_of(shown, WorkbookPart.MARGINS)
    return download(content, _name(shown, "margins.xlsx"), XLSX)


def _issued(shown: Shown) -> Shown:
    if shown.draft:
        raise CallError("export-of-issued-alone", quote=shown.label)
    return shown


def _mail(request: Request, shown: Shown) -> bytes:
    offer = shown.snapshot.offer
    customer = customer_of(place_of(request).desk, deed_of(request), offer.customer.code)
    address = None
    if customer.email:
        address = mail_address(customer.email, offer.customer.contact or customer.name)
    return mail_of(shown, address, bundled("templates"))


def _name(shown: Shown, name: str) -> str:
    return f"{shown.label.replace('/', '-')}-{name}"
