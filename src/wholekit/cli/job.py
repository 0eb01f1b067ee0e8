"""`wholekit job`: jobs, their header, lists, discounts, alternates and history."""

from collections.abc import Iterator

import typer

from wholekit.cli import job_lines, job_openings, options
from wholekit.cli.console import print_json, say, table, wrapped
from wholekit.cli.desk import (
    By,
    IfVersion,
    JobRef,
    PageNumber,
    PageSize,
    Reason,
    deed,
    desk,
    given,
    job_at,
    read_day,
    read_share,
)
from wholekit.domain.errors import CallError
from wholekit.domain.quotes import Alternate
from wholekit.services import jobs
from wholekit.services.ports import JobFilter, Page
from wholekit.services.quotes import review_job
from wholekit.wording.answers import PriceAnswer
from wholekit.wording.job_answers import (
    JobAnswer,
    TotalsAnswer,
    event_answer,
    header_answer,
    job_answer,
    job_row_answer,
)
from wholekit.wording.rates import percent


def register(app: typer.Typer) -> None:
    """Put the commands on the application."""
    group = typer.Typer(
        help="Jobs: openings, extra lines, discounts, alternates.",
        no_args_is_help=True,
        rich_markup_mode=None,
    )
    group.command("new")(new)
    group.command("list")(list_jobs)
    group.command("show")(show)
    group.command("set")(set_fields)
    job_openings.register(group)
    job_lines.register(group)
    group.command("discount")(discount)
    group.command("alternate")(alternate)
    group.command("drop-alternate")(drop_alternate)
    group.command("reprice")(reprice)
    group.command("history")(history)
    app.add_typer(group, name="job")


def new(
    name: str = typer.Argument(..., help="The job's name."),
    customer: str = typer.Option(..., "--customer", help="The customer's code.", metavar="CODE"),
    site: str = typer.Option("", "--site", help="Where it is built."),
    address: list[str] | None = typer.Option(
        None, "--address", help="A line of the site's address; may be given again."
    ),
    contact: str = typer.Option("", "--contact", help="Whom to ask."),
    ship_to: str | None = typer.Option(
        None, "--ship-to", help="Ship-to code; the customer's unless given.", metavar="CODE"
    ),
    due: str = typer.Option("", "--due", help="Bids due, year-month-day.", metavar="DATE"),
    salesperson: str = typer.Option("", "--salesperson", help="Who sells it; who enters it."),
    note: str = typer.Option("", "--note", help="A note for the house."),
    supplier: list[str] | None = typer.Option(
        None, "--supplier", help="Price on this catalogue only; may be given again.", metavar="ID"
    ),
    prefer: options.Prefer = None,
    stock_first: options.StockFirst = False,
    by: By = "",
    json: options.Json = False,
) -> None:
    """A new job for a customer, priced on the latest catalogues in the store."""
    job = jobs.create_job(
        desk(),
        deed(by),
        jobs.NewJob(
            name,
            customer,
            site,
            tuple(address or ()),
            contact,
            ship_to,
            read_day(due),
            salesperson,
            note,
            tuple(supplier or ()),
            tuple(prefer or ()),
            stock_first,
        ),
    )
    if json:
        print_json(header_answer(job))
    else:
        say(f"{job.label}  {job.name}")


def list_jobs(
    customer: str = typer.Option("", "--customer", help="Of this customer only.", metavar="CODE"),
    salesperson: str = typer.Option("", "--salesperson", help="Of this salesperson only."),
    text: str = typer.Option("", "--text", help="Found in name, site or customer."),
    due_from: str = typer.Option("", "--due-from", help="Bids due from this day.", metavar="DATE"),
    due_to: str = typer.Option("", "--due-to", help="Bids due to this day.", metavar="DATE"),
    page: PageNumber = 1,
    page_size: PageSize = 50,
    json: options.Json = False,
) -> None:
    """Jobs, the latest first."""
    wanted = JobFilter(customer, salesperson, text, read_day(due_from), read_day(due_to))
    rows, count = jobs.list_jobs(desk(), wanted, Page((page - 1) * page_size, page_size))
    answers = [job_row_answer(row) for row in rows]
    if json:
        print_json({"jobs": answers, "count": count, "page": page, "page_size": page_size})
        return
    for line in table(
        (
            (
                one.job,
                one.name,
                one.customer,
                one.bids_due or "",
                str(one.openings),
                f"{one.quote or ''} {one.state or ''}".strip(),
                "" if one.net is None else one.net.amount,
            )
            for one in answers
        ),
        ("job", "name", "customer", "due", "marks", "quote", "net"),
        frozenset({4, 6}),
        1,
    ):
        say(line)
    say(f"{len(answers)} of {count}, page {page}")


