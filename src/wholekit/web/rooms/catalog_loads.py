"""Loading catalogues: a supplier's sheet, a folder, a rise; looked over first, then loaded."""

from base64 import b64decode, b64encode
from collections.abc import Sequence
from datetime import date
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.catalog.price_sheet import PriceSheet
from wholekit.domain.catalog.rises import PriceRise
from wholekit.domain.errors import CallError, InputError, WholekitError
from wholekit.domain.quantities import QuantityError
from wholekit.domain.quotes.roles import Action
from wholekit.intake.catalog_zip import load_zipped
from wholekit.intake.price_book import COLUMNS
from wholekit.intake.price_sheet import ReadPriceSheet, read_price_sheet
from wholekit.services.accounts import Seated
from wholekit.services.catalog_browse import browse
from wholekit.services.catalog_loads import Plan, load_shown, plan_loads, plan_rise, plan_sheet
from wholekit.services.catalogs import stored_with_cost
from wholekit.services.paging import Page
from wholekit.services.price_sheets import clear_price_sheet, kept_price_sheet
from wholekit.services.quotes_touched import quotes_touched
from wholekit.services.rises import drop_rise, need_rise, note_rise, planned_like
from wholekit.views.catalog_changes import ChangesAnswer, ItemChangeAnswer, changes_answer
from wholekit.views.quotes_touched import QuoteTouchedAnswer, touched_answer
from wholekit.web.days import read_day
from wholekit.web.faults import sentences, status_of
from wholekit.web.numbers import percent_of
from wholekit.web.place import place_of
from wholekit.web.rooms.catalogs import books_page
from wholekit.web.screens import go, page
from wholekit.web.seats import deed_of, file_of, posted, sits, text_of, texts_of
from wholekit.wording.price_columns import column_words

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]
Loads = Annotated[Seated, sits(Action.LOAD_CATALOGS)]
# A file goes through the browser and back, so that nothing is kept of one that is given up.
MOST_BYTES = 6 * 1024 * 1024
SHOWN = 10


@room.get("/catalogs/{catalog}/load")
def load_page(request: Request, _seated: Loads, catalog: str) -> Response:
    """A supplier's sheet is chosen here, or a rise told of."""
    return _load_page(request, catalog)


@room.post("/catalogs/{catalog}/sheet")
async def sheet(request: Request, catalog: str, _seated: Loads, form: Form) -> Response:
    """How a sheet is read and what it would change; nothing is written yet."""
    data, name = await _file(form)
    return await run_in_threadpool(_sheet_page, request, catalog, form, data, name)


@room.post("/catalogs/{catalog}/sheet/load")
def load_sheet(request: Request, catalog: str, _seated: Loads, form: Form) -> Response:
    """Load what was looked over."""
    data, name = _sent_back(form)
    try:
        read = _read_sheet(request, catalog, form, data, name)
        if read.catalog is None:
            raise InputError(list(read.problems))
        place, deed = place_of(request), deed_of(request)
        _load(request, form, plan_sheet(place.desk.store, deed, read.catalog, read.told))
    except WholekitError as error:
        if _nowhere(error):
            raise
        return _sheet_page(request, catalog, form, data, name, error)
    return go(f"/catalogs/{catalog}?loaded=1")


@room.post("/catalogs/{catalog}/sheet/forget")
def forget(request: Request, catalog: str, _seated: Loads, form: Form) -> Response:  # noqa: ARG001  # the form's key
    """Take back what is kept of a supplier's sheets."""
    try:
        clear_price_sheet(place_of(request).desk.store, deed_of(request), catalog)
    except WholekitError as error:
        return _load_page(request, catalog, error)
    return go(f"/catalogs/{catalog}/load")


@room.post("/catalogs/{catalog}/rise")
def rise(request: Request, catalog: str, _seated: Loads, form: Form) -> Response:
    """What a rise would change; nothing is written yet."""
    return _rise_page(request, catalog, form)


@room.post("/catalogs/{catalog}/rise/load")
def load_rise(request: Request, catalog: str, _seated: Loads, form: Form) -> Response:
    """Load the rise that was looked over, or note one that waits for its day."""
    place, deed = place_of(request), deed_of(request)
    try:
        asked = _rise(request, form)
        if asked.day > deed.day:
            note_rise(place.desk, deed, catalog, asked)
            return go("/catalogs")
        planned = planned_like(place.desk.store, deed, catalog, asked)
        _load(request, form, plan_rise(place.desk.store, deed, catalog, asked, planned))
    except (WholekitError, QuantityError) as error:
        if _nowhere(error):
            raise
        return _rise_page(request, catalog, form, error)
    return go(f"/catalogs/{catalog}?loaded=1")


