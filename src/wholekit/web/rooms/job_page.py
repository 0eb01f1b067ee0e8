"""A job: its openings on one page, the line they are entered by, what that would come to."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.domain.errors import CallError, InputError, Problem, WholekitError
from wholekit.domain.openings import Opening
from wholekit.domain.quantities import QuantityError
from wholekit.domain.quotes import OverrideKind, State
from wholekit.domain.quotes.roles import Action
from wholekit.domain.quotes.worked import standing
from wholekit.domain.rules import RuleBook
from wholekit.intake.changes import changed
from wholekit.intake.openings import read_opening_changes, read_openings
from wholekit.services import job_openings
from wholekit.services.accounts import Seated
from wholekit.services.job_previews import preview_openings
from wholekit.services.job_view import JobView, view_job
from wholekit.services.one_view import one_view
from wholekit.services.quote_reading import quote_revisions
from wholekit.views.jobs import JobAnswer, job_answer
from wholekit.views.kits import PriceAnswer, price_answer
from wholekit.views.previews import preview_answers
from wholekit.views.reviews import request_answer, revision_answer
from wholekit.web.entry_words import sayable
from wholekit.web.faults import sentences, status_of
from wholekit.web.papers import paper_names
from wholekit.web.place import place_of
from wholekit.web.screens import go, heard, page
from wholekit.web.seats import deed_of, posted, sits, text_of, texts_of

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]
Sees = Annotated[Seated, sits(Action.SEE_JOBS)]
Changes = Annotated[Seated, sits(Action.CHANGE_JOBS)]
MOST_LINES = 200
# Warnings of a note, told in full at each opening.
AT_OPENINGS = ("note-says-more", "mark-several")
# What a cell of the table changes: a column, or whatever its words say.
WORDS = "words"
CELLS = ("mark", "quantity", "size", WORDS, "mount", "spring_size")
# What is asked for before a quote is issued.
PAPERS = ("quote", "pick-list", "kit-labels", "submittal")


@dataclass(frozen=True, slots=True)
class _Chosen:
    """Openings that are ticked, the words that are to change them, and whether they are asked to
    leave."""

    marks: tuple[str, ...] = ()
    words: str = ""
    leaving: bool = False


NOTHING_CHOSEN = _Chosen()


@room.get("/jobs/{number}")
def job(request: Request, number: str, _seated: Sees) -> Response:
    """A job whole, at today's prices; for a script the part that its openings change."""
    if request.headers.get("x-part"):
        return _state(request, number)
    return _job_page(request, number)


@room.post("/jobs/{number}/preview")
def preview(request: Request, number: str, _seated: Sees, form: Form) -> Response:
    """What the lines in the entry would be; nothing is written."""
    lines = _lines(form)
    if not lines:
        return page(request, "parts/preview.html", shown=(), said=())
    place = place_of(request)
    try:
        openings = _openings(lines, place.desk.rules)
        found = preview_openings(place.desk, deed_of(request), number, openings)
    except (WholekitError, QuantityError) as error:
        # Half a line is no fault: it is told as what is still wanted.
        return page(request, "parts/preview.html", shown=(), said=_said(request, error, lines))
    with heard(request):
        shown = preview_answers(found, place.desk.rules)
    return page(request, "parts/preview.html", shown=shown, said=())


@room.post("/jobs/{number}/openings")
def add(request: Request, number: str, _seated: Changes, form: Form) -> Response:
    """Put openings into the job, all of the lines or none."""
    place, lines = place_of(request), _lines(form)
    try:
        openings = _openings(lines, place.desk.rules)
        job_openings.add_openings(place.desk, deed_of(request), number, openings)
    except (WholekitError, QuantityError) as error:
        said = _said(request, error, lines)
        return _job_page(request, number, said, status_of(error), "\n".join(lines))
    return go(f"/jobs/{number}#entry")


@room.post("/jobs/{number}/change")
def change(request: Request, number: str, _seated: Changes, form: Form) -> Response:
    """Change the openings that were marked, or take them out; all or none. What is taken out is
    gone, so it is asked first, by name."""
    place, deed = place_of(request), deed_of(request)
    marks, said = texts_of(form, "mark"), text_of(form, "words")
    chosen = _Chosen(tuple(marks), said)
    try:
        if not marks:
            raise CallError("marks-needed")
        if text_of(form, "deed") == "remove":
            if text_of(form, "sure") != " ".join(marks):
                return _job_page(request, number, chosen=replace(chosen, leaving=True))
            job_openings.remove_openings(place.desk, deed, number, marks)
        else:
            values = read_opening_changes(said.split(), place.desk.rules)
            if not values:
                raise CallError("one-change-needed", right="fire 90, finish 689, mount=parallel")
            job_openings.edit_openings(
                place.desk, deed, number, marks, lambda old: changed(old, values)
            )
    except (WholekitError, QuantityError) as error:
        told, status = _said(request, error, ()), status_of(error)
        return _job_page(request, number, told, status, chosen=chosen)
    return go(f"/jobs/{number}")


