"""`wholekit catalog sheet|rise|rises`: a supplier's own price sheet, a rise of its prices."""

from contextlib import closing
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import typer

from wholekit.bootstrap import close_desk, open_store
from wholekit.cli import options
from wholekit.cli.catalog_loads import MOST_SHOWN, ask_to_load
from wholekit.cli.console import moment, print_json, say, table, tell
from wholekit.cli.desk import By, SignedArguments, deed, desk, read_day
from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.catalog.price_sheet import PriceSheet
from wholekit.domain.catalog.rises import PriceRise
from wholekit.domain.errors import InputError, Problem
from wholekit.domain.quantities import parse_share
from wholekit.intake.faults import Faults
from wholekit.intake.price_headings import told_columns
from wholekit.intake.price_sheet import ReadPriceSheet, read_price_sheet
from wholekit.intake.tables import read_bytes
from wholekit.services.catalog_loads import Plan, load_shown, plan_rise, plan_sheet
from wholekit.services.catalogs import stored_with_cost
from wholekit.services.desk import Deed, Desk
from wholekit.services.price_sheets import clear_price_sheet, kept_price_sheet
from wholekit.services.quotes_touched import quotes_touched
from wholekit.services.rises import drop_rise, need_rise, note_rise, planned_like, planned_rises
from wholekit.views.catalog_changes import ChangesAnswer, changes_answer, changes_text
from wholekit.views.quotes_touched import QuoteTouchedAnswer, touched_answer, touched_text

CatalogId = typer.Argument(..., help="The catalogue's id in the store.", metavar="ID")
Yes = typer.Option(False, "--yes", help="Load without asking.")
OlderEdition = typer.Option(
    False, "--older-edition", help="Load an edition older than the one in the store."
)


@dataclass(frozen=True, slots=True)
class LoadedSheetAnswer:
    """What a sheet or a rise did. revision None: nothing had changed, or the rise waits for its
    day (noted)."""

    changes: ChangesAnswer
    quotes: tuple[QuoteTouchedAnswer, ...]
    revision: int | None
    noted: bool = False


@dataclass(frozen=True, slots=True)
class KeptSheetAnswer:
    """What is kept of a supplier's price sheets. columns: heading with our column, or empty."""

    catalog: str
    sheet: str
    columns: dict[str, str]
    whole: bool
    told_at: str
    told_by: str


@dataclass(frozen=True, slots=True)
class PlannedRiseAnswer:
    """A rise that is noted. share: such as `+6%`; series: empty for all."""

    id: str
    catalog: str
    share: str
    day: str
    series: str
    told_by: str


def register(group: typer.Typer) -> None:
    """Put the commands on the group."""
    group.command("sheet")(sheet)
    group.command("rise", cls=SignedArguments)(rise)
    group.command("rises")(rises)


def sheet(
    catalog: str = CatalogId,
    file: Path | None = typer.Argument(
        None, help="The supplier's price sheet, XLSX or CSV.", metavar="[FILE]"
    ),
    column: options.ColumnChoices = None,
    sheet_name: options.SheetName = "",
    whole: bool | None = typer.Option(
        None,
        "--whole/--part",
        help="It is the whole book: what it does not name is sold no longer; or a part of it.",
    ),
    edition: str = typer.Option(
        "", "--edition", help="Its date; today unless given.", metavar="DAY"
    ),
    clear: bool = typer.Option(False, "--clear", help="Take back what is kept of its columns."),
    yes: bool = Yes,
    older_edition: bool = OlderEdition,
    show_all: options.ShowAll = False,
    by: By = "",
    json: options.Json = False,
) -> None:
    """A supplier's own price sheet over its catalogue: shows what changes, then asks, then loads.

    What its columns are is kept with the load. Without a file: what is kept.
    """
    doer, at = deed(by), desk()
    try:
        if clear:
            clear_price_sheet(at.store, doer, catalog)
        if file is None or clear:
            _print_kept(at, doer, catalog, json)
            return
        stored = stored_with_cost(at.store, doer, catalog)
        kept = kept_price_sheet(at.store, doer, catalog)
        known = PriceSheet() if kept is None else kept.told
        told = PriceSheet(
            sheet_name or known.sheet,
            {**known.columns, **told_columns(column or [])},
            known.whole if whole is None else whole,
        )
        finishes = frozenset(FinishBook(at.rules).codes)
        data = read_bytes(file, None, Faults(file.as_posix()))
        read = read_price_sheet(
            data, file.as_posix(), stored.catalog, read_day(edition) or doer.day, finishes, told
        )
        if sheet_name and read.told.sheet not in ("", sheet_name):
            fields = {"given": sheet_name, "right": ", ".join(read.sheets)}
            raise InputError([Problem("price-sheet-unknown", fields, file.as_posix())])
        if read.catalog is None:
            raise InputError(list(read.problems))
        if not json:
            _say_reading(read)
        plan = plan_sheet(at.store, doer, read.catalog, read.told)
        _look_over_and_load(at, doer, plan, yes, older_edition, show_all, json)
    finally:
        close_desk(at)


