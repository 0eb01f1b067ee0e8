"""Workbooks for a page: what it shows, as a file for a spreadsheet."""

from collections.abc import Callable, Sequence

from fastapi import Request
from starlette.responses import Response

from wholekit.documents.exchange.workbook import WorkSheet, workbook_bytes
from wholekit.domain.house_style import PageSize
from wholekit.web.place import place_of
from wholekit.web.screens import language_for
from wholekit.web.seats import deed_of
from wholekit.wording.speech import speaking

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def workbook(request: Request, name: str, sheets: Callable[[], Sequence[WorkSheet]]) -> Response:
    """The sheets, worded in the browser's language, as a file of the day."""
    place, day = place_of(request), deed_of(request).day
    style = place.style()
    with speaking(language_for(request)):
        found = sheets()
    content = workbook_bytes(
        found,
        title=found[0].name,
        author=style.card.name,
        day=day,
        page=style.paper or PageSize.LETTER,
    )
    return download(content, f"{name}-{day.isoformat()}.xlsx", XLSX)


def download(content: bytes, name: str, media_type: str) -> Response:
    """A file to be kept by whoever asked; nobody on the way keeps it."""
    headers = {
        "content-disposition": f'attachment; filename="{name}"',
        "cache-control": "private, no-store",
    }
    return Response(content, media_type=media_type, headers=headers)
