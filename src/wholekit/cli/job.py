"""`wholekit job new|show|set`: jobs made, shown whole, their headers changed."""

from collections.abc import Iterator, Sequence

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say, table, tell, wrapped
from wholekit.cli.desk import (
    By,
    IfVersion,
    JobRef,
    deed,
    desk,
    given,
    now,
    read_day,
)
from wholekit.cli.kit_short import some_marks
from wholekit.domain.errors import CallError
from wholekit.domain.quotes import Job, State
from wholekit.services import jobs
from wholekit.services.desk import Deed, Desk
from wholekit.services.job_view import view_job
from wholekit.services.quote_reading import quote_revisions
from wholekit.views.customers import freight_words
from wholekit.views.jobs import (
    JobAnswer,
    JobOpeningAnswer,
    TotalsAnswer,
    header_answer,
    job_answer,
)
from wholekit.views.kits import PriceAnswer
from wholekit.views.reviews import WarningAnswer
from wholekit.wording.job_notes import due_notes, no_catalogs
from wholekit.wording.rates import percent
from wholekit.wording.words import listed, plural


def register(group: typer.Typer) -> None:
    """Put the commands on the group of jobs."""
    group.command("new")(new)
    group.command("show")(show)
    group.command("set")(set_fields)


def new(
    name: str = typer.Argument(..., help="The job's name."),
    customer: str = typer.Option(
        ..., "--customer", help="The customer's code.", metavar="CODE", callback=options.small
    ),
    site: str = typer.Option("", "--site", help="Where it is built."),
    address: list[str] | None = typer.Option(
        None, "--address", help="A line of the site's address; may be given again."
    ),
    contact: str = typer.Option("", "--contact", help="Whom to ask."),
    ship_to: str | None = typer.Option(
        None,
        "--ship-to",
        help="Ship-to code; the customer's unless given.",
        metavar="CODE",
        callback=options.small,
    ),
    freight: str = typer.Option(
        "", "--freight", help="One of the ship-to's freight rates; its usual one unless given."
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
            freight,
        ),
    )
    for sentence in (*no_catalogs(job), *due_notes(job, now().date())):
        tell(sentence)
    if json:
        print_json(header_answer(job))
    else:
        say(f"{job.label}  {job.name}")


def show(
    job: JobRef, by: By = "", house: options.HouseFile = None, json: options.Json = False
) -> None:
    """A job whole, at today's prices; status 1 if a stop is open or kits cannot be worked out."""
    place = desk(house)
    doer = deed(by)
    view = view_job(place, doer, job)
    answer = job_answer(view, place.rules, doer.day)
    if json:
        print_json(answer)
    else:
        for line in job_text(answer):
            say(line)
    raise typer.Exit(1 if view.workup is None or view.stopped else 0)


def set_fields(
    job: JobRef,
    name: str | None = typer.Option(None, "--name", help="The job's name."),
    customer: str | None = typer.Option(
        None,
        "--customer",
        help="Another customer of the same currency; prices, ship-to and contact follow.",
        metavar="CODE",
        callback=options.small,
    ),
    site: str | None = typer.Option(None, "--site", help="Where it is built."),
    address: list[str] | None = typer.Option(
        None, "--address", help="A line of the site's address; may be given again."
    ),
    contact: str | None = typer.Option(None, "--contact", help="Whom to ask."),
    ship_to: str | None = typer.Option(
        None, "--ship-to", help="Ship-to code.", metavar="CODE", callback=options.small
    ),
    freight: str | None = typer.Option(
        None, "--freight", help="One of the ship-to's freight rates; empty: its usual one."
    ),
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
        customer=customer,
        site=site,
        contact=contact,
        ship_to=ship_to,
        freight=freight,
        salesperson=salesperson,
        note=note,
    )
    if address is not None:
        changes["site_address"] = tuple(line for line in address if line)
    if prefer is not None:
        changes["prefer"] = tuple(supplier for supplier in prefer if supplier)
    if due is not None:
        changes["bids_due"] = read_day(due)
    if not changes:
        raise CallError("one-change-needed", right="--name, --site, --due, …")
    place = desk()
    before = jobs.job_header(place, deed(by), job)
    changed = jobs.edit_job(place, deed(by), job, changes, if_version)
    for sentence in _notes_on(place, deed(by), before, changed, set(changes)):
        tell(sentence)
    if json:
        print_json(header_answer(changed))
        return
    same = "  (nothing to change)" if changed.version == before.version else ""
    say(f"{changed.label}  {changed.name}  version {changed.version}{same}")


