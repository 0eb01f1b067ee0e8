"""`wholekit buy`: the buy list, and purchase orders placed, shown, sent, cancelled, on paper."""

from datetime import datetime
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from wholekit import bootstrap
from wholekit.cli import options
from wholekit.cli.console import moment, page_line, print_json, say, table, tell
from wholekit.cli.desk import By, PageNumber, PageSize, Reason, deed, desk
from wholekit.cli.quote_export import write_whole
from wholekit.cli.stock_options import IN_MAIN
from wholekit.domain.buying import PurchaseOrder, PurchaseState
from wholekit.domain.stock import MAIN
from wholekit.services import buying
from wholekit.services.desk import Desk
from wholekit.services.paging import Page
from wholekit.services.purchase_port import PurchaseFilter
from wholekit.settings import bundled
from wholekit.views.buying import (
    BuyListAnswer,
    PurchaseAnswer,
    PurchasesAnswer,
    SupplierBuyAnswer,
    buy_list_answer,
    purchase_answer,
    shown_answer,
)

Order = Annotated[str, typer.Argument(help="The order: P-00007 or 7.", metavar="ORDER")]
ForBranch = Annotated[str, typer.Option("--branch", help="For this branch.", metavar="CODE")]


class OrderForm(StrEnum):
    """What an order may be written as."""

    PDF = "pdf"
    CSV = "csv"
    UBL = "ubl"


def register(group: typer.Typer) -> None:
    """Put the commands on the group."""
    group.command("list")(list_all)
    group.command("order")(order)
    group.command("orders")(orders)
    group.command("show")(show)
    group.command("send")(send)
    group.command("cancel")(cancel)
    group.command("paper")(paper)


def list_all(branch: ForBranch = IN_MAIN, by: By = "", json: options.Json = False) -> None:
    """What is to be bought of whom: what is short, and what is at its reorder point."""
    answer = buy_list_answer(buying.buy_list(desk(), deed(by), branch), branch)
    if json:
        print_json(answer)
        return
    for each in answer.suppliers:
        _print_buy(each)
    _print_rest(answer)
    if not answer.suppliers:
        say(f"nothing is to be bought for {branch}")


def order(
    suppliers: Annotated[
        list[str] | None,
        typer.Option(
            "--supplier", help="Of this supplier; may be given again. Else of all.", metavar="NAME"
        ),
    ] = None,
    branch: ForBranch = MAIN,
    address: Annotated[
        list[str] | None,
        typer.Option(
            "--address",
            help="A line of the supplier's address; once for each line.",
            metavar="LINE",
        ),
    ] = None,
    ship_to: Annotated[
        list[str] | None,
        typer.Option(
            "--ship-to",
            help="A line of where the goods go, the name first; else the branch and the house.",
            metavar="LINE",
        ),
    ] = None,
    note: Annotated[
        str, typer.Option("--note", help="A note to the supplier.", metavar="TEXT")
    ] = "",
    by: By = "",
    json: options.Json = False,
) -> None:
    """The buy list as purchase orders, one for each supplier; drafts until they are sent."""
    words = buying.OrderWords(tuple(address or ()), tuple(ship_to or ()), note)
    place = desk(None, bootstrap.house_style(None, tell))
    made = buying.place_orders(place, deed(by), branch, (), suppliers or (), words)
    answers = tuple(map(purchase_answer, made))
    if json:
        print_json(answers)
        return
    for each in answers:
        _print_order(each)


