"""A catalogue's folder: `catalog.toml`, `series/*.toml` and `prices.csv`."""

import os
import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from wholekit.domain.catalog.check import check_catalog
from wholekit.domain.catalog.check_items import check_items
from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.catalog.model import Catalog, Item, Piece
from wholekit.domain.catalog.nearest_words import listed, what_is_right
from wholekit.domain.catalog.places import HEADER, PRICE_BOOK, in_folder, path_of
from wholekit.domain.errors import CallError, InputError, Problem
from wholekit.domain.linkage import check_template
from wholekit.domain.quantities import QuantityError, currency_digits
from wholekit.domain.rules import RuleBook
from wholekit.intake.price_book import Progress, read_price_book
from wholekit.intake.rulebook import load_rulebook
from wholekit.intake.series_file import SeriesFile, read_series
from wholekit.intake.toml_table import Table, read_toml

# Any that exists does: prices must be read to tell their faults beside the currency's.
STAND_IN_CURRENCY = "USD"

# What follows from another fault is not told beside it. These hold entries against each other by
# name: where a name could not be read, another entry would be blamed for what its file does say.
_BY_NAME = frozenset(
    {
        "body-without-template",
        "fits-nothing",
        "joint-never-filled",
        "piece-unknown",
        "piece-unsold",
        "template-family-unknown",
        "template-mount-unused",
        "template-piece-unknown",
    }
)
_NAMING = re.compile(r"(?:body|piece|template)(?:\[[^]]*\](?:\.(?:id|family|handed))?)?$")
# These ask besides what a template places, and what a piece serves.
_BY_USE = {
    "body-without-template": re.compile(r"template\[[^]]*\]\.(?:mount|families)$"),
    "joint-never-filled": re.compile(r"piece\[[^]]*\]\.(?:role|fits|mounts)$"),
}
_ID = re.compile(r"[a-z0-9][a-z0-9.-]*")
_FROM_WHOLE_ROWS = frozenset({"cost-above-list", "finish-missing"})


def load_catalog(
    folder: Path, finishes: Collection[str] | None = None, progress: Progress | None = None
) -> Catalog:
    """The catalogue of a folder, sound in every respect, or nothing of it.

    finishes: the finish codes the rule book knows; those of the program's own unless given.
    progress: told how far a long price book is read.
    Raises InputError with every fault at once, each with its file, row and column or TOML path;
    CallError if the folder is not there.
    """
    catalog, problems = _read(folder, finishes, progress)
    if problems or catalog is None:
        raise InputError(problems)
    return catalog


def catalog_problems(folder: Path, finishes: Collection[str] | None = None) -> list[Problem]:
    """Every fault of a catalogue's folder; none if it is sound. Raises CallError as above."""
    return _read(folder, finishes)[1]


@dataclass(frozen=True, slots=True)
class _Header:
    id: str
    supplier: str
    currency: str
    edition: date


def _read(
    folder: Path, finishes: Collection[str] | None, progress: Progress | None = None
) -> tuple[Catalog | None, list[Problem]]:
    # Unlike Path.is_dir this is false, not an error, for a name longer than names may be.
    if not os.path.isdir(folder):  # noqa: PTH112
        raise CallError("catalog-folder-missing", folder=str(folder))
    rules = load_rulebook()
    known = FinishBook(rules).codes if finishes is None else finishes
    name = folder.as_posix()
    problems: list[Problem] = []
    header = _header(folder, in_folder(name, HEADER), problems)
    files, whole = _series(folder, name, problems)
    book = read_price_book(
        folder / PRICE_BOOK,
        in_folder(name, PRICE_BOOK),
        header.supplier,
        header.currency,
        problems,
        progress,
    )
    catalog = Catalog(
        id=header.id,
        supplier=header.supplier,
        currency=header.currency,
        edition=header.edition,
        series=tuple(file.series for file in files),
        items=() if book is None else tuple(book[0]),
        counts={} if book is None else book[1],
        folder=name,
    )
    # Where a series could not be read at all, its names would seem to be missing everywhere else.
    found = check_catalog(catalog, known) if whole else check_items(catalog, known)
    if book is None:
        found = [problem for problem in found if problem.code != "piece-unsold"]
    found += _finishes_made(catalog, files, known)
    found = [*_not_following(found, problems)]
    if whole:
        found += _arms_that_fail(catalog, rules, [*problems, *found])
    return catalog, _in_order([*problems, *found], catalog)


def _header(folder: Path, where: str, problems: list[Problem]) -> _Header:
    document = read_toml(folder / HEADER, where, problems)
    if document is None:
        return _Header("", "", STAND_IN_CURRENCY, date.min)
    table = Table(document, where, "", problems)
    name = table.id()
    supplier = table.text("supplier")
    currency = table.text("currency")
    edition = table.day("edition")
    table.finish()
    try:
        currency_digits(currency)
    except QuantityError as error:
        if currency:
            right = what_is_right(currency, error.fields["known"])  # type: ignore[arg-type]  # codes
            table.fault("currency-unknown", "currency", given=currency, right=right)
        currency = STAND_IN_CURRENCY
    return _Header(name, supplier, currency, edition)


