"""Pages from templates, with what every page shows."""

from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache
from pathlib import Path
from typing import Any

from fastapi import Request
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup
from starlette.responses import HTMLResponse, RedirectResponse, Response

from wholekit.domain.house_style import HouseStyle
from wholekit.domain.quotes.roles import Action, may
from wholekit.services.accounts import Seated
from wholekit.settings import bundled
from wholekit.views.jobs import JobOpeningAnswer
from wholekit.views.kits import PriceAnswer
from wholekit.views.stock_value import ValueTotal
from wholekit.web.place import WebPlace, place_of
from wholekit.wording.speech import (
    ENGLISH,
    LANGUAGES,
    language_of,
    quoted,
    speaking,
    spoken,
    tr,
    trn,
)
from wholekit.wording.text_order import in_order, marks_in_order

# Of a kilobyte and a half each, with what they are kept by [rows].
ROWS_KEPT = 5_000
LANGUAGE_COOKIE = "language"
SAVED = "done"
NEXT = 303


@dataclass(frozen=True, slots=True)
class Way:
    """A way that the head of a page shows to whoever may go it. inner: the pages behind it, shown
    beside each other on each of them."""

    path: str
    words: str
    action: Action
    inner: tuple["Way", ...] = ()

    def leads_to(self, here: str) -> bool:
        """Whether a page lies on it."""
        return here.startswith(self.path) or any(way.leads_to(here) for way in self.inner)

    def nearest(self, here: str) -> str:
        """The path of the inner way that a page lies on: of two the longer."""
        found = (way.path for way in self.inner if way.leads_to(here))
        return max(found, key=len, default="")


def ways() -> tuple[Way, ...]:
    """All of them, in the language in use."""
    return (
        Way("/jobs", tr("Jobs"), Action.SEE_JOBS),
        Way(
            "/customers",
            tr("Customers"),
            Action.SEE_CUSTOMERS,
            (
                Way("/customers", tr("Customers"), Action.SEE_CUSTOMERS),
                Way("/ship-tos", tr("Places goods go to"), Action.SEE_CUSTOMERS),
            ),
        ),
        Way("/catalogs", tr("Catalogues"), Action.SEE_CATALOGS),
        Way(
            "/picking",
            tr("Pick room"),
            Action.PICK_BAGS,
            (
                Way("/picking", tr("To pick"), Action.PICK_BAGS),
                Way("/shipping", tr("To ship"), Action.SHIP_BAGS),
                Way("/receiving", tr("To receive"), Action.RECEIVE_STOCK),
            ),
        ),
        Way("/buying", tr("Buying"), Action.SEE_PURCHASES),
        Way(
            "/waiting",
            tr("Waiting"),
            Action.SEE_REQUESTS,
            (
                Way("/waiting", tr("For your word"), Action.SEE_REQUESTS),
                Way("/stuck", tr("What is stuck"), Action.SEE_REQUESTS),
            ),
        ),
        Way(
            "/margins",
            tr("Figures"),
            Action.SEE_COST,
            (
                Way("/margins", tr("Margins"), Action.SEE_COST),
                Way("/discounts", tr("Discounts"), Action.SEE_COST),
                Way("/rises", tr("Rises"), Action.SEE_COST),
                Way("/stock-value", tr("Value of stock"), Action.SEE_COST),
                Way("/slow-stock", tr("Slow stock"), Action.SEE_COST),
            ),
        ),
        Way(
            "/house",
            tr("House"),
            Action.SEE_SETTINGS,
            (
                Way("/house", tr("Settings"), Action.SEE_SETTINGS),
                Way("/house/rules", tr("Rules"), Action.SEE_SETTINGS),
                Way("/people", tr("People"), Action.ENTER_PEOPLE),
                Way("/log", tr("Log"), Action.SEE_LOG),
            ),
        ),
    )


