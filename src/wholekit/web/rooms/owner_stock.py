"""The owner's room: what lies on the shelves, what it is worth, what lies too long."""

from typing import Annotated

from fastapi import APIRouter, Request
from starlette.responses import Response

from wholekit.documents.exchange.owner_workbooks import slow_sheets, value_sheets
from wholekit.domain.errors import CallError
from wholekit.domain.quotes.roles import Action
from wholekit.domain.stock import slow_limits
from wholekit.services.accounts import Seated
from wholekit.services.paging import Page
from wholekit.services.stock_slow import SlowItem, slow_stock
from wholekit.services.stock_value import item_costs, stock_on
from wholekit.views.stock_slow import owners_slow_answer, slow_answer
from wholekit.views.stock_value import value_answer
from wholekit.web.days import read_day
from wholekit.web.faults import sentences
from wholekit.web.numbers import page_number
from wholekit.web.place import place_of
from wholekit.web.screens import page
from wholekit.web.seats import deed_of, sits
from wholekit.web.workbooks import workbook

room = APIRouter()
Owner = Annotated[Seated, sits(Action.SEE_COST)]
ROWS = 100


@room.get("/stock-value")
def stock_value(request: Request, _seated: Owner, on: str = "") -> Response:
    """What lay on the shelves on a day, at cost."""
    place, deed = place_of(request), deed_of(request)
    day = read_day(on) or deed.day
    found = value_answer(day, stock_on(place.desk, deed, day))
    return page(request, "stock_value.html", found=found)


@room.get("/stock-value.xlsx")
def stock_value_book(request: Request, _seated: Owner, on: str = "") -> Response:
    """The same for a spreadsheet."""
    place, deed = place_of(request), deed_of(request)
    day = read_day(on) or deed.day
    found = stock_on(place.desk, deed, day)
    return workbook(request, "stock-value", lambda: value_sheets(day, found))


@room.get("/slow-stock")
def slow(request: Request, _seated: Owner, branch: str = "", number: str = "") -> Response:
    """What lies longer than the house's limits, dead first, with what it is worth."""
    place, deed = place_of(request), deed_of(request)
    limits = slow_limits(place.desk.rules)
    said: tuple[str, ...] = ()
    found: tuple[SlowItem, ...] = ()
    try:
        found = slow_stock(place.desk, deed, limits, branch.strip())
    except CallError as error:
        said = tuple(sentences(error))
    pages = -(-len(found) // ROWS)
    at = min(page_number(number), max(pages, 1))
    answer = slow_answer(deed.day, limits, found, Page.numbered(at, ROWS))
    shown = owners_slow_answer(answer, found, item_costs(place.desk, deed))
    return page(
        request,
        "slow_stock.html",
        422 if said else 200,
        found=answer,
        rows=list(zip(answer.items, shown.values, strict=True)),
        totals=shown.totals,
        branch=branch.strip(),
        pages=pages,
        said=said,
    )


@room.get("/slow-stock.xlsx")
def slow_book(request: Request, _seated: Owner, branch: str = "") -> Response:
    """All of it for a spreadsheet."""
    place, deed = place_of(request), deed_of(request)
    found = slow_stock(place.desk, deed, slow_limits(place.desk.rules), branch.strip())
    costs = item_costs(place.desk, deed)
    return workbook(request, "slow-stock", lambda: slow_sheets(deed.day, found, costs))
