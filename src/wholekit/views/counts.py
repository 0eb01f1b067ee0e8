"""Counts as data. The sheet has no word of what the books say; only the owner's has money."""

from collections.abc import Mapping
from dataclasses import dataclass

from wholekit.domain.catalog import ItemKey
from wholekit.domain.quantities import Cost
from wholekit.services.counts import CountDone, CountSheet
from wholekit.views.sheets import csv_text

HEADS = ("sheet", "branch", "bin", "supplier", "sku", "description", "counted")


@dataclass(frozen=True, slots=True)
class SheetRowAnswer:
    """An item to be counted."""

    bin: str
    sku: str
    supplier: str
    description: str


@dataclass(frozen=True, slots=True)
class CountSheetAnswer:
    """A sheet by bin."""

    sheet: str
    branch: str
    rows: tuple[SheetRowAnswer, ...]


@dataclass(frozen=True, slots=True)
class CountLineAnswer:
    """An item in a bin [packs]: book as the sheet was made, as counted, moved since."""

    bin: str
    sku: str
    supplier: str
    book: int
    counted: int
    difference: int
    moved_since: int


@dataclass(frozen=True, slots=True)
class GaveWayAnswer:
    """A bag that waits again for so many packs of an item."""

    bag: str
    sku: str
    supplier: str
    packs: int


@dataclass(frozen=True, slots=True)
class CountAnswer:
    """A count as entered. already: bins that were entered from this sheet before."""

    sheet: str
    branch: str
    lines: tuple[CountLineAnswer, ...]
    waiting: tuple[GaveWayAnswer, ...]
    already: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DifferenceValue:
    """What the differences in one currency come to at cost; below zero: a loss."""

    currency: str
    amount: str


@dataclass(frozen=True, slots=True)
class OwnersCountAnswer:
    """The owner's: with what the differences are worth. without_cost: SKUs that no book sells."""

    count: CountAnswer
    values: tuple[DifferenceValue, ...]
    without_cost: tuple[str, ...]


def sheet_answer(sheet: CountSheet) -> CountSheetAnswer:
    """A sheet to count by."""
    rows = (
        SheetRowAnswer(row.bin, row.item[1], row.item[0], row.description) for row in sheet.rows
    )
    return CountSheetAnswer(sheet.code, sheet.branch, tuple(rows))


def sheet_csv(sheet: CountSheet) -> str:
    """A sheet as CSV, the counts to be filled in."""
    rows = (
        (sheet.code, sheet.branch, row.bin, *row.item, row.description, "") for row in sheet.rows
    )
    return csv_text([HEADS, *rows])


def count_answer(done: CountDone) -> CountAnswer:
    """A count as entered."""
    return CountAnswer(
        done.sheet,
        done.branch,
        tuple(
            CountLineAnswer(
                line.place.bin,
                line.item[1],
                line.item[0],
                line.book,
                line.counted,
                line.difference,
                line.moved,
            )
            for line in done.lines
        ),
        tuple(
            GaveWayAnswer(bag, sku, supplier, packs) for (supplier, sku), bag, packs in done.waiting
        ),
        done.again,
    )


def owners_answer(done: CountDone, costs: Mapping[ItemKey, Cost]) -> OwnersCountAnswer:
    """A count with what its differences are worth at cost."""
    sums: dict[str, Cost] = {}
    without = []
    for line in done.lines:
        cost = costs.get(line.item)
        if cost is None:
            without += [line.item[1]] if line.difference else []
            continue
        sums[cost.currency] = sums.get(cost.currency, Cost(0, cost.currency)) + cost.times(
            line.difference
        )
    values = (
        DifferenceValue(currency, amount.as_money.decimal_text)
        for currency, amount in sorted(sums.items())
    )
    return OwnersCountAnswer(count_answer(done), tuple(values), tuple(without))