@room.post("/catalogs-planned/drop")
def drop(request: Request, seated: Loads, form: Form) -> Response:
    """Take a rise out that is noted."""
    try:
        drop_rise(place_of(request).desk.store, deed_of(request), text_of(form, "planned"))
    except WholekitError as error:
        return books_page(request, seated, sentences(error), status_of(error))
    return go("/catalogs")


@room.post("/catalogs-folder")
async def folder(request: Request, seated: Loads, form: Form) -> Response:
    """What a catalogue's folder, sent as a ZIP archive, would change; nothing is written yet."""
    data, name = await _file(form)
    return await run_in_threadpool(_folder_page, request, seated, data, name)


@room.post("/catalogs-folder/load")
def load_folder(request: Request, seated: Loads, form: Form) -> Response:
    """Load what was looked over."""
    data, name = _sent_back(form)
    try:
        plan = _folder(request, data, name)
        _load(request, form, plan)
    except WholekitError as error:
        return _folder_page(request, seated, data, name, error)
    return go(f"/catalogs/{plan.catalog.id}?loaded=1")


async def _file(form: FormData) -> tuple[bytes, str]:
    file = file_of(form, "sheet")
    if file is None:
        return _sent_back(form)
    return await file.read(), file.filename or ""


def _sent_back(form: FormData) -> tuple[bytes, str]:
    """The file as the page before holds it, and its name; empty where that was tampered with."""
    try:
        data = b64decode(text_of(form, "data"), validate=True)
    except ValueError:
        data = b""
    return data, text_of(form, "name")[:200]


