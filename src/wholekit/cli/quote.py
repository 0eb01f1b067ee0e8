"""`wholekit quote`: drafts, review, approval, issue; what became of a quote; comparison."""

from collections.abc import Iterator
from typing import Annotated

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say, table, tell, wrapped
from wholekit.cli.desk import (
    By,
    IfVersion,
    JobRef,
    QuoteRef,
    Reason,
    deed,
    desk,
)
from wholekit.cli.job import totals_text, warnings_text
from wholekit.cli.papers import parse_date
from wholekit.domain.earnings import earning, sold
from wholekit.domain.plain import to_plain
from wholekit.domain.quotes import Acceptance, Revision, Snapshot, State
from wholekit.domain.quotes.roles import Action
from wholekit.services import approvals, quote_drafts, quote_reading, quotes
from wholekit.services.ports import snapshot_of
from wholekit.services.quote_papers import order_shown
from wholekit.services.rights import has_right
from wholekit.views.jobs import totals_answer
from wholekit.views.quotes import QuoteAnswer, quote_answer
from wholekit.views.reviews import (
    ReviewAnswer,
    review_answer,
    revision_answer,
    waiting_answer,
    warnings_of,
)
from wholekit.wording.job_sentences import LOST
from wholekit.wording.offers import say_part
from wholekit.wording.orders import ACCEPTED_AS_SENT
from wholekit.wording.questions import marks_text
from wholekit.wording.rates import percent
from wholekit.wording.words import listed


def register(group: typer.Typer) -> None:
    """Put the commands on the group of quotes."""
    for name, command in (
        ("draft", draft),
        ("edit", edit),
        ("discard", discard),
        ("review", review),
        ("approve", approve),
        ("refuse", refuse),
        ("waiting", waiting),
        ("issue", issue),
        ("show", show),
        ("accept", accept),
        ("decline", decline),
        ("expire", expire),
    ):
        group.command(name)(command)


WithoutStopped = Annotated[
    bool,
    typer.Option(
        "--without-stopped",
        help="Leave out, and list on the quote, what is stopped or not whole.",
    ),
]
ValidDays = typer.Option(None, "--valid-days", min=1, max=3650, help="How long it holds [d].")


