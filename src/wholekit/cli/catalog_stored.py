"""`wholekit catalog items|compare`: what a stored revision holds, what another changed."""

from contextlib import closing
from dataclasses import dataclass
from typing import NamedTuple

import typer

from wholekit.bootstrap import open_store
from wholekit.cli import options
from wholekit.cli.console import page_line, print_json, say, table
from wholekit.cli.desk import By, PageNumber, PageSize, deed
from wholekit.domain.catalog import Catalog, Item
from wholekit.domain.catalog.changes import catalog_changes
from wholekit.domain.quotes.roles import Action
from wholekit.services.catalogs import stored_catalog, stored_goods, stored_with_cost
from wholekit.services.rights import has_right
from wholekit.views.catalog_changes import changes_answer, changes_text

MOST_SHOWN = 15
CatalogId = typer.Argument(..., help="The catalogue's id.", metavar="ID")


@dataclass(frozen=True, slots=True)
class ItemAnswer:
    """One item of a stored revision. price: list [major units], None for whom it is not to be
    seen; on_hand: as its book says;
    reorder_at, least_order [packs]."""

    sku: str
    description: str
    finish: str
    price: str | None
    on_hand: int
    lead_days: int
    bin: str
    status: str
    substitutes: tuple[str, ...]
    breakable: bool
    reorder_at: int | None
    least_order: int


class Columns(NamedTuple):
    """Which money is shown of items."""

    price: bool
    cost: bool


@dataclass(frozen=True, slots=True)
class BreakAnswer:
    """Cost of one pack [major units] from so many in one order on [packs]."""

    packs: int
    cost: str


@dataclass(frozen=True, slots=True)
class CostedItemAnswer(ItemAnswer):
    """The same with own cost, where it was asked for, and what it is from so many packs on."""

    cost: str
    price_breaks: tuple[BreakAnswer, ...]


@dataclass(frozen=True, slots=True)
class ItemsAnswer:
    """Items of one stored revision, a page of them; count: those found in all."""

    catalog: str
    revision: int
    supplier: str
    edition: str
    currency: str
    items: tuple[ItemAnswer, ...]
    count: int
    page: int
    page_size: int


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
    """What a revision of a catalogue in the store sells; old ones stay.

    At its list prices, for those who may see prices.
    """
    asks = deed(by)
    with closing(open_store()) as store:
        priced = cost or has_right(store, asks, Action.SEE_PRICES)
        read = stored_with_cost if cost else stored_catalog if priced else stored_goods
        found = read(store, asks, catalog, revision)
    shown = Columns(priced, cost)
    answer = _items(found.catalog, found.ref.revision, text, shown, page, page_size)
    if json:
        print_json(answer)
        return
    say(
        f"{answer.catalog} revision {answer.revision}: {answer.supplier}, edition "
        f"{answer.edition}, {answer.currency}"
    )
    rows = [
        (item.sku, item.description,
         *((item.price,) if item.price is not None else ()),
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
        read = stored_with_cost if has_right(store, asks, Action.SEE_COST) else stored_catalog
        before = read(store, asks, catalog, first).catalog
        after = read(store, asks, catalog, second).catalog
    answer = changes_answer(catalog_changes(before, after), first)
    if json:
        print_json(answer)
        return
    for line in changes_text(answer, None if show_all else MOST_SHOWN):
        say(line)


def _items(
    catalog: Catalog, revision: int, text: str, shown: Columns, page: int, page_size: int
) -> ItemsAnswer:
    wanted = text.casefold()
    found = [
        item
        for item in catalog.items
        if wanted in item.sku.casefold() or wanted in item.description.casefold()
    ]
    start = (page - 1) * page_size
    return ItemsAnswer(
        catalog.id,
        revision,
        catalog.supplier,
        catalog.edition.isoformat(),
        catalog.currency,
        tuple(
            _item(item, catalog.counts.get(item.sku, 0), shown)
            for item in found[start : start + page_size]
        ),
        len(found),
        page,
        page_size,
    )


def _item(item: Item, on_hand: int, shown: Columns) -> ItemAnswer:
    answer = (
        item.sku,
        item.description,
        item.finish or "",
        item.list_price.decimal_text if shown.price else None,
        on_hand,
        item.lead_days,
        item.bin,
        "discontinued" if item.discontinued else "",
        item.terms.substitutes,
        item.terms.breakable,
        item.terms.reorder_at,
        item.terms.least_order,
    )
    if not shown.cost:
        return ItemAnswer(*answer)
    breaks = (BreakAnswer(each.packs, each.cost.decimal_text) for each in item.terms.price_breaks)
    return CostedItemAnswer(*answer, item.cost.decimal_text, tuple(breaks))