def show(job: JobRef, house: options.HouseFile = None, json: options.Json = False) -> None:
    """A job whole, at today's prices; status 1 if a stop is open."""
    place = desk(house)
    review = review_job(place, deed(""), job)
    answer = job_answer(review, place.rules)
    if json:
        print_json(answer)
    else:
        for line in job_text(answer):
            say(line)
    raise typer.Exit(1 if review.stops else 0)


def set_fields(
    job: JobRef,
    name: str | None = typer.Option(None, "--name", help="The job's name."),
    site: str | None = typer.Option(None, "--site", help="Where it is built."),
    address: list[str] | None = typer.Option(
        None, "--address", help="A line of the site's address; may be given again."
    ),
    contact: str | None = typer.Option(None, "--contact", help="Whom to ask."),
    ship_to: str | None = typer.Option(None, "--ship-to", help="Ship-to code.", metavar="CODE"),
    due: str | None = typer.Option(None, "--due", help="Bids due; empty: open.", metavar="DATE"),
    salesperson: str | None = typer.Option(None, "--salesperson", help="Who sells it."),
    note: str | None = typer.Option(None, "--note", help="A note for the house."),
    prefer: options.Prefer = None,
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Change fields of a job; an empty text clears one."""
    changes: dict[str, object] = given(
        name=name,
        site=site,
        contact=contact,
        ship_to=ship_to,
        salesperson=salesperson,
        note=note,
    )
    if address is not None:
        changes["site_address"] = tuple(line for line in address if line)
    if prefer is not None:
        changes["prefer"] = tuple(one for one in prefer if one)
    if due is not None:
        changes["bids_due"] = read_day(due)
    if not changes:
        raise CallError("one-change-needed", right="--name, --site, --due, …")
    changed = jobs.edit_job(desk(), deed(by), job, changes, if_version)
    if json:
        print_json(header_answer(changed))
    else:
        say(f"{changed.label}  {changed.name}  version {changed.version}")


def discount(
    job: JobRef,
    share: str = typer.Argument(..., help="Off the customer's prices: 5% or 0.05."),
    reason: Reason = "",
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Set a job's discount; beyond the role's limit an owner must approve before issue."""
    changed = jobs.set_discount(desk(), deed(by), job, read_share(share), reason, if_version)
    if json:
        print_json(header_answer(changed))
    else:
        say(f"{changed.label}  discount {percent(changed.discount)}")


def alternate(
    job: JobRef,
    code: str = typer.Argument(..., help="The alternate's code, such as alt-1."),
    title: str = typer.Option("", "--title", help="What it offers."),
    deduct: list[str] | None = typer.Option(
        None, "--deduct", help="A base mark it takes out; may be given again.", metavar="MARK"
    ),
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Add an alternate, or set it anew; openings are put in with --alternate CODE."""
    option = Alternate(code.strip(), title, tuple(deduct or ()))
    changed = jobs.set_alternate(desk(), deed(by), job, option, if_version)
    if json:
        print_json(header_answer(changed))
    else:
        say(f"{changed.label}  alternate {option.code}: {option.title}")


def drop_alternate(
    job: JobRef,
    code: str = typer.Argument(..., help="The alternate's code."),
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Take an empty alternate out of a job."""
    changed = jobs.remove_alternate(desk(), deed(by), job, code, if_version)
    if json:
        print_json(header_answer(changed))
    else:
        say(f"{changed.label}  alternate {code} removed")


def reprice(
    job: JobRef,
    supplier: list[str] | None = typer.Option(
        None, "--supplier", help="These catalogues in place of its own.", metavar="ID"
    ),
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Move a job to the latest revision of its catalogues."""
    changed = jobs.reprice_job(desk(), deed(by), job, tuple(supplier or ()), if_version)
    if json:
        print_json({**header_answer(changed), "catalogs": changed.catalogs})
    else:
        for one in changed.catalogs:
            say(f"{changed.label}  {one.catalog_id} revision {one.revision}")


def history(job: JobRef, json: options.Json = False) -> None:
    """All that was changed on a job, by whom, when and why."""
    place = desk()
    header = job_at(place, job).job
    with place.store.reading() as uow:
        events = [event_answer(entry) for entry in uow.audit.of_job(header.id)]
    if json:
        print_json(events)
        return
    for event in events:
        reason = f": {event.reason}" if event.reason else ""
        for line in wrapped(
            f"{event.action}{reason}", f"{event.at[:16].replace('T', ' ')}  {event.who}  "
        ):
            say(line)


def job_text(answer: JobAnswer) -> Iterator[str]:
    """A job as text: header, openings, extra lines, totals."""
    yield f"{answer.job}  {answer.name}   (version {answer.version})"
    facts = [
        f"customer {answer.customer} ({answer.customer_name})",
        f"site {answer.site}" if answer.site else "",
        f"contact {answer.contact}" if answer.contact else "",
        f"ship to {answer.ship_to}" if answer.ship_to else "",
        f"bids due {answer.bids_due}" if answer.bids_due else "",
        f"salesperson {answer.salesperson}",
        f"priced on {', '.join(answer.catalogs)}" if answer.catalogs else "",
    ]
    yield from wrapped("; ".join(fact for fact in facts if fact), "    ")
    if answer.note:
        yield from wrapped(f"note: {answer.note}", "    ")
    yield ""
    yield from _openings(answer)
    if answer.lines:
        yield ""
        yield from _lines(answer)
    yield ""
    if answer.discount != "0%":
        yield from wrapped(f"discount {answer.discount}: {answer.discount_reason}", "    ")
    yield from totals_text(answer.totals, "base bid")
    for one in answer.alternates:
        out = f", without {', '.join(one.deducts)}" if one.deducts else ""
        yield ""
        yield from totals_text(one.totals, f"{one.code} {one.title}{out}")


def _openings(answer: JobAnswer) -> Iterator[str]:
    rows = [
        (
            f"{one.mark} [{one.alternate}]" if one.alternate else one.mark,
            str(one.quantity),
            one.size,
            one.mount,
            "-" if one.spring_size is None else str(one.spring_size),
            ("" if one.complete else "LACKS PIECES ") + one.note,
            one.price_each.amount,
            one.price.amount,
        )
        for one in answer.openings
    ]
    heads = ("mark", "qty", "leaf", "mount", "size", "note", "each", "price")
    yield from table(rows, heads, frozenset({1, 4, 6, 7}), 5)
    for one in answer.openings:
        for stop in one.stops:
            yield from wrapped(f"{stop.text} [{stop.code}]", f"{one.mark}  STOP  ")
        for sign in one.by_hand:
            yield from wrapped(
                f"{sign.text}, by {sign.by} {sign.at[:10]}: {sign.reason}",
                f"{one.mark}  {sign.what}  ",
            )


def _lines(answer: JobAnswer) -> Iterator[str]:
    rows = [
        (
            str(one.line),
            one.kind,
            f"[{one.alternate}] {one.description}" if one.alternate else one.description,
            str(one.quantity),
            _amount(one.unit),
            _amount(one.total),
        )
        for one in answer.lines
    ]
    yield from table(
        rows, ("line", "kind", "description", "qty", "each", "total"), frozenset({0, 3, 4, 5}), 2
    )


def totals_text(totals: TotalsAnswer, title: str) -> Iterator[str]:
    """Totals, one amount a line."""
    yield from wrapped(title)
    rows = [("hardware", totals.hardware), ("extra lines", totals.extras)]
    rows += [("freight", totals.freight)]
    rows += [("net", totals.net)]
    rows += [(f"{one.name} {one.rate}", one.tax) for one in totals.taxes]
    rows += [("total with tax", totals.gross)]
    for name, amount in rows:
        if amount.amount.strip("0.") or name in ("net", "total with tax"):
            yield f"    {name:<24}{amount.amount:>16} {amount.currency}"
    if totals.exempt:
        yield f"    exempt, certificate {totals.exempt}"
    if totals.inclusive:
        yield "    prices contain the tax"


def _amount(price: PriceAnswer | None) -> str:
    return "" if price is None else price.amount
