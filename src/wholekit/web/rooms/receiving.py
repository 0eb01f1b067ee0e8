"""Goods that come of an order to a supplier, by scan or by count. No money is on it.

A scan bears an id of its own, so that one that is sent twice counts once; a list counts once under
the number of its delivery note.
"""

from dataclasses import dataclass
from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.domain.errors import CallError, WholekitError
from wholekit.domain.picking import ScanRefused
from wholekit.domain.quotes.roles import Action
from wholekit.services.accounts import Seated
from wholekit.services.goods_scans import end_delivery, scan_goods, undo_goods
from wholekit.services.one_view import one_view
from wholekit.services.receiving import (
    Received,
    ToldDelivery,
    expected_deliveries,
    expected_delivery,
    receive_delivery,
)
from wholekit.services.stock import list_branches
from wholekit.services.waves import equal_bags_of, find_bag
from wholekit.views.buying import received_answer
from wholekit.web.faults import sentences, status_of
from wholekit.web.place import place_of
from wholekit.web.screens import go, heard, page
from wholekit.web.seats import deed_of, posted, sits, text_of
from wholekit.wording.pick_answers import bag_name, say_goods, say_whole
from wholekit.wording.picking import say_refusal
from wholekit.wording.purchases import STATES
from wholekit.wording.speech import tr

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]
Receives = Annotated[Seated, sits(Action.RECEIVE_STOCK)]
LONGEST_ID, LONGEST_SCAN, LONGEST_COUNT = 80, 20_000, 7


@dataclass(frozen=True, slots=True)
class Came:
    """What came of the last deed, in lines, the first short; right: it was done."""

    right: bool
    lines: tuple[str, ...]


@room.get("/receiving")
def receiving(request: Request, _seated: Receives) -> Response:
    """Orders of which goods are expected."""
    desk, deed = place_of(request).desk, deed_of(request)
    with one_view(desk) as seen:
        found = [received_answer(each) for each in expected_deliveries(seen, deed)]
        branches = len(list_branches(seen, deed))
    return page(request, "receiving.html", orders=found, several=branches > 1)


@room.get("/receiving/{purchase}")
def order(request: Request, purchase: str, _seated: Receives, done: str = "") -> Response:
    """An order as its goods come. done: bags that were completed as the last delivery ended."""
    whole = [each for each in done.split(".") if each]
    return _order(request, purchase, _completed(request, whole) if done else None)


@room.post("/receiving/{purchase}")
def come(request: Request, purchase: str, _seated: Receives, form: Form) -> Response:
    """A scan, one taken back, a list of what was counted, or the end of the delivery."""
    desk, deed, what = place_of(request).desk, deed_of(request), text_of(form, "deed")
    note, over = text_of(form, "note"), bool(text_of(form, "over"))
    short = bool(text_of(form, "close_short"))
    try:
        if what in ("count", "end"):
            packs = _counted(form) if what == "count" else ()
            told = ToldDelivery(packs, note, over=over, close_short=short)
            ended = (receive_delivery if what == "count" else end_delivery)(
                desk, deed, purchase, told
            )
            bags = ".".join(ended.completed) or "none"
            return go(f"/receiving/{quote(purchase, safe='')}?done={bags}")
        scan_id = text_of(form, "scan_id")[:LONGEST_ID]
        if what == "undo":
            answer = undo_goods(desk, deed, purchase)
        elif what == "scan" and not text_of(form, "scan") and _counted(form):
            # Enter in a field of counts: nothing is taken in that may be counted in half.
            raise CallError("counts-not-pressed")
        else:
            typed = form.get("scan")
            text = typed[:LONGEST_SCAN] if isinstance(typed, str) else ""
            answer = scan_goods(
                desk, deed, purchase, text, ToldDelivery((), note, over=over), scan_id
            )
        with heard(request):
            if isinstance(answer.answer, ScanRefused):
                came = Came(right=False, lines=say_refusal(answer.answer))
            else:
                came = Came(right=True, lines=say_goods(answer.answer, answer.place))
    except WholekitError as error:
        came = Came(right=False, lines=tuple(sentences(error)))
        return _order(request, purchase, came, note, status_of(error), form)
    return _order(request, purchase, came, note)


def _counted(form: FormData) -> list[tuple[str, int]]:
    """What was counted of each line. Raises CallError for what is no count."""
    found = []
    for name, given in form.multi_items():
        if not name.startswith("packs ") or not isinstance(given, str) or not given.strip():
            continue
        text = given.strip()
        if not text.isdecimal() or len(text) > LONGEST_COUNT:
            raise CallError("counts-unreadable", given=text)
        if int(text):
            found.append((name.removeprefix("packs "), int(text)))
    return found


def _completed(request: Request, bags: list[str]) -> Came:
    desk, deed = place_of(request).desk, deed_of(request)
    try:
        rows = [row for each in bags if each != "none" for row in find_bag(desk, deed, each)]
    except CallError:
        # An address that somebody typed.
        rows = []
    equal = equal_bags_of(desk, deed, rows)
    with heard(request):
        names = [bag_name(row.mark, row.number, equal[row.id]) for row in rows]
        whole = say_whole(names) or (tr("No bag that waits is whole by it."),)
        return Came(right=True, lines=(tr("The delivery is on the shelf."), *whole))


def _order(
    request: Request,
    purchase: str,
    came: Came | None = None,
    note: str = "",
    status: int = 200,
    form: FormData | None = None,
) -> Response:
    desk = place_of(request).desk
    found: Received = expected_delivery(desk, deed_of(request), purchase)
    return page(
        request,
        "receive_order.html",
        status,
        found=received_answer(found),
        states=STATES,
        came=came,
        note=note,
        # What was counted stays where it was refused.
        counted={} if form is None else {name: text_of(form, name) for name in form},
        scan_id=desk.ids.new(),
    )
