"""Quotes: looked over, issued, shown as they were sent, accepted or lost."""

from collections import Counter
from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.domain.errors import CallError, WholekitError
from wholekit.domain.orders import BagState
from wholekit.domain.quotes import Acceptance, Revision, State
from wholekit.domain.quotes.roles import Action, may
from wholekit.services import orders, quote_reading, quotes
from wholekit.services.accounts import Seated
from wholekit.services.approvals import review_job
from wholekit.services.ports import snapshot_of
from wholekit.services.reviews import Review
from wholekit.views.quotes import quote_answer
from wholekit.views.reviews import review_answer, revision_answer
from wholekit.web.days import read_day
from wholekit.web.faults import sentences, status_of
from wholekit.web.numbers import InPath
from wholekit.web.place import place_of
from wholekit.web.screens import go, heard, page
from wholekit.web.seats import deed_of, posted, sits, text_of, texts_of
from wholekit.wording.job_sentences import LOST
from wholekit.wording.speech import tr, trn
from wholekit.wording.text_order import marks_in_order

room = APIRouter()


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """Another revision of a quote that is in the pick room; later: it took this one's place."""

    label: str
    later: bool


Form = Annotated[FormData, Depends(posted)]
Sees = Annotated[Seated, sits(Action.SEE_QUOTES)]


MARKS_TOLD = 12
# Fields of the forms that close a quote.
TYPED = ("deed", "order", "day", "remark", "because")


@dataclass(frozen=True, slots=True)
class _Told:
    """What stands in the form of a review: words to the customer, why an owner is asked, and
    whether what is stopped stays out."""

    words: str = ""
    why: str = ""
    without: bool = False


@room.get("/jobs/{number}/review")
def review(
    request: Request, number: str, _seated: Annotated[Seated, sits(Action.DRAFT_QUOTES)]
) -> Response:
    """What stands between a job and its quote."""
    return _review(request, number)


@room.post("/jobs/{number}/issue")
def issue(
    request: Request,
    number: str,
    _seated: Annotated[Seated, sits(Action.ISSUE_QUOTES)],
    form: Form,
) -> Response:
    """Issue the quote with the words of the form; or ask an owner, where a limit is exceeded."""
    place, deed = place_of(request), deed_of(request)
    words = " ".join(text_of(form, "cover_note").split())
    why = " ".join(text_of(form, "reason").split())
    without, asks = bool(text_of(form, "without_stopped")), text_of(form, "deed") == "ask"
    told = _Told(words, why, without)
    try:
        done = quotes.issue_quote(
            place.desk,
            deed,
            number,
            leave_stopped=without,
            cover_note=words,
            ask=why if asks else None,
        )
    except WholekitError as error:
        return _review(request, number, sentences(error), status_of(error), told)
    if done.revision is not None:
        return go(f"/quotes/{done.revision.label}")
    if asks and done.review.needs_owner:
        return go(f"/jobs/{done.review.job.number}/review")
    with heard(request):
        said = _not_issued(done.review)
    return _review(request, number, said, 409, told)


@room.get("/quotes/{quote}/{revision}")
def quote_page(request: Request, quote: str, revision: InPath, _seated: Sees) -> Response:
    """A revision as it was sent."""
    return _quote(request, f"{quote}/{revision}")


@room.post("/quotes/{quote}/{revision}/close")
def close(
    request: Request,
    quote: str,
    revision: InPath,
    _seated: Annotated[Seated, sits(Action.CLOSE_QUOTES)],
    form: Form,
) -> Response:
    """The customer accepted, with what alternates, or it was lost, and why."""
    reference = f"{quote}/{revision}"
    place, deed = place_of(request), deed_of(request)
    won = text_of(form, "deed") == "accept"
    if won and not text_of(form, "order") and not text_of(form, "no_order"):
        # The books match orders by it, and an acceptance stands: asked for once.
        with heard(request):
            said = [
                tr("No order number was given: enter it, or tick that it is accepted without one.")
            ]
        return _quote(request, reference, said, 422, form)
    try:
        if won:
            acceptance = Acceptance(
                tuple(texts_of(form, "alternate")),
                " ".join(text_of(form, "order").split()),
                read_day(text_of(form, "day")),
            )
            done = quotes.close_quote(
                place.desk,
                deed,
                reference,
                State.ACCEPTED,
                acceptance=acceptance,
                remark=text_of(form, "remark"),
            )
        else:
            done = quotes.close_quote(
                place.desk,
                deed,
                reference,
                State.DECLINED,
                lost_reason=text_of(form, "because"),
                remark=text_of(form, "remark"),
            )
    except WholekitError as error:
        return _quote(request, reference, sentences(error), status_of(error), form)
    return go(f"/quotes/{done.label}")


