"""`wholekit papers`: a schedule's quote, pick list, kit labels and margin sheet as PDFs."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path

import typer

from wholekit.bootstrap import open_house, read_openings
from wholekit.cli import options
from wholekit.cli.console import say, tell, tell_look_alikes
from wholekit.cli.out_folder import all_or_nothing
from wholekit.documents import fill
from wholekit.documents.fill_cards import cards_paper
from wholekit.documents.papers import Letterhead, Paper, PaperHead, page_size_of
from wholekit.domain.errors import CallError
from wholekit.domain.kits import Policy
from wholekit.domain.pricing import parse_multiplier
from wholekit.domain.quantities import QuantityError, parse_share
from wholekit.domain.rules import RuleBook
from wholekit.services.desk import LONGEST_NAME, need_line
from wholekit.services.expand import KittedJob, expand
from wholekit.settings import bundled

VALID_DAYS = 30


@dataclass(frozen=True, slots=True)
class Written:
    """A paper that was made: where, and what it is."""

    path: Path
    what: str


def register(app: typer.Typer) -> None:
    """Put the command on the application."""
    app.command("papers")(papers)


def papers(
    schedule: options.Schedule = None,
    opening: options.Shorthand = None,
    catalog: options.Catalogs = None,
    out: Path = typer.Option(..., "--out", help="Folder for the papers; made if need be."),
    customer: str = typer.Option("", "--customer", help="Customer, as the papers name them."),
    job: str = typer.Option("", "--job", help="The job's name."),
    number: str = typer.Option("", "--number", help="The quote's number."),
    house_name: str = typer.Option("", "--from", help="The supplier who quotes."),
    multiplier: options.Multiplier = "1",
    floor: str = typer.Option("25%", "--floor", help="Margin under which a line is flagged."),
    on: str = typer.Option("", "--date", help="Date of the papers, year-month-day; today."),
    valid_days: int = typer.Option(VALID_DAYS, "--valid-days", min=1, max=3650),
    locale: str = typer.Option(
        "en_US", "--locale", help="CLDR locale of amounts, dates and the quote's language."
    ),
    prefer: options.Prefer = None,
    stock_first: options.StockFirst = False,
    house: options.HouseFile = None,
) -> None:
    """Quote, pick list, kit labels, setting cards and margin sheet of a schedule, as PDFs.

    Status 1 if any opening is stopped: the papers are made and say so.
    """
    factor = parse_multiplier(multiplier)
    issued = parse_date(on)
    share = parse_floor(floor)
    place = open_house(catalog or [], house, Policy(tuple(prefer or ()), stock_first))
    openings = read_openings(schedule, opening or [], place.rules)
    tell_look_alikes(one.mark for one in openings)
    kitted = expand(openings, place.shelf, place.rules, factor)
    for what, name in (
        ("--customer", customer), ("--job", job), ("--number", number), ("--from", house_name),
    ):  # fmt: skip
        need_line(name, what, LONGEST_NAME)
    head = PaperHead(
        letterhead=Letterhead(house_name or "Door hardware supply"),
        number=number or f"Q-{issued:%Y%m%d}",
        issued=issued,
        customer=customer or "Customer",
        job=job
        or (Path(schedule).stem[:LONGEST_NAME] if schedule and schedule != "-" else "Openings"),
        locale=locale,
        page_size=page_size_of(locale),
    )
    terms = fill.Terms(head, days_after(issued, valid_days), share)
    for written in write_papers(kitted, terms, place.rules, out):
        say(f"{written.path}  {written.what}")
    raise typer.Exit(1 if kitted.stopped else 0)


def write_papers(job: KittedJob, terms: fill.Terms, rules: RuleBook, out: Path) -> list[Written]:
    """Make every paper, telling what is under way; all come to stand in `out`, or none.

    Raises CallError if it cannot write.
    """
    from wholekit.documents.render import render_paper

    makers: list[tuple[str, str, Callable[[], Paper]]] = [
        ("quote.pdf", "quote for the customer", lambda: fill.quote_paper(job, terms, rules)),
        (
            "pick-list.pdf",
            "pick list, bag by bag and by bin",
            lambda: fill.pick_list_paper(job, terms, rules),
        ),
        ("kit-labels.pdf", "a label for each bag", lambda: fill.labels_paper(job, terms)),
        ("margin-sheet.pdf", "margin sheet for the owner", lambda: fill.margin_paper(job, terms)),
        (
            "setting-cards.pdf",
            "setting cards for the fitter",
            lambda: cards_paper(job, terms, rules),
        ),
    ]
    with all_or_nothing(out, tuple(name for name, _, _ in makers)) as stage:
        for name, _, paper in makers:
            tell(f"making {name} …")
            render_paper(paper(), stage / name, bundled("templates"))
    return [Written(out / name, what) for name, what, _ in makers]


def parse_date(text: str) -> date:
    """Year-month-day, or today for an empty text. Raises CallError."""
    if not text:
        return date.today()  # noqa: DTZ011  # the day at the counter, where the clock hangs
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise CallError("date-unreadable", given=text) from None


def days_after(day: date, days: int) -> date:
    """The day so many days later. Raises CallError past the end of year 9999."""
    try:
        return day + timedelta(days=days)
    except OverflowError:
        raise CallError("date-too-late", given=f"{day}", days=days) from None


def parse_floor(text: str) -> Fraction:
    """A share of the price: `30%` or `0.3`, from 0 to under 1. Raises QuantityError."""
    share = parse_share(text, "floor-unreadable")
    if not 0 <= share < 1:
        raise QuantityError("floor-unreadable", text)
    return share
