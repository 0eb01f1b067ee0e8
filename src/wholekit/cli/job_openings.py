"""`wholekit job add|copy|split|remove|override|clear|release`: a job's openings."""

from dataclasses import replace

import typer

from wholekit.cli import options
from wholekit.cli.console import tell, tell_look_alikes, wrapped
from wholekit.cli.desk import (
    By,
    IfVersion,
    InAlternate,
    JobRef,
    Mark,
    Reason,
    deed,
    desk,
    job_at,
)
from wholekit.cli.job_entries import print_entries, tell_passed_over
from wholekit.cli.sheets import sheet_way, tell_to_answer
from wholekit.domain.errors import CallError
from wholekit.domain.openings import marks_named
from wholekit.domain.quantities import parse_money
from wholekit.domain.quotes import Override, OverrideKind
from wholekit.intake.openings import read_given
from wholekit.services import job_openings
from wholekit.services.job_trials import opening_worked
from wholekit.services.jobs import job_contents
from wholekit.services.sheets import kept_choices
from wholekit.wording.job_notes import stays_out


def register(group: typer.Typer) -> None:
    """Put the commands on the group of jobs."""
    group.command("add")(add)
    group.command("copy")(copy)
    group.command("split")(split)
    group.command("remove")(remove)
    group.command("override")(override)
    group.command("clear")(clear)
    group.command("release")(release)


def add(
    job: JobRef,
    schedule: options.Schedule = None,
    opening: options.Shorthand = None,
    strict: options.Strict = False,
    sheet: options.SheetName = "",
    column: options.ColumnChoices = None,
    value: options.ValueChoices = None,
    map_file: options.MapFile = None,
    table: options.TableRows = None,
    leave_out: options.LeftOutRows = None,
    alternate: InAlternate = "",
    by: By = "",
    json: options.Json = False,
) -> None:
    """Add openings from a schedule or in shorthand, all of them or none."""
    place, doer = desk(), deed(by)
    kept = kept_choices(place, doer, job_contents(place, doer, job).job.customer)
    way = sheet_way(
        place.rules, strict, sheet, column, value, map_file, kept, table, leave_out, in_job=True
    )
    given = read_given(schedule, opening or [], place.rules, way)
    added = job_openings.add_openings(
        place, doer, job, given.openings, alternate, given.unasked, given.not_used
    )
    # All of the job's: a new mark may look like one that was there before.
    tell_look_alikes(entry.opening.mark for entry in job_contents(place, doer, job).openings)
    print_entries(added, json, "added")
    tell_to_answer(job, [entry.opening for entry in added], place.rules)


def copy(
    job: JobRef,
    mark: Mark,
    new_mark: list[str] = typer.Argument(..., help="Marks of the copies.", metavar="NEW..."),
    alternate: InAlternate = "",
    to_alternate: str | None = typer.Option(
        None, "--to-alternate", help="Put the copies into this alternate.", metavar="CODE"
    ),
    by: By = "",
    json: options.Json = False,
) -> None:
    """Copy an opening with what a hand has set on it, but without its releases."""
    added = job_openings.copy_opening(
        desk(), deed(by), job, mark, new_mark, alternate, to_alternate
    )
    print_entries(added, json, "added")


def split(
    job: JobRef,
    mark: Mark,
    new_mark: str = typer.Argument(..., help="Mark of those that go.", metavar="NEW"),
    quantity: int = typer.Option(..., "--quantity", min=1, help="How many go."),
    alternate: InAlternate = "",
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Give some of the openings alike a mark of their own."""
    both = job_openings.split_opening(
        desk(), deed(by), job, mark, new_mark, quantity, alternate, if_version
    )
    print_entries(both, json, "now")


def remove(
    job: JobRef,
    marks: list[str] = typer.Argument(
        ..., help="The openings: 101, 101-117, 'but' 104.", metavar="MARK..."
    ),
    alternate: InAlternate = "",
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Take openings out of a job, all or none; the history keeps them."""
    place, doer = desk(), deed(by)
    contents = job_contents(place, doer, job)
    known = [entry.mark for entry in contents.openings if entry.alternate == alternate]
    found, unknown = marks_named(marks, known)
    tell_passed_over(marks, known)
    # What is none of the job's is refused by the service, in its words.
    removed = job_openings.remove_openings(
        place, doer, job, [*found, *unknown], alternate, if_version
    )
    print_entries(removed, json, "removed")
    for mark in unknown:
        tell(f"{mark}: no opening; the quote no longer names it as not quoted")


def override(
    job: JobRef,
    mark: Mark,
    size: int | None = typer.Option(None, "--size", min=1, max=7, help="Spring size, if larger."),
    item: str | None = typer.Option(
        None, "--item", help="Take OTHER in place of SKU.", metavar="SKU=OTHER"
    ),
    add_item: str | None = typer.Option(None, "--add-item", help="Add an item.", metavar="SKU"),
    leave_out: str | None = typer.Option(None, "--leave-out", help="Drop an item.", metavar="SKU"),
    quantity: int | None = typer.Option(None, "--quantity", min=1, help="How many of the item."),
    price: str | None = typer.Option(
        None, "--price", help="Price of the opening, or of one item: SKU=AMOUNT.", metavar="AMOUNT"
    ),
    reason: Reason = "",
    alternate: InAlternate = "",
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Set size, an item or a price by hand, for a reason; the kit is checked anew."""
    place = desk()
    given = [option for option in (size, item, add_item, leave_out, price) if option is not None]
    if len(given) != 1:
        raise CallError(
            "one-of-needed", right="--size, --item, --add-item, --leave-out and --price"
        )
    doer = deed(by)
    bare = Override(OverrideKind.ITEM, reason, doer.who, doer.at, quantity=quantity)
    if size is not None:
        done = replace(bare, kind=OverrideKind.SIZE, size=size)
    elif price is not None:
        sku, sign, amount = price.rpartition("=")
        money = parse_money(amount, job_at(place, deed(by), job).job.currency)
        done = replace(bare, kind=OverrideKind.PRICE, sku=sku if sign else "", price=money)
    elif item is not None:
        old, _, other = item.partition("=")
        if not old or not other:
            raise CallError("override-item-needed")
        done = replace(bare, sku=old, other_sku=other)
    elif add_item is not None:
        done = replace(bare, other_sku=add_item, quantity=quantity or 1)
    else:
        done = replace(bare, sku=leave_out or "")
    entry = job_openings.override_opening(place, doer, job, mark, done, alternate, if_version)
    print_entries([entry], json, "set")


def clear(
    job: JobRef,
    mark: Mark,
    kind: OverrideKind = typer.Argument(..., help="What was set by hand."),
    sku: str = typer.Option("", "--sku", help="Of this item; of the whole opening without it."),
    alternate: InAlternate = "",
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Take back what a hand has set; the history keeps it."""
    entry = job_openings.clear_override(
        desk(), deed(by), job, mark, kind, sku, alternate, if_version
    )
    print_entries([entry], json, "cleared")


def release(
    job: JobRef,
    mark: Mark,
    code: str = typer.Argument(..., help="The stop's code, as job show tells it.", metavar="CODE"),
    reason: Reason = "",
    alternate: InAlternate = "",
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Let a stop finding go, by name and for a reason that prints on the internal sheet."""
    place, doer = desk(), deed(by)
    entry = job_openings.release_stop(place, doer, job, mark, code, reason, alternate, if_version)
    print_entries([entry], json, "released")
    (alone,) = opening_worked(place, doer, job, entry.mark, alternate).job.openings
    said = stays_out(alone)
    for line in wrapped(said) if said else ():
        tell(line)
