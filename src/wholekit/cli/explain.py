"""`wholekit explain`: the why of one opening, in five lines or down to rules with their sources."""

import re
from collections.abc import Iterator
from pathlib import Path

import typer

from wholekit.bootstrap import open_house, snapshot_on
from wholekit.cli import options
from wholekit.cli.console import print_json, say, wrapped
from wholekit.cli.desk import By, InAlternate, deed, desk, today
from wholekit.cli.kit import opening_text
from wholekit.cli.kit_short import INDENT, opening_in_short
from wholekit.cli.sheets import sheet_way
from wholekit.domain.errors import CallError
from wholekit.domain.openings import Opening, plain_mark
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.worked import WorkedOpening
from wholekit.domain.reasons import Reason
from wholekit.domain.rules import RuleBook
from wholekit.intake.openings import read_openings
from wholekit.services.job_trials import opening_worked
from wholekit.services.schedules import work_up_schedule
from wholekit.views.trees import tree_answer
from wholekit.wording.reasons import ReasonLine, say_reason, say_tree
from wholekit.wording.sources import rule_source

_JOB = re.compile(r"J-\d+$", re.IGNORECASE)


def register(app: typer.Typer) -> None:
    """Put the command on the application."""
    app.command("explain")(explain)


def explain(
    schedule: str | None = typer.Argument(
        None, help="Opening schedule, or a job of the store: J-12.", metavar="[SCHEDULE|JOB]"
    ),
    of_mark: str = typer.Argument("", help="The opening to explain.", metavar="[MARK]"),
    opening: options.Shorthand = None,
    catalog: options.StoredOrFolders = None,
    mark: str = typer.Option("", "--mark", help="The same as MARK."),
    alternate: InAlternate = "",
    every: bool = typer.Option(
        False, "--all", help="The whole tree: every line, down to rules with their sources."
    ),
    strict: options.Strict = False,
    sheet: options.SheetName = "",
    column: options.ColumnChoices = None,
    value: options.ValueChoices = None,
    map_file: options.MapFile = None,
    table: options.TableRows = None,
    house: options.HouseFile = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Why an opening gets this size, mount and body: five lines, or the whole tree of reasons."""
    if schedule is not None and _is_job(schedule):
        if opening or catalog:
            raise CallError("explain-job-alone", job=schedule)
        desk_ = desk(house)
        rules = desk_.rules
        workup = opening_worked(desk_, deed(by), schedule, of_mark or mark, alternate)
    else:
        place = open_house(catalog or [], house, asks=lambda: deed(by))
        rules = place.rules
        way = sheet_way(rules, strict, sheet, column, value, map_file, tables=table)
        openings = read_openings(schedule, opening or [], rules, way)
        (chosen,) = _chosen(openings, of_mark or mark)
        workup = work_up_schedule([chosen], place.shelf, rules, today())
    offer, (worked,) = snapshot_on(workup, rules).offer, workup.job.openings
    if json:
        print_json(tree_answer(worked, rules))
    else:
        for text in (_whole if every else _in_five_lines)(offer, worked, rules):
            say(text)
    raise typer.Exit(1 if offer.stopped else 0)


def _is_job(text: str) -> bool:
    """Whether it names a job, and no file here."""
    return bool(_JOB.match(text)) and not Path(text).exists()


def _chosen(openings: list[Opening], mark: str) -> list[Opening]:
    """The opening of a mark, or the only one. Raises CallError."""
    known = [row.mark for row in openings]
    if mark:
        openings = [row for row in openings if row.mark == plain_mark(mark)]
        if not openings:
            raise CallError("mark-unknown", mark=mark, known=known)
    elif len(openings) > 1:
        raise CallError("mark-needed", known=known)
    return openings


def _in_five_lines(offer: Offer, worked: WorkedOpening, rules: RuleBook) -> Iterator[str]:
    """What is quoted, and the one step that decided size, mount and body."""
    (opening,) = offer.openings
    yield from opening_in_short(offer, opening)
    size, mount, *body = worked.kit.why
    required = size.fields.get("size")
    decided = next((part for part in size.because if part.fields.get("size") == required), size)
    room = next((part for part in mount.because if part.code == "side-by-room"), None)
    for name, reasons in (
        ("size", [decided]),
        ("mount", [mount] if room is None else [mount, room]),
        ("body", body),
    ):
        said = "; ".join(map(say_reason, reasons))
        rule = next((rule for reason in reasons for rule in reason.rules), None)
        source = f" [{rule_source(rules, rule)}]" if rule else ""
        if said:
            yield from wrapped(f"{said}{source}", f"{INDENT}{name:<6}")
    yield f"{INDENT}every line and every source: --all"


def _whole(offer: Offer, worked: WorkedOpening, rules: RuleBook) -> Iterator[str]:
    """The kit as `kit --full` tells it, and every tree below it."""
    yield from opening_text(offer, offer.openings[0])
    seen: set[tuple[ReasonLine, ...]] = set()
    for reason in worked.kit.why:
        yield ""
        yield from _tree(reason, rules, seen)
    for line in worked.kit.lines:
        yield ""
        yield f"{line.quantity} × {line.item.sku}  {line.item.description}"
        for reason in line.because:
            yield from _tree(reason, rules, seen, 1)


def _tree(
    reason: Reason, rules: RuleBook, seen: set[tuple[ReasonLine, ...]], depth: int = 0
) -> Iterator[str]:
    """A tree, each branch once: where it comes again it is named alone. seen: those that stand."""
    branch = tuple(say_tree(reason, rules))
    again = branch in seen and (len(branch) > 1 or bool(branch[0].sources))
    seen.add(branch)
    indent = "  " * depth
    text = f"{branch[0].text}, as above" if again else branch[0].text
    yield from wrapped(text, f"{indent}- ", f"{indent}  ")
    if again:
        return
    for source in dict.fromkeys(branch[0].sources):
        yield from wrapped(f"[{source}]", f"{indent}    ", f"{indent}     ")
    for below in reason.because:
        yield from _tree(below, rules, seen, depth + 1)
