"""`wholekit bag`: what is in a bag, and putting it back."""

from collections.abc import Sequence
from typing import Annotated

import typer

from wholekit.cli import options
from wholekit.cli.console import moment, print_json, say, table, tell
from wholekit.cli.counted import read_counted
from wholekit.cli.desk import By, Reason, deed, desk
from wholekit.domain.catalog import Role
from wholekit.domain.picking import LeftPiece, LoosePacks
from wholekit.services import picks
from wholekit.views.pick_room import BagContentsAnswer, bag_answer, contents_answer
from wholekit.wording.pick_answers import say_answer
from wholekit.wording.words import ROLES

BagRef = Annotated[
    str, typer.Argument(help="The bag's id, as its label's code says it.", metavar="BAG")
]


def register(app: typer.Typer) -> None:
    """Put the group on the program."""
    group = typer.Typer(no_args_is_help=True, help="Bags of the pick room.")
    group.command("show")(show)
    group.command("close")(close)
    group.command("unpack")(unpack)
    app.add_typer(group, name="bag")


def show(bag: BagRef, by: By = "", json: options.Json = False) -> None:
    """What must be in a bag, what is, and who put it there: it answers a claim."""
    answer = contents_answer(*picks.bag_shown(desk(), deed(by), bag))
    if json:
        print_json(answer)
        return
    print_contents(answer)


def print_contents(answer: BagContentsAnswer) -> None:
    """A bag's contents as text."""
    bag = answer.bag
    say(f"{bag.bag} {bag.mark}, bag {bag.number}: {bag.state}")
    rows = [
        (each.sku, each.description, str(each.packs), str(each.left) if each.left else "")
        for each in answer.lines
    ]
    for line in table(rows, ("item", "", "in it", "to take"), frozenset({2, 3}), 1):
        say(line)
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
    first, *more = say_answer(done.answer, done.bag)
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
    answer = bag_answer(picks.unpack_bag(desk(), deed(by), bag, reason))
    if json:
        print_json(answer)
        return
    say(f"{answer.bag} {answer.mark}: {answer.state}, nothing is in it")
