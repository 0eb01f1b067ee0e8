"""What only the customer can say: short questions, the dearest first, and their answers."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.domain.errors import CallError, WholekitError
from wholekit.domain.quantities import QuantityError
from wholekit.domain.quotes.roles import Action
from wholekit.intake.changes import changed
from wholekit.intake.openings import read_opening_changes
from wholekit.services.accounts import Seated
from wholekit.services.jobs import job_header
from wholekit.services.questions import GivenAnswer, answer_openings, job_questions
from wholekit.views.questions import asking_answer
from wholekit.web.faults import sentences, status_of
from wholekit.web.place import place_of
from wholekit.web.screens import go, page
from wholekit.web.seats import deed_of, posted, sits, text_of, texts_of
from wholekit.wording.questions import marks_text

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]


@room.get("/jobs/{number}/questions")
def questions(
    request: Request, number: str, _seated: Annotated[Seated, sits(Action.SEE_JOBS)]
) -> Response:
    """What is asked of a job, with what each answer would come to."""
    return _questions(request, number)


@room.post("/jobs/{number}/questions")
def answer(
    request: Request,
    number: str,
    _seated: Annotated[Seated, sits(Action.CHANGE_JOBS)],
    form: Form,
) -> Response:
    """Put an answer into the openings it was asked for."""
    place = place_of(request)
    field, value = text_of(form, "field"), text_of(form, "answer") or text_of(form, "other")
    marks = texts_of(form, "mark")
    try:
        if not field or not value:
            raise CallError("answer-wanted")
        values = read_opening_changes([f"{field}={value}"], place.desk.rules)
        for alternate, named in _by_alternate(marks).items():
            given = GivenAnswer(values.keys(), lambda old: changed(old, values), named)
            answer_openings(place.desk, deed_of(request), number, [given], alternate)
    except (WholekitError, QuantityError) as error:
        return _questions(request, number, sentences(error), status_of(error))
    return go(f"/jobs/{number}/questions")


def _by_alternate(marks: list[str]) -> dict[str, list[str]]:
    """Marks by the alternate they are of, as they are written behind the mark: `103 [alt-1]`."""
    found: dict[str, list[str]] = {}
    for mark in marks or [""]:
        name, _, alternate = mark.removesuffix("]").partition(" [")
        found.setdefault(alternate, []).extend([name] if name else [])
    return found


def _questions(
    request: Request, number: str, said: tuple[str, ...] | list[str] = (), status: int = 200
) -> Response:
    place, deed = place_of(request), deed_of(request)
    header = job_header(place.desk, deed, number)
    asked = job_questions(place.desk, deed, number)
    asking = asking_answer(asked)
    return page(
        request,
        "questions.html",
        status,
        asking=asking,
        where=[marks_text(each.marks, asked.every) for each in asked.questions],
        number=header.number,
        name=header.name,
        label=header.label,
        said=said,
    )
