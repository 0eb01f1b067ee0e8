"""The owner's room: what waits for a word, what is earned, what rises, what lies on the shelves."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.domain.earnings import Key
from wholekit.domain.errors import CallError, WholekitError
from wholekit.domain.quantities import QuantityError, parse_share
from wholekit.domain.quotes.roles import Action
from wholekit.services.accounts import Seated
from wholekit.services.approvals import approve_draft, refuse_request, waiting_requests
from wholekit.services.catalogs import list_catalogs
from wholekit.services.margin_reports import cost_drift, margin_report, win_report
from wholekit.services.ports import RevisionFilter
from wholekit.services.stock_value import stock_on
from wholekit.views.margins import EarningAnswer, drift_answer, report_answer, win_answer
from wholekit.views.reviews import waiting_answer
from wholekit.views.stock_value import value_answer
from wholekit.web.days import read_day
from wholekit.web.faults import sentences, status_of
from wholekit.web.place import place_of
from wholekit.web.screens import go, page
from wholekit.web.seats import deed_of, posted, sits, text_of

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]
Owner = Annotated[Seated, sits(Action.SEE_COST)]
KEYS = (Key.JOB, Key.KIT, Key.CUSTOMER, Key.SUPPLIER, Key.SALESPERSON, Key.MONTH)
BARS = 24
WIDTH = 420
MOST_RISE = Fraction(2)
A_YEAR = timedelta(days=365)


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar of a plot: width of what is earned [px of WIDTH], of nothing below zero; loss: it is
    below."""

    name: str
    width: int
    words: str
    loss: bool
    under: bool


@room.get("/waiting")
def waiting(request: Request, _seated: Annotated[Seated, sits(Action.SEE_REQUESTS)]) -> Response:
    """Drafts that wait for an owner's word."""
    return _waiting(request)


@room.post("/waiting/{number}")
def decide(
    request: Request,
    number: str,
    _seated: Annotated[Seated, sits(Action.APPROVE_PRICES)],
    form: Form,
) -> Response:
    """Agree to a draft as it stands, or turn it down, for a reason."""
    place, deed = place_of(request), deed_of(request)
    try:
        reason = text_of(form, "reason")
        if text_of(form, "deed") == "agree":
            without = bool(text_of(form, "without_stopped"))
            approve_draft(place.desk, deed, number, reason, leave_stopped=without)
        else:
            refuse_request(place.desk, deed, number, reason)
    except WholekitError as error:
        return _waiting(request, sentences(error), status_of(error))
    return go("/waiting")


@room.get("/margins")
def margins(
    request: Request,
    _seated: Owner,
    by: str = Key.JOB.value,
    since: str = "",
    until: str = "",
    currency: str = "",
) -> Response:
    """Margins of issued quotes by a key, as a plot with its table beside."""
    place, deed = place_of(request), deed_of(request)
    key = next((known for known in KEYS if known.value == by), Key.JOB)
    first = read_day(since) or deed.day - A_YEAR
    wanted = RevisionFilter(issued_from=first, issued_to=read_day(until))
    books = [book.currency for book in list_catalogs(place.desk.store, deed)]
    chosen = currency.upper() or (books[0] if books else "USD")
    report = report_answer(margin_report(place.desk, deed, key, wanted, chosen))
    wins = win_answer(win_report(place.desk, deed, wanted, chosen))
    return page(
        request,
        "margins.html",
        report=report,
        bars=bars_of(report.rows),
        wins=wins,
        key=key.value,
        keys=[known.value for known in KEYS],
        since=first.isoformat(),
        until=until,
        currency=chosen,
        currencies=sorted({*books, chosen}),
        width=WIDTH,
    )


@room.get("/rises")
def rises(request: Request, _seated: Owner, supplier: str = "", share: str = "") -> Response:
    """Open quotes at present cost, or at what a supplier's would be after a rise."""
    place, deed = place_of(request), deed_of(request)
    books = [(book.catalog_id, book.supplier) for book in list_catalogs(place.desk.store, deed)]
    said: Sequence[str] = ()
    tried: Mapping[str, Fraction] = {}
    try:
        tried = _rise(supplier, share, [known for known, _ in books])
    except (WholekitError, QuantityError) as error:
        said = sentences(error)
    found = [drift_answer(drift) for drift in cost_drift(place.desk, deed, tried)]
    return page(
        request,
        "rises.html",
        422 if said else 200,
        found=found,
        under=[each for each in found if Decimal(each.short.amount) > 0],
        books=books,
        supplier=supplier,
        share=share,
        tried=bool(tried),
        said=said,
    )


@room.get("/stock-value")
def stock_value(request: Request, _seated: Owner, on: str = "") -> Response:
    """What lay on the shelves on a day, at cost."""
    place, deed = place_of(request), deed_of(request)
    day = read_day(on) or deed.day
    return page(
        request, "stock_value.html", found=value_answer(day, stock_on(place.desk, deed, day))
    )


def bars_of(rows: Sequence[EarningAnswer]) -> list[Bar]:
    """The rows that earn most and least as bars, the widest as wide as there is room."""
    most = max((abs(Decimal(row.margin.earned.amount)) for row in rows), default=Decimal(0))
    return [
        Bar(
            row.key,
            int(abs(Decimal(row.margin.earned.amount)) * WIDTH / most) if most else 0,
            f"{row.margin.earned.amount}, {row.margin.share}",
            Decimal(row.margin.earned.amount) < 0,
            row.under_floor,
        )
        for row in rows[:BARS]
    ]


def _rise(supplier: str, share: str, known: Sequence[str]) -> Mapping[str, Fraction]:
    if not share.strip():
        return {}
    if supplier and supplier not in known:
        raise CallError("catalog-unknown", given=supplier, known=known)
    rise = parse_share(share.strip().lstrip("+"))
    if not 0 <= rise <= MOST_RISE:
        raise CallError("rise-wrong", given=share)
    return dict.fromkeys([supplier] if supplier else known, rise)


def _waiting(
    request: Request, said: tuple[str, ...] | list[str] = (), status: int = 200
) -> Response:
    place, deed = place_of(request), deed_of(request)
    found = [waiting_answer(each) for each in waiting_requests(place.desk, deed)]
    return page(request, "waiting.html", status, found=found, said=said)
