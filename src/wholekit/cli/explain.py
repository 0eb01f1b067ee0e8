"""`wholekit explain`: the whole why of one opening, down to rules with their sources."""

from dataclasses import dataclass

import typer

from wholekit.bootstrap import open_house
from wholekit.cli import options
from wholekit.cli.console import print_json, say, wrapped
from wholekit.cli.desk import today
from wholekit.cli.kit import offer_of, opening_text
from wholekit.cli.sheets import sheet_way
from wholekit.domain.errors import CallError
from wholekit.domain.openings import plain_mark
from wholekit.domain.quotes.worked import WorkedOpening
from wholekit.domain.reasons import Reason
from wholekit.domain.rules import RuleBook
from wholekit.intake.openings import read_openings
from wholekit.services.schedules import work_up_schedule
from wholekit.wording.reasons import ReasonLine, say_tree


@dataclass(frozen=True, slots=True)
class TreeAnswer:
    """The trees of one opening: what each is about, and its lines."""

    mark: str
    trees: tuple[tuple[ReasonLine, ...], ...]
    lines: tuple[tuple[str, tuple[ReasonLine, ...]], ...]


def register(app: typer.Typer) -> None:
    """Put the command on the application."""
    app.command("explain")(explain)


def explain(
    schedule: options.Schedule = None,
    opening: options.Shorthand = None,
    catalog: options.Catalogs = None,
    mark: str = typer.Option("", "--mark", help="The opening of the schedule to explain."),
    strict: options.Strict = False,
    sheet: options.SheetName = "",
    column: options.ColumnChoices = None,
    value: options.ValueChoices = None,
    map_file: options.MapFile = None,
    house: options.HouseFile = None,
    json: options.Json = False,
) -> None:
    """One opening's size, mount and every line, as a tree of reasons with sources."""
    place = open_house(catalog or [], house)
    way = sheet_way(place.rules, strict, sheet, column, value, map_file)
    openings = read_openings(schedule, opening or [], place.rules, way)
    if mark:
        chosen = [row for row in openings if row.mark == plain_mark(mark)]
        if not chosen:
            raise CallError("mark-unknown", mark=mark, known=[row.mark for row in openings])
        openings = chosen
    elif len(openings) > 1:
        raise CallError("mark-needed", known=[row.mark for row in openings])
    workup = work_up_schedule(openings, place.shelf, place.rules, today())
    offer, (worked,) = offer_of(workup, place), workup.job.openings
    if json:
        print_json(tree_answer(worked, place.rules))
    else:
        for text in opening_text(offer, offer.openings[0]):
            say(text)
        seen: set[tuple[ReasonLine, ...]] = set()
        for reason in worked.kit.why:
            say()
            _print_tree(reason, place.rules, seen)
        for line in worked.kit.lines:
            say()
            say(f"{line.quantity} × {line.item.sku}  {line.item.description}")
            for reason in line.because:
                _print_tree(reason, place.rules, seen, 1)
    raise typer.Exit(1 if offer.stopped else 0)


def tree_answer(opening: WorkedOpening, rules: RuleBook) -> TreeAnswer:
    """The trees as data."""
    return TreeAnswer(
        opening.entry.mark,
        tuple(tuple(say_tree(reason, rules)) for reason in opening.kit.why),
        tuple(
            (
                line.item.sku,
                tuple(said for reason in line.because for said in say_tree(reason, rules)),
            )
            for line in opening.kit.lines
        ),
    )


def _print_tree(
    reason: Reason, rules: RuleBook, seen: set[tuple[ReasonLine, ...]], depth: int = 0
) -> None:
    """A tree, each branch once: where it comes again it is named alone. seen: those that stand."""
    branch = tuple(say_tree(reason, rules))
    again = branch in seen and (len(branch) > 1 or bool(branch[0].sources))
    seen.add(branch)
    indent = "  " * depth
    text = f"{branch[0].text}, as above" if again else branch[0].text
    for line in wrapped(text, f"{indent}- ", f"{indent}  "):
        say(line)
    if again:
        return
    for source in dict.fromkeys(branch[0].sources):
        for line in wrapped(f"[{source}]", f"{indent}    ", f"{indent}     "):
            say(line)
    for below in reason.because:
        _print_tree(below, rules, seen, depth + 1)
