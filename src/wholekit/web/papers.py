"""Papers for a page: asked for, told how far they are, handed out."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from fastapi import Request
from starlette.responses import FileResponse, Response

from wholekit import __version__
from wholekit.services.paper_port import AskedPaper, PaperState
from wholekit.services.paper_queue import ask_papers, make_again
from wholekit.web.place import WebPlace, place_of
from wholekit.web.screens import language_for, page
from wholekit.web.seats import deed_of
from wholekit.wording.speech import speaking, tr

ACCEPTED, GONE_WRONG = 202, 409


@dataclass(frozen=True, slots=True)
class PaperRow:
    """A paper as a page tells of it. at: its address; name: in words; asked: when, in words."""

    id: int
    at: str
    name: str
    reference: str
    asked_by: str
    asked: str
    state: str
    pending: bool
    done: int
    parts: int
    fault: tuple[str, ...]


def paper_names(request: Request) -> Mapping[str, str]:
    """What the papers are called, in the browser's language."""
    with speaking(language_for(request)):
        return _names()


def _names() -> Mapping[str, str]:
    return {
        "quote": tr("Quote"),
        "submittal": tr("Submittal"),
        "pick-list": tr("Pick list"),
        "kit-labels": tr("Kit labels"),
        "packing-slip": tr("Packing slip"),
        "setting-cards": tr("Setting cards"),
        "drilling-sheets": tr("Drilling sheets"),
        "shipment-slip": tr("Packing slip"),
        "bag-labels": tr("Bag labels"),
        "shelf-labels": tr("Shelf labels"),
        "purchase-order": tr("Purchase order"),
    }


def paper_row(request: Request, asked: AskedPaper) -> PaperRow:
    """The paper in words."""
    return PaperRow(
        asked.id,
        f"/papers/asked/{asked.id}",
        paper_names(request)[asked.paper],
        asked.reference,
        asked.asked_by,
        f"{asked.asked_at:%Y-%m-%d %H:%M}",
        asked.state.value,
        asked.pending,
        asked.done,
        asked.parts,
        tuple(asked.fault.splitlines()),
    )


def ask_of(request: Request, reference: str, *papers: str) -> tuple[AskedPaper, ...]:
    """Ask for papers, and wake whoever makes them. Raises CallError."""
    place = place_of(request)
    # The house's looks, and what the program itself makes of a revision.
    look = repr((place.style(), __version__))
    asked = ask_papers(place.desk, deed_of(request), reference, papers, language_for(request), look)
    place.wake.set()
    return asked


def paper_answer(request: Request, asked: AskedPaper) -> Response:
    """The file of a paper; while there is none, a page that says how far it is, or what went
    wrong. Raises CallError."""
    place = place_of(request)
    file = file_of_paper(place, asked)
    if asked.state is PaperState.DONE:
        if file.is_file():
            return _pdf(file, asked)
        # It was made elsewhere, or taken away.
        asked = make_again(place.desk, deed_of(request), asked.id)
        place.wake.set()
    row = paper_row(request, asked)
    status = ACCEPTED if asked.pending else GONE_WRONG
    # A paper that is shown within a page has that page's head above it.
    bare = request.headers.get("sec-fetch-dest") == "iframe"
    # Of which stock or order stands in the query.
    again = f"{request.url.path}?{request.url.query}" if request.url.query else request.url.path
    return page(request, "paper.html", status, paper=row, bare=bare, again=again)


def file_of_paper(place: WebPlace, asked: AskedPaper) -> Path:
    """Where its file stands, or will."""
    return place.papers / asked.file


def _pdf(file: Path, asked: AskedPaper) -> Response:
    # Of one word, as browsers and shells like names of files.
    of = "-".join(asked.reference.replace("/", "-").split())
    return FileResponse(
        file,
        media_type="application/pdf",
        filename=f"{of}-{asked.paper}.pdf",
        content_disposition_type="inline",
        headers={"cache-control": "private, no-store"},
    )
