"""A contractor's own sheet, dropped on a job: how it was read, and its openings put in."""

from base64 import b64decode, b64encode
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.errors import CallError, InputError, WholekitError
from wholekit.domain.quotes.roles import Action
from wholekit.intake.openings import profile_words, readers_of
from wholekit.intake.sheet import ReadSheet, read_sheet
from wholekit.intake.sheet_choices import parse_choices
from wholekit.services import job_openings
from wholekit.services.accounts import Seated
from wholekit.services.jobs import job_header
from wholekit.services.sheets import kept_choices
from wholekit.web.faults import sentences, status_of
from wholekit.web.place import place_of
from wholekit.web.screens import go, page
from wholekit.web.seats import deed_of, file_of, posted, sits, text_of, texts_of
from wholekit.wording.openings import leaf_text, summary
from wholekit.wording.reading import say_reading

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]
Changes = Annotated[Seated, sits(Action.CHANGE_JOBS)]
# A sheet goes through the browser and back, so that nothing is kept of one that is given up.
MOST_BYTES = 6 * 1024 * 1024
ROWS_SHOWN = 400


@room.post("/jobs/{number}/sheet")
async def sheet(request: Request, number: str, _seated: Changes, form: Form) -> Response:
    """How a sheet is read; nothing is written yet."""
    file = file_of(form, "sheet")
    if file is None:
        data, name = _sent_back(form)
    else:
        data, name = await file.read(), file.filename or ""
    return await run_in_threadpool(_shown, request, number, form, data, name)


@room.post("/jobs/{number}/sheet/take")
def take(request: Request, number: str, _seated: Changes, form: Form) -> Response:
    """Put the sheet's openings into the job, all of them or none."""
    data, name = _sent_back(form)
    try:
        found = _read(request, number, form, data, name)
        if found.problems:
            raise InputError(list(found.problems), sheet=True)
        job_openings.add_openings(
            place_of(request).desk,
            deed_of(request),
            number,
            list(found.openings),
            unasked=found.unasked,
        )
    except WholekitError as error:
        return _shown(request, number, form, data, name, sentences(error), status_of(error))
    return go(f"/jobs/{number}")


def _sent_back(form: FormData) -> tuple[bytes, str]:
    """The sheet as the page before holds it, and its name; empty where that was tampered with."""
    try:
        data = b64decode(text_of(form, "data"), validate=True)
    except ValueError:
        data = b""
    return data, text_of(form, "name")


def _read(request: Request, number: str, form: FormData, data: bytes, name: str) -> ReadSheet:
    place = place_of(request)
    rules = place.desk.rules
    if not data:
        raise CallError("sheet-wanted")
    if len(data) > MOST_BYTES:
        raise CallError("sheet-too-large", most=MOST_BYTES // (1024 * 1024))
    customer = job_header(place.desk, deed_of(request), number).customer
    kept = kept_choices(place.desk, deed_of(request), customer)
    columns = [each for each in texts_of(form, "column") if each]
    values = [each for each in text_of(form, "values").splitlines() if each.strip()]
    said = parse_choices(text_of(form, "page"), columns, values, readers_of(rules))
    return read_sheet(
        data,
        name,
        finishes=FinishBook(rules),
        jurisdictions=profile_words(rules),
        choices=said.over(kept),
        left_out=[each for each in text_of(form, "left_out").split(",") if each.strip()],
    )


def _shown(
    request: Request,
    number: str,
    form: FormData,
    data: bytes,
    name: str,
    said: tuple[str, ...] | list[str] = (),
    status: int = 200,
) -> Response:
    header = job_header(place_of(request).desk, deed_of(request), number)
    told = {field: text_of(form, field) for field in ("values", "left_out", "page")}
    found: ReadSheet | None = None
    try:
        found = _read(request, number, form, data, name)
        said = said or (sentences(InputError(list(found.problems))) if found.problems else ())
    except WholekitError as error:
        said, status = said or sentences(error), status_of(error)
    return page(
        request,
        "sheet.html",
        status if status != 200 or not said else 422,
        number=header.number,
        label=header.label,
        job_name=header.name,
        name=name,
        data=b64encode(data).decode("ascii") if len(data) <= MOST_BYTES else "",
        told=told,
        columns=[each for each in texts_of(form, "column") if each],
        said=said,
        reading=[] if found is None else list(say_reading(found.reading)),
        openings=[]
        if found is None
        else [
            (each.mark, each.quantity, leaf_text(each.type), summary(each.type), each.note)
            for each in found.openings[:ROWS_SHOWN]
        ],
        count=0 if found is None else len(found.openings),
        ready=found is not None and not found.problems and bool(found.openings),
    )
