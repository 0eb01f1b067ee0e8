"""`wholekit stock list|show|history|branches`: what lies where, and how it came there."""

import typer

from wholekit.cli import options
from wholekit.cli.console import moment, page_line, print_json, say, table, tell
from wholekit.cli.desk import By, PageNumber, PageSize, deed, desk
from wholekit.cli.stock_options import AnyBranch, Sku, Supplier
from wholekit.services import stock
from wholekit.services.paging import Page
from wholekit.services.stock_port import Branch, StockFilter
from wholekit.views.stock import (
    StockHistoryAnswer,
    StockListAnswer,
    StockRowAnswer,
    item_answers,
    movement_answer,
    row_answer,
)


def register(group: typer.Typer) -> None:
    """Put the commands on the group."""
    group.command("list")(list_all)
    group.command("show")(show)
    group.command("history")(history)
    group.command("branch")(branch)


def list_all(
    branch: AnyBranch = "",
    name: str = typer.Option("", "--bin", help="Items that lie in this bin.", metavar="BIN"),
    text: str = typer.Option("", "--text", help="Found in SKU or description, case aside."),
    short: bool = typer.Option(False, "--short", help="Those of which nothing is free."),
    page: PageNumber = 1,
    page_size: PageSize = 50,
    by: By = "",
    json: options.Json = False,
) -> None:
    """What is on hand, promised and free, by item and branch."""
    wanted = StockFilter(branch, name, text, short)
    part = Page.numbered(page, page_size)
    found, count = stock.list_stock(desk(), deed(by), wanted, part)
    answer = StockListAnswer(tuple(map(row_answer, found)), count, page, page_size)
    if json:
        print_json(answer)
        return
    print_rows(answer.items)
    say(page_line(len(answer.items), count, page, page_size))


def show(sku: Sku, supplier: Supplier = "", by: By = "", json: options.Json = False) -> None:
    """One item, at each branch and in each bin."""
    found = stock.show_stock(desk(), deed(by), stock.ToldItem(sku, supplier))
    answers = item_answers(found)
    if json:
        print_json(answers)
        return
    say(f"{found.item[1]} of {found.item[0]}: {found.description or 'no description'}")
    print_rows(answers)


def history(
    sku: Sku,
    supplier: Supplier = "",
    page: PageNumber = 1,
    page_size: PageSize = 50,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Every movement of an item, the latest first."""
    part = Page.numbered(page, page_size)
    found, count = stock.stock_history(desk(), deed(by), stock.ToldItem(sku, supplier), part)
    answer = StockHistoryAnswer(tuple(map(movement_answer, found)), count, page, page_size)
    if json:
        print_json(answer)
        return
    rows = [
        (moment(each.at), each.who, each.kind, str(each.packs), each.source,
         each.target, each.reason)
        for each in answer.movements
    ]  # fmt: skip
    heads = ("when", "who", "kind", "packs", "from", "to", "reason")
    for line in table(rows, heads, frozenset({3}), 6):
        say(line)
    say(page_line(len(rows), count, page, page_size))


def branch(
    code: str = typer.Argument("", help="Enter a branch of this code.", metavar="CODE"),
    name: str = typer.Argument("", help="What it is called."),
    by: By = "",
    json: options.Json = False,
) -> None:
    """The branches; with a code, one more is entered, which is the owner's."""
    place, asks = desk(), deed(by)
    if code:
        found = stock.add_branch(place, asks, Branch(code, name))
        tell(f"branch {code} entered")
    else:
        found = stock.list_branches(place, asks)
    if json:
        print_json(tuple(found))
        return
    for line in table(
        [(each.code, each.name) for each in found], ("branch", "name"), frozenset(), 1
    ):
        say(line)


def print_rows(answers: tuple[StockRowAnswer, ...]) -> None:
    """Items at branches, a line each."""
    rows = [
        (each.sku, each.description, each.branch, str(each.on_hand), str(each.promised),
         str(each.free), ", ".join(f"{one.bin or 'no bin'} {one.on_hand}" for one in each.bins))
        for each in answers
    ]  # fmt: skip
    heads = ("sku", "description", "branch", "on hand", "promised", "free", "bins")
    for line in table(rows, heads, frozenset({3, 4, 5}), 1):
        say(line)
