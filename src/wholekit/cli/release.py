"""`wholekit release`: an accepted quote goes to the pick room."""

from collections import Counter
from typing import Annotated

import typer

from wholekit.cli import options
from wholekit.cli.console import page_line, print_json, say, table, tell, wrapped
from wholekit.cli.desk import By, PageNumber, PageSize, deed, desk, read_day
from wholekit.cli.pick_text import bags_told
from wholekit.cli.stock_options import IN_MAIN
from wholekit.domain.errors import CallError
from wholekit.services import orders
from wholekit.services.order_port import OrderFilter
from wholekit.services.paging import Page
from wholekit.views.pick_room import (
    BagAnswer,
    OrderAnswer,
    OrderListAnswer,
    ShortAnswer,
    order_answer,
    order_row,
)
from wholekit.wording.pick_answers import bag_name
from wholekit.wording.waits import say_due


def register(app: typer.Typer) -> None:
    """Put the command on the program."""
    app.command("release")(release)


def release(
    quote: Annotated[
        str | None,
        typer.Argument(help="An accepted quote: Q-00012/3 or Q-00012; none: the list of orders."),
    ] = None,
    marks: Annotated[
        list[str] | None,
        typer.Option("--mark", help="Only this opening; once for each.", metavar="MARK"),
    ] = None,
    branch: str = typer.Option(IN_MAIN, "--branch", help="Picked at this branch.", metavar="CODE"),
    promised: str = typer.Option(
        "", "--promised", help="The day told to the customer.", metavar="DATE"
    ),
    priority: int = typer.Option(0, "--priority", help="Higher goes first; 0 is usual."),
    show: bool = typer.Option(False, "--show", help="Tell how the order stands; change nothing."),
    cancel: bool = typer.Option(False, "--cancel", help="Take it back from the pick room."),
    reason: str = typer.Option("", "--reason", help="Why, with --cancel.", metavar="TEXT"),
    every: bool = typer.Option(False, "--all", help="In the list also orders that have all gone."),
    page: PageNumber = 1,
    page_size: PageSize = 50,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Send an accepted quote to the pick room: a bag for each opening, its goods promised.

    A bag is promised all it needs or nothing. Without a quote: the orders in the pick room.
    """
    if quote is None:
        _list(OrderFilter(all=every), page, page_size, by, json=json)
        return
    if show and cancel:
        raise CallError("options-exclusive", first="--show", second="--cancel")
    place, asks = desk(), deed(by)
    if cancel:
        found = orders.cancel_order(place, asks, quote, reason)
    elif show:
        found = orders.show_order(place, asks, quote)
    else:
        day = read_day(promised)
        told = orders.ToldRelease(tuple(marks or ()), branch, day, priority)
        found = orders.release_order(place, asks, quote, told)
    answer = order_answer(found)
    if json:
        print_json(answer)
        return
    print_order(answer)


def _list(wanted: OrderFilter, page: int, size: int, by: str, *, json: bool) -> None:
    found, count = orders.list_orders(desk(), deed(by), wanted, Page.numbered(page, size))
    answer = OrderListAnswer(tuple(map(order_row, found)), count, page, size)
    if json:
        print_json(answer)
        return
    rows = [
        (each.order, each.job, each.promised_on or "", str(each.waiting), str(each.ready),
         str(each.open), str(each.closed), str(each.shipped))
        for each in answer.orders
    ]  # fmt: skip
    heads = ("order", "job", "promised", "waiting", "ready", "open", "closed", "shipped")
    for line in table(rows, heads, frozenset({3, 4, 5, 6, 7}), 1):
        say(line)
    say(page_line(len(rows), count, page, size))


def print_order(answer: OrderAnswer) -> None:
    """An order as text: what stands where, and what waits for what."""
    say(f"{answer.order} {answer.job}, picked at {answer.branch}")
    if answer.cancelled:
        say("  cancelled")
    elif answer.promised_on:
        say(f"  promised for {answer.promised_on}")
    every = list(dict.fromkeys(bag.mark for bag in answer.bags))
    by_state: dict[str, list[BagAnswer]] = {}
    for bag in answer.bags:
        by_state.setdefault(bag.state, []).append(bag)
    equal = Counter(bag.mark for bag in answer.bags if bag.state != "cancelled")
    for state, bags in by_state.items():
        marks = bags_told(bags, equal, every)
        for line in wrapped(f"  {len(bags)} {state}: {marks}"):
            say(line)
    for bag in (each for each in answer.bags if bag_stands(each)):
        name = bag_name(bag.mark, bag.number, equal[bag.mark])
        for line in wrapped(f"    {bag.bag} {name}{bag_stands(bag)}"):
            say(line)
    if answer.held:
        held = ", ".join(dict.fromkeys(answer.held))
        for line in wrapped(f"Not in it, with an open stop or an incomplete kit: {held}.", "  "):
            tell(line)
    if answer.surplus:
        tell(f"  To be unpacked (wholekit bag unpack): {', '.join(answer.surplus)}")


def bag_stands(bag: BagAnswer) -> str:
    """What is to be said of a bag alone: that it lacks goods, or was put aside; else nothing."""
    lacks = bag.expected or bag.short
    if bag.state == "open" and not bag.wave:
        rest = f"waits for {waits_for(bag)}" if lacks else "its label goes on with it, in any wave"
        return f", put aside; {rest}"
    return f", waits for {waits_for(bag)}" if lacks else ""


def waits_for(bag: BagAnswer) -> str:
    """What a bag waits for, and until when."""
    short = ", ".join(f"{each.packs} of {each.sku}{_elsewhere(each)}" for each in bag.short)
    if not short:
        return "its share of goods that are free: wholekit allocate promises them"
    text = f"{short}; {say_due(bag.expected, all(each.ordered for each in bag.short))}"
    if any(each.elsewhere for each in bag.short):
        return f"{text}; wholekit stock move brings what lies elsewhere"
    return text


def _elsewhere(short: ShortAnswer) -> str:
    if not short.elsewhere:
        return ""
    there = ", ".join(f"{each.packs} at {each.branch}" for each in short.elsewhere)
    return f" ({there})"
