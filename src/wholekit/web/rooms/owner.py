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

from wholekit.documents.exchange.owner_workbooks import (
    discount_sheets,
    drift_sheets,
    margin_sheets,
)
from wholekit.domain.earnings import Key, WinRate
from wholekit.domain.errors import CallError, WholekitError
from wholekit.domain.margins import Margin
from wholekit.domain.quantities import Money, QuantityError
from wholekit.domain.quotes.roles import Action
from wholekit.services.accounts import Seated
from wholekit.services.approvals import approve_draft, refuse_request, waiting_requests
from wholekit.services.catalogs import list_catalogs
from wholekit.services.discount_report import DiscountReport, discount_report
from wholekit.services.margin_reports import MarginReport, cost_drift, margin_report, win_report
from wholekit.services.ports import RevisionFilter
from wholekit.views.concessions import ConcededAnswer, discount_answer
from wholekit.views.kits import PriceAnswer, price_answer
from wholekit.views.margins import (
    EarningAnswer,
    FateAnswer,
    drift_answer,
    report_answer,
    win_answer,
)
from wholekit.views.reviews import waiting_answer
from wholekit.web.days import read_day
from wholekit.web.faults import sentences, status_of
from wholekit.web.numbers import percent_of
from wholekit.web.place import place_of
from wholekit.web.screens import amount, go, language_for, page, tenth
from wholekit.web.seats import deed_of, posted, sits, text_of
from wholekit.web.workbooks import workbook
from wholekit.wording.rates import percent
from wholekit.wording.speech import speaking

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


@dataclass(frozen=True, slots=True)
class FateAtMargin:
    """What became of a quote, with its margin; None of one that is in no margin any more."""

    fate: FateAnswer
    margin: Margin | None
    floor: Fraction

    @property
    def share(self) -> str:
        """Its margin in words."""
        return "–" if self.margin is None else percent(self.margin.share)

    @property
    def under(self) -> bool:
        """Whether it stands under the floor."""
        return self.margin is not None and self.margin.under(self.floor)


@dataclass(frozen=True, slots=True)
class Asked:
    """Which quotes a report is of; since, until: the days as the form shows them."""

    wanted: RevisionFilter
    currency: str
    currencies: tuple[str, ...]
    since: str
    until: str


@room.get("/waiting")
def waiting(
    request: Request, _seated: Annotated[Seated, sits(Action.SEE_REQUESTS)], done: str = ""
) -> Response:
    """Drafts that wait for an owner's word. done: what came of the last one."""
    return _waiting(request, done=done)


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
        done = text_of(form, "deed")
        if done == "agree":
            without = bool(text_of(form, "without_stopped"))
            approve_draft(place.desk, deed, number, reason, leave_stopped=without)
        else:
            refuse_request(place.desk, deed, number, reason)
    except WholekitError as error:
        return _waiting(request, sentences(error), status_of(error))
    return go("/waiting?done=agreed" if done == "agree" else "/waiting?done=refused")


@room.get("/margins")
def margins(
    request: Request,
    _seated: Owner,
    by: str = Key.JOB.value,
    since: str = "",
    until: str = "",
    currency: str = "",
    under: str = "",
) -> Response:
    """Margins of issued quotes by a key, as a plot with its table beside; under: those under the
    floor alone."""
    asked = _asked(request, since, until, currency)
    report, wins = _earned(request, by, asked)
    answer, won = report_answer(report), win_answer(wins)
    fates = [FateAtMargin(each, report.quotes.get(each.quote), report.floor) for each in won.quotes]
    rows = tuple(row for row in answer.rows if row.under_floor or not under)
    return page(
        request,
        "margins.html",
        report=answer,
        rows=rows,
        under=bool(under),
        bars=bars_of(rows),
        wins=won,
        fates=[each for each in fates if each.under or not under],
        key=report.key.value,
        keys=[known.value for known in KEYS],
        asked=asked,
        width=WIDTH,
        query=request.url.query,
    )


@room.get("/margins.xlsx")
def margins_book(
    request: Request,
    _seated: Owner,
    by: str = Key.JOB.value,
    since: str = "",
    until: str = "",
    currency: str = "",
) -> Response:
    """The same for a spreadsheet."""
    report, wins = _earned(request, by, _asked(request, since, until, currency))
    return workbook(request, f"margins-{report.key.value}", lambda: margin_sheets(report, wins))


