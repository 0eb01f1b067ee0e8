"""The terms of a job: discount, extra lines, the newest catalogues; what changed since a quote."""

from collections.abc import Mapping, Sequence
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.domain.customers import Customer
from wholekit.domain.errors import CallError, WholekitError
from wholekit.domain.quantities import QuantityError, parse_money
from wholekit.domain.quotes import Job, State
from wholekit.domain.quotes.roles import Action
from wholekit.domain.tax import LineKind
from wholekit.services import job_lines, jobs
from wholekit.services.accounts import Seated
from wholekit.services.customers import customer_of, list_customers, list_ship_tos
from wholekit.services.job_history import job_events
from wholekit.services.job_view import view_job
from wholekit.services.ports import Page
from wholekit.services.quote_comparison import compare_draft, compare_quotes
from wholekit.services.quote_reading import quote_revisions
from wholekit.views.customers import customer_answer, ship_to_answer
from wholekit.views.history import event_answers
from wholekit.views.jobs import job_answer
from wholekit.web.days import read_day
from wholekit.web.faults import sentences, status_of
from wholekit.web.numbers import percent_of
from wholekit.web.place import place_of
from wholekit.web.screens import go, heard, language_for, page
from wholekit.web.seats import deed_of, posted, sits, text_of
from wholekit.wording.comparisons import row_texts, say_comparison
from wholekit.wording.speech import speaking, tr

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]
EVENTS = 300
CUSTOMERS = 1_000
# The fields of the page by the button that takes them.
GROUPS = {
    "header": ("ship_to", "freight", "name", "customer", "site", "contact", "due", "salesperson",
               "note"),
    "discount": ("share", "reason"),
    "line": ("description", "kind", "quantity", "price"),
}  # fmt: skip
TYPED = tuple(name for names in GROUPS.values() for name in names)
EMPTY = {**dict.fromkeys(TYPED, ""), "kind": LineKind.HARDWARE.value, "quantity": "1"}
NOTHING: Mapping[str, str] = {}


@room.get("/jobs/{number}/terms")
def terms(
    request: Request, number: str, _seated: Annotated[Seated, sits(Action.SEE_JOBS)]
) -> Response:
    """The terms a job is quoted on."""
    return _terms(request, number)


@room.post("/jobs/{number}/terms")
def change(
    request: Request,
    number: str,
    _seated: Annotated[Seated, sits(Action.CHANGE_JOBS)],
    form: Form,
) -> Response:
    """Change one of them; what was typed for another stays in its field."""
    place, deed = place_of(request), deed_of(request)
    what = _deed(form)
    told = {name: text_of(form, name) for name in TYPED if name in form}
    try:
        if what == "discount":
            share = percent_of(text_of(form, "share"))
            jobs.set_discount(place.desk, deed, number, share, text_of(form, "reason"))
        elif what == "header":
            jobs.edit_job(place.desk, deed, number, _header(form))
        elif what == "line":
            _line(request, number, form)
        elif what == "remove":
            place_in = text_of(form, "remove")
            if not place_in.isdecimal() or len(place_in) > 6:
                raise CallError("answer-wanted")
            job_lines.remove_extra(place.desk, deed, number, int(place_in))
        elif what == "reprice":
            jobs.reprice_job(place.desk, deed, number)
        else:
            raise CallError("answer-wanted")
    except (WholekitError, QuantityError) as error:
        with heard(request):
            said = sentences(error)
        return _terms(request, number, said, status_of(error), told)
    left = {name: text for name, text in told.items() if name not in GROUPS.get(what, ())}
    if _unsaved(jobs.job_header(place.desk, deed, number), left):
        return _terms(request, number, told=left, kept=True)
    return go(f"/jobs/{number}/terms")


def _deed(form: FormData) -> str:
    """What a form of the page asks for; Enter in a field takes what was typed there."""
    if text_of(form, "remove"):
        return "remove"
    if (what := text_of(form, "deed")) != "typed":
        return what
    if text_of(form, "share"):
        return "discount"
    return "line" if text_of(form, "description") or text_of(form, "price") else "header"


def _stands(job: Job) -> dict[str, str]:
    """The fields of the page as a job fills them."""
    return {
        **EMPTY,
        "name": job.name,
        "customer": job.customer,
        "site": job.site,
        "contact": job.contact,
        "ship_to": job.ship_to,
        "freight": f"{job.ship_to}/{job.freight}" if job.freight else "",
        "due": "" if job.bids_due is None else job.bids_due.isoformat(),
        "salesperson": job.salesperson,
        "note": job.note,
    }


def _unsaved(job: Job, told: Mapping[str, str]) -> bool:
    """Whether a field holds what the job does not; a place that is only proposed is none."""
    stands = _stands(job)
    return any(text != stands[name] for name, text in told.items() if name != "ship_to") or (
        bool(job.ship_to) and told.get("ship_to", job.ship_to) != job.ship_to
    )


