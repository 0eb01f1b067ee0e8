"""`wholekit ship`: closed bags leave the house."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Annotated

import typer

from wholekit import bootstrap
from wholekit.cli import options
from wholekit.cli.console import print_json, say, tell
from wholekit.cli.desk import By, deed, desk
from wholekit.cli.pick_text import bags_told, equal_of
from wholekit.domain.errors import CallError, WholekitError
from wholekit.domain.house_style import HouseStyle
from wholekit.domain.orders import ShipWay
from wholekit.services import shipping
from wholekit.services.desk import Deed, Desk
from wholekit.settings import bundled
from wholekit.views.pick_room import BagAnswer, ShipmentAnswer, shipment_answer


def register(app: typer.Typer) -> None:
    """Put the command on the program."""
    app.command("ship")(ship)


def ship(
    reference: Annotated[
        str,
        typer.Argument(
            help="The quote: Q-00012/3 or Q-00012; or a shipment, S-00003: its packing slip again.",
            metavar="QUOTE|SHIPMENT",
        ),
    ],
    bags: Annotated[
        list[str] | None,
        typer.Argument(help="Ids of closed bags; none: every closed one.", metavar="[BAG...]"),
    ] = None,
    will_call: bool = typer.Option(False, "--will-call", help="The customer calls for them."),
    carrier: str = typer.Option("", "--reference", help="The carrier's.", metavar="TEXT"),
    received_by: str = typer.Option(
        "", "--received-by", help="Who signed for them; --will-call asks for it.", metavar="NAME"
    ),
    show: bool = typer.Option(False, "--list", help="Tell the shipments; change nothing."),
    out: Annotated[
        Path,
        typer.Option(
            "--out", help="Folder for the packing slip, or the PDF itself.", metavar="FOLDER"
        ),
    ] = Path(),
    no_slip: bool = typer.Option(False, "--no-slip", help="Make no packing slip now."),
    by: By = "",
    house_style: options.HouseStyleFolder = None,
    json: options.Json = False,
) -> None:
    """Closed bags of an order leave the house, all or some; what remains is told.

    The packing slip of just this shipment is made with it: its bags as they were closed, what went
    before, what is still to come. It is made again, for a shipment of any age, by the shipment's
    own number.
    """
    style = bootstrap.house_style(house_style, tell)
    place, asks = desk(None, style), deed(by)
    if reference.strip().upper().startswith("S-"):
        if bags or will_call or carrier or received_by or show or no_slip:
            raise CallError("shipment-has-left", shipment=reference)
        shown = shipping.shipment_shown(place, asks, reference)
        file = _slip(shown, out, style)
        gone = shipping.Shipped(shown.shipment, shown.order, shown.bags, ())
        _say(shipment_answer(gone, str(file)), json, equal_of(place, asks, shown.bags))
        return
    if show:
        _list(place, asks, reference, json)
        return
    way = ShipWay.WILL_CALL if will_call else ShipWay.DELIVERY
    how = shipping.Leaving(way, carrier, received_by)
    done = shipping.ship_bags(place, asks, reference, bags or (), how)
    made, failed = "", None
    if not no_slip:
        try:
            shown = shipping.shipment_shown(place, asks, done.shipment.label)
            made = str(_slip(shown, out, style))
        except WholekitError as error:
            # What left has left, whether or not its paper can be written here.
            failed = error
    answer = shipment_answer(done, made)
    equal = equal_of(place, asks, (*done.bags, *done.remaining))
    _say(answer, json, equal)
    if not json:
        left = _marks(answer.remaining, answer, equal)
        say(f"  still here: {len(answer.remaining)} ({left})" if left else "  nothing remains")
    if failed is not None:
        label = done.shipment.label
        tell(f"{label} is shipped; its packing slip is not made: wholekit ship {label} --out FILE")
        raise failed


def _list(place: Desk, asks: Deed, reference: str, json: bool) -> None:
    order, found = shipping.list_shipments(place, asks, reference)
    answers = tuple(
        shipment_answer(shipping.Shipped(shipment, order, gone, ())) for shipment, gone in found
    )
    if json:
        print_json(answers)
        return
    equal = equal_of(place, asks, [bag for _, gone in found for bag in gone])
    for each in answers:
        _print(each, equal)
    if not answers:
        say(f"Nothing of {order.label} was shipped.")


def _slip(shown: shipping.ShipmentShown, out: Path, style: HouseStyle) -> Path:
    """The packing slip as a PDF: the file named, or one of the shipment's name in the folder."""
    from wholekit.documents.dress import dressed
    from wholekit.documents.fill_shipment import shipment_paper
    from wholekit.documents.out_folder import all_or_nothing
    from wholekit.documents.render import render_paper

    paper = dressed(shipment_paper(shown), style)
    name = f"packing-slip-{shown.shipment.label}.pdf"
    if out.suffix.lower() == ".pdf" or out.is_file():
        render_paper(paper, out, bundled("templates"), house=style.templates)
        return out

    def make(stage: Path) -> None:
        render_paper(paper, stage / name, bundled("templates"), house=style.templates)

    all_or_nothing(out, (name,), make)
    return out / name


def _say(answer: ShipmentAnswer, json: bool, equal: Mapping[str, int]) -> None:
    if json:
        print_json(answer)
        return
    _print(answer, equal)
    if answer.slip:
        say(f"  {answer.slip}  packing slip, {answer.shipment}")


def _print(answer: ShipmentAnswer, equal: Mapping[str, int]) -> None:
    marks = _marks(answer.bags, answer, equal)
    way = "called for" if answer.way == ShipWay.WILL_CALL else "sent"
    said = "".join(f", {each}" for each in (answer.reference, answer.received_by) if each)
    count = f"{len(answer.bags)} {'bag' if len(answer.bags) == 1 else 'bags'}"
    say(f"{answer.shipment} {answer.order}: {count} {way}{said}: {marks}")


def _marks(bags: Sequence[BagAnswer], answer: ShipmentAnswer, equal: Mapping[str, int]) -> str:
    every = list(dict.fromkeys(bag.mark for bag in (*answer.bags, *answer.remaining)))
    return bags_told(bags, equal, every)
