"""`wholekit allocate`: free stock to bags that wait, as many whole kits as can be."""

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say, wrapped
from wholekit.cli.desk import By, deed, desk
from wholekit.cli.pick_text import bag_names
from wholekit.cli.release import waits_for
from wholekit.cli.stock_options import AnyBranch
from wholekit.domain.errors import CallError
from wholekit.services import allocating
from wholekit.views.pick_room import allocate_answer, bag_answer
from wholekit.wording.allocation import say_choice, say_counts


def register(app: typer.Typer) -> None:
    """Put the command on the program."""
    app.command("allocate")(allocate)


def allocate(
    branch: AnyBranch = "",
    dry_run: bool = typer.Option(False, "--dry-run", help="Tell it; move nothing."),
    take: str = typer.Option(
        "", "--take", help="Take the promise of this bag; owners only.", metavar="BAG"
    ),
    to: str = typer.Option("", "--for", help="The bag that it goes to.", metavar="BAG"),
    reason: str = typer.Option("", "--reason", help="Why, with --take.", metavar="TEXT"),
    by: By = "",
    json: options.Json = False,
) -> None:
    """Promise what is free to bags that wait, so that as many kits as can be go out whole.

    What was promised stays promised, unless an owner takes it: --take BAG --for BAG.
    """
    place, asks = desk(), deed(by)
    if bool(take) != bool(to):
        raise CallError("options-together", first="--take", second="--for")
    if take:
        both = [bag_answer(bag) for bag in allocating.take_promise(place, asks, take, to, reason)]
        if json:
            print_json(both)
        else:
            for bag in both:
                say(f"{bag.bag} {bag.mark}: {bag.state}")
        return
    found = allocating.allocate_stock(place, asks, branch=branch, dry_run=dry_run)
    answer = allocate_answer(found, moved=not dry_run)
    if json:
        print_json(answer)
        return
    if not answer.ready and not answer.waiting:
        say("No bag waits.")
        return
    say(say_counts(len(answer.ready), len(answer.waiting)))
    names = bag_names(place, asks, list(found.bags.values()))
    for bag in answer.ready:
        say(f"  whole: {bag.bag} {names[bag.bag]}")
    for bag in answer.waiting:
        for line in wrapped(f"  waits: {bag.bag} {names[bag.bag]} for {waits_for(bag)}"):
            say(line)
    for branch, each in found.answers.items():
        said = say_choice(each)
        for line in wrapped(f"{branch}: {said}") if said else ():
            say(line)
    if dry_run:
        say("Nothing was moved (--dry-run).")