@room.get("/jobs/{number}/compare")
def compare(
    request: Request,
    number: str,
    _seated: Annotated[Seated, sits(Action.SEE_QUOTES)],
    first: str = "",
    second: str = "",
) -> Response:
    """The last revision that was issued held against the job as it stands, or two revisions of it
    against each other."""
    place, deed = place_of(request), deed_of(request)
    job = jobs.job_header(place.desk, deed, number)
    issued = [
        revision.label
        for revision in quote_revisions(place.desk, deed, number)
        if revision.state is not State.DRAFT
    ]
    # Of this job alone, whatever the address says.
    if first in issued and second in issued and first != second:
        found = compare_quotes(place.desk, deed, *sorted((first, second), key=issued.index))
    else:
        found = compare_draft(place.desk, deed, job.label)
        first, second = issued[-1], ""
    with speaking(language_for(request)):
        said = say_comparison(found.comparison)
        groups = [
            (name, [row_texts(row) for row in rows])
            for name, rows in (
                (tr("Money"), said.money),
                (tr("Doors not in the quote"), said.unasked),
                (tr("Discount"), said.discount),
                (tr("Prices"), said.repriced),
                (tr("Items"), said.items),
                (tr("Extra lines"), said.extras),
                (tr("Terms"), said.terms),
                (tr("Alternates"), said.alternates),
            )
            if rows
        ]
        openings = [
            (each.places, each.kind, each.what,
             [row_texts(row) for row in (each.total, *each.rows)])
            for each in said.openings
        ]  # fmt: skip
    return page(
        request,
        "compare.html",
        title=said.title,
        closing=said.closing,
        before_discount=said.before_discount,
        issued=issued,
        first=first,
        second=second,
        groups=groups,
        openings=openings,
        number=job.number,
        label=job.label,
    )


@room.get("/jobs/{number}/history")
def history(
    request: Request, number: str, _seated: Annotated[Seated, sits(Action.SEE_JOBS)]
) -> Response:
    """All that was changed on a job: when, by whom, from what to what."""
    place, deed = place_of(request), deed_of(request)
    job = jobs.job_header(place.desk, deed, number)
    entries = event_answers(job_events(place.desk, deed, job.label))
    return page(
        request,
        "history.html",
        entries=entries[-EVENTS:][::-1],
        number=job.number,
        label=job.label,
        job_name=job.name,
    )


def _header(form: FormData) -> dict[str, object]:
    """Fields of the job's head as the form has them."""
    names = ("name", "customer", "site", "contact", "ship_to", "salesperson", "note")
    changes: dict[str, object] = {name: text_of(form, name) for name in names}
    changes["bids_due"] = read_day(text_of(form, "due"))
    place, _, rate = text_of(form, "freight").partition("/")
    moved = text_of(form, "ship_to") != text_of(form, "was_ship_to")
    # A rate of the place that it went to before is none of another's.
    if not moved or (rate and place != text_of(form, "was_ship_to")):
        changes["freight"] = rate
    # With another customer these are theirs, unless somebody typed others.
    if text_of(form, "customer") != text_of(form, "was_customer"):
        changes.pop("freight", None)
        for name in ("ship_to", "contact"):
            if text_of(form, name) == text_of(form, f"was_{name}"):
                del changes[name]
    return changes


def _line(request: Request, number: str, form: FormData) -> None:
    place, deed = place_of(request), deed_of(request)
    currency = jobs.job_header(place.desk, deed, number).currency
    kinds = {kind.value: kind for kind in LineKind}
    count, price = text_of(form, "quantity") or "1", text_of(form, "price")
    if not count.isdecimal() or len(count) > 6:
        raise CallError("quantity-out-of-range", given=count, most=999_999)
    job_lines.add_extra(
        place.desk,
        deed,
        number,
        job_lines.NewExtra(
            kinds.get(text_of(form, "kind"), LineKind.OTHER),
            text_of(form, "description"),
            int(count),
            parse_money(price, currency) if price else None,
        ),
    )


def _usual(customer: Customer, places: Sequence[str]) -> str:
    """Where a job that goes nowhere yet is likely to go: as usual, or the only place there is."""
    if customer.ship_to in places:
        return customer.ship_to
    return places[0] if len(places) == 1 else ""


def _terms(
    request: Request,
    number: str,
    said: tuple[str, ...] | list[str] = (),
    status: int = 200,
    told: Mapping[str, str] = NOTHING,
    *,
    kept: bool = False,
) -> Response:
    """The page. told: what was typed, by field; kept: something else was changed, and these wait
    for their own button."""
    place, deed = place_of(request), deed_of(request)
    view = view_job(place.desk, deed, number)
    places = list_ship_tos(place.desk, deed)
    goes = next((each for each in places if each.code == view.job.ship_to), None)
    customer = customer_of(place.desk, deed, view.job.customer)
    usual = "" if view.job.ship_to else _usual(customer, [each.code for each in places])
    customers, _ = list_customers(place.desk, deed, "", Page(0, CUSTOMERS))
    return page(
        request,
        "terms.html",
        status,
        ship_tos=places,
        goes=None if goes is None else ship_to_answer(goes),
        rates=[(each, ship_to_answer(each).freights) for each in places],
        told={**_stands(view.job), "ship_to": view.job.ship_to or usual, **told},
        usual=usual,
        kept=kept,
        exempt=customer_answer(customer, deed.day),
        customers=[
            (each.code, each.name) for each in customers if each.currency == view.job.currency
        ],
        job=job_answer(view, place.desk.rules, deed.day),
        number=view.job.number,
        kinds=[kind.value for kind in LineKind],
        said=said,
    )
