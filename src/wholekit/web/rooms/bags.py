"""A bag: all that is known of it, for a claim, and its label again. No money is on it."""

from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Request
from starlette.responses import Response

from wholekit.documents.label_stock import STOCKS, stock_named
from wholekit.domain.quotes.roles import Action
from wholekit.services.accounts import Seated
from wholekit.services.bag_claims import bag_claim
from wholekit.services.bag_labels import labels_reference
from wholekit.services.lacks import bag_waits
from wholekit.services.waves import PICKABLE
from wholekit.views.bag_claims import BagClaimAnswer, claim_answer
from wholekit.web.numbers import InPath
from wholekit.web.papers import ask_of, paper_answer
from wholekit.web.place import place_of
from wholekit.web.screens import language_for, page
from wholekit.web.seats import deed_of, sits
from wholekit.wording.bag_record import say_bag_deed, say_bag_left, say_came_back
from wholekit.wording.speech import speaking
from wholekit.wording.waits import say_waits

room = APIRouter()
SeesPapers = Annotated[Seated, sits(Action.SEE_PICK_PAPERS)]


@room.get("/bags/{bag}")
def bag_record(
    request: Request, bag: str, _seated: Annotated[Seated, sits(Action.SEE_ORDERS)]
) -> Response:
    """What must be in a bag, what is, how it came to be so and left: it answers a claim."""
    desk, deed = place_of(request).desk, deed_of(request)
    claim = bag_claim(desk, deed, bag)
    with speaking(language_for(request)):
        lacks = bag_waits(desk, deed, claim.row.id)
        found, waits = claim_answer(claim, lacks), say_waits(lacks)
        record = _record(found)
    return page(
        request,
        "bag.html",
        found=found,
        bag=found.bag,
        record=record,
        waits=waits,
        pickable=claim.row.state in PICKABLE,
        order_at=f"/shipping/Q-{claim.order.quote:05}/{claim.order.revision}",
        stocks=[stock.name for stock in STOCKS],
    )


@room.get("/bags/{bag}/label.pdf")
def label(request: Request, bag: str, _seated: SeesPapers, stock: str = "") -> Response:
    """The bag's label again."""
    return _labels(request, labels_reference(_stock(stock), bag=bag.strip().upper()))


@room.get("/picking/waves/{wave}/labels.pdf")
def wave_labels(
    request: Request, wave: InPath, _seated: SeesPapers, order: str = "", stock: str = ""
) -> Response:
    """The labels of a wave's bags, or of an order's among them."""
    return _labels(request, labels_reference(_stock(stock), wave=wave, order=order.strip()))


def _stock(name: str) -> str:
    return stock_named(name or STOCKS[0].name).name


def _labels(request: Request, reference: str) -> Response:
    (asked,) = ask_of(request, reference, "bag-labels")
    return paper_answer(request, asked)


def _record(found: BagClaimAnswer) -> list[tuple[str, str, str, bool]]:
    """When, who, what, and whether it was refused or undone: first to last."""
    of = {each.id: each.deed for each in found.record}
    rows = [
        (
            _moment(each.at),
            each.who,
            say_bag_deed(
                each.deed, each.packs, each.sku, instead=each.instead, said=each.said,
                undid=of.get(each.of, ""), undone=each.undone, gone=each.gone,
            ),
            each.undone or each.deed == "refused",
        )
        for each in found.record
    ]  # fmt: skip
    if left := found.left:
        when = _moment(left.at)
        said = say_bag_left(left.way, when, left.shipment, left.reference, left.received_by)
        rows.append((when, left.by, said, False))
    rows += [
        (_moment(each.at), each.who,
         say_came_back(each.packs, each.sku, each.way, each.reason), False)
        for each in found.returned
    ]  # fmt: skip
    return rows


def _moment(at: str) -> str:
    return f"{datetime.fromisoformat(at):%Y-%m-%d %H:%M:%S}"
