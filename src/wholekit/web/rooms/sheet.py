"""A contractor's own sheet, dropped on a job, or rows pasted from a spreadsheet: how each was read,
what is asked of it, and its openings put in."""

from base64 import b64decode, b64encode
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.errors import CallError, InputError, Problem, WholekitError
from wholekit.domain.openings.sheet import ASIDE, SheetChoices, not_used
from wholekit.domain.quotes.roles import Action
from wholekit.intake.cells import Read
from wholekit.intake.openings import profile_words, readers_of
from wholekit.intake.schedule import COLUMNS
from wholekit.intake.sheet import ReadSheet, read_sheet
from wholekit.intake.sheet_choices import parse_choices
from wholekit.intake.sheet_look import HeadedRows, given_headings, samples, with_headings
from wholekit.services import job_openings
from wholekit.services.accounts import Seated
from wholekit.services.jobs import job_header
from wholekit.services.sheets import kept_choices
from wholekit.web.faults import sentences, status_of
from wholekit.web.place import place_of
from wholekit.web.screens import go, heard, page
from wholekit.web.seats import deed_of, file_of, posted, sits, text_of, texts_of
from wholekit.wording.facts import label_of
from wholekit.wording.openings import leaf_text, summary
from wholekit.wording.page_problems import asked_on_page
from wholekit.wording.reading import say_reading
from wholekit.wording.speech import tr

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]
Changes = Annotated[Seated, sits(Action.CHANGE_JOBS)]
# A sheet goes through the browser and back, so that nothing is kept of one that is given up.
MOST_BYTES = 6 * 1024 * 1024
ROWS_SHOWN = 400
QUESTIONS_SHOWN = 40
CELLS_MENDED = 60
# What no column is called: told by somebody, and an answer that the cell says nothing.
CHOSEN, UNKNOWN = "(told)", "(unknown)"


@room.post("/jobs/{number}/sheet")
async def sheet(request: Request, number: str, _seated: Changes, form: Form) -> Response:
    """How a sheet is read; nothing is written yet."""
    file, rows = file_of(form, "sheet"), form.get("rows")
    if file is not None:
        data, name = await file.read(), file.filename or ""
        with heard(request):
            what = _no_sheet(data)
            said = [tr("This is {what}; a sheet is CSV or XLSX.").format(what=what)]
        if what:
            return await run_in_threadpool(_shown, request, number, form, b"", name, said, 422)
        return await run_in_threadpool(_first, request, number, form, data, name)
    if isinstance(rows, str) and rows.strip():
        with heard(request):
            name = tr("pasted rows")
        return await run_in_threadpool(_first, request, number, form, rows.encode(), name)
    data, name = _sent_back(form)
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
            not_used=not_used(found.reading),
        )
    except WholekitError as error:
        return _shown(request, number, form, data, name, sentences(error), status_of(error))
    return go(f"/jobs/{number}")


def _no_sheet(data: bytes) -> str:
    """What a file is by its first bytes (as their formats are published), where it is no sheet;
    empty where it may be one.

    >>> _no_sheet(b"%PDF-1.7 ..."), _no_sheet(b"mark,size")
    ('a PDF', '')
    """
    picture, archive = tr("a picture"), tr("an archive")
    kinds = {
        b"%PDF": tr("a PDF"),
        b"\x89PNG": picture,
        b"\xff\xd8\xff": picture,
        b"GIF8": picture,
        b"II*\0": picture,
        b"MM\0*": picture,
        b"{\\rtf": tr("a text document"),
        b"\x1f\x8b": archive,
        b"7z\xbc\xaf": archive,
        b"Rar!": archive,
    }
    return next((what for begins, what in kinds.items() if data.startswith(begins)), "")


def _first(request: Request, number: str, form: FormData, data: bytes, name: str) -> Response:
    """As `_shown`, of a sheet that has just come: rows without a heading are given one, and what
    each column seems to be stands there to be set right."""
    seems: list[str] = []
    if data and len(data) <= MOST_BYTES:
        try:
            headed = with_headings(data, name, readers_of(place_of(request).desk.rules))
        except InputError:
            # What is no text is told by the reading.
            headed = HeadedRows(data, {})
        data, seems = headed.data, [f"{heading}={ours}" for heading, ours in headed.seems.items()]
    return _shown(request, number, form, data, name, seems=seems)


