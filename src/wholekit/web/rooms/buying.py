"""What is bought: the buy list, and orders to suppliers placed, sent, cancelled. It shows cost."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import FormData
from starlette.exceptions import HTTPException
from starlette.responses import Response

from wholekit.documents.exchange.purchase_order import purchase_order_csv, purchase_order_xml
from wholekit.documents.papers import Letterhead
from wholekit.domain.buying import UNDER_WAY, PurchaseState
from wholekit.domain.errors import WholekitError
from wholekit.domain.quotes.roles import Action
from wholekit.domain.stock import MAIN
from wholekit.services import buying as service
from wholekit.services.accounts import Seated
from wholekit.services.one_view import one_view
from wholekit.services.ports import Page
from wholekit.services.purchase_port import PurchaseFilter
from wholekit.views.buying import PurchaseAnswer, buy_list_answer, purchase_answer, shown_answer
from wholekit.web.faults import sentences, status_of
from wholekit.web.numbers import page_number
from wholekit.web.papers import ask_of, paper_answer
from wholekit.web.place import place_of
from wholekit.web.screens import go, page
from wholekit.web.seats import deed_of, posted, sits, text_of, texts_of
from wholekit.web.workbooks import download
from wholekit.wording.purchases import STATES

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]
Sees = Annotated[Seated, sits(Action.SEE_PURCHASES)]
Buys = Annotated[Seated, sits(Action.BUY_GOODS)]
ROWS = 50


@dataclass(frozen=True, slots=True)
class OrderRow:
    """An order in the list. open: packs still to come [count]."""

    order: PurchaseAnswer
    open: int


@room.get("/buying")
def buying(request: Request, _seated: Sees, number: str = "") -> Response:
    """The buy list, and the orders that were placed."""
    return _buying(request, page_number(number))


@room.post("/buying")
def place(request: Request, _seated: Buys, form: Form) -> Response:
    """Orders to the suppliers that were chosen, or to all of the list; drafts until they are
    sent."""
    words = service.OrderWords(note=text_of(form, "note"))
    try:
        service.place_orders(
            place_of(request).desk,
            deed_of(request),
            MAIN,
            suppliers=texts_of(form, "supplier"),
            words=words,
        )
    except WholekitError as error:
        return _buying(request, 1, sentences(error), status_of(error))
    return go("/buying#orders")


@room.get("/buying/{purchase}")
def order(request: Request, purchase: str, _seated: Sees) -> Response:
    """An order whole."""
    return _order(request, purchase)


@room.post("/buying/{purchase}")
def change(request: Request, purchase: str, _seated: Buys, form: Form) -> Response:
    """Say that the supplier has it, or cancel it."""
    desk, deed = place_of(request).desk, deed_of(request)
    try:
        if text_of(form, "deed") == "send":
            done = service.send_order(desk, deed, purchase)
        else:
            done = service.cancel_order(desk, deed, purchase, text_of(form, "reason"))
    except WholekitError as error:
        return _order(request, purchase, sentences(error), status_of(error))
    return go(f"/buying/{done.label}")


@room.get("/buying/{purchase}/order.pdf")
def paper(request: Request, purchase: str, _seated: Sees) -> Response:
    """The order for its supplier."""
    (asked,) = ask_of(request, purchase, "purchase-order")
    return paper_answer(request, asked)


@room.get("/buying/{purchase}/as/{kind}")
def export(request: Request, purchase: str, kind: str, _seated: Sees) -> Response:
    """The order as a list (csv), or for another program (ubl)."""
    desk = place_of(request).desk
    found = service.show_order(desk, deed_of(request), purchase).purchase
    if kind == "csv":
        content = purchase_order_csv(found.order)
        return download(content, f"{found.label}.csv", "text/csv; charset=utf-8")
    if kind != "ubl":
        raise HTTPException(404)
    card = desk.house()
    house = Letterhead(card.name, card.address, card.phone, card.email)
    content = purchase_order_xml(found.order, house)
    return download(content, f"{found.label}.xml", "application/xml")


def _buying(request: Request, number: int, said: Sequence[str] = (), status: int = 200) -> Response:
    deed = deed_of(request)
    with one_view(place_of(request).desk) as desk:
        listed = service.buy_list(desk, deed)
        found, count = service.list_orders(
            desk, deed, PurchaseFilter(), Page((number - 1) * ROWS, ROWS)
        )
    answers = map(purchase_answer, found)
    answer = buy_list_answer(listed, MAIN)
    # Bags of one order that wait for the same goods until the same day are told once.
    late = {(each.sku, each.order, each.needed_by, each.day): each for each in answer.late}
    return page(
        request,
        "buying.html",
        status,
        listed=answer,
        late=list(late.values()),
        orders=[OrderRow(each, sum(line.open for line in each.lines)) for each in answers],
        states=STATES,
        number=number,
        pages=-(-count // ROWS),
        said=said,
    )


def _order(
    request: Request, purchase: str, said: Sequence[str] = (), status: int = 200
) -> Response:
    shown = service.show_order(place_of(request).desk, deed_of(request), purchase)
    state = shown.purchase.state
    return page(
        request,
        "purchase.html",
        status,
        found=shown_answer(shown),
        states=STATES,
        draft=state is PurchaseState.DRAFT,
        comes=state in UNDER_WAY,
        may_cancel=state in (PurchaseState.DRAFT, PurchaseState.SENT)
        and not any(shown.purchase.received),
        said=said,
    )
