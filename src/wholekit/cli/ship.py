"""`wholekit ship`: closed bags leave the house."""

from collections.abc import Sequence
from typing import Annotated

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say
from wholekit.cli.desk import By, QuoteRef, deed, desk
from wholekit.domain.orders import ShipWay
from wholekit.services import shipping
from wholekit.views.pick_room import BagAnswer, ShipmentAnswer, shipment_answer
from wholekit.wording.questions import ranges_text


def register(app: typer.Typer) -> None:
    """Put the command on the program."""
    app.command("ship")(ship)


def ship(
    quote: QuoteRef,
    bags: Annotated[
        list[str] | None,
        typer.Argument(help="Ids of closed bags; none: every closed one.", metavar="[BAG...]"),
    ] = None,
    will_call: bool = typer.Option(False, "--will-call", help="The customer calls for them."),
    reference: str = typer.Option("", "--reference", help="The carrier's.", metavar="TEXT"),
    received_by: str = typer.Option(
        "", "--received-by", help="Who signed for them.", metavar="NAME"
    ),
    show: bool = typer.Option(False, "--list", help="Tell the shipments; change nothing."),
    by: By = "",
    json: options.Json = False,
) -> None:
    """Closed bags of an order leave the house, all or some; what remains is told.

    The packing slip that goes with them: wholekit quote papers QUOTE --only packing-slip.
    """
    place, asks = desk(), deed(by)
    if show:
        order, found = shipping.list_shipments(place, asks, quote)
        answers = tuple(
            shipment_answer(shipping.Shipped(shipment, order, gone, ())) for shipment, gone in found
        )
        if json:
            print_json(answers)
            return
        for each in answers:
            _print(each)
        if not answers:
            say(f"Nothing of {order.label} was shipped.")
        return
    way = ShipWay.WILL_CALL if will_call else ShipWay.DELIVERY
    how = shipping.Leaving(way, reference, received_by)
    answer = shipment_answer(shipping.ship_bags(place, asks, quote, bags or (), how))
    if json:
        print_json(answer)
        return
    _print(answer)
    left = _marks(answer.remaining, answer)
    say(f"  still here: {len(answer.remaining)} ({left})" if left else "  nothing remains")


def _print(answer: ShipmentAnswer) -> None:
    marks = _marks(answer.bags, answer)
    way = "called for" if answer.way == ShipWay.WILL_CALL else "sent"
    said = "".join(f", {each}" for each in (answer.reference, answer.received_by) if each)
    count = f"{len(answer.bags)} {'bag' if len(answer.bags) == 1 else 'bags'}"
    say(f"{answer.shipment} {answer.order}: {count} {way}{said}: {marks}")


def _marks(bags: Sequence[BagAnswer], answer: ShipmentAnswer) -> str:
    every = list(dict.fromkeys(bag.mark for bag in (*answer.bags, *answer.remaining)))
    marks = list(dict.fromkeys(bag.mark for bag in bags))
    return ranges_text(marks, every) if marks else ""
