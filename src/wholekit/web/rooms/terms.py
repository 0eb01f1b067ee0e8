"""The terms of a job: discount, extra lines, the newest catalogues; what changed since a quote."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.domain.errors import CallError, WholekitError
from wholekit.domain.quantities import QuantityError, parse_money, parse_share
from wholekit.domain.quotes.roles import Action
from wholekit.domain.tax import LineKind
from wholekit.services import job_lines, jobs
from wholekit.services.accounts import Seated
from wholekit.services.job_history import job_events
from wholekit.services.job_view import view_job
from wholekit.services.quote_comparison import compare_draft
from wholekit.views.history import event_answers
from wholekit.views.jobs import job_answer
from wholekit.web.faults import sentences, status_of
from wholekit.web.place import place_of
from wholekit.web.screens import go, language_for, page
from wholekit.web.seats import deed_of, posted, sits, text_of
from wholekit.wording.comparisons import row_texts, say_comparison
from wholekit.wording.speech import speaking, tr

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]
EVENTS = 300


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
    """Change one of them."""
    place, deed = place_of(request), deed_of(request)
    what = text_of(form, "deed")
    try:
        if what == "discount":
            share = parse_share(text_of(form, "share"))
            jobs.set_discount(place.desk, deed, number, share, text_of(form, "reason"))
        elif what == "line":
            _line(request, number, form)
        elif what == "remove":
            place_in = text_of(form, "line")
            if not place_in.isdecimal() or len(place_in) > 6:
                raise CallError("answer-wanted")
            job_lines.remove_extra(place.desk, deed, number, int(place_in))
        elif what == "reprice":
            jobs.reprice_job(place.desk, deed, number)
        else:
            raise CallError("answer-wanted")
    except (WholekitError, QuantityError) as error:
        return _terms(request, number, sentences(error), status_of(error))
    return go(f"/jobs/{number}/terms")


@room.get("/jobs/{number}/compare")
def compare(
    request: Request, number: str, _seated: Annotated[Seated, sits(Action.SEE_QUOTES)]
) -> Response:
    """The last revision that was issued, held against the job as it stands."""
    place, deed = place_of(request), deed_of(request)
    job = jobs.job_header(place.desk, deed, number)
    found = compare_draft(place.desk, deed, job.label)
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
             [row_texts(row) for row in each.rows])
            for each in said.openings
        ]  # fmt: skip
    return page(
        request,
        "compare.html",
        title=said.title,
        closing=said.closing,
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


def _terms(
    request: Request, number: str, said: tuple[str, ...] | list[str] = (), status: int = 200
) -> Response:
    place, deed = place_of(request), deed_of(request)
    view = view_job(place.desk, deed, number)
    return page(
        request,
        "terms.html",
        status,
        job=job_answer(view, place.desk.rules, deed.day),
        number=view.job.number,
        kinds=[kind.value for kind in LineKind],
        said=said,
    )
