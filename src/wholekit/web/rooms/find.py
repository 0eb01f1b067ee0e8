"""One field for all: jobs, customers and items that hold a text."""

from typing import Annotated

from fastapi import APIRouter, Request
from starlette.responses import Response

from wholekit.domain.customers import Customer
from wholekit.domain.quotes.roles import Action, may
from wholekit.services.accounts import Seated
from wholekit.services.catalogs import list_catalogs
from wholekit.services.customers import list_customers
from wholekit.services.jobs import list_jobs
from wholekit.services.one_view import one_view
from wholekit.services.ports import JobFilter, Page
from wholekit.services.stock import list_stock
from wholekit.services.stock_port import StockFilter, StockRow
from wholekit.views.jobs import JobRowAnswer, job_row_answer
from wholekit.web.place import place_of
from wholekit.web.screens import page
from wholekit.web.seats import deed_of, sits

room = APIRouter()
LONGEST = 80
FEW = Page(0, 8)


@room.get("/find")
def find(request: Request, seated: Annotated[Seated, sits()], text: str = "") -> Response:
    """The first of each kind that hold a text, as far as whoever asks may see them."""
    wanted, role, deed = " ".join(text.split())[:LONGEST], seated.person.role, deed_of(request)
    jobs: tuple[JobRowAnswer, ...] = ()
    customers: tuple[Customer, ...] = ()
    items: tuple[StockRow, ...] = ()
    books: dict[str, str] = {}
    counts = {"jobs": 0, "customers": 0, "items": 0}
    if wanted:
        with one_view(place_of(request).desk) as desk:
            if may(role, Action.SEE_JOBS):
                found, counts["jobs"] = list_jobs(desk, deed, JobFilter(text=wanted), FEW)
                jobs = tuple(map(job_row_answer, found))
            if may(role, Action.SEE_CUSTOMERS):
                people, counts["customers"] = list_customers(desk, deed, wanted, FEW)
                customers = tuple(people)
            if may(role, Action.SEE_STOCK):
                rows, counts["items"] = list_stock(desk, deed, StockFilter(text=wanted), FEW)
                items = tuple(rows)
            if items and may(role, Action.SEE_CATALOGS):
                books = {each.supplier: each.catalog_id for each in list_catalogs(desk.store, deed)}
    part = bool(request.headers.get("x-part"))
    return page(
        request,
        "parts/found.html" if part else "find.html",
        text=wanted,
        rows=jobs,
        customers=customers,
        items=items,
        books=books,
        counts=counts,
    )
