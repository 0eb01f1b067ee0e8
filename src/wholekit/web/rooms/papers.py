"""Papers: asked for, on their way, fetched."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.domain.errors import WholekitError
from wholekit.domain.quotes.roles import Action
from wholekit.services.accounts import Seated
from wholekit.services.paper_queue import asked_paper, asked_papers, make_again
from wholekit.web.faults import sentences, status_of
from wholekit.web.numbers import InPath
from wholekit.web.papers import ask_of, paper_answer, paper_row
from wholekit.web.place import place_of
from wholekit.web.screens import go, page
from wholekit.web.seats import deed_of, posted, sits, texts_of

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]
Sees = Annotated[Seated, sits(Action.SEE_PICK_PAPERS)]
Asks = Annotated[Seated, sits(Action.ASK_PAPERS)]
SeesQuotes = Annotated[Seated, sits(Action.SEE_QUOTES)]


@room.get("/papers")
def papers(request: Request, _seated: Sees) -> Response:
    """The papers that were asked for last, and how far each is."""
    return _papers(request)


@room.get("/papers/asked/{paper}")
def one_asked(request: Request, paper: InPath, _seated: Sees) -> Response:
    """A paper's file, or how far it is."""
    asked = asked_paper(place_of(request).desk, deed_of(request), paper)
    if request.headers.get("x-part"):
        return page(request, "parts/paper_state.html", paper=paper_row(request, asked))
    return paper_answer(request, asked)


@room.post("/papers/asked/{paper}/again")
def again(request: Request, paper: InPath, _seated: Asks, _form: Form) -> Response:
    """Make it anew."""
    place = place_of(request)
    make_again(place.desk, deed_of(request), paper)
    place.wake.set()
    return go(f"/papers/asked/{paper}")


@room.post("/jobs/{number}/papers")
def ask_for_job(request: Request, number: str, _seated: SeesQuotes, form: Form) -> Response:
    """Ask for papers of a job as it stands."""
    try:
        ask_of(request, number, *texts_of(form, "paper"))
    except WholekitError as error:
        return _papers(request, sentences(error), status_of(error))
    return go("/papers")


@room.get("/quotes/{quote}/{revision}/quote.pdf")
def quote_paper(request: Request, quote: str, revision: InPath, _seated: SeesQuotes) -> Response:
    """The quote as the customer gets it."""
    return _of_revision(request, quote, revision, "quote")


@room.get("/quotes/{quote}/{revision}/submittal.pdf")
def submittal(request: Request, quote: str, revision: InPath, _seated: SeesQuotes) -> Response:
    """What the architect gets."""
    return _of_revision(request, quote, revision, "submittal")


@room.get("/papers/{quote}/{revision}/{name}.pdf")
def paper(request: Request, quote: str, revision: InPath, name: str, _seated: Sees) -> Response:
    """A paper of a revision, as far as the role may see it."""
    return _of_revision(request, quote, revision, name)


def _of_revision(request: Request, quote: str, revision: int, name: str) -> Response:
    (asked,) = ask_of(request, f"Q-{quote.upper().removeprefix('Q-')}/{revision}", name)
    return paper_answer(request, asked)


def _papers(request: Request, said: list[str] | tuple[()] = (), status: int = 200) -> Response:
    found = asked_papers(place_of(request).desk, deed_of(request))
    rows = [paper_row(request, asked) for asked in found]
    part = bool(request.headers.get("x-part"))
    template = "parts/paper_rows.html" if part else "papers.html"
    return page(request, template, status, rows=rows, said=said)
