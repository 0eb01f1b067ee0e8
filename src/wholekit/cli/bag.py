"""`wholekit bag`: what is in a bag, and putting it back."""

from typing import Annotated

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say, table
from wholekit.cli.desk import By, Reason, deed, desk
from wholekit.services import picks
from wholekit.views.pick_room import BagContentsAnswer, bag_answer, contents_answer

BagRef = Annotated[
    str, typer.Argument(help="The bag's id, as its label's code says it.", metavar="BAG")
]


def register(app: typer.Typer) -> None:
    """Put the group on the program."""
    group = typer.Typer(no_args_is_help=True, help="Bags of the pick room.")
    group.command("show")(show)
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
    if answer.closed_at:
        say(f"  closed {answer.closed_at[:16].replace('T', ' ')} by {answer.closed_by}")


def unpack(bag: BagRef, reason: Reason = "", by: By = "", json: options.Json = False) -> None:
    """Put all that is in a bag back on the shelf; it waits again, or is gone with its order."""
    answer = bag_answer(picks.unpack_bag(desk(), deed(by), bag, reason))
    if json:
        print_json(answer)
        return
    say(f"{answer.bag} {answer.mark}: {answer.state}, nothing is in it")