def orders(
    state: Annotated[
        list[PurchaseState] | None,
        typer.Option("--state", help="In this state; may be given again."),
    ] = None,
    supplier: Annotated[str, typer.Option("--supplier", help="Of this supplier.")] = "",
    page: PageNumber = 1,
    page_size: PageSize = 50,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Purchase orders, the latest first."""
    wanted = PurchaseFilter(frozenset(state or ()), supplier)
    found, count = buying.list_orders(desk(), deed(by), wanted, Page.numbered(page, page_size))
    answer = PurchasesAnswer(tuple(map(purchase_answer, found)), count, page, page_size)
    if json:
        print_json(answer)
        return
    rows = [
        (each.order, each.state, each.supplier, each.branch, each.placed[:10],
         f"{each.total} {each.currency}", str(sum(line.open for line in each.lines)))
        for each in answer.orders
    ]  # fmt: skip
    heads = ("order", "state", "supplier", "branch", "placed", "total", "open")
    for line in table(rows, heads, frozenset({5, 6}), 2):
        say(line)
    say(page_line(len(rows), count, page, page_size))


def show(reference: Order, by: By = "", json: options.Json = False) -> None:
    """An order whole: its lines, what came of it, and who did what."""
    answer = shown_answer(buying.show_order(desk(), deed(by), reference))
    if json:
        print_json(answer)
        return
    _print_order(answer.purchase)
    told = [
        (event.at, f"{event.who}  {event.action.removeprefix('purchase-')}  {event.reason}")
        for event in answer.events
    ]
    for came in answer.receipts:
        where = f"{came.branch}/{came.bin}" if came.bin else came.branch
        told.append((came.at, f"{came.who}  {came.packs} × {came.sku} → {where}  {came.note}"))
    # Goods cannot come before the order that was placed at the same moment.
    for at, said in sorted(told, key=lambda each: datetime.fromisoformat(each[0])):
        say(f"{moment(at)}  {said}".rstrip())


def send(reference: Order, by: By = "", json: options.Json = False) -> None:
    """Say that the supplier was given an order; nothing is sent by this."""
    _answer(purchase_answer(buying.send_order(desk(), deed(by), reference)), json)


def cancel(reference: Order, reason: Reason = "", by: By = "", json: options.Json = False) -> None:
    """Cancel an order of which nothing has come."""
    _answer(purchase_answer(buying.cancel_order(desk(), deed(by), reference, reason)), json)


def paper(
    reference: Order,
    form: Annotated[
        OrderForm,
        typer.Option("--as", help="pdf, csv (a row for each line) or ubl (UBL 2.1 Order)."),
    ],
    out: Annotated[Path, typer.Option("--out", help="The file to write.", metavar="FILE")],
    locale: Annotated[
        str, typer.Option("--locale", help="Of amounts, dates and words: en_US, fr_CA, es_MX.")
    ] = "en_US",
    house_style: options.HouseStyleFolder = None,
    by: By = "",
) -> None:
    """An order for its supplier. It shows what the house pays."""
    style = bootstrap.house_style(house_style, tell)
    place = desk(None, style)
    found = buying.show_order(place, deed(by), reference).purchase
    _write(place, found.order, form, out, locale, style.templates)
    if found.state is PurchaseState.DRAFT:
        tell(f"{found.label} is a draft; say with wholekit buy send that it went out")
    say(f"{out}  {form.value}, {found.label}")


def _write(
    place: Desk, order: PurchaseOrder, form: OrderForm, out: Path, locale: str, templates: str
) -> None:
    # Late: no other command needs what writes these.
    from wholekit.documents.exchange.purchase_order import purchase_order_csv, purchase_order_xml
    from wholekit.documents.fill_order import purchase_order_paper
    from wholekit.documents.papers import Letterhead
    from wholekit.documents.render import render_paper

    if form is OrderForm.CSV:
        write_whole(out, purchase_order_csv(order))
        return
    card = place.house()
    house = Letterhead(card.name, card.address, card.phone, card.email)
    language = place.words.language(locale)
    if form is OrderForm.UBL:
        write_whole(out, purchase_order_xml(order, house, language))
        return
    made = purchase_order_paper(order, house, locale=locale, language=language)
    render_paper(made, out, bundled("templates"), house=templates)


def _answer(answer: PurchaseAnswer, json: bool) -> None:
    if json:
        print_json(answer)
    else:
        say(f"{answer.order}: {answer.state}")


def _print_order(answer: PurchaseAnswer) -> None:
    say(f"{answer.order}  {answer.state}  {answer.supplier} → {answer.branch}")
    rows = [
        (line.sku, line.description, str(line.packs), str(line.received), str(line.open),
         line.unit_cost, line.amount, line.expected or "not known")
        for line in answer.lines
    ]  # fmt: skip
    heads = ("sku", "description", "packs", "received", "open", "each", "amount", "expected")
    for line in table(rows, heads, frozenset({2, 3, 4, 5, 6}), 1):
        say(line)
    say(f"{answer.total} {answer.currency} without freight and taxes")


def _print_buy(buy: SupplierBuyAnswer) -> None:
    say(buy.supplier)
    rows = [
        (line.sku, line.description, str(line.short), str(line.shelf), str(line.packs),
         line.unit_cost, line.total, line.arrives or "not known")
        for line in buy.lines
    ]  # fmt: skip
    below = [
        "; ".join(
            f"{each.sku} of {each.supplier} would do, {each.saves} less" for each in line.cheaper
        )
        for line in buy.lines
    ]
    heads = ("sku", "description", "short", "shelf", "order", "each", "amount", "here by")
    for line in table(rows, heads, frozenset({2, 3, 4, 5, 6}), 1, below):
        say(line)
    say(f"{buy.total} {buy.currency} without freight and taxes")
    say()


def _print_rest(answer: BuyListAnswer) -> None:
    for late in answer.late:
        day = late.day or "no known day"
        tell(f"late: {late.sku} for bag {late.bag} of {late.order}: {day}, wanted {late.needed_by}")
    for each in answer.not_bought:
        instead = f"; {each.replaced_by} takes its place" if each.replaced_by else ""
        tell(f"not bought: {each.packs} × {each.sku} of {each.supplier} ({each.why}){instead}")
