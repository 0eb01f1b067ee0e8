"""`wholekit catalog items|compare`: what a stored revision holds, what another changed."""

from contextlib import closing
from dataclasses import dataclass

import typer

from wholekit.bootstrap import open_store
from wholekit.cli import options
from wholekit.cli.console import print_json, say, table
from wholekit.cli.desk import PageNumber, PageSize
from wholekit.domain.catalog import Catalog, Item
from wholekit.domain.catalog.changes import catalog_changes
from wholekit.domain.errors import CallError
from wholekit.domain.quotes import CatalogRef
from wholekit.services.ports import UnitOfWork
from wholekit.views.catalog_changes import changes_answer, changes_text

MOST_SHOWN = 15
CatalogId = typer.Argument(..., help="The catalogue's id.", metavar="ID")


@dataclass(frozen=True, slots=True)
class ItemAnswer:
    """One item of a stored revision. price: list [major units]; cost: only where asked for."""

    sku: str
    description: str
    finish: str
    price: str
    on_hand: int
    lead_days: int
    bin: str
    status: str
    cost: str | None = None


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
    cost: bool = typer.Option(False, "--cost", help="With own cost; not for customers."),
    page: PageNumber = 1,
    page_size: PageSize = 50,
    json: options.Json = False,
) -> None:
    """What a revision of a catalogue in the store sells, at its list prices; old ones stay."""
    with closing(open_store()) as store, store.reading() as work:
        ref = _ref(work, catalog, revision)
        found = work.catalogs.load(ref)
    answer = _items(found, ref.revision, text, cost, page, page_size)
    if json:
        print_json(answer)
        return
    say(
        f"{answer.catalog} revision {answer.revision}: {answer.supplier}, edition "
        f"{answer.edition}, {answer.currency}"
    )
    rows = [
        (one.sku, one.description, one.price, *(() if one.cost is None else (one.cost,)),
         str(one.on_hand), one.status)
        for one in answer.items
    ]  # fmt: skip
    heads = ("sku", "description", "list", *(("cost",) if cost else ()), "on hand", "status")
    right = frozenset({2, 3, 4} if cost else {2, 3})
    for line in table(rows, heads, right, 1):
        say(line)
    pages = max(1, -(-answer.count // page_size))
    say(f"{len(answer.items)} of {answer.count}, page {page} of {pages}")


def compare(
    catalog: str = CatalogId,
    first: int = typer.Argument(..., min=1, help="The earlier revision.", metavar="N"),
    second: int | None = typer.Argument(
        None, min=1, help="The later revision; the latest unless given.", metavar="M"
    ),
    show_all: options.ShowAll = False,
    json: options.Json = False,
) -> None:
    """What changed from one stored revision of a catalogue to another."""
    with closing(open_store()) as store, store.reading() as work:
        before = work.catalogs.load(_ref(work, catalog, first))
        after = work.catalogs.load(_ref(work, catalog, second))
    answer = changes_answer(catalog_changes(before, after), first)
    if json:
        print_json(answer)
        return
    for line in changes_text(answer, None if show_all else MOST_SHOWN):
        say(line)


def _ref(work: UnitOfWork, catalog: str, revision: int | None) -> CatalogRef:
    """A revision that is there, the latest for None. Raises CallError."""
    there = [one.revision for one in work.catalogs.revisions(catalog)]
    if not there:
        known = [one.catalog_id for one in work.catalogs.current()]
        raise CallError("catalog-not-loaded", id=catalog, known=known or "none")
    if revision is not None and revision not in there:
        raise CallError("catalog-revision-unknown", catalog=catalog, revision=revision)
    return CatalogRef(catalog, there[-1] if revision is None else revision)


def _items(
    catalog: Catalog, revision: int, text: str, cost: bool, page: int, page_size: int
) -> ItemsAnswer:
    wanted = text.casefold()
    found = [
        one
        for one in catalog.items
        if wanted in one.sku.casefold() or wanted in one.description.casefold()
    ]
    start = (page - 1) * page_size
    return ItemsAnswer(
        catalog.id,
        revision,
        catalog.supplier,
        catalog.edition.isoformat(),
        catalog.currency,
        tuple(_item(one, cost) for one in found[start : start + page_size]),
        len(found),
        page,
        page_size,
    )


def _item(item: Item, cost: bool) -> ItemAnswer:
    return ItemAnswer(
        item.sku,
        item.description,
        item.finish or "",
        item.list_price.decimal_text,
        item.on_hand,
        item.lead_days,
        item.bin,
        "discontinued" if item.discontinued else "",
        item.cost.decimal_text if cost else None,
    )
