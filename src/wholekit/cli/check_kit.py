"""`wholekit check-kit`: a kit made by hand, held against the openings."""

from collections.abc import Iterator
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path

import typer

from wholekit.bootstrap import House, open_house
from wholekit.cli import options
from wholekit.cli.console import print_json, say, tell, tell_look_alikes
from wholekit.cli.desk import By, deed, today
from wholekit.cli.kit import job_text, offer_of
from wholekit.cli.sheets import sheet_way
from wholekit.domain.catalog import Catalog, Item
from wholekit.domain.errors import Problem
from wholekit.domain.kits.check import HandLine
from wholekit.domain.openings import Opening
from wholekit.intake.kit_file import KitRow, read_kit_file
from wholekit.intake.openings import read_openings
from wholekit.services.schedules import check_schedule
from wholekit.views.kits import OpeningAnswer, kits_answer
from wholekit.wording.words import listed


@dataclass(frozen=True, slots=True)
class HandKitAnswer:
    """The openings checked, and the marks of those the kit has no line for."""

    openings: tuple[OpeningAnswer, ...]
    without_lines: tuple[str, ...]


def register(app: typer.Typer) -> None:
    """Put the command on the application."""
    app.command("check-kit")(check_kit)


def check_kit(
    schedule: str = typer.Argument(..., help="Opening schedule, CSV or XLSX.", metavar="SCHEDULE"),
    kit: Path = typer.Argument(..., help="The kit: columns mark, sku, quantity.", metavar="KIT"),
    catalog: options.StoredOrFolders = None,
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
    """A kit made by hand held against the openings: missing, wrong, surplus.

    Quantities are for one opening of the mark. Status 1 if a kit is short or has a stop.
    """
    place = open_house(catalog or [], house, asks=lambda: deed(by))
    way = sheet_way(place.rules, strict, sheet, column, value, map_file, tables=table)
    openings = read_openings(schedule, [], place.rules, way)
    tell_look_alikes(opening.mark for opening in openings)
    lines = hand_lines(kit, openings, place)
    workup = check_schedule(openings, lines, place.shelf, place.rules, today())
    offer = offer_of(workup, place)
    left_out = tuple(opening.mark for opening in openings if opening.mark not in lines)
    if json:
        print_json(HandKitAnswer(kits_answer(offer, place.rules).openings, left_out))
    else:
        for line in job_text(offer, place.rules, leave_out=frozenset(left_out)):
            say(line)
    if left_out:
        count = len(left_out)
        tell(f"MISSING  the whole kit of {count} of {len(openings)} openings: {listed(left_out)}")
    raise typer.Exit(1 if offer.stopped else 0)


def hand_lines(kit: Path, openings: list[Opening], place: House) -> dict[str, list[HandLine]]:
    """The kit's lines by mark. Raises InputError for all that is wrong with the file at once."""
    items = dict(_every_item(place))
    marks = {opening.mark for opening in openings}

    def faults(row: KitRow) -> Iterator[Problem]:
        for column, known, code in (
            ("mark", marks, "kit-mark-unknown"),
            ("sku", items, "kit-sku-unknown"),
        ):
            given = getattr(row, column)
            if given not in known:
                near = tuple(get_close_matches(given, known, 3, 0.5))
                yield Problem(code, {column: given, "near": near}, kit.name, row.row, column)

    found: dict[str, list[HandLine]] = {}
    for row in read_kit_file(kit, also=faults):
        catalog, item = items[row.sku]
        found.setdefault(row.mark, []).append(HandLine(item, catalog, row.quantity))
    return found


def _every_item(place: House) -> Iterator[tuple[str, tuple[Catalog, Item]]]:
    for catalog in place.shelf.catalogs:
        for item in catalog.items:
            yield item.sku, (catalog, item)
