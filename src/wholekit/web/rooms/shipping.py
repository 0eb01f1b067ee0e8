"""At the door: closed bags that leave, what of their order remains, and what has left. No money."""

from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Annotated
from urllib.parse import quote as in_address

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.domain.errors import CallError, WholekitError
from wholekit.domain.orders import BagState, Order, ReleasedBag, ShipWay
from wholekit.domain.quotes.bag_id import bag_id_from
from wholekit.domain.quotes.roles import Action
from wholekit.services.accounts import Seated
from wholekit.services.lacks import bag_waits
from wholekit.services.shipping import (
    Leaving,
    OrderLeaving,
    bags_to_leave,
    closed_bag,
    need_taker,
    order_leaving,
    orders_to_ship,
    ship_bags,
)
from wholekit.web.faults import sentences, status_of
from wholekit.web.numbers import InPath
from wholekit.web.papers import ask_of, paper_answer
from wholekit.web.place import place_of
from wholekit.web.screens import go, heard, page
from wholekit.web.seats import deed_of, posted, sits, text_of, texts_of
from wholekit.wording.pick_answers import bag_name
from wholekit.wording.questions import ranges_text
from wholekit.wording.speech import tr
from wholekit.wording.waits import say_waits

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]
Ships = Annotated[Seated, sits(Action.SHIP_BAGS)]
MOST_LACKING = 40
GONE = (BagState.SHIPPED, BagState.CANCELLED)


@dataclass(frozen=True, slots=True)
class OrderAtDoor:
    """An order with closed bags. marks: of those; closed, others: bags that can leave, and that
    cannot yet [count]."""

    label: str
    at: str
    job: str
    customer: str
    place: tuple[str, ...]
    promised: str
    marks: str
    closed: int
    others: int


@dataclass(frozen=True, slots=True)
class BagAtDoor:
    """A closed bag: what people call it, and packs in it [count]."""

    id: str
    name: str
    packs: int


@dataclass(frozen=True, slots=True)
class BagThatLacks:
    """A bag that cannot leave yet for want of goods. lacks: which, and until when."""

    id: str
    name: str
    lacks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CheckedOff:
    """What came of a code that was held against the list. bag: the one of the list that it is of,
    empty where it is of none."""

    bag: str
    said: Sequence[str]


@dataclass(frozen=True, slots=True)
class ShipmentAtDoor:
    """A shipment. slip: address of its packing slip; marks: of its bags; count: of them."""

    label: str
    slip: str
    when: str
    by: str
    called_for: bool
    said: str
    marks: str
    count: int


@room.get("/shipping")
def shipping(request: Request, _seated: Ships) -> Response:
    """Orders with bags that can leave."""
    return _shipping(request)


@room.post("/shipping")
def scanned(request: Request, _seated: Ships, form: Form) -> Response:
    """A bag's label was scanned: on to its order, with the bag chosen."""
    try:
        bag, order = closed_bag(place_of(request).desk, deed_of(request), text_of(form, "scan"))
    except WholekitError as error:
        return _shipping(request, _refused(request, error), status_of(error))
    return go(f"{_at(order)}?bag={in_address(bag.id)}")


@room.get("/shipping/{quote}/{revision}")
def order_at_door(
    request: Request, quote: str, revision: InPath, _seated: Ships, bag: str = "", gone: str = ""
) -> Response:
    """An order: what can leave, what remains, what has left. bag: one that is chosen; gone: the
    shipment that just left."""
    return _order(request, _label(quote, revision), [bag] if bag else [], gone=gone)