def _notes_on(place: Desk, asks: Deed, before: Job, after: Job, asked: set[str]) -> Iterator[str]:
    """What followed from a change of a job's header without being asked for."""
    if "bids_due" in asked:
        yield from due_notes(after, now().date())
    if after.customer != before.customer:
        yield f"{after.label} is now for {after.customer}, at their prices."
        if "contact" not in asked and before.contact:
            yield f"The contact, {before.contact}, was {before.customer}'s and is gone."
        if "ship_to" not in asked and after.ship_to != before.ship_to:
            was, goes = before.ship_to or "no place", after.ship_to or "no place"
            yield f"It goes to {goes}, as {after.customer}'s jobs do; it went to {was}."
        if after.discount:
            yield f"Its discount stays: {percent(after.discount)}, {after.discount_reason}."
        for revision in quote_revisions(place, asks, after.label):
            if revision.state_on(asks.day) is State.ISSUED:
                yield f"{revision.label} stays as it was sent to {before.customer}."
    if before.freight and not after.freight and "freight" not in asked:
        yield f"Freight rate {before.freight} is none of its ship-to's; the usual one is charged."


def job_text(answer: JobAnswer) -> Iterator[str]:
    """A job as text: header, openings, extra lines, totals."""
    yield f"{answer.job}  {answer.name}   (version {answer.version})"
    facts = [
        f"customer {answer.customer} ({answer.customer_name})",
        f"site {answer.site}" if answer.site else "",
        f"contact {answer.contact}" if answer.contact else "",
        f"ship to {answer.ship_to}" if answer.ship_to else "",
        freight_words(answer.freight) if answer.freight else "",
        f"bids due {answer.bids_due}" if answer.bids_due else "",
        f"salesperson {answer.salesperson}" if answer.salesperson else "",
        f"priced on {', '.join(answer.catalogs)}" if answer.catalogs else "",
    ]
    yield from wrapped("; ".join(fact for fact in facts if fact), "    ")
    if answer.note:
        yield from wrapped(f"note: {answer.note}", "    ")
    for note in answer.notes:
        yield from wrapped(note, "    NOTE  ")
    yield ""
    yield from _openings(answer.openings)
    yield from _signs(answer.openings)
    yield from warnings_text(answer.warnings, frozenset({"note-says-more", "mark-several"}))
    if answer.lines:
        yield ""
        yield from _lines(answer)
    yield ""
    if answer.discount != "0%":
        yield from wrapped(f"discount {answer.discount}: {answer.discount_reason}", "    ")
    if answer.totals is None:
        yield "no totals, for the reasons noted above"
    else:
        yield from totals_text(answer.totals, "base bid")
    if answer.ready is not None and answer.ready.kits:
        yield from wrapped(f"ready: {answer.ready.text}; expected, not promised", "    ")
        yield from _waiting(answer)
    for alternate in answer.alternates:
        out = f", without {', '.join(alternate.deducts)}" if alternate.deducts else ""
        title = f"{alternate.code} {alternate.title}{out}"
        yield ""
        if alternate.totals is None:
            yield from wrapped(title)
        else:
            yield from totals_text(alternate.totals, title)


