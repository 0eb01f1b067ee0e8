"""`wholekit stock return`: what a customer brings back."""

import typer

from wholekit.cli import options
from wholekit.cli.desk import By, Reason, deed, desk
from wholekit.cli.stock_moves import Packs, print_moved
from wholekit.cli.stock_options import IN_MAIN, InBranch, Sku, Supplier
from wholekit.domain.errors import CallError
from wholekit.services.stock import ToldItem, ToldPlace
from wholekit.services.stock_returns import ReturnWay, ToldReturn, return_stock, return_unnamed


def register(group: typer.Typer) -> None:
    """Put the command on the group."""
    group.command("return")(take_back)


def take_back(
    sku: Sku,
    packs: int = Packs,
    to_bin: str | None = typer.Option(
        None, "--to-bin", help="Onto a shelf, into this bin; '' for none.", metavar="BIN"
    ),
    scrap: bool = typer.Option(False, "--scrap", help="Nobody can use it."),
    to_supplier: bool = typer.Option(False, "--to-supplier", help="Sent on to the supplier."),
    bag: str = typer.Option("", "--bag", help="The bag that it left in.", metavar="BAG"),
    order: str = typer.Option(
        "", "--order", help="The order that it left with, in whichever bag.", metavar="QUOTE"
    ),
    without_bag: bool = typer.Option(
        False, "--without-bag", help="Nobody knows the bag or order (the owner's)."
    ),
    branch: InBranch = IN_MAIN,
    reason: Reason = "",
    supplier: Supplier = "",
    by: By = "",
    json: options.Json = False,
) -> None:
    """Packs that a customer brought back, for a reason."""
    if (to_bin is not None) + scrap + to_supplier != 1:
        raise CallError("return-where")
    way = ReturnWay.SCRAP if scrap else ReturnWay.SUPPLIER if to_supplier else ReturnWay.SHELF
    told = ToldReturn(ToldItem(sku, supplier), packs, way, ToldPlace(branch, to_bin), reason)
    if not without_bag:
        print_moved(return_stock(desk(), deed(by), told, bag, order), json)
    elif bag or order:
        raise CallError("options-exclusive", first="--without-bag", second="--bag, --order")
    else:
        print_moved(return_unnamed(desk(), deed(by), told), json)