def _told_columns(form: FormData) -> list[str]:
    """`HEADING=column` of those that somebody set otherwise than they were read."""
    headings, ours, was = (texts_of(form, name) for name in ("heading", "ours", "was"))
    rows = zip(headings, ours, was, strict=False)
    told = [f"{heading}={our or ASIDE}" for heading, our, old in rows if heading and our != old]
    return [*(each for each in texts_of(form, "column") if each), *told]


def _told_values(form: FormData) -> list[str]:
    """`column:cell=value`, of what was told before and of what was asked."""
    cells, means = texts_of(form, "cell"), texts_of(form, "means")
    told = [each for each in text_of(form, "values").splitlines() if each.strip()]
    answered = zip(cells, means, strict=False)
    return told + [f"{cell}={'' if text == UNKNOWN else text}" for cell, text in answered if text]


def _mended(form: FormData) -> dict[tuple[int, str], str]:
    """What was filled in of single cells, by row and heading."""
    rows, columns, texts = (texts_of(form, name) for name in ("row", "in", "fill"))
    return {
        (int(row), column): text
        for row, column, text in zip(rows, columns, texts, strict=False)
        if text and row.isdecimal() and len(row) < 8
    }


def _sent_back(form: FormData) -> tuple[bytes, str]:
    """The sheet as the page before holds it, and its name; empty where that was tampered with."""
    try:
        data = b64decode(text_of(form, "data"), validate=True)
    except ValueError:
        data = b""
    return data, text_of(form, "name")


