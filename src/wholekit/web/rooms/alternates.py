"""Alternates of a job: what each offers, takes out of the base bid, and puts in."""

from collections.abc import Sequence
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.domain.errors import CallError, WholekitError
from wholekit.domain.openings import plain_mark
from wholekit.domain.quantities import QuantityError
from wholekit.domain.quotes import Alternate
from wholekit.domain.quotes.roles import Action
from wholekit.intake.openings import read_openings
from wholekit.services import job_openings, jobs
from wholekit.services.accounts import Seated
from wholekit.services.job_view import view_job
from wholekit.views.jobs import job_answer
from wholekit.web.faults import sentences, status_of
from wholekit.web.place import place_of
from wholekit.web.screens import go, page
from wholekit.web.seats import deed_of, posted, sits, text_of, texts_of

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]


@room.get("/jobs/{number}/alternates")
def alternates(
    request: Request, number: str, _seated: Annotated[Seated, sits(Action.SEE_JOBS)]
) -> Response:
    """The alternates, with their prices."""
    return _alternates(request, number)


@room.post("/jobs/{number}/alternates")
def change(
    request: Request,
    number: str,
    _seated: Annotated[Seated, sits(Action.CHANGE_JOBS)],
    form: Form,
) -> Response:
    """Add or set an alternate, put openings into it, take them out, drop it once it is empty."""
    place, deed = place_of(request), deed_of(request)
    what, code = text_of(form, "deed"), text_of(form, "code")
    marks = texts_of(form, "mark")
    try:
        if what == "set":
            title = " ".join(text_of(form, "title").split())
            option = Alternate(code, title, tuple(map(plain_mark, texts_of(form, "deduct"))))
            jobs.set_alternate(place.desk, deed, number, option)
        elif what == "drop":
            jobs.remove_alternate(place.desk, deed, number, code)
        elif what == "put-in":
            line = text_of(form, "line")
            openings = read_openings(None, [line] if line else [], place.desk.rules)
            job_openings.add_openings(place.desk, deed, number, openings, code)
        elif what == "copy":
            mark = marks[0] if marks else ""
            job_openings.copy_opening(place.desk, deed, number, mark, [mark], to_alternate=code)
        elif what == "take-out":
            job_openings.remove_openings(place.desk, deed, number, marks, code)
        else:
            raise CallError("answer-wanted")
    except (WholekitError, QuantityError) as error:
        return _alternates(request, number, sentences(error), status_of(error))
    return go(f"/jobs/{number}/alternates")


def _alternates(
    request: Request, number: str, said: Sequence[str] = (), status: int = 200
) -> Response:
    place, deed = place_of(request), deed_of(request)
    view = view_job(place.desk, deed, number)
    answer = job_answer(view, place.desk.rules, deed.day)
    return page(
        request,
        "alternates.html",
        status,
        job=answer,
        number=view.job.number,
        base=[each.mark for each in answer.openings if not each.alternate],
        said=said,
    )
