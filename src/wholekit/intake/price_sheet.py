"""A supplier's own price sheet, put over the catalogue that is in the store.

Items are known by their SKU; of those the sheet names, the columns that it has are taken, and all
else stays. Nothing is written: what comes of it is a catalogue, to be looked over and loaded.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from wholekit.domain.catalog import Catalog, check_catalog
from wholekit.domain.catalog.nearest_words import listed
from wholekit.domain.catalog.places import PRICE_BOOK
from wholekit.domain.catalog.price_sheet import PriceSheet
from wholekit.domain.errors import Problem
from wholekit.domain.quantities import QuantityError
from wholekit.intake.cells import clean
from wholekit.intake.faults import MOST_PROBLEMS, Faults
from wholekit.intake.item_cells import item_cells
from wholekit.intake.price_amounts import plain_amount
from wholekit.intake.price_book import COLUMNS, read_item_rows
from wholekit.intake.price_headings import heading_key, proposed
from wholekit.intake.sheet_text import read_all
from wholekit.intake.sheet_xml import letters_of
from wholekit.intake.tables import Grid, Row

MONEY = ("list", "cost")
RIGHT = ("sku", "list", "cost")
HEADER_WITHIN = 60
MOST_COLUMNS = 100
SAMPLES = 3
LONGEST_CELL = 400
_FROM_WHOLE_ROWS = frozenset({"cost-above-list", "finish-missing"})


@dataclass(frozen=True, slots=True)
class PriceColumn:
    """A column of the sheet. ours: our column, empty where it is not taken; known: it was told of
    before, or its heading is known; samples: its first cells."""

    heading: str
    ours: str
    known: bool
    samples: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ReadPriceSheet:
    """How a sheet was read. sheets: names of a workbook's; told: what to keep of it.

    catalog: the store's with the sheet over it, None where there are problems. rows: that name an
    item of the catalogue or bring a new one [count]; foreign: SKUs of rows that are of neither;
    aside: rows without a price that name none; unnamed: items that the sheet does not name [count].
    """

    sheets: tuple[str, ...]
    header_row: int
    columns: tuple[PriceColumn, ...]
    told: PriceSheet
    catalog: Catalog | None
    problems: tuple[Problem, ...]
    rows: int = 0
    foreign: tuple[tuple[int, str], ...] = ()
    aside: tuple[int, ...] = ()
    unnamed: int = 0


def read_price_sheet(
    data: bytes,
    name: str,
    stored: Catalog,
    edition: date,
    finishes: frozenset[str],
    kept: PriceSheet,
    told: PriceSheet | None = None,
) -> ReadPriceSheet:
    """The store's catalogue with a sheet's columns over it.

    kept: what is told of the supplier's sheets already; told: what is told of this one, in place
    of it. Raises InputError where no table can be read at all.
    """
    faults = Faults(name)
    said = kept if told is None else told
    grids = [grid for grid in read_all(data, faults, RIGHT) if grid.rows]
    if not grids:
        raise faults.refuse("file-empty", right=listed(RIGHT))
    grid, place = _found(grids, said, kept, faults)
    header_row, cells = grid.rows[place]
    headings = _headings(cells)
    columns = _columns(headings, grid.rows[place + 1 :], kept, told)
    told_now = PriceSheet(
        grid.name if len(grids) > 1 else "",
        {column.heading: column.ours for column in columns},
        said.whole,
    )
    read = ReadPriceSheet(
        tuple(each.name for each in grids), header_row, columns, told_now, None, ()
    )
    problems = list(_mapping_faults(columns, name, header_row))
    if problems:
        return replace(read, problems=tuple(problems))
    return _Reading(read, name, stored, finishes).read(grid.rows[place + 1 :], edition)


class _Reading:
    """One sheet over one catalogue."""

    def __init__(
        self, read: ReadPriceSheet, name: str, stored: Catalog, finishes: frozenset[str]
    ) -> None:
        self._read = read
        self._name = name
        self._stored = stored
        self._finishes = finishes
        self._places = {
            column.ours: place for place, column in enumerate(read.columns) if column.ours
        }
        self._problems: list[Problem] = []
        self._foreign: list[tuple[int, str]] = []
        self._aside: list[int] = []

    def read(self, rows: Sequence[Row], edition: date) -> ReadPriceSheet:
        stored = self._stored
        items, on_hand = read_item_rows(
            self._whole_rows(rows), self._name, stored.supplier, stored.currency, self._problems
        )
        if not items and not self._problems:
            code = "price-sheet-strange" if self._foreign else "table-without-rows"
            fields = {"id": stored.id, "given": listed(sku for _, sku in self._foreign[:3])}
            self._problems.append(Problem(code, fields, self._name, self._read.header_row + 1))
        # Of a SKU that stands twice the first.
        named = {item.sku: item for item in reversed(items)}
        known = stored.items_by_sku
        kept = () if self._read.told.whole else stored.items
        # In the order of the book; a SKU that stands twice is told, so both rows are kept.
        fresh = items if self._read.told.whole else [i for i in items if i.sku not in known]
        again = [item for item in items if item.sku in known and named[item.sku] is not item]
        whole = [
            *(named.get(item.sku) or replace(item, row=0) for item in kept),
            *fresh,
            *(() if self._read.told.whole else again),
        ]
        counts = {} if self._read.told.whole else dict(stored.counts)
        counts = {sku: n for sku, n in counts.items() if sku not in named} | on_hand
        catalog = replace(stored, edition=edition, items=tuple(whole), counts=counts, folder="")
        if items:
            self._problems += self._checked(catalog)
        problems = tuple(self._said())
        return replace(
            self._read,
            catalog=None if problems else catalog,
            problems=problems,
            rows=len(items),
            foreign=tuple(self._foreign),
            aside=tuple(self._aside),
            unnamed=sum(sku not in named for sku in known),
        )

    def _whole_rows(self, rows: Sequence[Row]) -> Iterator[tuple[int, list[str]]]:
        """Each row with a cell for each of our columns; what the sheet lacks is as in the store."""
        known, counts = self._stored.items_by_sku, self._stored.counts
        for row, cells in rows:
            if not any(cells):
                continue
            taken = {
                ours: self._cell(row, ours, cells[place] if place < len(cells) else "")
                for ours, place in self._places.items()
            }
            sku = taken["sku"]
            item = known.get(sku)
            if item is None and not any(taken.get(money) for money in MONEY):
                # A title between the rows, whichever column it stands in.
                self._aside.append(row)
                continue
            if item is None and sku and "supplies" not in taken:
                self._foreign.append((row, sku))
                continue
            if item is None:
                yield row, [taken.get(name, "") for name in COLUMNS]
                continue
            there = item_cells(item, counts.get(sku, 0))
            # An empty cell leaves what was there; an empty price is none, and is told.
            yield (
                row,
                [
                    taken[name] if taken.get(name) or (name in MONEY and name in taken) else old
                    for name, old in zip(COLUMNS, there, strict=True)
                ],
            )

    def _cell(self, row: int, ours: str, cell: str) -> str:
        try:
            text = clean(cell, LONGEST_CELL)
        except QuantityError as error:
            fields = {"given": error.given, **error.fields}
            self._problems.append(Problem(error.code, fields, self._name, row, ours))
            return ""
        return plain_amount(text) if ours in MONEY else text

    def _checked(self, catalog: Catalog) -> Iterator[Problem]:
        """What is wrong with the whole, but for what merely follows from a cell that is."""
        cells = {(problem.row, problem.column) for problem in self._problems}
        rows = {problem.row for problem in self._problems}
        found = check_catalog(catalog, self._finishes)
        # Of a SKU that stands twice all else stands twice as well.
        twice = {problem.row for problem in found if problem.code == "sku-twice"}
        for problem in found:
            if problem.row in twice and problem.code != "sku-twice":
                continue
            if problem.where != PRICE_BOOK:
                # The engineering data are as they were: only what is sold has changed.
                if not rows:
                    yield problem
            elif (problem.row, problem.column) not in cells and not (
                problem.code in _FROM_WHOLE_ROWS and problem.row in rows
            ):
                yield replace(problem, where=self._name, row=problem.row or None)

    def _said(self) -> Iterator[Problem]:
        """The faults by row, the first two hundred, with the sheet's own headings; one a cell."""
        headings = {column.ours: column.heading for column in self._read.columns}
        found: dict[tuple[int | None, str], Problem] = {}
        for number, problem in enumerate(self._problems):
            cell = (problem.row, problem.column if problem.row else f"{problem.column} {number}")
            found.setdefault(cell, problem)
        ordered = sorted(found.values(), key=lambda problem: problem.row or 0)
        for problem in ordered[:MOST_PROBLEMS]:
            heading = headings.get(problem.column, problem.column)
            yield replace(problem, column=heading if problem.row else problem.column)
        if len(ordered) > MOST_PROBLEMS:
            yield Problem("too-many-problems", {"count": MOST_PROBLEMS}, self._name)