@room.post("/shipping/{quote}/{revision}")
def leave(request: Request, quote: str, revision: InPath, _seated: Ships, form: Form) -> Response:
    """Choose one more bag by its label; show those that were chosen, or all, before they leave;
    check one of that list off; or let those that were shown leave."""
    desk, deed = place_of(request).desk, deed_of(request)
    label, chosen = _label(quote, revision), texts_of(form, "bag")
    done = text_of(form, "deed")
    called_for = text_of(form, "way") == ShipWay.WILL_CALL.value
    leaving = Leaving(
        ShipWay.WILL_CALL if called_for else ShipWay.DELIVERY,
        text_of(form, "reference"),
        text_of(form, "received_by"),
    )
    try:
        if done == "back":
            return _order(request, label, chosen, leaving=leaving)
        if done == "check" or (done == "leave" and text_of(form, "scan")):
            # A code beside the list only ever checks it: nothing leaves by a scan.
            return _confirm(request, label, chosen, leaving, form)
        if done not in ("ship", "all", "leave"):
            bag, order = closed_bag(desk, deed, text_of(form, "scan"))
            if order.label != label:
                # The chosen bags of this order stay where they are: nothing was shipped.
                return go(f"{_at(order)}?bag={in_address(bag.id)}")
            return _order(request, label, [*chosen, bag.id], leaving=leaving, scanned=bag.id)
        # Those that stood on the page: what was closed since was not seen.
        wanted = texts_of(form, "every") if done == "all" else chosen
        if not wanted:
            return _order(request, label, chosen, leaving=leaving, unchosen=True, status=422)
        if done != "leave":
            return _confirm(request, label, wanted, leaving)
        shipped = ship_bags(desk, deed, label, wanted, leaving)
    except WholekitError as error:
        said, status = _refused(request, error), status_of(error)
        return _order(request, label, chosen, said=said, leaving=leaving, status=status)
    return go(f"{_at(shipped.order)}?gone={shipped.shipment.label}")


@room.get("/shipments/{shipment}/slip.pdf")
def slip(
    request: Request, shipment: str, _seated: Annotated[Seated, sits(Action.SEE_PICK_PAPERS)]
) -> Response:
    """The packing slip of exactly that shipment."""
    (asked,) = ask_of(request, shipment, "shipment-slip")
    return paper_answer(request, asked)


def _refused(request: Request, error: WholekitError) -> list[str]:
    """Why a bag does not leave; of one that lacks goods also what, and until when."""
    said = sentences(error)
    if isinstance(error, CallError) and error.code == "ship-not-closed":
        lacks = bag_waits(place_of(request).desk, deed_of(request), str(error.fields["bag"]))
        with heard(request):
            said += say_waits(lacks)
    return said


def _label(quote: str, revision: int) -> str:
    return f"Q-{quote.upper().removeprefix('Q-')}/{revision}"


def _at(order: Order) -> str:
    return f"/shipping/Q-{order.quote:05}/{order.revision}"


def _shipping(request: Request, said: Sequence[str] = (), status: int = 200) -> Response:
    found = [
        OrderAtDoor(
            each.order.label,
            _at(each.order),
            f"{each.job.label} {each.job.name}",
            each.customer,
            each.place,
            str(each.order.promised_on or ""),
            marks_of(each.closed, each.bags),
            len(each.closed),
            sum(bag.state not in (*GONE, BagState.CLOSED) for bag in each.bags),
        )
        for each in orders_to_ship(place_of(request).desk, deed_of(request))
    ]
    return page(request, "shipping.html", status, orders=found, said=said)


def _confirm(
    request: Request,
    label: str,
    wanted: Collection[str],
    leaving: Leaving,
    form: FormData | None = None,
) -> Response:
    """The bags that are about to leave, and how; what cannot is told before it is asked. form: of
    the list, by which one of them was checked off. Raises CallError."""
    need_taker(leaving)
    found = order_leaving(place_of(request).desk, deed_of(request), label)
    bags = bags_to_leave(found.order, found.bags, wanted)
    checked = frozenset() if form is None else frozenset(texts_of(form, "checked"))
    with heard(request):
        shown = [_at_door(bag, found.bags) for bag in bags]
        now = None if form is None else _checked(request, text_of(form, "scan"), found, bags)
    if now is not None and now.bag:
        checked |= {now.bag}
    return page(
        request,
        "ship_confirm.html",
        order=found.order.label,
        at=_at(found.order),
        job=f"{found.offer.job} {found.offer.job_name}",
        customer=found.offer.customer.name,
        place=found.place,
        bags=shown,
        checked=checked,
        count=sum(bag.id in checked for bag in bags),
        now=now,
        leaving=leaving,
    )


