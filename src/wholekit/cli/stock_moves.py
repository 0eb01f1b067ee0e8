"""`wholekit stock receive|move|adjust|scrap`: packs moved by hand."""

from collections.abc import Callable

import typer

from wholekit.cli import options
from wholekit.cli.bags_told import tell_gave_way, tell_whole
from wholekit.cli.console import print_json, say
from wholekit.cli.desk import By, Reason, SignedArguments, deed, desk
from wholekit.cli.stock import print_rows
from wholekit.cli.stock_options import IN_MAIN, InBin, InBranch, Sku, Supplier
from wholekit.domain.errors import CallError
from wholekit.services import stock
from wholekit.services.stock import Moved, ToldItem, ToldPlace
from wholekit.views.stock import moved_answer

_CAME_IN = "Packs that came in, onto a shelf."
_THROWN_AWAY = "Packs thrown away, for a reason; the latest promises give way."
Packs = typer.Argument(..., min=1, max=stock.MOST_PACKS, help="How many packs.", metavar="N")


def register(group: typer.Typer) -> None:
    """Put the commands on the group."""
    group.command("receive")(_by_hand(stock.receive_stock, _CAME_IN))
    group.command("move")(move)
    group.command("adjust", cls=SignedArguments)(adjust)
    group.command("scrap")(_by_hand(stock.scrap_stock, _THROWN_AWAY))


def _by_hand(service: Callable[..., Moved], text: str) -> Callable[..., None]:
    """The command of a service that moves packs of one item at one place."""

    def moved(
        sku: Sku,
        packs: int = Packs,
        branch: InBranch = IN_MAIN,
        name: InBin = None,
        reason: Reason = "",
        supplier: Supplier = "",
        by: By = "",
        json: options.Json = False,
    ) -> None:
        which, at = ToldItem(sku, supplier), ToldPlace(branch, name)
        print_moved(service(desk(), deed(by), which, packs, at, reason), json)

    moved.__doc__ = text
    return moved


def move(
    sku: Sku,
    packs: int = Packs,
    branch: InBranch = IN_MAIN,
    name: InBin = None,
    to_branch: str = typer.Option(
        "", "--to-branch", help="To this branch; the same unless given.", metavar="CODE"
    ),
    to_bin: str | None = typer.Option(
        None, "--to-bin", help="To this bin; the item's only one there unless given.", metavar="BIN"
    ),
    reason: Reason = "",
    supplier: Supplier = "",
    by: By = "",
    json: options.Json = False,
) -> None:
    """Packs from one bin to another, of the same branch or of another."""
    which, of, to = (
        ToldItem(sku, supplier),
        ToldPlace(branch, name),
        ToldPlace(to_branch or branch, to_bin),
    )
    print_moved(stock.move_stock(desk(), deed(by), which, packs, of, to, reason), json)


def adjust(
    sku: Sku,
    packs: str = typer.Argument(..., help="So many more, or fewer: 3 or -2.", metavar="±N"),
    branch: InBranch = IN_MAIN,
    name: InBin = None,
    reason: Reason = "",
    supplier: Supplier = "",
    by: By = "",
    json: options.Json = False,
) -> None:
    """More or fewer than the books say, for a reason; the latest promises give way."""
    which, at = ToldItem(sku, supplier), ToldPlace(branch, name)
    print_moved(stock.adjust_stock(desk(), deed(by), which, _signed(packs), at, reason), json)


def _signed(text: str) -> int:
    plain = text.strip().replace("−", "-")
    digits = plain.removeprefix("-").removeprefix("+")
    # Longer numbers no shelf holds, and one of thousands of digits takes long to read.
    if not (digits.isascii() and digits.isdecimal() and len(digits) < 10):
        raise CallError("packs-unreadable", given=text)
    return int(plain)


def print_moved(moved: Moved, json: bool) -> None:
    """What was written down, and who waits for it."""
    answer = moved_answer(moved)
    for each in answer.waiting:
        tell_gave_way(each.bag, each.packs)
    tell_whole(answer.completed)
    if json:
        print_json(answer)
        return
    for one in answer.movements:
        say(f"{one.kind} {one.packs} × {one.sku}: {one.source} → {one.target}")
    print_rows(answer.items)
