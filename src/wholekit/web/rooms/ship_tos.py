"""Places goods go to, each with its taxes and freight rates."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.domain.errors import CallError, WholekitError
from wholekit.domain.quantities import QuantityError
from wholekit.domain.quotes.roles import Action
from wholekit.domain.tax import Rounding, ShipTo, TaxRate
from wholekit.intake.rates import freight_text, read_freight, read_tax, tax_text
from wholekit.services.accounts import Seated
from wholekit.services.customers import list_ship_tos, set_ship_to
from wholekit.views.customers import ship_to_answer
from wholekit.web.days import read_day
from wholekit.web.faults import sentences, status_of
from wholekit.web.place import place_of
from wholekit.web.screens import go, page
from wholekit.web.seats import deed_of, posted, sits, text_of

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]
Sees = Annotated[Seated, sits(Action.SEE_CUSTOMERS)]
FROM = " from "


@room.get("/ship-tos")
def ship_tos(request: Request, _seated: Sees) -> Response:
    """Every place, and the form of a new one."""
    return _places(request)


@room.get("/ship-tos/{place}")
def ship_to(request: Request, place: str, _seated: Sees) -> Response:
    """One place, to be changed. Raises CallError."""
    desk, deed = place_of(request).desk, deed_of(request)
    known = {each.code: each for each in list_ship_tos(desk, deed)}
    if place not in known:
        raise CallError("ship-to-unknown", name=place)
    return _places(request, _told(known[place]))


@room.post("/ship-tos")
def change(
    request: Request, _seated: Annotated[Seated, sits(Action.SET_SHIP_TOS)], form: Form
) -> Response:
    """A new place, or one set anew by its code; what was typed stays where it cannot be."""
    told = {name: text_of(form, name) for name in _NAMES}
    try:
        version = told["version"]
        expected = int(version) if version.isdecimal() and len(version) < 10 else None
        set_ship_to(place_of(request).desk, deed_of(request), _read(told), expected)
    except (WholekitError, QuantityError) as error:
        return _places(request, told, sentences(error), status_of(error))
    return go("/ship-tos")


_NAMES = ("code", "name", "address", "taxes", "freights", "currency", "inclusive", "rounding",
          "version")  # fmt: skip


def _read(told: Mapping[str, str]) -> ShipTo:
    currency = told["currency"].upper() or "USD"
    roundings = {each.value: each for each in Rounding}
    return ShipTo(
        told["code"].casefold(),
        told["name"],
        _lines(told["address"]),
        tuple(map(_tax, _lines(told["taxes"]))),
        tuple(read_freight(line, currency) for line in _lines(told["freights"])),
        bool(told["inclusive"]),
        roundings.get(told["rounding"], Rounding.DOCUMENT),
    )


def _tax(line: str) -> TaxRate:
    text, _, since = line.partition(FROM)
    return read_tax(text.strip(), read_day(since.strip()))


def _lines(text: str) -> tuple[str, ...]:
    lines = (" ".join(line.split()) for line in text.splitlines())
    return tuple(line for line in lines if line)


def _told(place: ShipTo) -> dict[str, str]:
    currencies = [rate.flat.currency for rate in place.freights]
    return {
        "code": place.code,
        "name": place.name,
        "address": "\n".join(place.address),
        "taxes": "\n".join(tax_text(tax) + _since(tax.valid_from) for tax in place.taxes),
        "freights": "\n".join(map(freight_text, place.freights)),
        "currency": currencies[0] if currencies else "USD",
        "inclusive": "1" if place.inclusive else "",
        "rounding": place.rounding.value,
        "version": str(place.version),
    }


def _since(day: date | None) -> str:
    return "" if day is None else f"{FROM}{day.isoformat()}"


def _places(
    request: Request,
    told: Mapping[str, str] | None = None,
    said: Sequence[str] = (),
    status: int = 200,
) -> Response:
    place, deed = place_of(request), deed_of(request)
    blank = {**dict.fromkeys(_NAMES, ""), "currency": "USD", "version": "0"}
    return page(
        request,
        "ship_tos.html",
        status,
        places=[ship_to_answer(each) for each in list_ship_tos(place.desk, deed)],
        told=blank if told is None else told,
        changing=told is not None and told["version"] not in ("", "0"),
        roundings=[each.value for each in Rounding],
        said=said,
    )