def _found(
    grids: Sequence[Grid], said: PriceSheet, kept: PriceSheet, faults: Faults
) -> tuple[Grid, int]:
    """The sheet that is meant and where in it the header stands. Raises InputError."""
    names = [grid.name for grid in grids]
    if said is not kept and said.sheet and said.sheet not in names:
        raise faults.refuse("price-sheet-unknown", given=said.sheet[:60], right=listed(names))
    meant = [grid for grid in grids if grid.name == said.sheet] or list(grids)
    told = {**kept.columns, **said.columns}
    best, found = (-1, 0), (meant[0], 0)
    for grid in meant:
        for place, (_, cells) in enumerate(grid.rows[:HEADER_WITHIN]):
            known = sum(bool(ours) for ours, _ in proposed(_headings(cells), told))
            filled = min(sum(bool(cell.strip()) for cell in cells), 2)
            if (known, filled) > best:
                best, found = (known, filled), (grid, place)
    return found


def _headings(cells: Sequence[str]) -> list[str]:
    """A name for each column, no two alike."""
    texts = [" ".join(cell.split())[:60] for cell in cells[:MOST_COLUMNS]]
    while texts and not texts[-1]:
        texts.pop()
    names: list[str] = []
    seen: dict[str, int] = {}
    for place, text in enumerate(texts, start=1):
        name = text or f"column {letters_of(place)}"
        key = heading_key(name)
        seen[key] = seen.get(key, 0) + 1
        names.append(name if seen[key] == 1 else f"{name} ({seen[key]})")
    return names


