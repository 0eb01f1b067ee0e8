"""`wholekit receive`: goods of a purchase order, by list or by scan. No money is in it."""

import sys
from collections.abc import Iterator
from typing import Annotated

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say, table, tell
from wholekit.cli.counted import read_counted
from wholekit.cli.desk import By, deed, desk
from wholekit.domain.buying import CountedLine, GoodsDelivery
from wholekit.domain.errors import CallError
from wholekit.services.desk import Deed, Desk
from wholekit.services.receiving import ToldDelivery, expected_delivery, receive_delivery
from wholekit.views.buying import ReceivedAnswer, expected_answer, received_answer
from wholekit.wording.errors import say_error

END, UNDO = "end", "undo"


def register(app: typer.Typer) -> None:
    """Put the command on the application."""
    app.command("receive")(receive)


def receive(
    order: Annotated[str, typer.Argument(help="The order: P-00007 or 7.", metavar="ORDER")],
    packs: Annotated[
        list[str] | None,
        typer.Argument(help="What came: SKU or GTIN, and packs.", metavar="[SKU=12...]"),
    ] = None,
    scan: Annotated[
        bool,
        typer.Option(
            "--scan",
            help="A line for each scan: a SKU or GTIN, 4* before it for four; undo takes the last "
            "back; end, or the end of the input, writes it down.",
        ),
    ] = False,
    note: Annotated[
        str,
        typer.Option(
            "--note", help="Number of the delivery note; under it the delivery counts once."
        ),
    ] = "",
    branch: Annotated[
        str, typer.Option("--branch", help="At this branch; else the order's.", metavar="CODE")
    ] = "",
    name: Annotated[
        str | None,
        typer.Option("--bin", help="Into this bin; else where each item lies.", metavar="BIN"),
    ] = None,
    over: Annotated[bool, typer.Option("--over", help="More than was ordered may come.")] = False,
    close_short: Annotated[
        bool, typer.Option("--close-short", help="What is still open after it is not expected.")
    ] = False,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Goods that came of an order, onto the shelf; with nothing told, what is expected of it."""
    place, asks = desk(), deed(by)
    told = [read_counted(text) for text in packs or ()]
    if not told and not scan and not close_short:
        _print(expected_answer(expected_delivery(place, asks, order)), json, expected=True)
        return
    if scan:
        told = _scanned(place, asks, order, over=over, before=told)
    delivery = ToldDelivery(told, note, branch, name, over, close_short)
    _print(received_answer(receive_delivery(place, asks, order, delivery)), json)


def _scanned(
    place: Desk, asks: Deed, order: str, *, over: bool, before: list[tuple[str, int]]
) -> list[tuple[str, int]]:
    """Packs told and scanned, by SKU. Raises CallError."""
    counting = expected_delivery(place, asks, order, over=over)
    for code, packs in before:
        counting.count(code, packs)
    tell(f"{counting.purchase.label}: scan what came; undo takes the last back, end is the end")
    for text in _typed():
        if text.casefold() == END:
            break
        tell(_answer(counting, text))
    lines = counting.purchase.order.lines
    return [(lines[at].sku, packs) for at, packs in counting.counts.items()]


def _typed() -> Iterator[str]:
    """Lines of the input that hold something; a scanner ends each with Enter."""
    for line in sys.stdin:
        if line.strip():
            yield line.strip()


def _answer(counting: GoodsDelivery, text: str) -> str:
    try:
        if text.casefold() == UNDO:
            back = counting.undo()
            return "nothing to take back" if back is None else _said(counting, back)
        return _said(counting, counting.scan(text))
    except CallError as refused:
        # The bell: whoever scans looks at the goods.
        return f"\a{say_error(refused)}"


def _said(counting: GoodsDelivery, counted: CountedLine) -> str:
    line = counting.purchase.order.lines[counted.line]
    more = f", {counted.over} more than expected" if counted.over else ""
    return f"{line.sku}: {counted.counted} of {counted.expected}{more}  {line.description}"


def _print(answer: ReceivedAnswer, json: bool, *, expected: bool = False) -> None:
    if answer.again:
        tell(f"this delivery of {answer.order} was entered before; it counts once")
    for line in answer.lines:
        if line.came and line.over:
            tell(f"{line.sku}: {line.over} more than were ordered")
    for bag in answer.completed:
        tell(f"bag {bag} has all it waited for")
    if json:
        print_json(answer)
        return
    say(f"{answer.order}  {answer.state}  {answer.supplier} → {answer.branch}")
    rows = [
        (each.sku, each.description, str(each.ordered), str(each.came), str(each.received),
         str(each.open))
        for each in answer.lines
        if each.open or each.came or not expected
    ]  # fmt: skip
    heads = ("sku", "description", "ordered", "came now", "received", "open")
    for row in table(rows, heads, frozenset({2, 3, 4, 5}), 1):
        say(row)
