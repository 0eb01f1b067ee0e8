"""`wholekit catalog check`: the faults of a catalogue, all at once."""

from dataclasses import dataclass
from pathlib import Path

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say
from wholekit.domain.catalog import Catalog
from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.errors import InputError, Problem
from wholekit.intake.catalog_folder import load_catalog
from wholekit.intake.rulebook import load_rulebook
from wholekit.wording.problems import say_problem


@dataclass(frozen=True, slots=True)
class CatalogFaultAnswer:
    """One fault with its place."""

    code: str
    where: str
    row: int | None
    column: str
    text: str


@dataclass(frozen=True, slots=True)
class CatalogAnswer:
    """One catalogue's figures and faults."""

    folder: str
    supplier: str
    items: int
    bodies: int
    series: int
    finishes: tuple[str, ...]
    faults: tuple[CatalogFaultAnswer, ...]


def register(group: typer.Typer) -> None:
    """Put the command on the group of catalogues."""
    group.command("check")(check)


def check(
    folders: list[Path] = typer.Argument(..., help="Catalogue folders.", metavar="DIR..."),
    house: options.HouseFile = None,
    json: options.Json = False,
) -> None:
    """Every fault of a catalogue at once; status 2 if there is any."""
    finishes = FinishBook(load_rulebook(house)).codes
    answers = []
    for folder in folders:
        try:
            catalog = load_catalog(folder, finishes)
        except InputError as error:
            answers.append(_answer(folder, None, list(error.problems)))
        else:
            answers.append(_answer(folder, catalog, []))
    if json:
        print_json(answers)
    else:
        for answer in answers:
            _print(answer)
    raise typer.Exit(2 if any(answer.faults for answer in answers) else 0)


def _answer(folder: Path, catalog: Catalog | None, problems: list[Problem]) -> CatalogAnswer:
    faults = tuple(
        CatalogFaultAnswer(
            problem.code, problem.where, problem.row, problem.column, say_problem(problem)
        )
        for problem in problems
    )
    if catalog is None:
        return CatalogAnswer(str(folder), "", 0, 0, 0, (), faults)
    finishes = tuple(sorted({item.finish for item in catalog.items if item.finish}))
    return CatalogAnswer(
        str(folder),
        catalog.supplier,
        len(catalog.items),
        len(catalog.bodies),
        len(catalog.series),
        finishes,
        faults,
    )


def _print(answer: CatalogAnswer) -> None:
    for fault in answer.faults:
        say(fault.text)
    if answer.faults:
        count = len(answer.faults)
        say(f"{answer.folder}: {count} fault{'s' if count != 1 else ''}")
    else:
        say(
            f"{answer.folder}: {answer.supplier}, no fault; {answer.items} items, "
            f"{answer.bodies} bodies, {answer.series} series, finishes "
            f"{', '.join(answer.finishes)}"
        )