@room.post("/quotes/{quote}/{revision}/release")
def release(
    request: Request,
    quote: str,
    revision: InPath,
    _seated: Annotated[Seated, sits(Action.RELEASE_ORDERS)],
    _form: Form,
) -> Response:
    """Send an accepted order to the pick room: all of it that may go out."""
    reference = f"{quote}/{revision}"
    try:
        orders.release_order(
            place_of(request).desk, deed_of(request), reference, orders.ToldRelease()
        )
    except WholekitError as error:
        return _quote(request, reference, sentences(error), status_of(error))
    return go(f"/quotes/{reference}")


def _not_issued(review: Review) -> list[str]:
    """Why nothing was issued, each with what to do."""
    said = []
    if review.stops:
        marks = list(dict.fromkeys(stop.mark for stop in review.stops))
        more = tr("… and {count} more").format(count=len(marks) - MARKS_TOLD)
        said.append(
            trn(
                "Not issued: {marks} is stopped. Mend it, or tick “Leave out”.",
                "Not issued: {marks} are stopped. Mend them, or tick “Leave out”.",
                len(marks),
            ).format(marks=marks_in_order(marks[:MARKS_TOLD] + [more] * (len(marks) > MARKS_TOLD)))
        )
    if review.needs_owner:
        said.append(
            tr("Not issued: a limit is exceeded. Ask the owner, or change discount or prices.")
        )
    return said


def _told_before(drafts: list[Revision]) -> _Told:
    """What the form of a review holds: what would be printed, and what an owner was asked."""
    if not drafts:
        return _Told()
    last = drafts[-1]
    asked, agreed = last.request, last.approvals if last.state is State.DRAFT else ()
    left_out = bool(agreed and agreed[-1].left_out)
    return _Told(
        last.cover_note,
        "" if asked is None else asked.reason,
        left_out if asked is None else asked.leave_stopped,
    )


def _review(
    request: Request,
    number: str,
    said: tuple[str, ...] | list[str] = (),
    status: int = 200,
    told: _Told | None = None,
) -> Response:
    place, deed = place_of(request), deed_of(request)
    shown_as = told or _told_before(list(quote_reading.quote_revisions(place.desk, deed, number)))
    found = review_job(place.desk, deed, number, leave_stopped=shown_as.without)
    known: Seated = request.state.seated
    shown = review_answer(found, place.desk.rules, cost=may(known.person.role, Action.SEE_COST))
    return page(
        request,
        "review.html",
        status,
        review=shown,
        number=found.job.number,
        name=found.job.name,
        said=said,
        told=shown_as,
        needs_owner=found.needs_owner,
    )


def _quote(
    request: Request,
    reference: str,
    said: tuple[str, ...] | list[str] = (),
    status: int = 200,
    form: FormData | None = None,
) -> Response:
    """The page of a quote. form: of a try that failed; what was typed stays in it."""
    place, deed = place_of(request), deed_of(request)
    revision = quote_reading.issued_revision(place.desk, deed, reference)
    snapshot = snapshot_of(revision)
    found = _in_the_pick_room(request, revision)
    elsewhere = None
    if found is not None and found.order.id != revision.id:
        elsewhere = Elsewhere(found.order.label, found.order.revision > revision.number)
    return page(
        request,
        "quote.html",
        status,
        quote=quote_answer(snapshot.offer, revision.snapshot_digest, revision.acceptance),
        revision=revision_answer(revision, revision.state_on(deed.day)),
        job=snapshot.offer.job,
        stands=revision.state_on(deed.day) is State.ISSUED,
        lost=LOST,
        today=deed.day.isoformat(),
        told={name: "" if form is None else text_of(form, name) for name in TYPED},
        taken=[] if form is None else texts_of(form, "alternate"),
        accepted=revision.state is State.ACCEPTED,
        order=None if found is None or elsewhere else _counts(found),
        elsewhere=elsewhere,
        said=said,
    )


def _in_the_pick_room(request: Request, revision: Revision) -> orders.OrderStanding | None:
    """The order of an accepted revision, or of another one of its quote; None for neither."""
    if revision.state is not State.ACCEPTED:
        return None
    try:
        return orders.show_order(place_of(request).desk, deed_of(request), revision.label)
    except CallError as error:
        if error.code != "order-unknown":
            raise
        return None


def _counts(found: orders.OrderStanding) -> dict[str, int]:
    """How many bags of it stand where."""
    counts = Counter(bag.state.value for bag in found.bags)
    return {state.value: counts[state.value] for state in BagState if counts[state.value]}