@room.post("/jobs/{number}/openings/{mark}/cell")
def cell(request: Request, number: str, mark: str, _seated: Changes, form: Form) -> Response:
    """Change one cell of the table of openings, if nobody else changed its opening meanwhile."""
    place, deed = place_of(request), deed_of(request)
    column, value, seen = text_of(form, "column"), text_of(form, "value"), text_of(form, "version")
    try:
        if column not in CELLS or not seen.isdecimal():
            raise CallError("answer-wanted")
        told = value.split() if column == WORDS else [f"{column}={value}"]
        values = read_opening_changes(told, place.desk.rules) if told else {}
        job_openings.edit_opening(
            place.desk,
            deed,
            number,
            mark,
            lambda old: changed(old, values),
            text_of(form, "alternate"),
            int(seen),
        )
    except (WholekitError, QuantityError) as error:
        said = _said(request, error, ())
        return page(request, "parts/said.html", status_of(error), said=said)
    return _state(request, number)


def _lines(form: FormData) -> list[str]:
    given = form.get("lines")
    lines = given.splitlines() if isinstance(given, str) else []
    return [line.strip() for line in lines if line.strip()]


def _openings(lines: Sequence[str], rules: RuleBook) -> list[Opening]:
    if len(lines) > MOST_LINES:
        raise CallError("lines-too-many", given=len(lines), most=MOST_LINES)
    return read_openings(None, lines, rules)


def _job_page(
    request: Request,
    number: str,
    said: Sequence[str] = (),
    status: int = 200,
    lines: str = "",
    chosen: _Chosen = NOTHING_CHOSEN,
) -> Response:
    place, deed = place_of(request), deed_of(request)
    with one_view(place.desk) as desk:
        view = view_job(desk, deed, number)
        found = quote_revisions(desk, deed, number)
    with heard(request):
        answer = _told_once(job_answer(view, place.desk.rules, deed.day))
        words = sayable()
    revisions = [revision_answer(revision, revision.state_on(deed.day)) for revision in found]
    return page(
        request,
        "job.html",
        status,
        job=answer,
        number=view.job.number,
        revisions=revisions,
        asked=next(
            (
                request_answer(each.request)
                for each in found
                if each.state is State.DRAFT and each.request is not None and each.request.waiting
            ),
            None,
        ),
        said=said,
        lines=lines,
        sayable=words,
        chosen=chosen,
        discounted=_discounted(view),
        papers={name: words for name, words in paper_names(request).items() if name in PAPERS},
        faults=[sentence for fault in view.faults for sentence in _fault(fault)],
    )


def _discounted(view: JobView) -> tuple[PriceAnswer, PriceAnswer, bool] | None:
    """The base bid's hardware at the customer's own prices, what is taken off, and whether prices
    by hand are part of that; None without a discount."""
    if view.workup is None or not view.job.discount:
        return None
    base = [opening for opening in view.workup.job.openings if not opening.entry.alternate]
    if not base:
        return None
    whole = sum((each.tier_price for each in base[1:]), base[0].tier_price)
    asked = sum((each.price for each in base[1:]), base[0].price)
    by_hand = any(
        each.kind is OverrideKind.PRICE for one in base for each in standing(one.entry.overrides)
    )
    return price_answer(whole), price_answer(asked - whole), by_hand


def _told_once(answer: JobAnswer) -> JobAnswer:
    """The job without the warnings that stand at their opening in the table."""
    kept = tuple(each for each in answer.warnings if each.code not in AT_OPENINGS)
    return replace(answer, warnings=kept)


def _state(request: Request, number: str) -> Response:
    place, deed = place_of(request), deed_of(request)
    with one_view(place.desk) as desk:
        view = view_job(desk, deed, number)
    with heard(request):
        answer = _told_once(job_answer(view, place.desk.rules, deed.day))
    return page(
        request,
        "parts/job_state.html",
        job=answer,
        number=view.job.number,
        chosen=NOTHING_CHOSEN,
        discounted=_discounted(view),
    )


def _said(
    request: Request, error: WholekitError | QuantityError, lines: Sequence[str]
) -> list[str]:
    with heard(request):
        return sentences(error, lines)


def _fault(fault: CallError | Problem) -> list[str]:
    return sentences(InputError([fault]) if isinstance(fault, Problem) else fault)
