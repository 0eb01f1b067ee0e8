"""`wholekit margin`: what jobs earn, cost drift, quotes won and lost, what if. Holds cost."""

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say, table, tell, wrapped
from wholekit.cli.desk import JobRef, deed, desk, job_at, read_day, read_share
from wholekit.domain.earnings import Key
from wholekit.domain.errors import CallError
from wholekit.domain.quantities import parse_money
from wholekit.domain.quotes import State
from wholekit.services import margin_reports
from wholekit.services.ports import RevisionFilter
from wholekit.wording.margin_answers import (
    EarningAnswer,
    MarginAnswer,
    ReportAnswer,
    drift_answer,
    report_answer,
    what_if_answer,
    win_answer,
)

Since = typer.Option("", "--from", help="Issued from this day.", metavar="DATE")
Until = typer.Option("", "--to", help="Issued to this day.", metavar="DATE")
OfCustomer = typer.Option("", "--customer", help="Of this customer only.", metavar="CODE")
OfSalesperson = typer.Option("", "--salesperson", help="Of this salesperson only.")
Currency = typer.Option("USD", "--currency", help="ISO 4217; one at a time.")


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
    group.command("what-if")(what_if)
    app.add_typer(group, name="margin")


def report(
    key: Key = typer.Option(Key.JOB, "--by", help="What margins are told by."),
    accepted: bool = typer.Option(False, "--accepted", help="Only what was accepted."),
    since: str = Since,
    until: str = Until,
    customer: str = OfCustomer,
    salesperson: str = OfSalesperson,
    currency: str = Currency,
    json: options.Json = False,
) -> None:
    """Margins of open and accepted quotes on the cost of the day of quoting."""
    states = frozenset({State.ACCEPTED}) if accepted else frozenset()
    wanted = RevisionFilter(read_day(since), read_day(until), customer, salesperson, states=states)
    found = margin_reports.margin_report(desk(), key, wanted, currency.upper())
    _print(report_answer(found), json)


def job_margins(
    job: JobRef,
    key: Key = typer.Option(Key.OPENING, "--by", help="What margins are told by."),
    house: options.HouseFile = None,
    json: options.Json = False,
) -> None:
    """Margins of a job as it stands, on today's prices and the cost of its catalogues."""
    found = margin_reports.job_margins(desk(house), deed(""), job, key)
    _print(report_answer(found), json)


def drift(json: options.Json = False) -> None:
    """Open quotes at present cost; status 1 if one is under the floor."""
    answers = [drift_answer(one) for one in margin_reports.cost_drift(desk(), deed(""))]
    under = [one for one in answers if one.short.amount.strip("0.")]
    if json:
        print_json(answers)
    else:
        rows = (
            (
                one.quote,
                one.customer,
                one.then.price.amount,
                one.then.share,
                one.now.share,
                one.short.amount if one in under else "",
                f"gone: {', '.join(one.gone)}" if one.gone else "",
            )
            for one in answers
        )
        heads = ("quote", "customer", "price", "then", "now", "short", "remark")
        for line in table(rows, heads, frozenset({2, 3, 4, 5}), 6):
            say(line)
        tell(f"{len(under)} of {len(answers)} open quotes under the floor")
    raise typer.Exit(1 if under else 0)


def wins(
    since: str = Since,
    until: str = Until,
    customer: str = OfCustomer,
    salesperson: str = OfSalesperson,
    currency: str = Currency,
    json: options.Json = False,
) -> None:
    """Quotes won and lost, by count and money, and why they were lost."""
    wanted = RevisionFilter(read_day(since), read_day(until), customer, salesperson)
    answer = win_answer(margin_reports.win_report(desk(), deed(""), wanted, currency.upper()))
    if json:
        print_json(answer)
        return
    say(f"won {answer.won}, {answer.won_net.amount} {answer.won_net.currency}")
    say(f"lost {answer.lost}, {answer.lost_net.amount}")
    say(f"open {answer.open}, {answer.open_net.amount}")
    say(f"win rate {answer.rate} of quotes, {answer.rate_by_money} of money")
    rows = ((one.reason, str(one.quotes), one.net.amount) for one in answer.lost_by)
    for line in table(rows, ("lost because", "quotes", "net"), frozenset({1, 2}), 0):
        say(line)


def what_if(
    job: JobRef,
    price: str | None = typer.Option(None, "--at-price", help="Net.", metavar="AMOUNT"),
    margin: str | None = typer.Option(None, "--at-margin", help="Of the price: 30%."),
    supplier: str | None = typer.Option(
        None, "--supplier", help="With this supplier's kits alone.", metavar="ID"
    ),
    house: options.HouseFile = None,
    json: options.Json = False,
) -> None:
    """Margin at a price, price at a margin, or the effect of another supplier's kits."""
    place = desk(house)
    if sum(one is not None for one in (price, margin, supplier)) != 1:
        raise CallError("one-of-needed", right="--at-price, --at-margin and --supplier")
    if price is not None:
        money = parse_money(price, job_at(place, job).job.currency)
        found = margin_reports.what_if_price(place, deed(""), job, money)
    elif margin is not None:
        found = margin_reports.what_if_margin(place, deed(""), job, read_share(margin))
    else:
        found = margin_reports.what_if_supplier(place, deed(""), job, supplier or "")
    answer = what_if_answer(found)
    if json:
        print_json(answer)
        return
    rows = [("now", *_figures(answer.now)), ("then", *_figures(answer.then))]
    for line in table(
        rows, (answer.job, "price", "cost", "earned", "margin", "markup"), frozenset(range(1, 6)), 0
    ):
        say(line)
    say(f"price moves by {answer.price_moved.amount} {answer.price_moved.currency}")
    if answer.lacking:
        for line in wrapped(f"kits lack pieces: {', '.join(answer.lacking)}"):
            say(line)
    if answer.stopped:
        for line in wrapped(f"stopped: {', '.join(answer.stopped)}"):
            say(line)


def _print(answer: ReportAnswer, json: bool) -> None:
    if json:
        print_json(answer)
        return
    rows = [_row(one) for one in (*answer.rows, answer.total)]
    heads = (answer.by, "price", "cost", "earned", "margin", "no cost", "")
    for line in table(rows, heads, frozenset({1, 2, 3, 4, 5}), 0):
        say(line)
    say(f"floor {answer.floor}; * is under it")


def _row(one: EarningAnswer) -> tuple[str, ...]:
    price, cost, earned, share, _ = _figures(one.margin)
    uncosted = one.uncosted.amount if one.uncosted.amount.strip("0.") else ""
    return one.key, price, cost, earned, share, uncosted, "*" if one.under_floor else ""


def _figures(margin: MarginAnswer) -> tuple[str, str, str, str, str]:
    return (
        margin.price.amount,
        margin.cost,
        margin.earned.amount,
        margin.share,
        margin.markup,
    )