def _read(
    request: Request,
    number: str,
    form: FormData,
    data: bytes,
    name: str,
    seems: Sequence[str] = (),
) -> ReadSheet:
    place = place_of(request)
    rules = place.desk.rules
    if not data:
        raise CallError("sheet-wanted")
    if len(data) > MOST_BYTES:
        raise CallError("sheet-too-large", most=MOST_BYTES // (1024 * 1024))
    customer = job_header(place.desk, deed_of(request), number).customer
    kept = kept_choices(place.desk, deed_of(request), customer)
    columns = [*seems, *_told_columns(form)]
    said, wrong = _choices(text_of(form, "page"), columns, _told_values(form), readers_of(rules))
    found = read_sheet(
        data,
        name,
        finishes=FinishBook(rules),
        jurisdictions=profile_words(rules),
        choices=said.over(kept),
        tables=[each for each in texts_of(form, "table") if each],
        left_out=[each for each in text_of(form, "left_out").split(",") if each.strip()],
        mended=_mended(form),
    )
    return replace(found, problems=(*wrong, *found.problems))


def _choices(
    page_of: str, columns: list[str], values: list[str], readers: Mapping[str, Read]
) -> tuple[SheetChoices, tuple[Problem, ...]]:
    """The choices that were told, and what is wrong with those of cells: one of them keeps nobody
    from seeing the sheet. Raises InputError for columns."""
    try:
        return parse_choices(page_of, columns, values, readers), ()
    except InputError as error:
        sound = [text for text in values if not _wrong(columns, text, readers)]
        return parse_choices(page_of, columns, sound, readers), error.problems


def _wrong(columns: list[str], text: str, readers: Mapping[str, Read]) -> bool:
    try:
        parse_choices("", columns, [text], readers)
    except InputError:
        return True
    return False


def _shown(
    request: Request,
    number: str,
    form: FormData,
    data: bytes,
    name: str,
    said: tuple[str, ...] | list[str] = (),
    status: int = 200,
    seems: Sequence[str] = (),
) -> Response:
    header = job_header(place_of(request).desk, deed_of(request), number)
    told = {field: text_of(form, field) for field in ("left_out", "page", "table")}
    found: ReadSheet | None = None
    shown: list[dict[str, object]] = []
    try:
        found = _read(request, number, form, data, name, seems)
        shown = _columns(data, found)
        said = said or (sentences(InputError(list(found.problems))) if found.problems else ())
    except WholekitError as error:
        with heard(request):
            said, status = said or sentences(error), status_of(error)
        shown = _headed(data, [*seems, *_told_columns(form)])
    if said and status == 200:
        status = 422
    told["values"] = "\n".join(_told_values(form))
    with heard(request):
        return page(
            request,
            "sheet.html",
            status,
            number=header.number,
            label=header.label,
            job_name=header.name,
            name=name,
            data=b64encode(data).decode("ascii") if len(data) <= MOST_BYTES else "",
            told=told,
            columns=shown,
            untaken=[each["heading"] for each in shown if each["unknown"] and each["samples"]],
            words=[(column, label_of(column)) for column in COLUMNS],
            # Where no table was found its columns can be told in words alone.
            typed=[] if shown else _told_columns(form),
            said=said,
            mends=_mends(form, found),
            **_account(found),
        )


def _account(found: ReadSheet | None) -> dict[str, object]:
    """The openings that were read, how, and what is asked."""
    openings = () if found is None else found.openings
    return {
        "questions": [] if found is None else _questions(found),
        "tables": [] if found is None else _tables(found),
        "remarks": []
        if found is None
        else [text for each in found.reading.asked if (text := asked_on_page(each))],
        # What is asked stands in fields.
        "reading": []
        if found is None
        else [(title, lines) for title, lines in say_reading(found.reading) if title != "asked"],
        "openings": [
            (each.mark, each.quantity, leaf_text(each.type), summary(each.type), each.note)
            for each in openings[:ROWS_SHOWN]
        ],
        "count": len(openings),
        "renamed": []
        if found is None
        else [
            (each.mark, ", ".join(map(str, each.rows)), ", ".join(dict.fromkeys(each.marks)))
            for each in found.reading.repeated
        ],
        "ready": found is not None and not found.problems and bool(openings),
    }


def _mends(form: FormData, found: ReadSheet | None) -> list[dict[str, object]]:
    """Cells that cannot be read, and those that were filled in, each with what stands there."""
    if found is None:
        return []
    filled = _mended(form)
    known = {name for column in found.reading.columns for name in (column.heading, column.column)}
    bad = {
        (problem.row, problem.column): str(problem.fields.get("given", ""))
        for problem in found.problems
        if problem.row is not None and (problem.column in known or found.reading.clean)
    }
    return [
        {"row": at[0], "column": at[1], "text": filled.get(at, bad.get(at, "")), "wrong": at in bad}
        for at in sorted({*filled, *bad})[:CELLS_MENDED]
    ]


def _headed(data: bytes, told: Sequence[str]) -> list[dict[str, object]]:
    """The columns of rows that were given headings here, where too little of them is told yet."""
    ours = dict(each.rpartition("=")[::2] for each in told)
    return [
        {
            "heading": heading,
            "samples": cells,
            "ours": ours.get(heading, ""),
            "unknown": not ours.get(heading),
            "was": CHOSEN,
        }
        for heading, cells in given_headings(data)
    ]


def _columns(data: bytes, found: ReadSheet) -> list[dict[str, object]]:
    """Each column with its heading, a few of its cells, and what it is read as. was: empty for one
    that somebody told, which is told again with the next reading."""
    reading = found.reading
    if not reading.columns:
        return []
    cells = samples(data, reading)
    return [
        {
            "heading": column.heading,
            "samples": cells[column.number],
            "ours": column.column,
            "unknown": column.how == "unknown",
            "was": CHOSEN if column.how == "chosen" else column.column,
        }
        for column in reading.columns
        if column.heading or cells[column.number]
    ]


def _questions(found: ReadSheet) -> list[dict[str, object]]:
    """Cells that may mean several things, or say nothing known: what each may be."""
    asked = [each for each in found.reading.asked if each.what in ("value", "unread")]
    return [
        {
            "cell": f"{each.column}:{each.written}",
            "label": label_of(each.column),
            "written": each.written,
            "count": each.count,
            "candidates": each.candidates,
        }
        for each in asked[:QUESTIONS_SHOWN]
    ]


def _tables(found: ReadSheet) -> list[tuple[int, str]]:
    """Where several tables stand on the sheet: the row of each header, and its text."""
    asked = (each for each in found.reading.asked if each.what == "tables")
    return [pair for each in asked for pair in zip(each.rows, each.candidates, strict=True)]
