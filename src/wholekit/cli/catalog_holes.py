"""`wholekit catalog holes`: bodies by how near their hole patterns are to those on the door."""

from contextlib import closing

import typer

from wholekit.bootstrap import open_store
from wholekit.cli import options
from wholekit.cli.console import print_json, say, table
from wholekit.cli.desk import By, deed
from wholekit.cli.quantities import OptionReader
from wholekit.domain.catalog import Catalog
from wholekit.domain.errors import CallError
from wholekit.domain.quantities import HolePattern, Length
from wholekit.intake.catalogs import read_each
from wholekit.intake.cells import existing_holes
from wholekit.intake.rulebook import load_rulebook
from wholekit.services.catalogs import stored_bodies
from wholekit.settings import bundled
from wholekit.views.holes import HolesAnswer, holes_rows, told_by_holes

HOW = {"fixed-by": "is fixed by these holes", "hides": "covers these holes, drilled anew"}


def register(group: typer.Typer) -> None:
    """Put the command on the group."""
    group.command("holes")(holes)


def holes(
    pattern: str = typer.Argument(
        ...,
        help="Length x height, centre to centre: '8-1/4 x 3-1/4', '210 x 83 mm'.",
        metavar="PATTERN",
    ),
    catalog: options.Catalogs = None,
    house: options.HouseFile = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Bodies by how near their fixing holes are to old ones; the store's unless folders are named.

    Spacings alone are compared: where the old holes lie on the leaf is measured on site.
    """
    reader = OptionReader()
    old = reader.read("PATTERN", pattern, existing_holes, HolePattern(Length(0), Length(0)))
    reader.finish()
    rules = load_rulebook(house)
    answer = told_by_holes(old, rules, read_each(catalog) if catalog else _stored(by))
    if json:
        print_json(answer)
        return
    _print(answer)


def _stored(by: str) -> list[Catalog]:
    with closing(open_store()) as store:
        found = stored_bodies(store, deed(by))
    if not found:
        raise CallError("catalog-needed", samples=str(bundled("catalog_samples")))
    return found


def _print(answer: HolesAnswer) -> None:
    say(f"old holes {answer.holes}; a body fits where neither spacing is off by more than "
        f"{answer.tolerance}")  # fmt: skip
    heads = ("series", "supplier", "sizes", "holes", "along", "across", "fits")
    rows = [
        (
            row.series, row.supplier, str(row.size_from)
            if row.size_from == row.size_to else f"{row.size_from} to {row.size_to}",
            row.pattern, row.along, row.across, row.fits,
        )
        for row in holes_rows(answer)
    ]  # fmt: skip
    for line in table(rows, heads, frozenset({4, 5}), (1, 3)):
        say(line)
    for plate in answer.plates:
        say(f"plate {plate.plate} ({plate.supplier}), {', '.join(plate.mounts)}: "
            f"{HOW[plate.how]}")  # fmt: skip
