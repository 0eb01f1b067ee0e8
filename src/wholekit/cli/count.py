"""`wholekit count sheet|enter`: bins counted blind, and what was found written down."""

import sys
from collections.abc import Sequence
from itertools import groupby
from pathlib import Path
from typing import cast

import typer

from wholekit.cli import options
from wholekit.cli.bags_told import tell_gave_way
from wholekit.cli.console import print_json, say, table, tell
from wholekit.cli.counted import read_counted
from wholekit.cli.desk import By, deed, desk
from wholekit.cli.stock_options import IN_MAIN, InBranch
from wholekit.domain.errors import CallError
from wholekit.domain.quotes.roles import Action
from wholekit.intake.count_file import CountRow, read_count_file
from wholekit.services import counts
from wholekit.services.counts import CountedItem, CountEntry, CountWhere
from wholekit.services.desk import Deed, Desk
from wholekit.services.rights import has_right
from wholekit.services.stock import ToldItem
from wholekit.services.stock_value import item_costs
from wholekit.views.counts import (
    OwnersCountAnswer,
    count_answer,
    owners_answer,
    sheet_answer,
    sheet_csv,
)

Bin = typer.Option(None, "--bin", help="This bin; '' for what has none.", metavar="BIN")


def register(group: typer.Typer) -> None:
    """Put the commands on the group."""
    group.command("sheet")(sheet)
    group.command("enter")(enter)


def sheet(
    branch: InBranch = IN_MAIN,
    name: str | None = Bin,
    zone: str = typer.Option(
        "", "--zone", help="Bins of this zone: A of A-3 and A-12.", metavar="ZONE"
    ),
    csv: bool = typer.Option(False, "--csv", help="As CSV, to be filled in and entered."),
    by: By = "",
    json: options.Json = False,
) -> None:
    """A sheet to count by; what the books say is not on it. All of the branch unless told."""
    if name is not None and zone:
        raise CallError("count-where")
    made = counts.count_sheet(desk(), deed(by), CountWhere(branch, name, zone))
    if json:
        print_json(sheet_answer(made))
        return
    if csv:
        sys.stdout.write(sheet_csv(made))
        return
    say(f"Sheet {made.code}, branch {made.branch}")
    for place, rows in groupby(made.rows, key=lambda row: row.bin):
        say()
        say(f"Bin {place or '(none)'}")
        cells = [(row.item[1], row.item[0], row.description, "______") for row in rows]
        for line in table(cells, ("sku", "supplier", "description", "counted"), frozenset(), 2):
            say(line)


def enter(
    counted: list[str] = typer.Argument(
        None, help="What lies in the bin, 0 too.", metavar="SKU=COUNT"
    ),
    name: str | None = Bin,
    file: Path | None = typer.Option(
        None, "--file", help="A sheet filled in, CSV or XLSX.", metavar="FILE"
    ),
    of_sheet: str = typer.Option("", "--sheet", help="The code of the sheet.", metavar="CODE"),
    rest_zero: bool = typer.Option(
        False, "--rest-zero", help="There is nothing in the bin of what is not named."
    ),
    branch: InBranch = IN_MAIN,
    by: By = "",
    json: options.Json = False,
) -> None:
    """What was counted in a bin, or on a whole sheet; differences are written down at once."""
    told = counted or []
    if (file is None) == (name is None) or (file is not None and told):
        raise CallError("count-twice-told")
    if file is not None:
        entry = _of_file(read_count_file(file), branch, of_sheet, rest_zero)
    else:
        bin_name = name or ""
        rows = tuple(_told(text, bin_name) for text in told)
        entry = CountEntry(rows, branch, of_sheet, (bin_name,), rest_zero)
    place, asks = desk(), deed(by)
    done = _entered(place, asks, entry)
    owners = None
    if has_right(place, asks, Action.SEE_COST):
        owners = owners_answer(done, item_costs(place, asks))
    _print(done, owners, json)


def _entered(place: Desk, asks: Deed, entry: CountEntry) -> counts.CountDone:
    """The count entered; at a terminal, whatever was not named is asked for."""
    while True:
        try:
            return counts.enter_count(place, asks, entry)
        except CallError as error:
            if error.code != "count-items-left" or not sys.stdin.isatty():
                raise
            name = str(error.fields["bin"])
            more = tuple(
                CountedItem(ToldItem(sku), name, typer.prompt(f"{sku} in bin {name}", type=int))
                for sku in cast("list[str]", error.fields["skus"])
            )
        entry = CountEntry(
            (*entry.counted, *more), entry.branch, entry.sheet, entry.bins, entry.rest_zero
        )


def _of_file(rows: Sequence[CountRow], branch: str, sheet: str, rest_zero: bool) -> CountEntry:
    sheets = {row.sheet for row in rows if row.sheet} | ({sheet} - {""})
    branches = {row.branch for row in rows if row.branch} or {branch}
    if len(sheets) > 1 or len(branches) > 1:
        raise CallError("count-mixed", given=sorted(sheets | branches))
    found = tuple(
        CountedItem(ToldItem(row.sku, row.supplier), row.bin, row.counted)
        for row in rows
        if row.counted is not None
    )
    return CountEntry(found, branches.pop(), "".join(sheets), (), rest_zero)


def _told(text: str, name: str) -> CountedItem:
    sku, packs = read_counted(text)
    return CountedItem(ToldItem(sku), name, packs)


def _print(done: counts.CountDone, owners: OwnersCountAnswer | None, json: bool) -> None:
    answer = count_answer(done)
    for name in answer.already:
        tell(f"bin {name or '(none)'} was entered from this sheet before; nothing more is written")
    for each in answer.waiting:
        tell_gave_way(each.bag, each.packs, each.sku)
    if json:
        print_json(owners or answer)
        return
    rows = [
        (line.bin, line.sku, str(line.book), str(line.counted), f"{line.difference:+d}",
         f"{line.moved_since:+d}" if line.moved_since else "")
        for line in answer.lines
    ]  # fmt: skip
    heads = ("bin", "sku", "book", "counted", "difference", "moved since")
    for text in table(rows, heads, frozenset({2, 3, 4, 5}), 1):
        say(text)
    for value in owners.values if owners else ():
        say(f"differences at cost: {value.amount} {value.currency}")
    if owners and owners.without_cost:
        say(f"without a cost: {', '.join(owners.without_cost)}")
