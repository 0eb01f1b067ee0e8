"""`wholekit catalog items|compare`: what a stored revision holds, what another changed."""

from contextlib import closing

import typer

from wholekit.bootstrap import open_store
from wholekit.cli import options
from wholekit.cli.console import page_line, print_json, say, table
from wholekit.cli.desk import By, PageNumber, PageSize, deed
from wholekit.domain.catalog.changes import catalog_changes
from wholekit.domain.quotes.roles import Action
from wholekit.services.catalog_browse import browse, browse_with_cost
from wholekit.services.catalogs import stored_with_cost, stored_with_prices
from wholekit.services.paging import Page
from wholekit.services.rights import has_right
from wholekit.views.catalog_changes import changes_answer, changes_text
from wholekit.views.catalog_items import CostedItemAnswer, items_answer

MOST_SHOWN = 15
CatalogId = typer.Argument(..., help="The catalogue's id.", metavar="ID")


def register(group: typer.Typer) -> None:
    """Put the commands on the group."""
    group.command("items")(items)
    group.command("compare")(compare)


def items(
    catalog: str = CatalogId,
    revision: int | None = typer.Option(
        None, "--revision", min=1, help="This revision; the latest unless given.", metavar="N"
    ),
    text: str = typer.Option("", "--text", help="Found in SKU or description, case aside."),
    cost: bool = typer.Option(False, "--cost", help="With own cost; the owner's."),
    page: PageNumber = 1,
    page_size: PageSize = 50,
    by: By = "",
    json: options.Json = False,
) -> None:
    """What a revision of a catalogue in the store sells, at its list prices; old ones stay."""
    read = browse_with_cost if cost else browse
    with closing(open_store()) as store:
        found = read(
            store, deed(by), catalog, text, page=Page.numbered(page, page_size), revision=revision
        )
    answer = items_answer(found, cost, page, page_size)
    if json:
        print_json(answer)
        return
    say(
        f"{answer.catalog} revision {answer.revision}: {answer.supplier}, edition "
        f"{answer.edition}, {answer.currency}"
    )
    priced = any(item.price for item in answer.items)
    rows = [
        (item.sku, item.description,
         *((item.price,) if priced else ()),
         *((item.cost,) if isinstance(item, CostedItemAnswer) else ()),
         str(item.on_hand), item.status)
        for item in answer.items
    ]  # fmt: skip
    money = (*(("list",) if priced else ()), *(("cost",) if cost else ()))
    heads = ("sku", "description", *money, "on hand", "status")
    right = frozenset(range(2, 3 + len(money)))
    for line in table(rows, heads, right, 1):
        say(line)
    say(page_line(len(answer.items), answer.count, page, page_size))


def compare(
    catalog: str = CatalogId,
    first: int = typer.Argument(..., min=1, help="The earlier revision.", metavar="N"),
    second: int | None = typer.Argument(
        None, min=1, help="The later revision; the latest unless given.", metavar="M"
    ),
    show_all: options.ShowAll = False,
    by: By = "",
    json: options.Json = False,
) -> None:
    """What changed from one stored revision of a catalogue to another; cost for the owner alone."""
    asks = deed(by)
    with closing(open_store()) as store:
        read = stored_with_cost if has_right(store, asks, Action.SEE_COST) else stored_with_prices
        before = read(store, asks, catalog, first).catalog
        after = read(store, asks, catalog, second).catalog
    answer = changes_answer(catalog_changes(before, after), first)
    if json:
        print_json(answer)
        return
    for line in changes_text(answer, None if show_all else MOST_SHOWN):
        say(line)
