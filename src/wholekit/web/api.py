"""The same services as JSON, for machines: each with a token, in somebody's name and role."""

from typing import Annotated, Any

from fastapi import APIRouter, Depends, FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.security import HTTPAuthorizationCredentials, HTTPBearer
from pydantic import BaseModel, Field
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse, Response

from wholekit.domain.errors import WholekitError
from wholekit.domain.quantities import QuantityError
from wholekit.intake.openings import read_openings
from wholekit.services import job_openings, picks, quote_reading, quotes, waves
from wholekit.services.accounts import Seated, seated
from wholekit.services.desk import Deed
from wholekit.services.job_previews import preview_openings
from wholekit.services.job_view import view_job
from wholekit.services.jobs import NewJob, create_job, list_jobs
from wholekit.services.order_port import OrderFilter
from wholekit.services.orders import list_orders, show_order
from wholekit.services.ports import JobFilter, Page, snapshot_of
from wholekit.services.questions import job_questions
from wholekit.views.jobs import JobAnswer, JobRowAnswer, header_answer, job_answer, job_row_answer
from wholekit.views.pick_room import (
    OrderAnswer,
    OrderRowAnswer,
    WaveAnswer,
    order_answer,
    order_row,
    wave_answer,
)
from wholekit.views.previews import PreviewAnswer, preview_answers
from wholekit.views.questions import AskingAnswer, asking_answer
from wholekit.views.quotes import QuoteAnswer, quote_answer
from wholekit.views.reviews import ReviewAnswer, RevisionAnswer, review_answer, revision_answer
from wholekit.web.faults import sentences, status_of
from wholekit.web.numbers import InPath, Skipped
from wholekit.web.place import place_of
from wholekit.wording.pick_answers import say_answer

_BEARER = HTTPBearer(auto_error=False, description="A token: wholekit house token NAME --for …")
MOST_ROWS = 200


class TokenAskedError(Exception):
    """No token, or one that no longer holds."""


class RefusedCall(BaseModel):
    """What was wrong: a code of ours, and sentences."""

    code: str
    said: list[str]


class JobToMake(BaseModel):
    """A new job."""

    name: str = Field(max_length=120)
    customer: str = Field(max_length=120)
    site: str = Field(default="", max_length=120)
    stock_first: bool = False


class OpeningsToRead(BaseModel):
    """Openings in shorthand, a line each."""

    lines: list[str] = Field(max_length=200)


class QuoteToIssue(BaseModel):
    """How a quote is issued."""

    without_stopped: bool = False


class ScanToTake(BaseModel):
    """A scan at the cart. scan_id: the scanner's own, so that one sent twice counts once."""

    scan: str = Field(max_length=20_000)
    scan_id: str = Field(default="", max_length=80)
    into: str = Field(default="", max_length=80)


class JobsAnswer(BaseModel):
    """A part of the jobs, and how many there are."""

    jobs: list[JobRowAnswer]
    count: int


class OrdersAnswer(BaseModel):
    """A part of the orders, and how many there are."""

    orders: list[OrderRowAnswer]
    count: int


class IssueAnswer(BaseModel):
    """What came of issuing: the revision, or what stands against it."""

    revision: RevisionAnswer | None
    review: ReviewAnswer


class ScanAnswer(BaseModel):
    """What came of a scan. into: the bag that is open now; said: in words, the first short."""

    right: bool
    said: list[str]
    into: str
    whole: bool


def machine(
    request: Request, given: Annotated[HTTPAuthorizationCredentials | None, Depends(_BEARER)]
) -> Deed:
    """What the machine with this token does or asks. Raises TokenAskedError."""
    place = place_of(request)
    now = place.clock()
    token = "" if given is None else given.credentials
    found: Seated | None = seated(place.desk.store, place.keys, now, token)
    if found is None or found.must_change:
        raise TokenAskedError
    return found.deed(now)


Asks = Annotated[Deed, Depends(machine)]
FAULTS: dict[int | str, dict[str, Any]] = {
    status: {"model": RefusedCall, "description": words}
    for status, words in (
        (401, "No token, or one that no longer holds."),
        (403, "The token's role may not."),
        (404, "There is no such thing."),
        (409, "Somebody else was first, or something stands against it."),
        (422, "The call was wrong."),
    )
}
api = APIRouter()


@api.get("/jobs")
def jobs(request: Request, deed: Asks, text: str = "", skip: Skipped = 0) -> JobsAnswer:
    """Jobs, the latest first, that hold a text; up to 200 from where it is said to skip to."""
    part = Page(skip, MOST_ROWS)
    rows, count = list_jobs(place_of(request).desk, deed, JobFilter(text=text[:200]), part)
    return JobsAnswer(jobs=list(map(job_row_answer, rows)), count=count)


@api.post("/jobs", status_code=201)
def make_job(request: Request, deed: Asks, new: JobToMake) -> dict[str, object]:
    """Begin a job."""
    made = create_job(
        place_of(request).desk,
        deed,
        NewJob(new.name, new.customer, new.site, stock_first=new.stock_first),
    )
    return header_answer(made)


@api.get("/jobs/{job}")
def one_job(request: Request, deed: Asks, job: str) -> JobAnswer:
    """A job whole, at today's prices."""
    desk = place_of(request).desk
    return job_answer(view_job(desk, deed, job), desk.rules, deed.day)


@api.post("/jobs/{job}/preview")
def preview(request: Request, deed: Asks, job: str, given: OpeningsToRead) -> list[PreviewAnswer]:
    """What openings would be in a job; nothing is written."""
    desk = place_of(request).desk
    openings = read_openings(None, given.lines, desk.rules)
    return list(preview_answers(preview_openings(desk, deed, job, openings), desk.rules))


