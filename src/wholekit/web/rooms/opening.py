"""One opening of a job: its kits side by side, why it gets the one it has, what stops it."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.domain.errors import CallError, WholekitError
from wholekit.domain.quantities import QuantityError
from wholekit.domain.quotes.roles import Action
from wholekit.services import choices as service
from wholekit.services.accounts import Seated
from wholekit.services.availability import calendar_of
from wholekit.services.catalogs import list_catalogs
from wholekit.services.holidays import list_holidays
from wholekit.services.job_openings import release_stop
from wholekit.services.job_trials import opening_worked
from wholekit.services.reviews import OpenStop
from wholekit.views.choices import choices_answer
from wholekit.views.jobs import signs_of
from wholekit.views.reviews import stop_answer, warnings_of
from wholekit.views.trees import tree_answer
from wholekit.web.faults import sentences, status_of
from wholekit.web.place import place_of
from wholekit.web.screens import go, page
from wholekit.web.seats import deed_of, posted, sits, text_of
from wholekit.wording.findings import say_finding
from wholekit.wording.openings import leaf_text, summary

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]


@room.get("/jobs/{number}/openings/{mark}")
def opening(
    request: Request,
    number: str,
    mark: str,
    _seated: Annotated[Seated, sits(Action.SEE_JOBS)],
    alternate: str = "",
) -> Response:
    """The opening, with its choices and reasons."""
    return _opening(request, number, mark, alternate)


@room.post("/jobs/{number}/openings/{mark}")
def decide(
    request: Request,
    number: str,
    mark: str,
    _seated: Annotated[Seated, sits(Action.CHANGE_JOBS)],
    form: Form,
) -> Response:
    """Take one of the kits, or let a stop go for a reason that prints."""
    place, deed = place_of(request), deed_of(request)
    alternate, what = text_of(form, "alternate"), text_of(form, "deed")
    try:
        if what == "release":
            reason = text_of(form, "reason")
            release_stop(place.desk, deed, number, mark, text_of(form, "code"), reason, alternate)
        elif what == "choose":
            word = text_of(form, "word")
            service.choose(place.desk, deed, number, [mark], word, alternate=alternate)
        else:
            raise CallError("answer-wanted")
    except (WholekitError, QuantityError) as error:
        return _opening(request, number, mark, alternate, sentences(error), status_of(error))
    behind = f"?alternate={alternate}" if alternate else ""
    return go(f"/jobs/{number}/openings/{mark}{behind}")


def _opening(
    request: Request,
    number: str,
    mark: str,
    alternate: str,
    said: tuple[str, ...] | list[str] = (),
    status: int = 200,
) -> Response:
    place, deed = place_of(request), deed_of(request)
    rules = place.desk.rules
    workup = opening_worked(place.desk, deed, number, mark, alternate)
    (worked,) = workup.job.openings
    stored = list_catalogs(place.desk.store, deed)
    calendar = calendar_of(rules, list_holidays(place.desk, deed))
    (found,) = service.job_choices(place.desk, deed, number, [mark], alternate)
    answer = choices_answer(
        found,
        {revision.catalog_id: revision.supplier for revision in stored},
        rules,
        lambda days: calendar.after(deed.day, days),
    )
    entry = worked.entry
    return page(
        request,
        "opening.html",
        status,
        number=workup.job.contents.job.number,
        label=workup.job.contents.job.label,
        job_name=workup.job.contents.job.name,
        mark=entry.mark,
        alternate=entry.alternate,
        leaf=leaf_text(entry.opening.type),
        text=summary(entry.opening.type),
        room_name=entry.opening.room,
        note=entry.opening.note,
        quantity=entry.opening.quantity,
        choices=answer,
        tree=tree_answer(worked, rules),
        stops=[
            (stop_answer(OpenStop(entry.mark, entry.alternate, finding), rules),
             say_finding(finding, rules).hint)
            for finding in worked.open_stops()
        ],
        missing=[piece.role.value for piece in worked.kit.missing],
        warnings=warnings_of([worked]),
        signs=signs_of(entry),
        said=said,
    )  # fmt: skip
