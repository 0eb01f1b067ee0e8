"""The owner's room: what is stuck, since when, and where to mend it."""

from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Request
from starlette.responses import Response

from wholekit.domain.quotes.roles import Action, may
from wholekit.services.accounts import Seated
from wholekit.services.stuck import Stuck, StuckOrder, StuckQuote, what_is_stuck
from wholekit.web.papers import paper_row
from wholekit.web.place import place_of
from wholekit.web.screens import language_for, page
from wholekit.web.seats import deed_of, sits
from wholekit.wording.questions import ranges_text
from wholekit.wording.speech import speaking, tr, trn
from wholekit.wording.text_order import in_order
from wholekit.wording.waits import say_last

room = APIRouter()


@dataclass(frozen=True, slots=True)
class StuckRow:
    """One thing. days: in words; link: where it is mended, empty where no page is for it; until:
    in words, empty where nothing is awaited; bad: it is later than was promised."""

    name: str
    said: str
    days: str
    link: str = ""
    until: str = ""
    bad: bool = False


@dataclass(frozen=True, slots=True)
class StuckKind:
    """Things of one kind. mend: where all of them are mended, empty where no one page does."""

    title: str
    rows: tuple[StuckRow, ...]
    mend: str = ""


@room.get("/stuck")
def stuck(request: Request, _seated: Annotated[Seated, sits(Action.SEE_REQUESTS)]) -> Response:
    """All that waits for somebody."""
    found = what_is_stuck(place_of(request).desk, deed_of(request))
    with speaking(language_for(request)):
        kinds = kinds_of(request, found)
    return page(request, "stuck.html", kinds=kinds, count=found.count)


def kinds_of(request: Request, found: Stuck) -> list[StuckKind]:
    """What is stuck by its kind, in the language in use."""
    return [
        StuckKind(
            tr("Quotes that wait for your word"),
            tuple(_quote(each, "/review") for each in found.approvals),
        ),
        StuckKind(
            tr("Accepted, and not released to the pick room"),
            tuple(_quote(each, f"/quotes/{each.label}") for each in found.unreleased),
        ),
        StuckKind(
            tr("Bags that lack goods"),
            tuple(_order(each) for each in found.short),
            "/buying" if may(request.state.seated.person.role, Action.SEE_PURCHASES) else "",
        ),
        StuckKind(
            tr("Waves that are not through"),
            tuple(
                StuckRow(
                    tr("Wave {number}").format(number=each.number),
                    f"{each.picker}, "
                    + trn("{count} bag", "{count} bags", each.bags).format(count=each.bags),
                    tr("not begun") if each.days is None else _days(each.days),
                    f"/picking/waves/{each.number}",
                )
                for each in found.waves
            ),
        ),
        StuckKind(
            tr("Papers that could not be made"),
            tuple(
                StuckRow(
                    f"{row.name} {row.reference}",
                    " ".join((row.asked_by, *row.fault)),
                    _days(each.days),
                    row.at,
                )
                for each in found.papers
                for row in (paper_row(request, each.asked),)
            ),
        ),
        StuckKind(
            tr("Overdue from suppliers"),
            tuple(
                StuckRow(
                    each.label,
                    trn("{count} pack", "{count} packs", each.packs).format(count=each.packs),
                    _days(each.days),
                    f"/buying/{each.label}",
                )
                for each in found.purchases
            ),
        ),
    ]


def _quote(each: StuckQuote, link: str) -> StuckRow:
    name = each.job.label if each.label == "draft" else f"{each.job.label} {each.label}"
    at = link if link.startswith("/quotes/") else f"/jobs/{each.job.number}{link}"
    return StuckRow(name, f"{each.job.name}, {each.who}", _days(each.days), at)


def _order(each: StuckOrder) -> StuckRow:
    until = say_last(each.until, each.waits)
    promised = each.order.promised_on
    marks = in_order(ranges_text(list(each.marks), list(each.marks)))
    return StuckRow(
        f"{each.job.label} {each.order.label}",
        f"{each.job.name}: {_bags(len(each.bags))}, {marks}"
        + (", " + tr("promised {day}").format(day=promised) if promised else ""),
        _days(each.days),
        f"/bags/{each.bags[0]}" if len(each.bags) == 1 else f"/shipping/{each.order.label}",
        until,
        each.late,
    )


def _bags(count: int) -> str:
    return trn("{count} bag", "{count} bags", count).format(count=count)


def _days(days: int) -> str:
    return trn("{count} day", "{count} days", days).format(count=days) if days else tr("today")
