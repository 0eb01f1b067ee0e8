"""`wholekit bag`: what is in a bag, and putting it back."""

from typing import Annotated

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say, table
from wholekit.cli.desk import By, Reason, deed, desk
from wholekit.cli.pick_text import bag_names
from wholekit.cli.release import bag_stands
from wholekit.services import lacks, picks, unpacking
from wholekit.views.pick_room import BagContentsAnswer, contents_answer, unpacked_answer

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
    place, asks = desk(), deed(by)
    row, picked, packed = picks.bag_shown(place, asks, bag)
    answer = contents_answer(row, picked, packed, lacks.bag_waits(place, asks, row.id))
    if json:
        print_json(answer)
        return
    print_contents(answer, bag_names(place, asks, [row])[row.id])


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
    if answer.closed_at:
        say(f"  closed {answer.closed_at[:16].replace('T', ' ')} by {answer.closed_by}")


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