def looks() -> Environment:
    """The templates of the screens."""
    made = Environment(
        loader=FileSystemLoader(bundled("templates") / "screens"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        cache_size=-1,
        auto_reload=False,
    )
    made.filters["amount"] = amount
    made.filters["difference"] = difference
    made.filters["cents"] = cents
    made.filters["figure"] = figure
    made.filters["tenth"] = tenth
    # Of what is shown alone: what a form sends back stays as it was written.
    made.filters["marks"] = marks_in_order
    made.filters["in_order"] = in_order
    made.globals.update(tr=tr, trn=trn, quoted=quoted)
    made.globals.update(opening_row=_opening_rows(made))
    return made


def _opening_rows(made: Environment) -> Callable[[JobOpeningAnswer, int, bool, bool], Markup]:
    """Rows of the table of openings. Of a long job all but one or two are as they were a moment
    ago: one is kept by all that it shows, which tells whose it is, and by its language."""

    @lru_cache(maxsize=ROWS_KEPT)
    def kept(
        each: JobOpeningAnswer, number: int, changes: bool, chosen: bool, _speech: object
    ) -> Markup:
        text = made.get_template("parts/opening_row.html").render(
            each=each, number=number, changes=changes, chosen=chosen
        )
        return Markup(text)  # noqa: S704  # what a template of ours made, with all escaped in it

    def row(each: JobOpeningAnswer, number: int, changes: bool, chosen: bool) -> Markup:
        return kept(each, number, changes, chosen, spoken())

    return row


def statics() -> Path:
    """The folder of style sheets, scripts and signs."""
    return bundled("templates") / "screens" / "static"


def amount(price: PriceAnswer | ValueTotal | None) -> str:
    """`1,234.50 USD`; a dash where there is none.

    >>> amount(PriceAnswer("1234.50", "USD"))
    '1,234.50 USD'
    """
    if price is None:
        return "–"
    return f"{figure(price.amount)} {price.currency}" if _figures(price.amount) else price.amount


def figure(text: str) -> str:
    """A decimal text as amounts are written: `8,671.5702`; any other text as it is.

    >>> figure("8671.5702"), figure("-1200"), figure("–")
    ('8,671.5702', '-1,200', '–')
    """
    whole, point, decimals = text.partition(".")
    return f"{int(whole):,}{point}{decimals}" if _plain(whole) else text


def cents(text: str) -> str:
    """A decimal text to two decimals, rounded half up, as amounts are written; others as they are.

    >>> cents("8671.5752"), cents("-1200"), cents("–")
    ('8,671.58', '-1,200.00', '–')
    """
    if not _plain(text.partition(".")[0]):
        return text
    return figure(f"{Decimal(text).quantize(Decimal('0.01'), ROUND_HALF_UP):f}")


def tenth(share: str) -> str:
    """A percentage of the owner's figures to one decimal, rounded half up; other texts as they are.

    >>> tenth("33.333%"), tenth("-1.25%"), tenth("25%"), tenth("n/a")
    ('33.3%', '-1.3%', '25%', 'n/a')
    """
    whole = share.removesuffix("%")
    if not share.endswith("%") or not _plain(whole.partition(".")[0].replace("-0", "0")):
        return share
    said = Decimal(whole).quantize(Decimal("0.1"), ROUND_HALF_UP)
    return f"{said.normalize() + 0:f}%"


def difference(price: PriceAnswer) -> str:
    """`+12.00 USD`, `no change in price`."""
    if price.amount.strip("0.") == "":
        return tr("same price")
    return amount(price) if price.amount.startswith("-") else f"+{amount(price)}"


def _figures(text: str) -> bool:
    return _plain(text.partition(".")[0])


def _plain(whole: str) -> bool:
    return whole.removeprefix("-").isdigit() and whole != "-0"


def language_for(request: Request) -> str:
    """The language of the browser's screens: as chosen, or the first it asks for that we have."""
    chosen = request.cookies.get(LANGUAGE_COOKIE, "")
    if chosen in LANGUAGES:
        return chosen
    for wanted in request.headers.get("accept-language", "").split(","):
        tag = wanted.partition(";")[0].strip()
        if tag.partition("-")[0].lower() in LANGUAGES:
            return language_of(tag)
    return ENGLISH


def heard(request: Request) -> AbstractContextManager[None]:
    """The browser's language, while what a page shows is put into words."""
    return speaking(language_for(request))


def page(request: Request, template: str, status: int = 200, **shown: object) -> HTMLResponse:
    """A page of a template, in the browser's language."""
    place = place_of(request)
    language = language_for(request)
    with speaking(language):
        text = place.looks.get_template(template).render(
            **_frame(request, place, language), **shown
        )
    return HTMLResponse(text, status, {"cache-control": "no-store"})


def _frame(request: Request, place: WebPlace, language: str) -> Mapping[str, Any]:
    known: Seated | None = getattr(request.state, "seated", None)
    style: HouseStyle = place.style()
    return {
        "house": style.card.name,
        "accent": style.accent,
        "language": language,
        "languages": LANGUAGES,
        "seated": known,
        "form_key": "" if known is None else known.seat.form_key,
        "here": request.url.path,
        "ways": []
        if known is None or known.must_change
        else [way for way in ways() if may(known.person.role, way.action)],
        "may": {
            action.value: known is not None and may(known.person.role, action) for action in Action
        },
    }


def go(path: str) -> Response:
    """On to a page, by reading it anew."""
    return RedirectResponse(path, NEXT)
