"""The first page: what waits."""

from typing import Annotated

from fastapi import APIRouter, Request
from starlette.responses import Response

from wholekit.domain.quotes.roles import Action, may
from wholekit.services.accounts import Seated
from wholekit.services.jobs import list_jobs
from wholekit.services.ports import JobFilter, Page
from wholekit.views.jobs import JobRowAnswer, job_row_answer
from wholekit.web.place import place_of
from wholekit.web.screens import page
from wholekit.web.seats import deed_of, sits

room = APIRouter()
LATEST = 12


@room.get("/")
def start(request: Request, seated: Annotated[Seated, sits()]) -> Response:
    """What waits for whoever sits there."""
    rows: tuple[JobRowAnswer, ...] = ()
    if may(seated.person.role, Action.SEE_JOBS):
        desk = place_of(request).desk
        found, _count = list_jobs(desk, deed_of(request), JobFilter(), Page(0, LATEST))
        rows = tuple(job_row_answer(row) for row in found)
    return page(request, "start.html", rows=rows)
