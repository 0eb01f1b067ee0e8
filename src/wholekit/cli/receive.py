"""`wholekit receive`: goods of a purchase order, by list or by scan. No money is in it."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Annotated

import typer

from wholekit.cli import options
from wholekit.cli.bags_told import tell_gave_way, tell_whole
from wholekit.cli.console import print_json, say, table, tell
from wholekit.cli.counted import read_counted
from wholekit.cli.desk import By, deed, desk
from wholekit.cli.scanning import Teller, typed_lines
from wholekit.domain.errors import CallError, ConflictError
from wholekit.domain.picking import ScanRefused
from wholekit.services.desk import Desk
from wholekit.services.goods_scans import GoodsAnswer, end_delivery, scan_goods, undo_goods
from wholekit.services.receiving import ToldDelivery, expected_delivery, receive_delivery
from wholekit.views.buying import ReceivedAnswer, received_answer
from wholekit.wording.errors import say_error
from wholekit.wording.pick_answers import say_goods
from wholekit.wording.picking import say_refusal

UNDO, OVER = "undo", "over"
KEYS = """Scan what came: each is on the shelf when it is answered; 4*CODE counts four.
  undo   take the last scan back     over   take the last that was too many all the same
  end    the delivery is all here: bags that wait for it are completed"""
TELLER = Teller(aside=True)


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
            help="A line for each scan: a SKU or GTIN, 4* before it for four; each is on the "
            "shelf when it is answered. undo takes the last back; end completes bags that wait.",
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
        _print(received_answer(expected_delivery(place, asks, order)), json, expected=True)
        return
    if told and scan:
        raise CallError("options-exclusive", first="SKU=12", second="--scan")
    delivery = ToldDelivery(told, note, branch, name, over, close_short)
    if not scan:
        _print(received_answer(receive_delivery(place, asks, order, delivery)), json)
        return
    expected_delivery(place, asks, order)
    loop = _Loop(place, by, order, delivery)
    loop.run(typed_lines())
    ended = end_delivery(place, deed(by), order, delivery)
    came = {line: packs for line, packs in loop.came.items() if packs > 0}
    _print(received_answer(replace(ended, counts=came)), json)


@dataclass(slots=True)
class _Loop:
    """The terminal where goods come in: each scan is on the shelf when it is answered."""

    place: Desk
    by: str
    order: str
    told: ToldDelivery
    came: Counter[int] = field(default_factory=Counter)
    done: list[str] = field(default_factory=list)
    # The last scan that was one too many, and may be taken all the same.
    too_many: str = ""

    def run(self, lines: Iterator[str]) -> None:
        tell(KEYS)
        try:
            for line in lines:
                self._line(line)
        except KeyboardInterrupt:
            tell("stopped; what was answered is on the shelf")

    def _line(self, line: str) -> None:
        word = line.strip().casefold()
        try:
            if word == UNDO:
                scan = self.done.pop() if self.done else ""
                self._told(undo_goods(self.place, deed(self.by), self.order, scan), line)
            elif word == OVER and self.too_many:
                self._scan(self.too_many, replace(self.told, over=True))
            else:
                self._scan(line, self.told)
        except (CallError, ConflictError) as refused:
            TELLER.refused(say_error(refused))

    def _scan(self, line: str, told: ToldDelivery) -> None:
        self._told(scan_goods(self.place, deed(self.by), self.order, line, told), line)

    def _told(self, done: GoodsAnswer, line: str) -> None:
        answer = done.answer
        if isinstance(answer, ScanRefused):
            self.too_many = line if answer.code == "goods-over" else ""
            TELLER.refused(*say_refusal(answer))
            return
        self.too_many = ""
        if not answer.again:
            self.came[answer.line] += -answer.packs if answer.back else answer.packs
            if not answer.back:
                self.done.append(done.scan)
        TELLER.right(*say_goods(answer, done.place))
        for bag, packs in done.waiting:
            tell_gave_way(bag, packs)


def _print(answer: ReceivedAnswer, json: bool, *, expected: bool = False) -> None:
    if answer.again:
        tell(f"this delivery of {answer.order} was entered before; it counts once")
    for line in answer.lines:
        if line.came and line.over:
            tell(f"{line.sku}: {line.over} more than were ordered")
        if (line.came or answer.state == "closed") and line.received < line.ordered:
            tell(f"{line.sku}: {line.ordered - line.received} short of {line.ordered} ordered")
    tell_whole(answer.completed)
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
