"""Catalogues: what is loaded, looked through; a body found by its holes."""

from typing import Annotated

from fastapi import APIRouter, Request
from starlette.responses import Response

from wholekit.documents.label_stock import STOCKS, stock_named
from wholekit.domain.catalog import Catalog, Series
from wholekit.domain.catalog.rises import PlannedRise
from wholekit.domain.errors import WholekitError
from wholekit.domain.quantities import QuantityError
from wholekit.domain.quotes.roles import Action, may
from wholekit.intake.cells import existing_holes
from wholekit.services.accounts import Seated
from wholekit.services.catalog_browse import ShownBook, browse, browse_item
from wholekit.services.catalogs import list_catalogs, stored_bodies
from wholekit.services.ports import Page
from wholekit.services.rises import planned_rises
from wholekit.services.shelf_labels import BINS, ITEMS, ShelfLabelsAsked
from wholekit.views.catalog_items import item_answer, items_answer
from wholekit.views.holes import HolesAnswer, holes_rows, told_by_holes
from wholekit.web.faults import sentences
from wholekit.web.papers import ask_of, paper_answer
from wholekit.web.place import place_of
from wholekit.web.screens import page
from wholekit.web.seats import deed_of, sits

room = APIRouter()
Looks = Annotated[Seated, sits(Action.SEE_CATALOGS)]
ROWS = 50
LONGEST_SEARCH = 200


@room.get("/catalogs")
def catalogs(request: Request, seated: Looks) -> Response:
    """Which catalogues are loaded, since when."""
    return books_page(request, seated)


def books_page(
    request: Request, seated: Seated, said: list[str] | tuple[str, ...] = (), status: int = 200
) -> Response:
    """The page of them all."""
    place, deed = place_of(request), deed_of(request)
    store = place.desk.store
    books = list_catalogs(store, deed)
    names = {book.catalog_id: book.supplier for book in books}
    planned: tuple[tuple[PlannedRise, str, str, bool], ...] = ()
    if may(seated.person.role, Action.LOAD_CATALOGS):
        planned = tuple(
            (each, names.get(each.catalog, each.catalog), each.rise.text,
             each.rise.day <= deed.day)
            for each in planned_rises(store, deed)
        )  # fmt: skip
    return page(request, "catalogs.html", status, books=books, planned=planned, said=said)


@room.get("/catalogs/{catalog}")
def catalog(
    request: Request, _seated: Looks, catalog: str, text: str = "", series: str = "",
    number: str = "", loaded: str = "",
) -> Response:  # fmt: skip
    """A catalogue's series and items, page by page. loaded: a load of it was just done."""
    wanted = " ".join(text.split())[:LONGEST_SEARCH]
    at = max(int(number), 1) if number.isascii() and number.isdecimal() and len(number) < 7 else 1
    book = browse(
        place_of(request).desk.store, deed_of(request), catalog, wanted, series,
        Page.numbered(at, ROWS),
    )  # fmt: skip
    part = bool(request.headers.get("x-part"))
    answer = items_answer(book, True, at, ROWS)
    return page(
        request,
        "parts/item_rows.html" if part else "catalog.html",
        book=book,
        found=answer,
        pages=-(-answer.count // ROWS),
        text=wanted,
        series=series,
        loaded=bool(loaded),
        stocks=[stock.name for stock in STOCKS],
        made=[_made(each) for each in book.catalog.series],
    )


@room.get("/catalogs/{catalog}/items/{sku:path}")
def item(request: Request, _seated: Looks, catalog: str, sku: str) -> Response:
    """One item: what it supplies, where it lies, what it sells for."""
    book = browse_item(place_of(request).desk.store, deed_of(request), catalog, sku)
    shown = book.items[0]
    return page(
        request,
        "catalog_item.html",
        book=book,
        item=shown.item,
        found=item_answer(shown, True),
        supplies=_supplies(book),
        stocks=[stock.name for stock in STOCKS],
    )


@room.get("/catalogs/{catalog}/labels.pdf")
def labels(
    request: Request,
    _seated: Annotated[Seated, sits(Action.SEE_PICK_PAPERS)],
    catalog: str,
    of: str = ITEMS,
    sku: str = "",
    stock: str = "",
) -> Response:
    """Labels of its items or bins, or of one item, on the stock chosen."""
    on = stock_named(stock or STOCKS[0].name).name
    wanted = ShelfLabelsAsked(catalog, BINS if of == BINS else ITEMS, on, sku.strip())
    (asked,) = ask_of(request, wanted.reference, "shelf-labels")
    return paper_answer(request, asked)


@room.get("/catalogs-by-holes")
def by_holes(request: Request, _seated: Looks, holes: str = "") -> Response:
    """Bodies by how near their holes are to old ones."""
    place = place_of(request)
    said: list[str] = []
    answer: HolesAnswer | None = None
    bodies = stored_bodies(place.desk.store, deed_of(request))
    wanted = holes.strip()[:LONGEST_SEARCH]
    if wanted:
        try:
            answer = told_by_holes(existing_holes(wanted), place.desk.rules, bodies)
        except (QuantityError, WholekitError) as error:
            said = sentences(error)
    return page(
        request,
        "catalog_holes.html",
        422 if said else 200,
        holes=wanted,
        answer=answer,
        rows=[] if answer is None else list(holes_rows(answer)),
        there=bool(bodies),
        said=said,
    )


def _made(series: Series) -> tuple[Series, int, str]:
    """A series, its bodies [count] and the sizes they cover."""
    if not series.bodies:
        return series, 0, ""
    low = min(body.size_from for body in series.bodies)
    high = max(body.size_to for body in series.bodies)
    return series, len(series.bodies), str(low) if low == high else f"{low}–{high}"


def _supplies(book: ShownBook) -> list[tuple[int, str, str, str]]:
    """What the item supplies: count, title of the piece, series, and of a body sizes and holes."""
    pieces, bodies = book.catalog.pieces, _body_words(book.catalog)
    titles = {series.id: series.title for series in book.catalog.series}
    return [
        (supply.quantity, piece.title, titles[piece.series], bodies.get(supply.piece, ""))
        for supply in book.items[0].item.supplies
        if (piece := pieces.get(supply.piece)) is not None
    ]


def _body_words(catalog: Catalog) -> dict[str, str]:
    return {
        piece: f"{body.size_from}–{body.size_to} · {body.hole_pattern[0]} × {body.hole_pattern[1]}"
        if body.size_from != body.size_to
        else f"{body.size_from} · {body.hole_pattern[0]} × {body.hole_pattern[1]}"
        for body in catalog.bodies
        for piece in body.pieces.values()
    }