def draft(
    job: JobRef,
    cover_note: str | None = typer.Option(None, "--cover-note", help="Words to the customer."),
    valid_days: int | None = ValidDays,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Begin the next revision of a job's quote; it follows the job until it is issued.

    Days and cover note are those of the revision before, unless said.
    """
    made = quote_drafts.draft_quote(
        desk(), deed(by), job, cover_note=cover_note, valid_days=valid_days
    )
    _print(made, json)


def edit(
    job: JobRef,
    cover_note: str | None = typer.Option(None, "--cover-note", help="Words to the customer."),
    valid_days: int | None = ValidDays,
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Change a job's draft."""
    made = quote_drafts.edit_draft(
        desk(),
        deed(by),
        job,
        cover_note=cover_note,
        valid_days=valid_days,
        expected=if_version,
    )
    _print(made, json)


def discard(job: JobRef, by: By = "", json: options.Json = False) -> None:
    """Take a job's draft away."""
    _print(quote_drafts.discard_draft(desk(), deed(by), job), json)


def review(
    job: JobRef,
    without_stopped: WithoutStopped = False,
    by: By = "",
    house: options.HouseFile = None,
    json: options.Json = False,
) -> None:
    """What stands between a job and its issue by this person; status 1 if anything does."""
    place, asks = desk(house), deed(by)
    review = approvals.review_job(place, asks, job, leave_stopped=without_stopped)
    answer = review_answer(review, place.rules, cost=has_right(place, asks, Action.SEE_COST))
    if json:
        print_json(answer)
    else:
        for line in review_text(answer):
            say(line)
    raise typer.Exit(0 if answer.clear else 1)


def approve(
    job: JobRef,
    reason: Reason = "",
    without_stopped: WithoutStopped = False,
    by: By = "",
    json: options.Json = False,
) -> None:
    """An owner's approval of a job's draft: base bid and each alternate as they are now."""
    revision = approvals.approve_draft(desk(), deed(by), job, reason, leave_stopped=without_stopped)
    _print(revision, json)
    if not json:
        for part in revision.approvals[-1].parts:
            say(f"approved: {say_part(part)}")
        if revision.approvals[-1].left_out:
            say(f"without what is stopped: {listed(revision.approvals[-1].left_out)}")


def refuse(
    job: JobRef,
    reason: str = typer.Option(
        "", "--reason", help="Why; who asked reads it word for word.", metavar="TEXT"
    ),
    by: By = "",
    json: options.Json = False,
) -> None:
    """An owner turns down a price that waits for approval; the draft stays, to be changed."""
    revision = approvals.refuse_request(desk(), deed(by), job, reason)
    _print(revision, json)


def waiting(by: By = "", house: options.HouseFile = None, json: options.Json = False) -> None:
    """What waits for the owner: drafts that were to be issued and pass a limit."""
    answers = [
        waiting_answer(request) for request in approvals.waiting_requests(desk(house), deed(by))
    ]
    if json:
        print_json(answers)
        return
    for answer in answers:
        net = "no price" if answer.net is None else f"net {answer.net.amount} {answer.net.currency}"
        head = f"{answer.job}  {answer.name}, {answer.customer}, {net}; asked by {answer.asked.by} "
        for line in wrapped(f"{head}{answer.asked.at[:16].replace('T', ' ')}"):
            say(line)
        if answer.asked.without_stopped:
            say("    asked without what is stopped: approve it with --without-stopped")
        for limit in answer.limits:
            for line in wrapped(limit.text, "    "):
                say(line)
    if not answers:
        tell("nothing waits for approval")


def issue(
    job: JobRef,
    without_stopped: WithoutStopped = False,
    if_version: IfVersion = None,
    by: By = "",
    house: options.HouseFile = None,
    json: options.Json = False,
) -> None:
    """Freeze a job's quote under the next number; status 1 if it may not go.

    Where a limit is passed an owner is asked (quote waiting); nothing else is written then.

    Without a draft it is drafted and issued in one, with the days and cover note before.
    """
    place = desk(house)
    outcome = quotes.issue_quote(
        place, deed(by), job, leave_stopped=without_stopped, expected=if_version
    )
    if outcome.revision is not None:
        _print(outcome.revision, json)
        if outcome.drafted and not json:
            say(f"drafted and issued in one, to hold {outcome.revision.valid_days} days")
        if not json:
            for line in _issued_text(outcome.revision):
                say(line)
            for line in warnings_text(warnings_of(outcome.review.workup.job.openings)):
                say(line)
        return
    answer = review_answer(
        outcome.review, place.rules, cost=has_right(place, deed(by), Action.SEE_COST)
    )
    if json:
        print_json(answer)
    for line in review_text(answer):
        tell(line)
    raise typer.Exit(1)


def show(
    quote: QuoteRef,
    internal: bool = typer.Option(
        False, "--internal", help="With cost, margin and what hands decided; the owner's."
    ),
    by: By = "",
    json: options.Json = False,
) -> None:
    """An issued revision as it was sent, from what was frozen; and what was accepted of it."""
    read = quote_reading.issued_whole if internal else quote_reading.issued_revision
    revision = read(desk(), deed(by), quote)
    answer = quote_answer(
        snapshot_of(revision).offer, revision.snapshot_digest, revision.acceptance
    )
    if json:
        plain = to_plain(snapshot_of(revision))
        print_json({**plain, "accepted": answer.accepted} if internal else answer)
        return
    for line in quote_text(answer):
        say(line)
    if internal:
        for line in show_internal(revision):
            say(line)


def accept(
    quote: QuoteRef,
    alternate: list[str] | None = typer.Option(
        None,
        "--alternate",
        help="An alternate that is accepted with the base bid; once for each.",
        metavar="CODE",
    ),
    order_number: str = typer.Option(
        "", "--order", help="The customer's order number.", metavar="NUMBER"
    ),
    on: str = typer.Option(
        "", "--date", help="The day they accepted, year-month-day; today.", metavar="DATE"
    ),
    remark: str = typer.Option("", "--remark", help="In the customer's words."),
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """The customer accepts a revision: the base bid, and the alternates that are named."""
    place = desk()
    acceptance = Acceptance(
        tuple(alternate or ()), " ".join(order_number.split()), parse_date(on) if on else None
    )
    revision = quotes.close_quote(
        place,
        deed(by),
        quote,
        State.ACCEPTED,
        acceptance=acceptance,
        remark=remark,
        expected=if_version,
    )
    _print(revision, json)
    label = snapshot_of(revision).offer.label
    if order_shown(place, deed(by), label).changed:
        for line in wrapped(ACCEPTED_AS_SENT):
            tell(line)
    if json:
        return
    totals = totals_answer(snapshot_of(revision).offer.totals_with(revision.accepted))
    for line in totals_text(totals, f"accepted: {_accepted(revision.accepted)}"):
        say(line)
    for line in wrapped(f"accepted {_order(revision.order_number, f'{revision.accepted_on}')}"):
        say(line)


def decline(
    quote: QuoteRef,
    because: str = typer.Option(..., "--because", help=f"One of {', '.join(LOST)}."),
    remark: str = typer.Option("", "--remark", help="In the customer's words."),
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """The customer declines a revision."""
    _print(
        quotes.close_quote(
            desk(),
            deed(by),
            quote,
            State.DECLINED,
            lost_reason=because,
            remark=remark,
            expected=if_version,
        ),
        json,
    )


def expire(by: By = "", json: options.Json = False) -> None:
    """Mark every issued revision past its last valid day as expired."""
    done = quotes.expire_quotes(desk(), deed(by))
    if json:
        print_json([revision_answer(revision, revision.state) for revision in done])
        return
    for revision in done:
        say(f"{revision.label}  expired, valid until {revision.valid_until}")
    if not done:
        tell("no quote has expired")


def review_text(answer: ReviewAnswer) -> Iterator[str]:
    """A review as text."""
    for stop in answer.stops:
        where = f"{stop.mark} [{stop.alternate}]" if stop.alternate else stop.mark
        yield from wrapped(f"{stop.text} [{stop.code}]", f"{where}  STOP  ")
    yield from warnings_text(answer.warnings)
    for limit in answer.limits:
        held = f" (approved by {answer.approved_by})" if answer.approved_by else ""
        yield from wrapped(f"{limit.text}{held}", "LIMIT  ")
    asked = answer.request
    if asked is not None:
        refused = f"refused by {asked.refused_by}: {asked.refusal}"
        yield from wrapped(refused if asked.refused_by else f"asked for by {asked.by}", "OWNER  ")
    net, limited = answer.net, answer.margin_price
    said = (
        f"{answer.job}: base bid net {net.amount} {net.currency}, with freight and every extra "
        "line, without tax"
    )
    if limited != net:
        said += (
            f"; limits and margin look at {limited.amount} {limited.currency}, without freight and "
            "without lines whose buying price is not known"
        )
    yield from wrapped(said)
    if answer.left_out:
        yield from wrapped(f"{answer.job}: left out: {listed(answer.left_out)}")
    if answer.ready is not None and answer.ready.kits:
        yield from wrapped(f"{answer.job}: ready {answer.ready.text}; expected, not promised")
    if answer.clear:
        yield f"{answer.job} may be issued"
    else:
        yield (
            f"{answer.job} may not be issued yet: release each stop (wholekit job release), have "
        )
        yield "an owner approve (wholekit quote approve), or change the job"


def quote_text(answer: QuoteAnswer) -> Iterator[str]:
    """An issued revision as text, without any cost."""
    yield f"Quote {answer.quote}   {answer.job_name} ({answer.job})"
    yield from wrapped(
        f"for {answer.customer}; issued {answer.issued}, valid until {answer.valid_until}", "    "
    )
    if answer.cover_note:
        yield from wrapped(answer.cover_note, "    ")
    for opening in answer.openings:
        where = f"  [alternate {opening.alternate}]" if opening.alternate else ""
        yield ""
        size = "" if opening.spring_size is None else f", size {opening.spring_size}"
        yield from wrapped(
            f"{opening.mark}{where}   {opening.quantity} × {opening.size}, {opening.mount}{size}, "
            f"finish {opening.finish}"
        )
        rows = [
            (str(line.quantity), line.sku, line.description, line.unit.amount, line.total.amount)
            for line in opening.lines
        ]
        yield from table(
            rows, ("qty", "sku", "description", "each", "total"), frozenset({0, 3, 4}), 2
        )
        yield from (f"    lacking: {piece}" for piece in opening.missing)
        yield f"    one opening {opening.price_each.amount}, all {opening.price.amount}"
    if answer.extras:
        yield ""
        extras = [
            (
                str(extra.quantity),
                f"[{extra.alternate}] {extra.description}"
                if extra.alternate
                else extra.description,
                "" if extra.unit is None else extra.unit.amount,
                "" if extra.total is None else extra.total.amount,
            )
            for extra in answer.extras
        ]
        yield from table(extras, ("qty", "extra line", "each", "total"), frozenset({0, 2, 3}), 1)
    yield ""
    yield from totals_text(answer.totals, "base bid")
    for option in answer.alternates:
        out = f", without {', '.join(option.deducts)}" if option.deducts else ""
        yield from totals_text(option.totals, f"{option.code} {option.title}{out}")
    if answer.accepted is not None:
        yield ""
        said = _accepted(answer.accepted.alternates)
        yield from totals_text(answer.accepted.totals, f"ACCEPTED: {said}")
        if answer.accepted.day or answer.accepted.order_number:
            order = _order(answer.accepted.order_number, answer.accepted.day)
            yield from wrapped(f"accepted {order}")
    for gone in answer.left_out:
        yield from wrapped(f"not in it: {gone.quantity} × {gone.mark}: {'; '.join(gone.reasons)}")
    if answer.ready is not None and answer.ready.kits:
        yield from wrapped(f"expected on {answer.ready.asked}: ready {answer.ready.text}")
    yield ""
    for text in (*answer.terms, *answer.cautions):
        yield from wrapped(text)
    yield ""
    yield from wrapped(
        f"Priced on {'; '.join(answer.catalogs) or 'no catalogue'}; rule book "
        f"{answer.rules_version}."
    )


def show_internal(revision: Revision) -> Iterator[str]:
    """What only the house may see of an issued revision: cost, margin, and every hand in it."""
    snapshot = snapshot_of(revision)
    yield ""
    yield "INTERNAL, not for customers"
    yield from _margin_text("base bid", snapshot, ())
    if revision.accepted:
        yield from _margin_text(_accepted(revision.accepted), snapshot, revision.accepted)
    signs = [(sign, "quote") for sign in snapshot.own.signs]
    signs += [
        (sign, opening.mark)
        for opening, found in zip(snapshot.offer.openings, snapshot.own.openings, strict=True)
        for sign in found
    ]
    for sign, where in signs:
        yield from wrapped(
            f"{sign.text}; by {sign.by} {sign.at:%Y-%m-%d %H:%M}: {sign.reason}",
            f"    {where}  {sign.what}  ",
        )


def _margin_text(what: str, snapshot: Snapshot, accepted: tuple[str, ...]) -> Iterator[str]:
    total = earning("", sold(snapshot, accepted), snapshot.offer.currency).margin
    yield from wrapped(
        f"price {total.price.decimal_text} without freight and tax, cost "
        f"{total.cost.decimal_text}, earned {total.amount.decimal_text}, margin "
        f"{percent(total.share)}",
        f"    {what}: ",
        "        ",
    )


def _accepted(alternates: tuple[str, ...]) -> str:
    """What was accepted, in words."""
    return f"base bid with {listed(alternates)}" if alternates else "base bid"


def _order(number: str, day: str | None) -> str:
    """On which day, and by which order."""
    parts = (f"on {day}" if day else "", f"by order {number}" if number else "without order number")
    return ", ".join(part for part in parts if part)


def _issued_text(revision: Revision) -> Iterator[str]:
    """What it comes to, what is not in that, and how its papers are made."""
    offer = snapshot_of(revision).offer
    taxed = ", taxes in it" if offer.totals.taxes else ""
    yield f"firm total {offer.totals.gross.decimal_text} {offer.currency}{taxed}"
    if offer.left_out:
        out = [opening.mark for opening in offer.left_out]
        marks = marks_text(out, [*(opening.mark for opening in offer.openings), *out])
        count = len(out)
        yield from wrapped(
            f"not quoted, and in no total: {marks} ({count} opening{'' if count == 1 else 's'})"
        )
    yield f"papers: wholekit quote papers {offer.label} --out FOLDER"


def _print(revision: Revision, json: bool) -> None:
    answer = revision_answer(revision, revision.state)
    if json:
        print_json(answer)
        return
    until = f", valid until {answer.valid_until}" if answer.valid_until else ""
    say(f"{answer.quote}  revision {answer.revision}  {answer.state}{until}")
