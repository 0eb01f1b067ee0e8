"""`wholekit stock value`: what lay on the shelves on a day is worth, for owners."""

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say, table
from wholekit.cli.desk import By, deed, desk, read_day
from wholekit.services.stock_value import stock_on
from wholekit.views.stock_value import value_answer


def register(group: typer.Typer) -> None:
    """Put the command on the group."""
    group.command("value")(value)


def value(
    on: str = typer.Option("", "--on", help="At the end of this day; today unless given."),
    by: By = "",
    json: options.Json = False,
) -> None:
    """What lay on the shelves on a day, at the cost of the newest price books (the owner's)."""
    asks = deed(by)
    day = read_day(on) or asks.day
    answer = value_answer(day, stock_on(desk(), asks, day))
    if json:
        print_json(answer)
        return
    rows = [
        (each.sku, each.supplier, str(each.packs), each.cost or "?", each.value or "?")
        for each in answer.items
    ]
    heads = ("sku", "supplier", "packs", "cost", "value")
    for line in table(rows, heads, frozenset({2, 3, 4}), 1):
        say(line)
    for total in answer.totals:
        say(f"{answer.on}: {total.amount} {total.currency} at the cost of the newest price books")