def _checked(
    request: Request, scan: str, found: OrderLeaving, bags: Sequence[ReleasedBag]
) -> CheckedOff:
    """What a code is that was scanned beside the list of bags that are about to leave."""
    try:
        scanned = str(bag_id_from(scan))
        own = next((bag for bag in found.bags if bag.id == scanned), None)
        if own is None or (own.state is not BagState.CLOSED):
            bag, order = closed_bag(place_of(request).desk, deed_of(request), scan)
            said = tr("Bag {mark} ({bag}) is of {order}, not of this list.")
            return CheckedOff("", [said.format(mark=bag.mark, bag=bag.id, order=order.label)])
    except WholekitError as error:
        return CheckedOff("", _refused(request, error))
    name = called(own, found.bags)
    if own.id not in {bag.id for bag in bags}:
        said = tr("Bag {mark} is of this order, but not of this list: put it back.")
        return CheckedOff("", [said.format(mark=name)])
    return CheckedOff(own.id, [tr("Bag {mark} is on the list.").format(mark=name)])


def _order(
    request: Request,
    label: str,
    chosen: Collection[str],
    *,
    said: Sequence[str] = (),
    leaving: Leaving | None = None,
    scanned: str = "",
    gone: str = "",
    unchosen: bool = False,
    status: int = 200,
) -> Response:
    found = order_leaving(place_of(request).desk, deed_of(request), label)
    rest = [bag for bag in found.bags if bag.state not in (*GONE, BagState.CLOSED)]
    closed = [bag for bag in found.bags if bag.state is BagState.CLOSED]
    states = Counter(bag.state.value for bag in rest)
    with heard(request):
        lacking = [
            BagThatLacks(bag.id, called(bag, found.bags), say_waits(found.waits.get(bag.id)))
            for bag in rest
            if bag.id in found.waits
        ]
    own = {bag.id for bag in found.bags}
    shipments = [
        ShipmentAtDoor(
            each.label,
            f"/shipments/{each.label}/slip.pdf",
            f"{each.at:%Y-%m-%d %H:%M}",
            each.by,
            each.way is ShipWay.WILL_CALL,
            ", ".join(text for text in (each.reference, each.received_by) if text),
            marks_of(bags, (*found.bags, *(bag for bag in bags if bag.id not in own))),
            len(bags),
        )
        for each, bags in found.shipments
    ]
    return page(
        request,
        "ship_order.html",
        status,
        order=found.order.label,
        at=_at(found.order),
        job=f"{found.offer.job} {found.offer.job_name}",
        customer=found.offer.customer.name,
        place=found.place,
        promised=found.order.promised_on,
        closed=[_at_door(bag, found.bags) for bag in closed],
        rest={
            state: (count, _in_state(rest, state, found.bags)) for state, count in states.items()
        },
        lacking=lacking[:MOST_LACKING],
        more=len(lacking[MOST_LACKING:]),
        shipments=shipments,
        gone=next((each for each in shipments if each.label == gone), None),
        chosen=frozenset(chosen),
        leaving=leaving or Leaving(),
        scanned=next((called(bag, found.bags) for bag in closed if bag.id == scanned), ""),
        unchosen=unchosen,
        said=said,
    )


def marks_of(bags: Collection[ReleasedBag], every: Collection[ReleasedBag]) -> str:
    """The marks of bags as ranges: `101-103, 107`; of a mark of which not every bag is among them,
    the bags each. every: those of the order, in its order."""
    of, here = _counts(every), Counter(bag.mark for bag in bags)
    whole = [mark for mark in here if here[mark] >= of[mark]]
    parts = [bag_name(bag.mark, bag.number, of[bag.mark]) for bag in bags if bag.mark not in whole]
    ranges = [ranges_text(whole, list(dict.fromkeys(bag.mark for bag in every)))] if whole else []
    return ", ".join((*ranges, *parts))


def called(bag: ReleasedBag, every: Collection[ReleasedBag]) -> str:
    """What people call a bag of an order."""
    return bag_name(bag.mark, bag.number, _counts(every)[bag.mark])


def _counts(every: Collection[ReleasedBag]) -> Counter[str]:
    return Counter(bag.mark for bag in every if bag.state is not BagState.CANCELLED)


def _in_state(rest: Collection[ReleasedBag], state: str, every: Collection[ReleasedBag]) -> str:
    return marks_of([bag for bag in rest if bag.state.value == state], every)


def _at_door(bag: ReleasedBag, every: Collection[ReleasedBag]) -> BagAtDoor:
    packs = 0 if bag.packed is None else sum(line.packs for line in bag.packed.lines)
    return BagAtDoor(bag.id, called(bag, every), packs)
