"""`wholekit margin`: what jobs earn, cost drift, quotes won and lost, what if. Holds cost."""

from collections.abc import Iterator, Sequence
from typing import Annotated

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say, table, tell, wrapped
from wholekit.cli.desk import By, JobRef, deed, desk, job_at, read_day
from wholekit.domain.earnings import Key
from wholekit.domain.errors import CallError
from wholekit.domain.quantities import parse_money, parse_share
from wholekit.domain.quotes import State
from wholekit.services import margin_reports
from wholekit.services.desk import Deed
from wholekit.services.discount_report import discount_report
from wholekit.services.ports import RevisionFilter
from wholekit.views.concessions import OFF_IS, discount_answer
from wholekit.views.margins import (
    NET_IS,
    NO_COST_IS,
    PRICE_IS,
    EarningAnswer,
    MarginAnswer,
    ReportAnswer,
    drift_answer,
    report_answer,
    say_left_out,
    what_if_answer,
    win_answer,
)

Since = typer.Option("", "--from", help="Issued from this day.", metavar="DATE")
Until = typer.Option("", "--to", help="Issued to this day.", metavar="DATE")
OfCustomer = typer.Option(
    "", "--customer", help="Of this customer only.", metavar="CODE", callback=options.small
)
OfSalesperson = typer.Option("", "--salesperson", help="Of this salesperson only.")
Currency = typer.Option("USD", "--currency", help="ISO 4217; one at a time.")
KEYS = frozenset(key.value for key in Key)
ByOrKey = Annotated[
    list[str] | None,
    typer.Option("--by", help="Who asks; else WHOLEKIT_USER.", metavar="NAME"),
]
Alternates = typer.Option(
    False, "--alternates", help="Also what each open alternate would change, in no total."
)


def register(app: typer.Typer) -> None:
    """Put the commands on the application."""
    group = typer.Typer(
        help="Margins; these show cost and are the owner's.",
        no_args_is_help=True,
        rich_markup_mode=None,
    )
    group.command("report")(report)
    group.command("job")(job_margins)
    group.command("drift")(drift)
    group.command("wins")(wins)
    group.command("discounts")(discounts)
    group.command("what-if")(what_if)
    app.add_typer(group, name="margin")


def report(
    per: Key = typer.Option(Key.JOB, "--per", help="What margins are told by."),
    by: ByOrKey = None,
    accepted: bool = typer.Option(False, "--accepted", help="Only what was accepted."),
    since: str = Since,
    until: str = Until,
    customer: str = OfCustomer,
    salesperson: str = OfSalesperson,
    currency: str = Currency,
    alternates: bool = Alternates,
    json: options.Json = False,
) -> None:
    """Margins of open and accepted quotes on the cost of the day of quoting."""
    states = frozenset({State.ACCEPTED}) if accepted else frozenset()
    wanted = RevisionFilter(read_day(since), read_day(until), customer, salesperson, states=states)
    asks, key = _asked(by, per)
    found = margin_reports.margin_report(
        desk(), asks, key, wanted, currency.upper(), alternates=alternates
    )
    answer = report_answer(found)
    _print(answer, json)
    if not answer.rows:
        tell("no such quote was issued")


def job_margins(
    job: JobRef,
    per: Key = typer.Option(Key.OPENING, "--per", help="What margins are told by."),
    by: ByOrKey = None,
    alternates: bool = Alternates,
    house: options.HouseFile = None,
    json: options.Json = False,
) -> None:
    """Margins of a job as it stands, on today's prices and the cost of its catalogues."""
    asks, key = _asked(by, per)
    found = margin_reports.job_margins(desk(house), asks, job, key, alternates=alternates)
    _print(report_answer(found), json)


def drift(by: By = "", json: options.Json = False) -> None:
    """Open quotes at present cost; status 1 if one is under the floor."""
    answers = [drift_answer(quote) for quote in margin_reports.cost_drift(desk(), deed(by))]
    # Anything but nothing, in however many digits the currency has.
    under = [answer for answer in answers if answer.short.amount.strip("0.")]
    if json:
        print_json(answers)
    else:
        rows = (
            (
                answer.quote,
                answer.customer,
                answer.then.price.amount,
                answer.then.share,
                answer.now.share,
                answer.short.amount if answer in under else "",
                f"gone: {', '.join(answer.gone)}" if answer.gone else "",
            )
            for answer in answers
        )
        heads = ("quote", "customer", "price", "then", "now", "short", "remark")
        for line in table(rows, heads, frozenset({2, 3, 4, 5}), 6):
            say(line)
        _explain(PRICE_IS)
        tell(f"{len(under)} of {len(answers)} open quotes under the floor")
    raise typer.Exit(1 if under else 0)


