"""The pick room's first page: orders in order of promise, waves under way. No money is on it."""

from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.domain.errors import WholekitError
from wholekit.domain.orders import BagState
from wholekit.domain.quotes.roles import Action
from wholekit.services import picks, waves
from wholekit.services.accounts import Seated
from wholekit.services.lacks import waiting_bags
from wholekit.services.one_view import one_view
from wholekit.services.order_port import OrderFilter
from wholekit.services.orders import list_orders
from wholekit.services.ports import Page
from wholekit.views.pick_room import order_row
from wholekit.web.faults import sentences, status_of
from wholekit.web.place import place_of
from wholekit.web.screens import go, heard, page
from wholekit.web.seats import deed_of, posted, sits, text_of, texts_of
from wholekit.wording.pick_answers import bag_name
from wholekit.wording.waits import say_waits

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]
ORDERS = 100
BAGS = 12
# Orders of which every bag has left, shown to be found again.
LATELY = 8
MOST_WAITING = 40


@dataclass(frozen=True, slots=True)
class WaveCard:
    """A wave with bags that are not closed. marks: what those are called; begun: how many are
    [bags]."""

    number: int
    picker: str
    branch: str
    marks: tuple[str, ...]
    begun: int


@dataclass(frozen=True, slots=True)
class Ended:
    """What came of ending a wave. back, left: bags that went back, and that stay [count]."""

    wave: int
    back: int
    left: int


@dataclass(frozen=True, slots=True)
class LeftBag:
    """A bag that was put aside."""

    id: str
    name: str
    order: str


@dataclass(frozen=True, slots=True)
class WaitingBag:
    """A bag that lacks goods. lacks: which, and until when."""

    id: str
    name: str
    order: str
    lacks: tuple[str, ...]


@room.get("/picking")
def picking(
    request: Request,
    _seated: Annotated[Seated, sits(Action.SEE_ORDERS)],
    ended: str = "",
    back: str = "",
    left: str = "",
) -> Response:
    """What is to be picked. ended: a wave that was just ended; back, left: bags that went back out
    of it, and that stay in it for they were begun [count]."""
    counts = [
        int(each) if each.isdecimal() and len(each) < 10 else 0 for each in (ended, back, left)
    ]
    return _picking(request, ended=Ended(*counts) if counts[0] else None)


@room.post("/picking/waves")
def begin(
    request: Request, _seated: Annotated[Seated, sits(Action.PICK_BAGS)], form: Form
) -> Response:
    """A wave of bags that are ready, of the orders that were chosen or of any; or of one bag, to go
    on picking it."""
    place = place_of(request)
    most, bag, into = text_of(form, "most"), text_of(form, "bag"), ""
    try:
        found = waves.open_wave(
            place.desk,
            deed_of(request),
            orders=texts_of(form, "order"),
            bags=[bag] if bag else (),
            most=int(most) if most.isdecimal() and len(most) < 4 else BAGS,
            walk=place.style().walk,
        )
        if bag:
            # As by its label: whoever goes on with a bag has it before them.
            into = found.bags[0][0].id
            picks.scan(place.desk, deed_of(request), found.number, into)
    except WholekitError as error:
        return _picking(request, sentences(error), status_of(error))
    return go(f"/picking/waves/{found.number}{f'?into={into}' if into else ''}")


def _under_way(view: waves.WaveView) -> WaveCard:
    rows = [row for row, bag in view.bags if bag.closed is None]
    return WaveCard(
        view.number,
        view.picker,
        view.bags[0][0].branch,
        tuple(bag_name(row.mark, row.number, view.equal[row.id]) for row in rows),
        sum(row.state is BagState.OPEN for row in rows),
    )


def _picking(
    request: Request,
    said: tuple[str, ...] | list[str] = (),
    status: int = 200,
    ended: Ended | None = None,
) -> Response:
    deed = deed_of(request)
    with one_view(place_of(request).desk) as desk:
        rows, count = list_orders(desk, deed, OrderFilter(), Page(0, ORDERS))
        through, _count = list_orders(desk, deed, OrderFilter(gone=True), Page(0, LATELY))
        under_way = waves.waves_under_way(desk, deed)
        left = waves.bags_left(desk, deed)
        waiting = waiting_bags(desk, deed)
        shown = [bag for bag, _, _ in waiting[:MOST_WAITING]]
        equal = waves.equal_bags_of(desk, deed, [*left, *shown])
    labels = {row.order.id: row.order.label for row in rows}
    with heard(request):
        cards = [_under_way(view) for view in under_way]
        aside = [
            LeftBag(
                bag.id, bag_name(bag.mark, bag.number, equal[bag.id]), labels.get(bag.order, "")
            )
            for bag in left
        ]
        lacking = [
            WaitingBag(
                bag.id,
                bag_name(bag.mark, bag.number, equal[bag.id]),
                order.label,
                say_waits(lacks),
            )
            for bag, order, lacks in waiting[:MOST_WAITING]
        ]
    return page(
        request,
        "picking.html",
        status,
        orders=[(row.order.id, order_row(row)) for row in rows],
        through=[order_row(row) for row in through],
        more=count > len(rows),
        waves=cards,
        ended=ended,
        left=aside,
        lacking=lacking,
        more_lacking=len(waiting[MOST_WAITING:]),
        most=BAGS,
        said=said,
    )
