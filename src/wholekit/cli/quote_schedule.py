"""`wholekit quote schedule`: the customer's own sheet, with what is quoted beside each opening."""

from pathlib import Path
from typing import Annotated

import typer

from wholekit.cli import options
from wholekit.cli.console import say, tell, wrapped
from wholekit.cli.desk import By, QuoteRef, deed, desk
from wholekit.cli.quote_export import write_whole
from wholekit.cli.sheets import sheet_way
from wholekit.domain.errors import CallError
from wholekit.intake.openings import place_sheet, sheet_bytes
from wholekit.services.quote_papers import revision_shown
from wholekit.services.sheets import kept_choices
from wholekit.wording.words import listed

MOST_NAMED = 12


def register(group: typer.Typer) -> None:
    """Put the command on the group of quotes."""
    group.command("schedule")(schedule)


def schedule(
    quote: QuoteRef,
    file: Annotated[
        str, typer.Argument(help="The schedule as the customer sent it.", metavar="SCHEDULE")
    ],
    out: Annotated[Path, typer.Option("--out", help="The file to write.", metavar="FILE")],
    sheet: options.SheetName = "",
    column: options.ColumnChoices = None,
    value: options.ValueChoices = None,
    map_file: options.MapFile = None,
    table: options.TableRows = None,
    leave_out: options.LeftOutRows = None,
    by: By = "",
    house: options.HouseFile = None,
) -> None:
    """The customer's own schedule with our columns behind theirs: kit, size, price, what is open.

    Rows, order and format (CSV, XLSX) stay as they were sent; it is read with the choices that
    were kept for the customer.
    """
    # Late: no other command needs what writes these.
    from wholekit.documents.exchange.schedule_columns import schedule_columns
    from wholekit.intake.sent_back import OurColumns, with_columns

    place, asks = desk(house), deed(by)
    shown = revision_shown(place, asks, quote)
    if shown.draft:
        raise CallError("export-of-issued-alone", quote=shown.label)
    offer = shown.snapshot.offer
    kept = kept_choices(place, asks, offer.customer.code)
    way = sheet_way(place.rules, False, sheet, column, value, map_file, kept, table, leave_out)
    if out.exists() and file != "-" and out.samefile(file):
        raise CallError("file-there", path=out)
    data, name = sheet_bytes(file)
    found = place_sheet(data, name, place.rules, way)
    if len(dict(found.placed)) < len(found.placed):
        raise CallError("schedule-side-by-side", file=name)
    ours = schedule_columns(offer, found.placed)
    if len(ours.unknown) == len({mark for _, mark in found.placed}):
        raise CallError("schedule-of-other-job", file=name, quote=shown.label)
    columns = OurColumns(ours.headings, found.headed, ours.rows)
    write_whole(out, with_columns(data, name, found.reading.sheet, columns))
    _tell("not in the quote", ours.unknown)
    _tell("quoted, and not on the sheet", ours.missed)
    say(f"{out}  {name} with the kits and prices of {shown.label}")


def _tell(what: str, marks: tuple[str, ...]) -> None:
    if marks:
        more = (f"{len(marks) - MOST_NAMED} more",) if len(marks) > MOST_NAMED else ()
        for line in wrapped(f"{what}: {listed([*marks[:MOST_NAMED], *more])}"):
            tell(line)