def wins(
    since: str = Since,
    until: str = Until,
    customer: str = OfCustomer,
    salesperson: str = OfSalesperson,
    currency: str = Currency,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Quotes won and lost, by count and money, and why they were lost."""
    wanted = RevisionFilter(read_day(since), read_day(until), customer, salesperson)
    answer = win_answer(margin_reports.win_report(desk(), deed(by), wanted, currency.upper()))
    if json:
        print_json(answer)
    else:
        for what, count, net in (
            ("won", answer.won, answer.won_net),
            ("lost", answer.lost, answer.lost_net),
            ("open", answer.open, answer.open_net),
        ):
            say(f"{what} {count}, {net.amount} {net.currency}")
        say(f"win rate {answer.rate} of quotes, {answer.rate_by_money} of money")
        rows = (
            (lost.reason, str(lost.quotes), f"{lost.net.amount} {lost.net.currency}")
            for lost in answer.lost_by
        )
        for line in table(rows, ("lost because", "quotes", "net"), frozenset({1, 2}), 0):
            say(line)
        _explain(NET_IS)
    for line in say_left_out(answer.left_out):
        tell(line)


def discounts(
    accepted: bool = typer.Option(False, "--accepted", help="Only what was accepted."),
    since: str = Since,
    until: str = Until,
    customer: str = OfCustomer,
    salesperson: str = OfSalesperson,
    currency: str = Currency,
    by: By = "",
    json: options.Json = False,
) -> None:
    """What open and accepted quotes give off list: terms, discounts and prices by hand, by person
    and reason."""
    states = frozenset({State.ACCEPTED}) if accepted else frozenset()
    wanted = RevisionFilter(read_day(since), read_day(until), customer, salesperson, states=states)
    answer = discount_answer(discount_report(desk(), deed(by), wanted, currency.upper()))
    if json:
        print_json(answer)
    else:
        rows = (
            (row.who, row.way, row.reason, str(row.quotes), row.off.amount, row.share)
            for row in answer.rows
        )
        heads = ("who", "by", "reason", "quotes", "off list", "share")
        for line in table(rows, heads, frozenset({3, 4, 5}), 2):
            say(line)
        say(f"{answer.off.amount} {answer.off.currency} off list in {answer.quotes} quotes")
        _explain(OFF_IS)
    for line in say_left_out(answer.left_out):
        tell(line)


def what_if(
    job: JobRef,
    price: str | None = typer.Option(
        None, "--at-price", help="Base bid without freight and tax.", metavar="AMOUNT"
    ),
    net: str | None = typer.Option(
        None, "--at-net", help="Base bid net as the quote shows it.", metavar="AMOUNT"
    ),
    margin: str | None = typer.Option(None, "--at-margin", help="Of the price: 30%."),
    supplier: str | None = typer.Option(
        None, "--supplier", help="With this supplier's kits alone.", metavar="ID"
    ),
    mark: list[str] | None = typer.Option(
        None,
        "--mark",
        help="With --supplier: only this opening of the base bid; once for each.",
        metavar="MARK",
    ),
    by: By = "",
    house: options.HouseFile = None,
    json: options.Json = False,
) -> None:
    """Margin at a price or net, price at a margin, or the effect of another supplier's kits."""
    place, asks = desk(house), deed(by)
    if sum(option is not None for option in (price, net, margin, supplier)) != 1:
        raise CallError("one-of-needed", right="--at-price, --at-net, --at-margin and --supplier")
    if mark and supplier is None:
        raise CallError("mark-without-supplier")
    amount = price if price is not None else net
    if amount is not None:
        money = parse_money(amount, job_at(place, asks, job).job.currency)
        at = margin_reports.what_if_net if price is None else margin_reports.what_if_price
        found = at(place, asks, job, money)
    elif margin is not None:
        found = margin_reports.what_if_margin(place, asks, job, parse_share(margin))
    else:
        found = margin_reports.what_if_supplier(place, asks, job, supplier or "", mark or ())
    answer = what_if_answer(found)
    if json:
        print_json(answer)
        return
    rows = [
        ("now", *_figures(answer.now), answer.net_now.amount),
        ("then", *_figures(answer.then), answer.net_then.amount),
    ]
    heads = (answer.job, "price", "cost", "earned", "margin", "markup", "net")
    for line in table(rows, heads, frozenset(range(1, 7)), 0):
        say(line)
    moved, net_moved = answer.price_moved, answer.net_moved
    say(f"base bid: price moves by {moved.amount}, net by {net_moved.amount} {moved.currency}")
    _explain(PRICE_IS, NET_IS)
    if answer.lacking:
        for line in wrapped(f"kits lack pieces: {', '.join(answer.lacking)}"):
            say(line)
    if answer.stopped:
        for line in wrapped(f"stopped: {', '.join(answer.stopped)}"):
            say(line)


def _asked(by: list[str] | None, per: Key) -> tuple[Deed, Key]:
    """Who asks, and what margins are told by: a key may still be given with --by, as it was."""
    keys = [word for word in by or () if word in KEYS]
    names = [word for word in by or () if word not in KEYS]
    return deed(names[-1] if names else ""), Key(keys[-1]) if keys else per


def _print(answer: ReportAnswer, json: bool) -> None:
    if json:
        print_json(answer)
    else:
        for line in _rows([*answer.rows, answer.total], answer.by):
            say(line)
        if answer.alternates:
            say()
            for line in _rows(answer.alternates, "open alternate: changes"):
                say(line)
        say(f"amounts in {answer.currency}; today's floor {answer.floor}; * is under it")
        _explain(PRICE_IS, NO_COST_IS)
    for line in say_left_out(answer.left_out):
        tell(line)


def _rows(found: Sequence[EarningAnswer], by: str) -> Iterator[str]:
    heads = (by, "price", "cost", "earned", "margin", "no cost", "")
    yield from table([_row(earning) for earning in found], heads, frozenset({1, 2, 3, 4, 5}), 0)


def _explain(*notes: str) -> None:
    """What the figures hold, under them."""
    for note in notes:
        for line in wrapped(note):
            say(line)


def _row(earning: EarningAnswer) -> tuple[str, ...]:
    price, cost, earned, share, _ = _figures(earning.margin)
    uncosted = earning.uncosted.amount if earning.uncosted.amount.strip("0.") else ""
    return earning.key, price, cost, earned, share, uncosted, "*" if earning.under_floor else ""


def _figures(margin: MarginAnswer) -> tuple[str, str, str, str, str]:
    return (
        margin.price.amount,
        margin.cost,
        margin.earned.amount,
        margin.share,
        margin.markup,
    )