def _series(folder: Path, name: str, problems: list[Problem]) -> tuple[list[SeriesFile], bool]:
    """The series files in order of their names, and whether each could be read as TOML."""
    paths = sorted((folder / "series").glob("*.toml"))
    if not paths:
        problems.append(Problem("series-missing", {}, in_folder(name, "series/*.toml")))
    read = [read_series(path, in_folder(name, f"series/{path.name}"), problems) for path in paths]
    files = [file for file in read if file is not None and file.series.id]
    return files, bool(paths) and len(files) == len(paths)


def _finishes_made(
    catalog: Catalog, files: list[SeriesFile], known: Collection[str]
) -> Iterator[Problem]:
    """Series made in a finish nobody knows; items sold in one their series is not made in."""
    made = {file.series.id: file.finishes for file in files}
    for series, finishes in made.items():
        where = in_folder(catalog.folder, f"series/{series}.toml")
        for finish in finishes:
            if finish not in known:
                fields = {"given": finish, "right": what_is_right(finish, known)}
                yield Problem("finish-unknown", fields, where, column="finishes")
    where = in_folder(catalog.folder, PRICE_BOOK)
    # Many items supply the same in the same finish; the catalogue keeps what the ids are of.
    faults: dict[tuple[int, str | None], dict[str, object] | None] = {}
    for item in catalog.items:
        key = (id(item.supplies), item.finish)
        if key not in faults:
            faults[key] = _not_made(item, catalog.pieces, made) if item.finish in known else None
        fault = faults[key]
        if fault:
            yield Problem("finish-not-made", fault, where, item.row, "finish")


def _not_made(
    item: Item, pieces: Mapping[str, Piece], made: Mapping[str, tuple[str, ...]]
) -> dict[str, object] | None:
    for supply in item.supplies:
        piece = pieces.get(supply.piece)
        if piece is not None and piece.shows and item.finish not in made[piece.series]:
            right = listed(made[piece.series])
            return {
                "given": item.finish,
                "piece": piece.id,
                "series": piece.series,
                "right": right,
            }
    return None


def _arms_that_fail(
    catalog: Catalog, rules: RuleBook, problems: list[Problem]
) -> Iterator[Problem]:
    """Templates on which the arms cannot be set, cannot close, strike or fall short.

    Only those nothing else is wrong with, and whose arms are sound.
    """
    faulty = {
        (problem.where, _entry(problem.column)) for problem in problems if problem.row is None
    }
    in_doubt = {path for _, path in faulty if path.startswith("piece[")}
    for series in catalog.series:
        where = in_folder(catalog.folder, f"series/{series.id}.toml")
        for template in series.templates:
            arms = {f"piece[{name}]" for name in (*template.main_arms, *template.forearms)}
            if (where, path_of(template)) in faulty or arms & in_doubt:
                continue
            for problem in check_template(template, catalog.pieces, rules, where):
                yield replace(problem, column=path_of(template))


def _not_following(found: list[Problem], problems: list[Problem]) -> Iterator[Problem]:
    """The faults found that do not merely follow from one that was told."""
    cells = {
        (problem.where, problem.row, problem.column)
        for problem in problems
        if problem.row is not None
    }
    rows = {(problem.where, problem.row) for problem in problems if problem.row is not None}
    entries = {
        (problem.where, _entry(problem.column)) for problem in problems if problem.row is None
    }
    unclear = {
        code for code, path in _BY_USE.items() for problem in problems if path.match(problem.column)
    }
    if any(_NAMING.match(problem.column) for problem in problems):
        unclear |= _BY_NAME
    unread = _unread_names(problems)
    for problem in found:
        if problem.code in unclear:
            follows = True
        elif problem.row is not None:
            follows = (problem.where, problem.row, problem.column) in cells
            follows = follows or (
                problem.code in _FROM_WHOLE_ROWS and (problem.where, problem.row) in rows
            )
        else:
            follows = (problem.where, _entry(problem.column)) in entries
            if problem.code == "piece-unsold":
                follows = problem.fields["piece"] in unread
        if not follows:
            yield problem


def _unread_names(problems: list[Problem]) -> set[str]:
    """Names in rows and cells that could not be read: those pieces may well be sold there."""
    names: set[str] = set()
    for problem in problems:
        if problem.code == "row-ragged":
            names.update(_ID.findall(str(problem.fields["text"])))
        elif problem.column == "supplies" and problem.row is not None:
            names.update(_ID.findall(str(problem.fields.get("given"))))
    return names


def _entry(path: str) -> str:
    """The entry of a TOML path: `piece[arm]` of `piece[arm].length`; an id may hold points."""
    head, bracket, _ = path.partition("]")
    return head + bracket if bracket else path


def _in_order(problems: list[Problem], catalog: Catalog) -> list[Problem]:
    """By file (heading, series, prices), then row; otherwise as found."""
    order = {in_folder(catalog.folder, HEADER): 0, in_folder(catalog.folder, PRICE_BOOK): 2}
    return sorted(
        problems, key=lambda problem: (order.get(problem.where, 1), problem.where, problem.row or 0)
    )