def _need_file(data: bytes) -> None:
    if not data:
        raise CallError("catalog-file-wanted")
    if len(data) > MOST_BYTES:
        raise CallError("catalog-file-too-large", most=MOST_BYTES // (1024 * 1024))


def _load(request: Request, form: FormData, plan: Plan) -> None:
    load_shown(
        place_of(request).desk.store,
        deed_of(request),
        plan,
        text_of(form, "seal"),
        older_edition=bool(text_of(form, "older_edition")),
    )


def _nowhere(error: Exception) -> bool:
    return isinstance(error, CallError) and error.code == "catalog-not-loaded"


def _told(form: FormData) -> PriceSheet | None:
    """What the form says of the sheet's columns; None before anybody was asked."""
    headings, columns = texts_of(form, "heading"), texts_of(form, "ours")
    if not headings or len(headings) != len(columns):
        return None
    return PriceSheet(
        text_of(form, "page"), dict(zip(headings, columns, strict=True)), _whole(form)
    )


def _whole(form: FormData) -> bool:
    return text_of(form, "whole") == "yes"


def _read_sheet(
    request: Request, catalog: str, form: FormData, data: bytes, name: str
) -> ReadPriceSheet:
    place, deed = place_of(request), deed_of(request)
    store = place.desk.store
    stored = stored_with_cost(store, deed, catalog).catalog
    _need_file(data)
    kept = kept_price_sheet(store, deed, catalog)
    return read_price_sheet(
        data,
        name,
        stored,
        read_day(text_of(form, "edition")) or deed.day,
        frozenset(FinishBook(place.desk.rules).codes),
        PriceSheet() if kept is None else kept.told,
        _told(form),
    )


def _sheet_page(
    request: Request,
    catalog: str,
    form: FormData,
    data: bytes,
    name: str,
    error: WholekitError | None = None,
) -> Response:
    place, deed = place_of(request), deed_of(request)
    plan: Plan | None = None
    read: ReadPriceSheet | None = None
    try:
        read = _read_sheet(request, catalog, form, data, name)
        if read.catalog is not None:
            plan = plan_sheet(place.desk.store, deed, read.catalog, read.told)
        elif error is None:
            error = InputError(list(read.problems))
    except WholekitError as found:
        if _nowhere(found):
            raise
        error = error or found
    if read is None:
        # No table, or no file: it is chosen anew.
        return _load_page(request, catalog, error)
    book = browse(place.desk.store, deed, catalog, page=Page(0, 0))
    return _summary(
        request,
        plan,
        error,
        book.revision.supplier,
        kind="sheet",
        catalog=catalog,
        path=f"/catalogs/{catalog}/sheet",
        name=name,
        data=b64encode(data).decode("ascii"),
        edition=text_of(form, "edition") or deed.day.isoformat(),
        read=read,
        words=[(column, column_words(column)) for column in COLUMNS],
    )


def _rise(request: Request, form: FormData) -> PriceRise:
    """Raises CallError, QuantityError."""
    share = need_rise(percent_of(text_of(form, "share")))
    return PriceRise(
        share, read_day(text_of(form, "day")) or deed_of(request).day, text_of(form, "series")
    )


def _rise_page(
    request: Request,
    catalog: str,
    form: FormData,
    error: WholekitError | QuantityError | None = None,
) -> Response:
    place, deed = place_of(request), deed_of(request)
    store = place.desk.store
    try:
        asked = _rise(request, form)
        planned = planned_like(store, deed, catalog, asked)
        plan = plan_rise(store, deed, catalog, asked, planned)
    except (WholekitError, QuantityError) as found:
        if _nowhere(found):
            raise
        return _load_page(request, catalog, error or found, form)
    return _summary(
        request,
        plan,
        error,
        plan.catalog.supplier,
        kind="rise",
        catalog=catalog,
        path=f"/catalogs/{catalog}/rise",
        asked=asked,
        share=asked.text,
        waits=asked.day > deed.day,
        noted=bool(planned),
    )


def _folder(request: Request, data: bytes, name: str) -> Plan:
    place, deed = place_of(request), deed_of(request)
    _need_file(data)
    found = load_zipped(data, name or "ZIP", FinishBook(place.desk.rules).codes)
    (plan,) = plan_loads(place.desk.store, deed, [found])
    return plan


def _folder_page(
    request: Request, seated: Seated, data: bytes, name: str, error: WholekitError | None = None
) -> Response:
    try:
        plan = _folder(request, data, name)
    except WholekitError as found:
        told = error or found
        return books_page(request, seated, sentences(told), status_of(told))
    return _summary(
        request,
        plan,
        error,
        plan.catalog.supplier,
        kind="folder",
        catalog=plan.catalog.id,
        path="/catalogs-folder",
        name=name,
        data=b64encode(data).decode("ascii"),
    )


def _load_page(
    request: Request,
    catalog: str,
    error: WholekitError | QuantityError | None = None,
    form: FormData | None = None,
) -> Response:
    place, deed = place_of(request), deed_of(request)
    store = place.desk.store
    book = browse(store, deed, catalog, page=Page(0, 0))
    typed = {
        field: "" if form is None else text_of(form, field) for field in ("share", "day", "series")
    }
    return page(
        request,
        "catalog_load.html",
        200 if error is None else status_of(error),
        book=book,
        kept=kept_price_sheet(store, deed, catalog),
        today=deed.day.isoformat(),
        typed=typed,
        said=() if error is None else sentences(error),
    )


def _summary(
    request: Request,
    plan: Plan | None,
    error: WholekitError | QuantityError | None,
    supplier: str,
    **shown: object,
) -> Response:
    """What would change, and which open quotes it touches; with faults, those in place of it."""
    place, deed = place_of(request), deed_of(request)
    changes: ChangesAnswer | None = None
    touched: tuple[QuoteTouchedAnswer, ...] = ()
    moved: Sequence[ItemChangeAnswer] = ()
    if plan is not None:
        changes = changes_answer(plan.changes, plan.revision)
        moved = changes.changed[: changes.dearer + changes.cheaper]
        if plan.changes.before is not None and not plan.changes.nothing:
            touched = tuple(
                touched_answer(each) for each in quotes_touched(place.desk, deed, plan.changes)
            )
    return page(
        request,
        "catalog_summary.html",
        200 if error is None else status_of(error),
        plan=plan,
        supplier=supplier,
        changes=changes,
        dearer=() if changes is None else moved[: changes.dearer],
        cheaper=() if changes is None else moved[changes.dearer :],
        most=SHOWN,
        touched=touched,
        newly=[each for each in touched if each.newly],
        said=() if error is None else sentences(error),
        today=date.isoformat(deed.day),
        **shown,
    )