@room.get("/discounts")
def discounts(
    request: Request, _seated: Owner, since: str = "", until: str = "", currency: str = ""
) -> Response:
    """What was given off list, by person and reason."""
    place, asked = place_of(request), _asked(request, since, until, currency)
    report = discount_report(place.desk, deed_of(request), asked.wanted, asked.currency)
    with speaking(language_for(request)):
        found = discount_answer(report)
    people: dict[str, list[ConcededAnswer]] = {}
    for row in found.rows:
        people.setdefault(row.who, []).append(row)
    return page(
        request,
        "discounts.html",
        found=found,
        people=people,
        sums=sums_of(report),
        asked=asked,
        query=request.url.query,
    )


@room.get("/discounts.xlsx")
def discounts_book(
    request: Request, _seated: Owner, since: str = "", until: str = "", currency: str = ""
) -> Response:
    """The same for a spreadsheet."""
    place, asked = place_of(request), _asked(request, since, until, currency)
    report = discount_report(place.desk, deed_of(request), asked.wanted, asked.currency)
    return workbook(request, "discounts", lambda: discount_sheets(report.given))


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
        # By a rise that is tried: those that it brings under it, and no others.
        under=[each for each in found if (each.fell if tried else Decimal(each.short.amount) > 0)],
        books=books,
        supplier=supplier,
        share=share,
        tried=bool(tried),
        said=said,
        query="" if said else request.url.query,
    )


@room.get("/rises.xlsx")
def rises_book(request: Request, _seated: Owner, supplier: str = "", share: str = "") -> Response:
    """The same for a spreadsheet."""
    place, deed = place_of(request), deed_of(request)
    known = [book.catalog_id for book in list_catalogs(place.desk.store, deed)]
    found = cost_drift(place.desk, deed, _rise(supplier, share, known))
    return workbook(request, "rises", lambda: drift_sheets(found))


def bars_of(rows: Sequence[EarningAnswer]) -> list[Bar]:
    """The rows that earn most and least as bars, the widest as wide as there is room."""
    most = max((abs(Decimal(row.margin.earned.amount)) for row in rows), default=Decimal(0))
    return [
        Bar(
            row.key,
            int(abs(Decimal(row.margin.earned.amount)) * WIDTH / most) if most else 0,
            f"{amount(row.margin.earned)}, {tenth(row.margin.share)}",
            Decimal(row.margin.earned.amount) < 0,
            row.under_floor,
        )
        for row in rows[:BARS]
    ]


def sums_of(report: DiscountReport) -> Mapping[str, PriceAnswer]:
    """What each person gave, all together."""
    sums: dict[str, Money] = {}
    for each in report.given:
        sums[each.who] = sums.get(each.who, Money.zero(report.currency)) + each.off
    return {who: price_answer(off) for who, off in sums.items()}


def _asked(request: Request, since: str, until: str, currency: str) -> Asked:
    """The days and the currency that are asked for: the last year, in the currency of the first
    price book."""
    deed = deed_of(request)
    first = read_day(since) or deed.day - A_YEAR
    books = [book.currency for book in list_catalogs(place_of(request).desk.store, deed)]
    chosen = currency.upper() or (books[0] if books else "USD")
    wanted = RevisionFilter(issued_from=first, issued_to=read_day(until))
    return Asked(wanted, chosen, tuple(sorted({*books, chosen})), first.isoformat(), until)


def _earned(request: Request, by: str, asked: Asked) -> tuple[MarginReport, WinRate]:
    place, deed = place_of(request), deed_of(request)
    key = next((known for known in KEYS if known.value == by), Key.JOB)
    return (
        margin_report(place.desk, deed, key, asked.wanted, asked.currency),
        win_report(place.desk, deed, asked.wanted, asked.currency),
    )


def _rise(supplier: str, share: str, known: Sequence[str]) -> Mapping[str, Fraction]:
    if not share.strip():
        return {}
    if supplier and supplier not in known:
        raise CallError("catalog-unknown", given=supplier, known=known)
    rise = percent_of(share)
    if not 0 <= rise <= MOST_RISE:
        raise CallError("rise-wrong", given=share)
    return dict.fromkeys([supplier] if supplier else known, rise)


def _waiting(
    request: Request, said: tuple[str, ...] | list[str] = (), status: int = 200, done: str = ""
) -> Response:
    place, deed = place_of(request), deed_of(request)
    found = [waiting_answer(each) for each in waiting_requests(place.desk, deed)]
    return page(request, "waiting.html", status, found=found, said=said, done=done)
