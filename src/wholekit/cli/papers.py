"""`wholekit papers`: a schedule's quote, pick list, kit labels and margin sheet as PDFs."""

from datetime import date, timedelta
from enum import StrEnum
from fractions import Fraction
from pathlib import Path
from typing import Annotated

import typer

from wholekit import bootstrap
from wholekit.bootstrap import house_lets, open_house
from wholekit.cli import options
from wholekit.cli.console import say, tell, tell_look_alikes
from wholekit.cli.desk import By, deed
from wholekit.cli.parcels import consignment
from wholekit.cli.sheets import sheet_way
from wholekit.documents.label_stock import SHEET_10, stock_named
from wholekit.documents.paper_set import FOR_ALL, MARGIN_SHEET, Ordered, paper_named, write_papers
from wholekit.documents.quote_form import QuoteForm
from wholekit.domain.errors import CallError
from wholekit.domain.kits import Policy
from wholekit.domain.pricing import parse_multiplier
from wholekit.domain.quantities import QuantityError, parse_share
from wholekit.domain.quotes.proposal import as_proposal
from wholekit.domain.quotes.roles import Action
from wholekit.intake.openings import read_given
from wholekit.services.choices import throughout, wishes_throughout
from wholekit.services.desk import LONGEST_NAME, need_line
from wholekit.services.schedules import Asker, work_up_schedule
from wholekit.services.snapshots import Headed

VALID_DAYS = 30


class AlsoPaper(StrEnum):
    """Papers that are made on request."""

    DRILLING_SHEETS = "drilling-sheets"
    SUBMITTAL = "submittal"


Also = Annotated[
    list[AlsoPaper] | None,
    typer.Option("--also", help="This paper too: drilling-sheets or submittal.", metavar="PAPER"),
]


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
    number: str = typer.Option(
        "",
        "--number",
        help="The quote's number; without it a proposal's, made of date and contents.",
    ),
    house_name: str = typer.Option("", "--from", help="The supplier who quotes."),
    multiplier: options.Multiplier = "1",
    floor: str = typer.Option("25%", "--floor", help="Margin under which a line is flagged."),
    on: str = typer.Option("", "--date", help="Date of the papers, year-month-day; today."),
    valid_days: int = typer.Option(VALID_DAYS, "--valid-days", min=1, max=3650),
    locale: str = typer.Option(
        "en_US", "--locale", help="CLDR locale of amounts, dates and the quote's language."
    ),
    dates_on_quote: bool = typer.Option(
        False,
        "--dates-on-quote",
        help="The quote lists by day when the kits can be ready, not only how many are in stock.",
    ),
    labels: options.Labels = SHEET_10.name,
    also: Also = None,
    parcel: options.Parcel = "",
    form: options.Form = QuoteForm.FULL,
    prefer: options.Prefer = None,
    stock_first: options.StockFirst = False,
    one_supplier: options.OneSupplier = "",
    one_finish: options.OneFinish = "",
    by: By = "",
    strict: options.Strict = False,
    sheet: options.SheetName = "",
    column: options.ColumnChoices = None,
    value: options.ValueChoices = None,
    map_file: options.MapFile = None,
    table: options.TableRows = None,
    leave_out: options.LeftOutRows = None,
    house: options.HouseFile = None,
    house_style: options.HouseStyleFolder = None,
) -> None:
    """Quote, pick list, kit labels, packing slip and setting cards of a schedule, and for the
    owner the internal sheet, as PDFs.

    Status 1 if any opening is stopped: the papers are made and say so.
    """
    factor = parse_multiplier(multiplier)
    stock = stock_named(labels)
    goods = consignment(None, parcel)
    issued = parse_date(on)
    share = parse_floor(floor)
    style = bootstrap.house_style(house_style, tell)
    place = open_house(catalog or [], house, Policy(tuple(prefer or ()), stock_first))
    way = sheet_way(
        place.rules, strict, sheet, column, value, map_file, tables=table, left_out=leave_out
    )
    given = read_given(schedule, opening or [], place.rules, way)
    tell_look_alikes(row.mark for row in given.openings)
    # These come from the call and stand on every page: judged before the work is begun.
    for what, name in (
        ("--customer", customer), ("--job", job), ("--number", number), ("--from", house_name),
    ):  # fmt: skip
        need_line(name, what, LONGEST_NAME)
    stem = Path(schedule).stem[:LONGEST_NAME] if schedule and schedule != "-" else "Openings"
    asker = Asker(customer or "Customer", job or stem, factor, locale, deed(by).signs)
    wishes = wishes_throughout(one_supplier, one_finish, place.shelf, place.rules)
    rows, shelf = throughout(given.openings, wishes, place.shelf)
    workup = work_up_schedule(
        rows, shelf, place.rules, issued, asker,
        unasked=given.unasked, not_used=given.not_used,
    )  # fmt: skip
    headed = Headed(
        quote=number,
        revision=0,
        issued=issued,
        valid_until=days_after(issued, valid_days),
        by=deed(by).signs,
        house_name=house_name,
        floor=share,
        ready_shown=dates_on_quote,
    ).said_by(style.card)
    snapshot = place.snapshot(workup, headed, style.card)
    if not number:
        snapshot = as_proposal(snapshot)
    made = Ordered(snapshot, place.rules, share, stock=stock, form=form, goods=goods, style=style)
    # A schedule needs no store; where the house has one, its people's rights hold here too.
    kinds = (*FOR_ALL, *(paper_named(kind.value) for kind in dict.fromkeys(also or ())))
    if house_lets(deed(by), Action.SEE_COST):
        kinds = (*kinds, MARGIN_SHEET)
    for path, what in write_papers(made, kinds, out, tell):
        say(f"{path}  {what}")
    if MARGIN_SHEET not in kinds:
        tell(f"No margin sheet: {asker.by} may not see cost.")
    raise typer.Exit(1 if snapshot.offer.stopped else 0)


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