def rise(
    catalog: str = CatalogId,
    share: str = typer.Argument(..., help="By how much, such as 6%.", metavar="SHARE"),
    day: str = typer.Option(
        "", "--from", help="From which day; today unless given.", metavar="DAY"
    ),
    series: str = typer.Option("", "--series", help="This series alone.", metavar="SERIES"),
    drop: bool = typer.Option(False, "--drop", help="Take such a rise out that is noted."),
    yes: bool = Yes,
    older_edition: bool = OlderEdition,
    show_all: options.ShowAll = False,
    by: By = "",
    json: options.Json = False,
) -> None:
    """A supplier's prices raised: shows what changes, then asks, then loads.

    List prices, costs and price breaks. A rise from a later day is noted, and loaded on that day.
    """
    doer, at = deed(by), desk()
    try:
        asked = PriceRise(
            need_rise(parse_share(share.strip().lstrip("+"))), read_day(day) or doer.day, series
        )
        planned = planned_like(at.store, doer, catalog, asked)
        if drop:
            drop_rise(at.store, doer, planned)
            return
        plan = plan_rise(at.store, doer, catalog, asked, planned)
        _look_over_and_load(at, doer, plan, yes, older_edition, show_all, json)
    finally:
        close_desk(at)


def rises(by: By = "", json: options.Json = False) -> None:
    """Rises that are noted and wait for their day."""
    with closing(open_store()) as store:
        answers = [
            PlannedRiseAnswer(
                each.id, each.catalog, each.rise.text, each.rise.day.isoformat(),
                each.rise.series, each.by,
            )
            for each in planned_rises(store, deed(by))
        ]  # fmt: skip
    if json:
        print_json(answers)
        return
    if not answers:
        tell("No rise is noted: wholekit catalog rise ID SHARE --from DAY")
        return
    rows = [(one.day, one.catalog, one.share, one.series or "all", one.told_by) for one in answers]
    for line in table(rows, ("from", "catalogue", "rise", "series", "by"), frozenset({2}), 3):
        say(line)


def _look_over_and_load(
    at: Desk, doer: Deed, plan: Plan, yes: bool, older_edition: bool, show_all: bool, json: bool
) -> None:
    answer = changes_answer(plan.changes, plan.revision)
    touched = tuple(map(touched_answer, quotes_touched(at, doer, plan.changes)))
    if not json:
        for line in (
            *changes_text(answer, None if show_all else MOST_SHOWN),
            *(() if answer.nothing else touched_text(touched)),
        ):
            say(line)
    revision, waits = None, plan.rise is not None and _waits(plan.rise, doer.day)
    if not answer.nothing:
        if not yes:
            ask_to_load()
        if waits and plan.rise is not None:
            note_rise(at, doer, plan.catalog.id, plan.rise)
        else:
            loaded = load_shown(at.store, doer, plan, plan.seal, older_edition=older_edition)
            revision = loaded.revision
    if json:
        print_json(LoadedSheetAnswer(answer, touched, revision, waits))
    elif revision is not None:
        say(f"loaded {answer.catalog} as revision {revision}")
    elif waits and plan.rise is not None:
        say(f"noted; it waits for {plan.rise.day.isoformat()}, and no price has changed")


def _waits(rise: PriceRise, today: date) -> bool:
    return rise.day > today


def _print_kept(at: Desk, doer: Deed, catalog: str, json: bool) -> None:
    kept = kept_price_sheet(at.store, doer, catalog)
    if json:
        print_json(
            None
            if kept is None
            else KeptSheetAnswer(
                catalog, kept.told.sheet, dict(kept.told.columns), kept.told.whole,
                kept.at.isoformat(), kept.by,
            )
        )  # fmt: skip
        return
    if kept is None or not kept.told.columns:
        tell(f"Nothing is kept of the price sheets of {catalog} yet.")
        return
    say(f"{catalog}: told {moment(kept.at.isoformat())} by {kept.by}; "
        f"{'the whole book' if kept.told.whole else 'a part of the book'}")  # fmt: skip
    for line in table(
        [(heading, ours or "not taken") for heading, ours in kept.told.columns.items()],
        ("heading", "column"), frozenset(), 0,
    ):  # fmt: skip
        say(line)


def _say_reading(read: ReadPriceSheet) -> None:
    for column in read.columns:
        say(f"  {column.heading:<30.30} {column.ours or 'not taken'}")
    say(f"  {read.rows} rows taken, {read.unnamed} items that the sheet does not name")
    if read.foreign:
        named = ", ".join(f"{sku} (row {row})" for row, sku in read.foreign[:5])
        more = f" and {len(read.foreign) - 5} more" if len(read.foreign) > 5 else ""
        say(f"  not in the catalogue, and not taken: {named}{more}")