def _openings(openings: Sequence[JobOpeningAnswer]) -> Iterator[str]:
    if not openings:
        yield "no openings"
        return
    if all(opening.price is None for opening in openings):
        scheduled = [
            (
                _mark(opening),
                str(opening.quantity),
                opening.size,
                "; ".join(filter(None, (opening.room, opening.summary, opening.note))),
            )
            for opening in openings
        ]
        yield from table(scheduled, ("mark", "qty", "leaf", "as scheduled"), frozenset({1}), (0, 3))
        return
    rows = [
        (
            _mark(opening),
            str(opening.quantity),
            opening.size,
            opening.mount or "-",
            "-" if opening.spring_size is None else str(opening.spring_size),
            _amount(opening.price_each),
            _amount(opening.price),
        )
        for opening in openings
    ]
    heads = ("mark", "qty", "leaf", "mount", "size", "each", "price")
    below = [
        "; ".join(filter(None, (opening.room, _lack(opening), opening.note)))
        for opening in openings
    ]
    yield from table(rows, heads, frozenset({1, 4, 5, 6}), (0, 2), below)
    base = [opening for opening in openings if not opening.alternate]
    count = sum(opening.quantity for opening in base)
    of_base = "" if len(base) == len(openings) else " in the base bid"
    yield f"{plural(len(base), 'mark')}, {plural(count, 'opening')}{of_base}"


def _waiting(answer: JobAnswer) -> Iterator[str]:
    """The openings that are not whole on the day asked, by day and what they wait for."""
    asked = None if answer.ready is None else answer.ready.asked
    found: dict[tuple[str | None, tuple[str, ...]], list[str]] = {}
    for opening in answer.openings:
        for part in opening.ready:
            if part.day != asked:
                some = "" if part.kits == opening.quantity else f" ({part.kits})"
                key = (part.day, part.waits_for)
                found.setdefault(key, []).append(f"{_mark(opening)}{some}")
    for (day, items), marks in sorted(found.items(), key=lambda entry: entry[0][0] or "~"):
        waits = f", for {listed(items)}" if items else ""
        yield from wrapped(f"{', '.join(marks)}{waits}", f"    {day or 'no date   '}  ")


def _signs(openings: Sequence[JobOpeningAnswer]) -> Iterator[str]:
    """Open stops, each told once with all its marks, and what was decided by hand."""
    stops: dict[tuple[str, str], list[str]] = {}
    for opening in openings:
        for stop in opening.stops:
            stops.setdefault((stop.text, stop.code), []).append(_mark(opening))
    for (text, code), marks in stops.items():
        yield from wrapped(f"{listed(marks)}: {text} [{code}]", "STOP  ")
    for opening in openings:
        for text in opening.note_says_more:
            yield from wrapped(f"{_mark(opening)}: {text}", "warn  ")
    for opening in openings:
        for sign in opening.by_hand:
            yield from wrapped(
                f"{_mark(opening)}: {sign.text}, by {sign.by} {sign.at[:10]}: {sign.reason}",
                f"{sign.what}  ",
            )


def warnings_text(
    warnings: Sequence[WarningAnswer], said: frozenset[str] = frozenset()
) -> Iterator[str]:
    """What is to be checked, a line each. said: codes that are told elsewhere, in full."""
    for warning in warnings:
        if warning.code not in said:
            yield from wrapped(f"{some_marks(warning.marks)}: {warning.text}", "WARN  ")


def _mark(opening: JobOpeningAnswer) -> str:
    return f"{opening.mark} [{opening.alternate}]" if opening.alternate else opening.mark


def _lack(opening: JobOpeningAnswer) -> str:
    if opening.complete is None:
        return "NO KIT"
    return "" if opening.complete else "LACKS PIECES"


def _lines(answer: JobAnswer) -> Iterator[str]:
    rows = [
        (
            str(line.line),
            line.kind,
            f"[{line.alternate}] {line.description}" if line.alternate else line.description,
            str(line.quantity),
            _amount(line.unit),
            _amount(line.total),
        )
        for line in answer.lines
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
    rows += [(f"{answer.name} {answer.rate}", answer.tax) for answer in totals.taxes]
    rows += [("total with tax", totals.gross)]
    for name, amount in rows:
        # Nothing, in however many digits the currency has.
        if amount.amount.strip("0.") or name in ("net", "total with tax"):
            yield f"    {name:<24}{amount.amount:>16} {amount.currency}"
    if totals.firm is not None and totals.firm != totals.hardware:
        yield f"    {'of it without stops':<24}{totals.firm.amount:>16} {totals.firm.currency}"
    if totals.exempt:
        yield f"    exempt, certificate {totals.exempt}"
    if totals.inclusive:
        yield "    prices contain the tax"


def _amount(price: PriceAnswer | None) -> str:
    return "" if price is None else price.amount