@api.post("/jobs/{job}/openings", status_code=201)
def add_openings(request: Request, deed: Asks, job: str, given: OpeningsToRead) -> JobAnswer:
    """Put openings into a job, all of them or none."""
    desk = place_of(request).desk
    openings = read_openings(None, given.lines, desk.rules)
    job_openings.add_openings(desk, deed, job, openings)
    return job_answer(view_job(desk, deed, job), desk.rules, deed.day)


@api.get("/jobs/{job}/questions")
def questions(request: Request, deed: Asks, job: str) -> AskingAnswer:
    """What only the customer can say and would change a kit."""
    return asking_answer(job_questions(place_of(request).desk, deed, job))


@api.post("/jobs/{job}/issue")
def issue(
    request: Request, response: Response, deed: Asks, job: str, given: QuoteToIssue
) -> IssueAnswer:
    """Issue a job's quote; status 409, with what stands against it, where it may not go."""
    desk = place_of(request).desk
    done = quotes.issue_quote(desk, deed, job, leave_stopped=given.without_stopped)
    if done.revision is None:
        response.status_code = 409
    return IssueAnswer(
        revision=None
        if done.revision is None
        else revision_answer(done.revision, done.revision.state),
        review=review_answer(done.review, desk.rules),
    )


@api.get("/quotes/{quote}/{revision}")
def one_quote(request: Request, deed: Asks, quote: str, revision: InPath) -> QuoteAnswer:
    """An issued revision as it was sent."""
    found = quote_reading.issued_revision(place_of(request).desk, deed, f"{quote}/{revision}")
    return quote_answer(snapshot_of(found).offer, found.snapshot_digest, found.acceptance)


@api.get("/orders")
def orders(request: Request, deed: Asks, skip: Skipped = 0) -> OrdersAnswer:
    """Orders of the pick room, the most pressing first."""
    part = Page(skip, MOST_ROWS)
    rows, count = list_orders(place_of(request).desk, deed, OrderFilter(), part)
    return OrdersAnswer(orders=list(map(order_row, rows)), count=count)


@api.get("/orders/{quote}/{revision}")
def one_order(request: Request, deed: Asks, quote: str, revision: InPath) -> OrderAnswer:
    """An order with its bags, and what those wait for that are not whole."""
    return order_answer(show_order(place_of(request).desk, deed, f"{quote}/{revision}"))


@api.post("/waves", status_code=201)
def begin_wave(request: Request, deed: Asks) -> WaveAnswer:
    """Begin a wave of bags that are ready."""
    place = place_of(request)
    return wave_answer(waves.open_wave(place.desk, deed, walk=place.style().walk))


@api.get("/waves/{wave}")
def one_wave(request: Request, deed: Asks, wave: InPath) -> WaveAnswer:
    """A wave, and what is still to take."""
    place = place_of(request)
    return wave_answer(waves.wave_shown(place.desk, deed, wave, place.style().walk))


@api.post("/waves/{wave}/scans")
def scan(request: Request, deed: Asks, wave: InPath, given: ScanToTake) -> ScanAnswer:
    """A scan, judged at once; one that is refused is answered so, and the call was right."""
    place = place_of(request)
    walk = waves.wave_shown(place.desk, deed, wave, place.style().walk).walk
    done = picks.scan(place.desk, deed, wave, given.scan, given.scan_id, given.into, walk)
    return ScanAnswer(
        right=not done.refused,
        said=list(say_answer(done.answer, done.bag, done.places)),
        into="" if done.bag is None or done.bag.closed else str(done.bag.id),
        whole=done.bag is not None and done.bag.whole,
    )


def machines_door() -> FastAPI:
    """The application that machines speak to; one for each place."""
    made = FastAPI(
        title="wholekit",
        version="1",
        description="Jobs, quotes and the pick room. Amounts are decimal texts with their "
        "currency. No cost is in any answer.",
        responses=FAULTS,
        docs_url=None,
        redoc_url=None,
    )
    made.include_router(api)
    for kind, told in (
        (TokenAskedError, _token_asked),
        (WholekitError, _wrong),
        (QuantityError, _unreadable),
        (RequestValidationError, _shape),
        (HTTPException, _http),
    ):
        made.add_exception_handler(kind, told)
    return made


def _token_asked(_request: Request, _error: Exception) -> Response:
    fault = RefusedCall(code="token-asked", said=["Send a token: Authorization: Bearer …"])
    return JSONResponse(fault.model_dump(), 401, {"www-authenticate": "Bearer"})


def _wrong(_request: Request, error: Exception) -> Response:
    if not isinstance(error, WholekitError):
        raise error
    fault = RefusedCall(code=error.code, said=sentences(error))
    return JSONResponse(fault.model_dump(), status_of(error))


def _unreadable(_request: Request, error: Exception) -> Response:
    if not isinstance(error, QuantityError):
        raise error
    return JSONResponse(RefusedCall(code=error.code, said=sentences(error)).model_dump(), 422)


def _shape(_request: Request, error: Exception) -> Response:
    if not isinstance(error, RequestValidationError):
        raise error
    said = [f"{'.'.join(map(str, each['loc']))}: {each['msg']}" for each in error.errors()]
    return JSONResponse(RefusedCall(code="shape-wrong", said=said).model_dump(), 422)


def _http(_request: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else 500
    return JSONResponse(RefusedCall(code="no-such-thing", said=[str(error)]).model_dump(), status)
