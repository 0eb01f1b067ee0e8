"""Jobs: found, and begun."""

from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.domain.errors import CallError, WholekitError
from wholekit.domain.quotes.roles import Action
from wholekit.services.accounts import Seated
from wholekit.services.customers import list_customers
from wholekit.services.jobs import NewJob, create_job, list_jobs
from wholekit.services.ports import JobFilter, Page
from wholekit.views.jobs import JobRowAnswer, job_row_answer
from wholekit.web.days import read_day
from wholekit.web.faults import sentences, status_of
from wholekit.web.numbers import page_number
from wholekit.web.place import place_of
from wholekit.web.screens import go, page
from wholekit.web.seats import deed_of, posted, sits, text_of

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]
ROWS = 50
CUSTOMERS = 1_000
LONGEST_SEARCH = 200


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
    told = {name: text_of(form, name) for name in ("name", "customer", "site", "contact", "due")}
    try:
        if not told["name"]:
            raise CallError("job-name-needed")
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
                read_day(told["due"]),
                "",
                "",
                (),
                (),
                stock_first=bool(text_of(form, "stock_first")),
            ),
        )
    except WholekitError as error:
        return _blank(request, told, sentences(error), status_of(error))
    return go(f"/jobs/{job.number}")


def _blank(
    request: Request, told: dict[str, str], said: tuple[str, ...] | list[str], status: int
) -> Response:
    found, count = list_customers(place_of(request).desk, deed_of(request), "", Page(0, CUSTOMERS))
    return page(
        request,
        "job_new.html",
        status,
        told={"name": "", "customer": "", "site": "", "contact": "", "due": "", **told},
        customers=[(each.code, each.name) for each in found],
        more=count > len(found),
        said=said,
    )
