"""Slow and dead stock as data; what it is worth is in the owner's alone."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from wholekit.domain.catalog import ItemKey
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.stock import SlowLimits
from wholekit.services.paging import Page
from wholekit.services.stock_slow import SlowItem
from wholekit.views.stock_value import ValueTotal


@dataclass(frozen=True, slots=True)
class SlowItemAnswer:
    """An item at a branch [packs, d]. last_left: null = nothing ever did, and the days idle are
    those since it came; cover: null = nothing left in the period; turns: in the period."""

    sku: str
    supplier: str
    description: str
    branch: str
    pace: str
    on_hand: int
    promised: int
    first_came: str
    last_left: str | None
    idle_days: int
    left: int
    turns: str
    cover_days: int | None


@dataclass(frozen=True, slots=True)
class SlowStockAnswer:
    """A page of what is slow or dead on a day, and by which limits [d]."""

    on: str
    period: int
    cover: int
    idle: int
    items: tuple[SlowItemAnswer, ...]
    count: int
    page: int
    page_size: int


@dataclass(frozen=True, slots=True)
class SlowValue:
    """What a row's packs are worth; null where no price book has the item."""

    sku: str
    supplier: str
    branch: str
    value: str | None


@dataclass(frozen=True, slots=True)
class OwnersSlowAnswer:
    """The owner's: what the rows of the page are worth at cost, and all pages together."""

    slow: SlowStockAnswer
    values: tuple[SlowValue, ...]
    totals: tuple[ValueTotal, ...]


def slow_answer(
    day: date, limits: SlowLimits, found: Sequence[SlowItem], page: Page
) -> SlowStockAnswer:
    """A page of what was found."""
    shown = found[page.offset : page.offset + page.limit]
    return SlowStockAnswer(
        day.isoformat(),
        limits.period,
        limits.cover,
        limits.idle,
        tuple(map(_row, shown)),
        len(found),
        page.offset // page.limit + 1,
        page.limit,
    )


def owners_slow_answer(
    answer: SlowStockAnswer, found: Sequence[SlowItem], costs: Mapping[ItemKey, Cost]
) -> OwnersSlowAnswer:
    """The same with what it is worth at cost; the totals are the sums of the values."""
    worth: dict[tuple[ItemKey, str], Money] = {}
    sums: dict[str, Money] = {}
    for each in found:
        cost = costs.get(each.moves.item)
        if cost is None:
            continue
        money = cost.times(each.moves.on_hand).as_money
        worth[each.moves.item, each.moves.branch] = money
        sums[cost.currency] = sums.get(cost.currency, Money.zero(cost.currency)) + money
    values = []
    for row in answer.items:
        known = worth.get(((row.supplier, row.sku), row.branch))
        text = None if known is None else known.decimal_text
        values.append(SlowValue(row.sku, row.supplier, row.branch, text))
    totals = tuple(ValueTotal(code, sums[code].decimal_text) for code in sorted(sums))
    return OwnersSlowAnswer(answer, tuple(values), totals)


def _row(each: SlowItem) -> SlowItemAnswer:
    moves = each.moves
    return SlowItemAnswer(
        moves.item[1],
        moves.item[0],
        moves.description,
        moves.branch,
        each.pace.value,
        moves.on_hand,
        moves.promised,
        moves.first_came.isoformat(),
        None if moves.last_left is None else moves.last_left.isoformat(),
        each.idle,
        moves.left,
        f"{float(round(moves.turns, 2)):.2f}",
        None if each.cover is None else _days(each.cover),
    )


def _days(days: Fraction) -> int:
    """Whole days that are covered."""
    return int(days)
