"""`wholekit catalog labels`: labels of items and bins as a PDF."""

from contextlib import closing
from pathlib import Path

import typer

from wholekit.bootstrap import open_store
from wholekit.cli import options
from wholekit.cli.console import say, tell, wrapped
from wholekit.cli.desk import By, deed
from wholekit.documents.label_stock import SHEET_10, stock_named
from wholekit.documents.shelf_labels import ShelfLabelsPaper, Wanted, shelf_labels_paper
from wholekit.domain.catalog import Catalog
from wholekit.domain.errors import CallError
from wholekit.domain.house_style import PageSize
from wholekit.intake.catalogs import read_each
from wholekit.services.catalogs import list_catalogs, stored_goods
from wholekit.settings import bundled


def register(group: typer.Typer) -> None:
    """Put the command on the group."""
    group.command("labels")(labels)


def labels(
    catalog: list[str] = typer.Argument(
        None,
        help="Catalogue folders, or ids of the store; every one of it unless named.",
        metavar="[DIR|ID]...",
    ),
    out: Path = typer.Option(..., "--out", help="The PDF to write.", metavar="FILE"),
    item: list[str] = typer.Option(
        None, "--item", help="This item alone; may be given again.", metavar="SKU"
    ),
    bin_name: list[str] = typer.Option(
        None, "--bin", help="What lies in this bin alone; may be given again.", metavar="BIN"
    ),
    bins: bool = typer.Option(False, "--bins", help="A label for each bin, not for each item."),
    stock: options.Labels = SHEET_10.name,
    page: PageSize = typer.Option(PageSize.LETTER, "--page", help="The sheet of paper."),
    by: By = "",
) -> None:
    """Labels of items or bins: an item's GTIN as EAN-13 or UPC-A, else its SKU as Code 128.

    They come in the order of the walk along the bins. No price is on them.
    """
    wanted = Wanted(tuple(item or ()), tuple(bin_name or ()), bins)
    paper = shelf_labels_paper(_catalogs(catalog or [], by), wanted, stock_named(stock), page)
    # Late: no other command of the group needs what lays out pages.
    from wholekit.documents.render import render_paper

    render_paper(paper, out, bundled("templates"))
    _tell_of_codes(paper)
    count = len(paper.labels)
    say(f"{out}  {count} {paper.kind.lower() if count != 1 else paper.kind.lower().rstrip('s')}")


def _tell_of_codes(paper: ShelfLabelsPaper) -> None:
    plain = [label.name for label in paper.labels if label.bars is None]
    if plain:
        for line in wrapped(
            f"Without a bar code, for signs that Code 128 has not or too many for labels of stock "
            f"{paper.stock.name}: {', '.join(plain)}."
        ):
            tell(line)


def _catalogs(named: list[str], by: str) -> list[Catalog]:
    """Folders and stored catalogues as named, whatever their currency: no price is shown. Raises
    CallError, InputError."""
    folders = [name for name in named if Path(name).is_dir()]
    there = read_each([Path(name) for name in folders])
    if len(there) == len(named) > 0:
        return there
    with closing(open_store()) as store:
        asks = deed(by)
        names = named or [each.catalog_id for each in list_catalogs(store, asks)]
        if not names:
            raise CallError("catalog-needed", samples=str(bundled("catalog_samples")))
        read = dict(zip(folders, there, strict=True))
        return [
            read[name] if name in read else stored_goods(store, asks, name).catalog
            for name in names
        ]