def _columns(
    headings: Sequence[str], rows: Sequence[Row], kept: PriceSheet, told: PriceSheet | None
) -> tuple[PriceColumn, ...]:
    found = proposed(headings, kept.columns)
    if told is not None:
        # What is said of this very sheet stands, also where it is wrong: it is told, not mended.
        said = {heading_key(heading): ours for heading, ours in told.columns.items()}
        found = [
            (said.get(heading_key(heading), ours), True)
            for heading, (ours, _) in zip(headings, found, strict=True)
        ]
    return tuple(
        PriceColumn(heading, ours, from_kept or bool(ours), _samples(rows, place))
        for place, (heading, (ours, from_kept)) in enumerate(zip(headings, found, strict=True))
    )


def _samples(rows: Sequence[Row], place: int) -> tuple[str, ...]:
    found = (" ".join(cells[place].split()) for _, cells in rows[:200] if place < len(cells))
    filled = [text for text in found if text]
    return tuple(text if len(text) <= 40 else f"{text[:40]}…" for text in filled[:SAMPLES])


def _mapping_faults(columns: Sequence[PriceColumn], where: str, row: int) -> Iterator[Problem]:
    taken: dict[str, str] = {}
    for column in columns:
        if not column.ours:
            continue
        if column.ours not in COLUMNS:
            fields: Mapping[str, object] = {"given": column.ours, "right": listed(COLUMNS)}
            yield Problem("price-column-unknown", dict(fields), where, row, column.heading)
        elif column.ours in taken:
            fields = {"ours": column.ours, "other": taken[column.ours]}
            yield Problem("price-column-twice", dict(fields), where, row, column.heading)
        else:
            taken[column.ours] = column.heading
    if "sku" not in taken:
        headings = listed(column.heading for column in columns)
        yield Problem("price-sheet-without-sku", {"right": headings}, where, row)
    elif len(taken) == 1:
        yield Problem("price-sheet-of-skus", {"right": listed(RIGHT[1:])}, where, row)
