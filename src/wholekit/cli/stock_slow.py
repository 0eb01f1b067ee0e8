"""`wholekit stock slow`: what lies longer than it should."""

from typing import Annotated

import typer

from wholekit.cli import options
from wholekit.cli.console import page_line, print_json, say, table
from wholekit.cli.desk import By, PageNumber, PageSize, deed, desk
from wholekit.cli.stock_options import AnyBranch
from wholekit.domain.quotes.roles import Action
from wholekit.domain.stock import slow_limits
from wholekit.services.paging import Page
from wholekit.services.rights import has_right
from wholekit.services.stock_slow import slow_stock
from wholekit.services.stock_value import item_costs
from wholekit.views.stock_slow import (
    OwnersSlowAnswer,
    SlowStockAnswer,
    owners_slow_answer,
    slow_answer,
)

MOST_DAYS = 3_660


def register(group: typer.Typer) -> None:
    """Put the command on the group."""
    group.command("slow")(slow)


def slow(
    branch: AnyBranch = "",
    period: Annotated[
        int | None,
        typer.Option(
            "--period", min=1, max=MOST_DAYS, help="Look back so many days; else the house's."
        ),
    ] = None,
    cover: Annotated[
        int | None,
        typer.Option(
            "--cover",
            min=1,
            max=MOST_DAYS,
            help="Slow is what lasts so many days; else the house's.",
        ),
    ] = None,
    idle: Annotated[
        int | None,
        typer.Option(
            "--idle",
            min=1,
            max=MOST_DAYS,
            help="Dead is what nothing left of for so many days; else the house's.",
        ),
    ] = None,
    page: PageNumber = 1,
    page_size: PageSize = 50,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Slow and dead stock by branch: since when nothing left, turns, days of cover.

    Owners also see what it is worth at cost. The house's figures are the rule slow-stock.
    """
    place, asks = desk(), deed(by)
    limits = slow_limits(place.rules, period, cover, idle)
    found = slow_stock(place, asks, limits, branch)
    answer = slow_answer(asks.day, limits, found, Page.numbered(page, page_size))
    owners = None
    if has_right(place, asks, Action.SEE_COST):
        owners = owners_slow_answer(answer, found, item_costs(place, asks))
    if json:
        print_json(owners or answer)
        return
    _print(answer, owners)


def _print(answer: SlowStockAnswer, owners: OwnersSlowAnswer | None) -> None:
    rows = [
        [each.pace, each.sku, each.description, each.branch, str(each.on_hand),
         each.last_left or "never", str(each.idle_days), each.turns,
         "-" if each.cover_days is None else str(each.cover_days)]
        for each in answer.items
    ]  # fmt: skip
    heads = ["", "sku", "description", "branch", "on hand", "last left", "days", "turns", "lasts"]
    if owners:
        heads.append("value")
        rows = [[*row, of.value or "?"] for row, of in zip(rows, owners.values, strict=True)]
    for line in table(rows, tuple(heads), frozenset({4, 6, 7, 8, 9}), 2):
        say(line)
    say(page_line(len(answer.items), answer.count, answer.page, answer.page_size))
    say(
        f"{answer.on}, over {answer.period} days: slow from {answer.cover} days of cover, dead "
        f"where nothing left for {answer.idle} days."
    )
    for total in owners.totals if owners else ():
        say(f"{total.amount} {total.currency} lie in it, at the cost of the newest price books.")
