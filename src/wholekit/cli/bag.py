"""`wholekit bag`: what is in a bag, and putting it back."""

from collections.abc import Sequence
from typing import Annotated

import typer

from wholekit.cli import options
from wholekit.cli.bag_claim import print_record, print_whose
from wholekit.cli.console import moment, page_line, print_json, say, table, tell
from wholekit.cli.counted import read_counted
from wholekit.cli.desk import By, PageNumber, PageSize, Reason, deed, desk
from wholekit.cli.pick_text import bag_names
from wholekit.cli.release import bag_stands
from wholekit.domain.catalog import Role
from wholekit.domain.orders import BagState, ReleasedBag
from wholekit.domain.picking import LeftPiece, LoosePacks
from wholekit.services import bag_claims, lacks, orders, picks, unpacking, waves
from wholekit.services.paging import Page
from wholekit.views.bag_claims import claim_answer
from wholekit.views.pick_room import (
    BagContentsAnswer,
    BagListAnswer,
    bag_answer,
    contents_answer,
    unpacked_answer,
)
from wholekit.wording.pick_answers import bag_name, say_answer
from wholekit.wording.words import ROLES

BagRef = Annotated[
    str, typer.Argument(help="The bag's id, as its label's code says it.", metavar="BAG")
]

GONE = frozenset({BagState.SHIPPED, BagState.CANCELLED})
_NUMBERS = frozenset({4})


def register(app: typer.Typer) -> None:
    """Put the group on the program."""
    group = typer.Typer(no_args_is_help=True, help="Bags of the pick room.")
    group.command("list")(list_all)
    group.command("show")(show)
    group.command("close")(close)
    group.command("unpack")(unpack)
    app.add_typer(group, name="bag")


def list_all(
    order: str = typer.Option("", "--order", help="Of this order alone.", metavar="QUOTE"),
    states: list[BagState] = typer.Option(
        [], "--state", help="In this state; once for each. Usually all that are still here."
    ),
    page: PageNumber = 1,
    page_size: PageSize = 50,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Bags of the pick room, the most pressing first, with where each stands."""
    place, asks = desk(), deed(by)
    wanted = states or [state for state in BagState if state not in GONE]
    part = Page((page - 1) * page_size, page_size)
    found, count = orders.list_bags(place, asks, order, wanted, part)
    if json:
        bags = tuple(bag_answer(bag) for bag, _ in found)
        print_json(BagListAnswer(bags, count, page, page_size))
        return
    names = bag_names(place, asks, [bag for bag, _ in found])
    rows = [
        (names[bag.id], bag.id, of.label, _stands(bag), str(bag.wave or ""), bag.picker)
        for bag, of in found
    ]
    for line in table(rows, ("bag", "label", "order", "state", "wave", "picker"), _NUMBERS, 0):
        say(line)
    say(page_line(len(rows), count, page, page_size))


def _stands(bag: ReleasedBag) -> str:
    aside = bag.state is BagState.OPEN and not bag.wave
    return "open, put aside" if aside else bag.state.value


def show(bag: BagRef, by: By = "", json: options.Json = False) -> None:
    """What must be in a bag, what is, how it came to be so and left: it answers a claim.

    Job and opening, every scan with who and when, counted, refused or undone; what stood in and
    why; who closed it, its shipment, and what customers brought back out of it.
    """
    place, asks = desk(), deed(by)
    claim = bag_claims.bag_claim(place, asks, bag)
    answer = claim_answer(claim, lacks.bag_waits(place, asks, claim.row.id))
    if json:
        print_json(answer)
        return
    print_contents(answer, bag_name(claim.row.mark, claim.row.number, answer.of))
    print_whose(answer)
    print_record(answer)


def print_contents(answer: BagContentsAnswer, name: str) -> None:
    """A bag's contents as text. name: what it is called."""
    bag = answer.bag
    say(f"{bag.bag} {name}: {bag.state}{bag_stands(bag)}")
    rows = [
        (each.sku, each.description, str(each.packs), str(each.left) if each.left else "")
        for each in answer.lines
    ]
    for line in table(rows, ("item", "", "in it", "to take"), frozenset({2, 3}), 1):
        say(line)
    if answer.missing:
        told = ", ".join(f"{packs} × {sku}" for sku, packs in answer.missing)
        say(f"  told short: {told}")
    for asked, given, reason in answer.substituted:
        say(f"  {given} in place of {asked}: {reason}")
    for each in answer.loose:
        say(f"  {each.packs} × {each.sku} went back loose into {each.bin or 'no bin'}")
    if answer.closed_at:
        say(f"  closed {moment(answer.closed_at)} by {answer.closed_by}")


def close(
    bag: BagRef,
    loose: Annotated[
        list[str] | None,
        typer.Option(
            "--loose",
            help="Pieces left over, back on the shelf as packs of this item; once for each.",
            metavar="SKU=N",
        ),
    ] = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Close a bag in which all is that its opening demands; what is left over may go back loose."""
    place, asks = desk(), deed(by)
    back = [read_counted(text) for text in loose or ()]
    done = picks.close_bag(place, asks, bag, back)
    names = bag_names(place, asks, waves.find_bag(place, asks, bag))
    first, *more = say_answer(done.answer, done.bag, names=names)
    if done.refused:
        for line in (first, *more):
            tell(line)
        raise typer.Exit(2)
    answer = contents_answer(*picks.bag_shown(place, asks, bag))
    if json:
        print_json(answer)
        return
    for line in (first, *more):
        say(line)
    print_left_over(*picks.left_over(place, asks, bag))


def print_left_over(left: Sequence[LeftPiece], loose: Sequence[LoosePacks]) -> None:
    """What a bag's packs hold besides, and as what it could go back."""
    rows = [
        (ROLES[Role(one.role)] if one.role in list(Role) else one.role, str(one.count),
         str(one.loose))
        for one in left
    ]  # fmt: skip
    for line in table(rows, ("left over", "pieces", "loose"), frozenset({1, 2}), 0):
        say(line)
    for each in loose:
        say(f"  may go back: {each.packs}*{each.item[1]}")


def unpack(bag: BagRef, reason: Reason = "", by: By = "", json: options.Json = False) -> None:
    """Put all that is in a bag back on the shelf; it waits again, or is gone with its order."""
    place, asks = desk(), deed(by)
    done = unpacking.unpack_bag(place, asks, bag, reason)
    answer = unpacked_answer(done)
    if json:
        print_json(answer)
        return
    names = bag_names(place, asks, [done.bag, *done.completed])
    say(f"{answer.bag.bag} {names[answer.bag.bag]}: {answer.bag.state}, nothing is in it")
    rows = [(each.bin or "no bin: where it lay", str(each.packs), each.sku) for each in answer.back]
    if rows:
        say("Put back:")
        for line in table(rows, ("bin", "packs", "item"), frozenset({1}), 2):
            say(f"  {line}")
    for each in answer.completed:
        if each.bag != answer.bag.bag:
            say(f"{each.bag} {names[each.bag]}: has all it needs by what is free now")
    if answer.bag.state == "waiting":
        say("It lacks goods: wholekit release QUOTE --show tells which.")
