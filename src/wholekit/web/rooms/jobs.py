"""Jobs: found, and begun."""

import re
from dataclasses import dataclass
from typing import Annotated
from unicodedata import normalize

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.domain.customers import Customer
from wholekit.domain.errors import CallError, WholekitError
from wholekit.domain.quotes.roles import Action
from wholekit.services.accounts import Seated
from wholekit.services.catalogs import list_catalogs
from wholekit.services.customers import LONGEST_CODE, add_customer, list_customers
from wholekit.services.jobs import NewJob, create_job, list_jobs
from wholekit.services.ports import JobFilter, Page
from wholekit.views.jobs import JobRowAnswer, job_row_answer
from wholekit.web.days import read_day
from wholekit.web.faults import sentences, status_of
from wholekit.web.numbers import page_number
from wholekit.web.place import place_of
from wholekit.web.screens import go, heard, page
from wholekit.web.seats import deed_of, posted, sits, text_of
from wholekit.wording.speech import tr

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]
ROWS = 50
CUSTOMERS = 1_000
LONGEST_SEARCH = 200
TYPED = ("name", "customer", "site", "contact", "due", "stock_first", "new_name", "new_code")


@dataclass(frozen=True, slots=True)
class JobList:
    """A page of jobs. first, last: of all rows [count from 1]; page, pages: [count]."""

    rows: tuple[JobRowAnswer, ...]
    count: int
    page: int
    pages: int
    text: str


@room.get("/jobs")
def jobs(
    request: Request,
    _seated: Annotated[Seated, sits(Action.SEE_JOBS)],
    text: str = "",
    number: str = "",
) -> Response:
    """Jobs, the latest first, that hold a text."""
    wanted = " ".join(text.split())[:LONGEST_SEARCH]
    at = page_number(number)
    rows, count = list_jobs(
        place_of(request).desk,
        deed_of(request),
        JobFilter(text=wanted),
        Page((at - 1) * ROWS, ROWS),
    )
    found = JobList(tuple(map(job_row_answer, rows)), count, at, -(-count // ROWS), wanted)
    part = bool(request.headers.get("x-part"))
    return page(request, "parts/job_rows.html" if part else "jobs.html", found=found)


@room.get("/jobs/new")
def blank(request: Request, _seated: Annotated[Seated, sits(Action.CHANGE_JOBS)]) -> Response:
    """The form of a new job."""
    return _blank(request, {}, (), 200)


@room.post("/jobs/new")
def begin(
    request: Request, _seated: Annotated[Seated, sits(Action.CHANGE_JOBS)], form: Form
) -> Response:
    """A new job; what was typed stays in the form where it cannot be made."""
    told = {name: text_of(form, name) for name in TYPED}
    try:
        due = read_day(told["due"])
        if not told["name"]:
            raise CallError("job-name-needed")
        # Last of what may be wrong, so that no customer is entered for a job that is not begun.
        if told["new_name"]:
            told["customer"] = _new_customer(request, told)
            told["new_name"] = told["new_code"] = ""
        job = create_job(
            place_of(request).desk,
            deed_of(request),
            NewJob(
                told["name"],
                told["customer"],
                told["site"],
                (),
                told["contact"],
                None,
                due,
                "",
                "",
                (),
                (),
                stock_first=bool(text_of(form, "stock_first")),
            ),
        )
    except WholekitError as error:
        with heard(request):
            said = sentences(error)
            if told["customer"] and told["new_name"]:
                said = [tr("Choose a customer or enter a new one, not both.")]
            elif not told["customer"] and not told["new_name"]:
                said = [tr("Choose a customer, or enter the name of a new one.")]
        return _blank(request, told, said, status_of(error))
    return go(f"/jobs/{job.number}")


def _new_customer(request: Request, told: dict[str, str]) -> str:
    """The code of the customer that is entered with the job, on the house's usual terms. Without a
    code one is made of the name, and stands in the form where it will not do. Raises CallError."""
    desk, deed = place_of(request).desk, deed_of(request)
    if told["customer"]:
        raise CallError("answer-wanted")
    told["new_code"] = told["new_code"].casefold() or code_of(told["new_name"])
    books = list_catalogs(desk.store, deed)
    currency = books[0].currency if books else "USD"
    return add_customer(
        desk, deed, Customer(told["new_code"], told["new_name"], currency=currency)
    ).code


def code_of(name: str) -> str:
    """A customer's code made of the name: small letters without accents, digits and hyphens.

    >>> code_of("Équipements Pêche & Fils, Inc."), code_of("7 Quay")
    ('equipements-peche-fils-inc', '7-quay')
    """
    plain = normalize("NFKD", name.casefold()).encode("ascii", "ignore").decode()
    return "-".join(re.findall("[a-z0-9]+", plain))[:LONGEST_CODE].strip("-")


def _blank(
    request: Request, told: dict[str, str], said: tuple[str, ...] | list[str], status: int
) -> Response:
    found, count = list_customers(place_of(request).desk, deed_of(request), "", Page(0, CUSTOMERS))
    return page(
        request,
        "job_new.html",
        status,
        told={**dict.fromkeys(TYPED, ""), **told},
        customers=[(each.code, each.name) for each in found],
        more=count > len(found),
        said=said,
    )
