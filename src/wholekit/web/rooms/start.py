"""The first page: what waits."""

from dataclasses import dataclass
from datetime import timedelta
from typing import Annotated
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from starlette.responses import Response

from wholekit.domain.earnings import Key
from wholekit.domain.quotes.roles import Action, may
from wholekit.services.accounts import Seated
from wholekit.services.approvals import asked_of_owner, waiting_requests
from wholekit.services.catalogs import list_catalogs
from wholekit.services.jobs import list_jobs
from wholekit.services.margin_reports import margin_report
from wholekit.services.one_view import one_view
from wholekit.services.ports import JobFilter, Page, RevisionFilter
from wholekit.services.receiving import expected_deliveries
from wholekit.services.stuck import what_is_stuck
from wholekit.views.buying import received_answer
from wholekit.views.jobs import JobRowAnswer, job_row_answer
from wholekit.views.margins import report_answer
from wholekit.views.reviews import WaitingAnswer, waiting_answer
from wholekit.web.place import place_of
from wholekit.web.rooms.stuck import StuckKind, kinds_of
from wholekit.web.screens import heard, page
from wholekit.web.seats import deed_of, sits

room = APIRouter()
LATEST = 12
# How far back quotes under the floor are looked at on the first page; the figures go further.
A_MONTH = timedelta(days=30)


@dataclass(frozen=True, slots=True)
class ForOwner:
    """What waits for an owner. under: jobs quoted under the floor in the last month [count];
    figures: address of those."""

    waiting: tuple[WaitingAnswer, ...]
    stuck: tuple[StuckKind, ...]
    under: int
    figures: str

    @property
    def nothing(self) -> bool:
        """Whether there is none of it."""
        return not (self.waiting or self.stuck or self.under)


@room.get("/")
def start(request: Request, seated: Annotated[Seated, sits()]) -> Response:
    """What waits for whoever sits there."""
    role, rows = seated.person.role, tuple[JobRowAnswer, ...]()
    if may(role, Action.SEE_JOBS):
        desk = place_of(request).desk
        found, _count = list_jobs(desk, deed_of(request), JobFilter(), Page(0, LATEST))
        rows = tuple(job_row_answer(row) for row in found)
    scanned = []
    if may(role, Action.RECEIVE_STOCK):
        expected = expected_deliveries(place_of(request).desk, deed_of(request))
        scanned = [received_answer(each) for each in expected if each.unended]
    owns = may(role, Action.SEE_REQUESTS) and may(role, Action.SEE_COST)
    asks = may(role, Action.SEE_QUOTES) and not owns
    return page(
        request,
        "start.html",
        rows=rows,
        scanned=scanned,
        owner=_for_owner(request) if owns else None,
        asked=asked_of_owner(place_of(request).desk, deed_of(request)) if asks else (),
    )


def _for_owner(request: Request) -> ForOwner:
    deed = deed_of(request)
    since = deed.day - A_MONTH
    with one_view(place_of(request).desk) as desk:
        waiting = waiting_requests(desk, deed)
        stuck = what_is_stuck(desk, deed)
        books = list_catalogs(desk.store, deed)
        currency = books[0].currency if books else "USD"
        earned = margin_report(desk, deed, Key.JOB, RevisionFilter(issued_from=since), currency)
    with heard(request):
        # Those that wait for a word stand by themselves.
        kinds = kinds_of(request, stuck)[1:]
        asked = tuple(map(waiting_answer, waiting))
    query = urlencode({"by": Key.JOB.value, "under": 1, "since": since.isoformat()})
    return ForOwner(
        asked,
        tuple(kind for kind in kinds if kind.rows),
        sum(row.under_floor for row in report_answer(earned).rows),
        f"/margins?{query}",
    )
