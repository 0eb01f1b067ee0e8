"""What only the customer can say: short questions, the dearest first, and their answers."""

import dataclasses
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Annotated, Any
from urllib.parse import quote, urlencode

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import FormData, QueryParams
from starlette.responses import Response

from wholekit.domain.errors import CallError, WholekitError
from wholekit.domain.openings import Opening
from wholekit.domain.quantities import QuantityError
from wholekit.domain.quotes.roles import Action
from wholekit.domain.rules import RuleBook
from wholekit.intake.changes import changed
from wholekit.intake.openings import read_opening_changes
from wholekit.services.accounts import Seated
from wholekit.services.jobs import job_contents, job_header
from wholekit.services.questions import GivenAnswer, answer_openings, job_questions
from wholekit.views.facts import COLUMNS, fact_texts
from wholekit.views.questions import asking_answer
from wholekit.web.faults import sentences, status_of
from wholekit.web.place import place_of
from wholekit.web.screens import go, heard, page
from wholekit.web.seats import deed_of, posted, sits, text_of, texts_of
from wholekit.wording.facts import label_of
from wholekit.wording.questions import marks_text

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]


# Marks that an address names after an answer.
MOST_TOLD = 40


@dataclass(frozen=True, slots=True)
class _Typed:
    """What stands in the form of a question, or went out of it. place: of the question on the page
    [count from 0]; ticked: marks; beside: answers by mark; more: marks that are not named."""

    field: str = ""
    place: int = 0
    other: str = ""
    ticked: tuple[str, ...] = ()
    beside: Mapping[str, str] = dataclasses.field(default_factory=dict)
    more: int = 0


NOTHING = _Typed()


@room.get("/jobs/{number}/questions")
def questions(
    request: Request, number: str, _seated: Annotated[Seated, sits(Action.SEE_JOBS)]
) -> Response:
    """What is asked of a job, with what each answer would come to; after an answer what was set
    where."""
    return _questions(request, number, told=_told_of(request.query_params))


@room.post("/jobs/{number}/questions")
def answer(
    request: Request,
    number: str,
    _seated: Annotated[Seated, sits(Action.CHANGE_JOBS)],
    form: Form,
) -> Response:
    """Put an answer into the openings that are ticked, or to each the one beside it."""
    place = place_of(request)
    field, value = text_of(form, "field"), text_of(form, "answer") or text_of(form, "other")
    pairs = zip(texts_of(form, "by_mark"), texts_of(form, "by_value"), strict=False)
    beside = {mark: text for mark, text in pairs if text}
    # Enter in a field takes what was typed, wherever it was.
    enters = text_of(form, "deed") == "typed" and not text_of(form, "other") and bool(beside)
    by_mark = enters or text_of(form, "deed") == "by-mark"
    given = beside if by_mark else dict.fromkeys(texts_of(form, "mark"), value)
    at = text_of(form, "place")
    typed = _Typed(
        field, int(at) if _short(at) else 0, text_of(form, "other"), tuple(texts_of(form, "mark")),
        beside,
    )  # fmt: skip
    try:
        if not field or not (beside if by_mark else value):
            raise CallError("answer-wanted")
        if not given:
            raise CallError("marks-needed")
        for alternate, answers in _by_alternate(field, given, place.desk.rules).items():
            answer_openings(place.desk, deed_of(request), number, answers, alternate)
    except (WholekitError, QuantityError) as error:
        with heard(request):
            said = sentences(error)
        return _questions(request, number, said, status_of(error), typed)
    set_there = [("place", typed.place), ("field", field), ("more", max(0, len(given) - MOST_TOLD))]
    marks = [("mark", mark) for mark in list(given)[:MOST_TOLD]]
    return go(f"/jobs/{number}/questions?{urlencode([*set_there, *marks])}#q{typed.place}")


def _short(text: str) -> bool:
    return text.isdecimal() and len(text) < 6


def _named(mark: str) -> tuple[str, str]:
    """A mark and the alternate it is of, from `103 [alt-1]`."""
    name, _, alternate = mark.removesuffix("]").partition(" [")
    return name, alternate


def _by_alternate(
    field: str, given: Mapping[str, str], rules: RuleBook
) -> dict[str, list[GivenAnswer]]:
    """Answers by the alternate that their openings are of. given: texts by mark. Raises
    InputError."""
    found: dict[str, list[GivenAnswer]] = {}
    for text in dict.fromkeys(given.values()):
        values = read_opening_changes([f"{field}={text}"], rules)
        for alternate, marks in _sorted_out(mark for mark, said in given.items() if said == text):
            found.setdefault(alternate, []).append(
                GivenAnswer(values.keys(), partial(_answered, values), marks)
            )
    return found


def _answered(values: Mapping[str, Any], old: Opening) -> Opening:
    return changed(old, values)


def _sorted_out(marks: Iterable[str]) -> Iterable[tuple[str, list[str]]]:
    found: dict[str, list[str]] = {}
    for name, alternate in map(_named, marks):
        found.setdefault(alternate, []).append(name)
    return found.items()


def _told_of(query: QueryParams) -> _Typed:
    """What the page before has set, as its address tells it: a field and marks."""
    at, more = query.get("place", ""), query.get("more", "")
    return _Typed(
        query.get("field", ""),
        int(at) if _short(at) else 0,
        ticked=tuple(query.getlist("mark")[:MOST_TOLD]),
        more=int(more) if _short(more) else 0,
    )


def _set_now(request: Request, number: str, told: _Typed) -> list[tuple[str, str, str]]:
    """Each opening that an answer went to, what it says now, and its address."""
    if told.field not in COLUMNS:
        return []
    contents = job_contents(place_of(request).desk, deed_of(request), number)
    there = {(each.mark, each.alternate): each.opening for each in contents.openings}
    found = []
    for mark in told.ticked:
        name, alternate = _named(mark)
        if opening := there.get((name, alternate)):
            behind = f"?alternate={quote(alternate)}" if alternate else ""
            address = f"/jobs/{contents.job.number}/openings/{quote(name, safe='')}{behind}"
            found.append((mark, fact_texts(opening)[told.field], address))
    return found


def _questions(
    request: Request,
    number: str,
    said: tuple[str, ...] | list[str] = (),
    status: int = 200,
    told: _Typed = NOTHING,
) -> Response:
    place, deed = place_of(request), deed_of(request)
    header = job_header(place.desk, deed, number)
    asked = job_questions(place.desk, deed, number)
    set_now = _set_now(request, number, told) if told.ticked and not said else []
    with heard(request):
        label = label_of(told.field) if set_now else ""
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
        told=told,
        set_now=set_now,
        set_label=label,
    )
