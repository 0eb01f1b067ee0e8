"""Customers: found, entered, looked at with their jobs, changed as far as the role goes."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.domain.customers import Customer, PaymentTerms, PriceTier, TaxStatus
from wholekit.domain.errors import CallError, WholekitError
from wholekit.domain.pricing import parse_multiplier
from wholekit.domain.quantities import QuantityError
from wholekit.domain.quotes.roles import Action, may
from wholekit.services import customers as service
from wholekit.services.accounts import Seated
from wholekit.services.catalogs import list_catalogs
from wholekit.services.jobs import list_jobs
from wholekit.services.ports import JobFilter, Page
from wholekit.views.customers import customer_answer
from wholekit.views.jobs import job_row_answer
from wholekit.web.days import read_day
from wholekit.web.faults import sentences, status_of
from wholekit.web.numbers import page_number
from wholekit.web.place import place_of
from wholekit.web.screens import go, page
from wholekit.web.seats import deed_of, posted, sits, text_of
from wholekit.wording.amounts import read_locale

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]
Sees = Annotated[Seated, sits(Action.SEE_CUSTOMERS)]
Edits = Annotated[Seated, sits(Action.EDIT_CUSTOMERS)]
ROWS, JOBS, MOST_DAYS = 50, 20, 365
LONGEST_SEARCH = 200
LOCALES = ("en_US", "en_CA", "fr_CA", "es_MX", "es_US")
FIELDS = ("name", "address", "contact", "email", "phone", "locale", "days", "terms", "certificate",
          "certificate_until", "ship_to", "note")  # fmt: skip


@room.get("/customers")
def customers(request: Request, _seated: Sees, text: str = "", number: str = "") -> Response:
    """Customers by code, those whose code or name holds a text."""
    place, deed, at = place_of(request), deed_of(request), page_number(number)
    wanted = " ".join(text.split())[:LONGEST_SEARCH]
    found, count = service.list_customers(place.desk, deed, wanted, Page.numbered(at, ROWS))
    part = bool(request.headers.get("x-part"))
    return page(
        request,
        "parts/customer_rows.html" if part else "customers.html",
        rows=[customer_answer(each, deed.day) for each in found],
        count=count,
        page=at,
        pages=-(-count // ROWS),
        text=wanted,
    )


@room.get("/customers/new")
def blank(request: Request, _seated: Edits) -> Response:
    """The form of a new customer."""
    return _blank(request, {})


@room.post("/customers/new")
def enter(request: Request, _seated: Edits, form: Form) -> Response:
    """A new customer; what was typed stays in the form where they cannot be entered."""
    told = {name: text_of(form, name) for name in ("code", "currency", *FIELDS)}
    place, code = place_of(request), told["code"].casefold()
    try:
        new = _filled(Customer(code, "", currency=told["currency"].upper()), form)
        service.add_customer(place.desk, deed_of(request), new)
    except (WholekitError, QuantityError) as error:
        return _blank(request, told, sentences(error), status_of(error))
    return go(f"/customers/{code}")


@room.get("/customers/{code}")
def customer(request: Request, code: str, _seated: Sees) -> Response:
    """A customer: terms, tiers, exemption, where goods go to, jobs and quotes."""
    return _customer(request, code)


@room.post("/customers/{code}")
def change(request: Request, code: str, _seated: Edits, form: Form) -> Response:
    """Change a customer; multiplier and tiers ask for a right of their own, as agreeing does."""
    place, deed, what = place_of(request), deed_of(request), text_of(form, "deed")
    version = text_of(form, "version")
    expected = int(version) if version.isdecimal() and len(version) < 10 else None
    try:
        if what == "fields":
            service.edit_customer(place.desk, deed, code, lambda old: _filled(old, form), expected)
        elif what == "multiplier":
            multiplier = parse_multiplier(text_of(form, "multiplier"))
            service.edit_customer(
                place.desk, deed, code, lambda old: replace(old, multiplier=multiplier), expected
            )
        elif what == "tier":
            service.set_tier(place.desk, deed, code, _tier(form), expected)
        elif what == "end-tier":
            _end(request, code, form, expected)
        elif what == "agree":
            service.agree_terms(place.desk, deed, code, text_of(form, "reason"))
        else:
            raise CallError("answer-wanted")
    except (WholekitError, QuantityError) as error:
        return _customer(request, code, sentences(error), status_of(error))
    return go(f"/customers/{code}")


def _filled(old: Customer, form: FormData) -> Customer:
    """The customer with what stands in the form. Raises CallError."""
    locale, days = text_of(form, "locale") or old.locale, text_of(form, "days")
    read_locale(locale)
    if not days.isdecimal() or len(days) > 3 or int(days) > MOST_DAYS:
        raise CallError("quantity-out-of-range", given=days, most=MOST_DAYS)
    return replace(
        old,
        name=text_of(form, "name"),
        address=_lines(form, "address"),
        contact=text_of(form, "contact"),
        email=text_of(form, "email"),
        phone=text_of(form, "phone"),
        locale=locale,
        terms=PaymentTerms(int(days), text_of(form, "terms")),
        tax=TaxStatus(text_of(form, "certificate"), read_day(text_of(form, "certificate_until"))),
        ship_to=text_of(form, "ship_to"),
        note=text_of(form, "note"),
    )


def _lines(form: FormData, name: str) -> tuple[str, ...]:
    lines = (" ".join(line.split()) for line in text_of(form, name).splitlines())
    return tuple(line for line in lines if line)


def _tier(form: FormData) -> PriceTier:
    return PriceTier(
        parse_multiplier(text_of(form, "multiplier")),
        text_of(form, "supplier") or None,
        text_of(form, "series") or None,
        text_of(form, "kind") or None,
        read_day(text_of(form, "from")),
        read_day(text_of(form, "to")),
    )


def _end(request: Request, code: str, form: FormData, expected: int | None) -> None:
    given, last = text_of(form, "tier"), read_day(text_of(form, "to"))
    if last is None or not given.isdecimal() or len(given) > 4:
        raise CallError("date-unreadable", given=text_of(form, "to") or "''")
    place, deed = place_of(request), deed_of(request)
    service.end_tier(place.desk, deed, code, int(given), last, expected)


def _blank(
    request: Request, told: Mapping[str, str], said: Sequence[str] = (), status: int = 200
) -> Response:
    place, deed = place_of(request), deed_of(request)
    empty = dict.fromkeys(FIELDS, "")
    return page(
        request,
        "customer_new.html",
        status,
        told={**empty, "code": "", "currency": "USD", "locale": "en_US", "days": "30", **told},
        ship_tos=service.list_ship_tos(place.desk, deed),
        locales=LOCALES,
        said=said,
    )


def _customer(request: Request, code: str, said: Sequence[str] = (), status: int = 200) -> Response:
    place, deed = place_of(request), deed_of(request)
    found = service.customer_of(place.desk, deed, code)
    answer = customer_answer(found, deed.day)
    rows: list[object] = []
    count = 0
    seated: Seated = request.state.seated
    if may(seated.person.role, Action.SEE_JOBS):
        jobs, count = list_jobs(place.desk, deed, JobFilter(customer=code), Page(0, JOBS))
        rows = list(map(job_row_answer, jobs))
    return page(
        request,
        "customer.html",
        status,
        customer=answer,
        told={
            "name": found.name, "address": "\n".join(found.address), "contact": found.contact,
            "email": found.email, "phone": found.phone, "locale": found.locale,
            "days": str(found.terms.days), "terms": found.terms.text,
            "certificate": found.tax.certificate,
            "certificate_until": answer.certificate_until or "", "ship_to": found.ship_to,
            "note": found.note,
        },
        ship_tos=service.list_ship_tos(place.desk, deed),
        suppliers=[
            (book.catalog_id, book.supplier) for book in list_catalogs(place.desk.store, deed)
        ],
        locales=sorted({*LOCALES, found.locale}),
        rows=rows,
        count=count,
        said=said,
    )  # fmt: skip
