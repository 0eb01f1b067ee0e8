"""The buy list: what each supplier is to be asked for, why, and what comes late."""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum
from fractions import Fraction

from wholekit.domain.buying.cheaper import CheaperEqual, Equals
from wholekit.domain.buying.late import Late, late_ones, urgency
from wholekit.domain.buying.quantity import Priced, next_break, price_at, quantity_to_buy
from wholekit.domain.buying.wants import Shortage, StockPosition
from wholekit.domain.catalog import Item, ItemKey, PriceBreak
from wholekit.domain.quantities import Cost
from wholekit.domain.working_days import WorkingDays


class WhyNotBought(StrEnum):
    """Why something that is wanted is in no order."""

    UNKNOWN = "unknown"  # no price book has it any more
    DISCONTINUED = "discontinued"


@dataclass(frozen=True, slots=True)
class NotBought:
    """What is wanted and cannot be bought [packs]. replaced_by: the SKU that its book names."""

    item: ItemKey
    packs: int
    why: WhyNotBought
    replaced_by: str | None
    shortages: tuple[Shortage, ...]


@dataclass(frozen=True, slots=True)
class BuyLine:
    """One item of one order.

    short: what bags wait for beyond what is under way; shelf: what lifts stock above the reorder
    point, beyond that; least: the least that covers both and may be ordered [packs]. order: what
    is ordered; saves: what less it costs than `least` would, nothing where it is that. next_break:
    the next one above, None where there is none. arrives: ordered on the day asked; None = nobody
    states lead days. shortages: who waits, the most urgent first.
    """

    item: Item
    short: int
    shelf: int
    least: int
    order: Priced
    saves: Cost
    next_break: PriceBreak | None
    arrives: date | None
    cheaper: tuple[CheaperEqual, ...]
    shortages: tuple[Shortage, ...]


@dataclass(frozen=True, slots=True)
class SupplierBuy:
    """All that one supplier is asked for, in one currency; lines by SKU."""

    supplier: str
    currency: str
    lines: tuple[BuyLine, ...]

    @property
    def total(self) -> Cost:
        """What it all costs."""
        return sum((line.order.total for line in self.lines), Cost(0, self.currency))


@dataclass(frozen=True, slots=True)
class BuyList:
    """What is to be bought, by supplier. asked: the day it was made for; late: also of what is
    under way already."""

    asked: date
    suppliers: tuple[SupplierBuy, ...]
    late: tuple[Late, ...]
    not_bought: tuple[NotBought, ...]


def buy_list(
    shortages: Iterable[Shortage],
    stock: Iterable[StockPosition],
    items: Mapping[ItemKey, Item],
    calendar: WorkingDays,
    asked: date,
) -> BuyList:
    """What covers the shortages and lifts stock that is low, ordered on a day.

    Shortages of one item are one line; what is under way covers them first. An item is low when
    free + under way − short is at or below its reorder point, and is then ordered above it. items:
    the price books as they are now; those of several suppliers are never mixed. One position for
    each item, of the branch that is bought for: an item without one has nothing there. The order of
    all that comes in does not matter.
    Raises ValueError for two positions of one item.
    """
    waiting: dict[ItemKey, list[Shortage]] = {}
    for shortage in shortages:
        waiting.setdefault(shortage.item, []).append(shortage)
    positions: dict[ItemKey, StockPosition] = {}
    for position in stock:
        if positions.setdefault(position.item, position) is not position:
            raise ValueError(f"two positions of {position.item}")
    equals = Equals(items, calendar, asked)
    needs = [
        _Need(items.get(key), positions.get(key, StockPosition(key)), waiting.get(key, []))
        for key in sorted({*waiting, *positions})
    ]
    late = (each for need in needs for each in need.late(equals))
    return BuyList(
        asked,
        tuple(_by_supplier(need.line(equals) for need in needs)),
        tuple(sorted(late, key=lambda each: (urgency(each.shortage), each.shortage.item))),
        tuple(found for need in needs if (found := need.not_bought()) is not None),
    )


class _Need:
    """What one item is wanted for, and what of it is to be bought."""

    def __init__(
        self, item: Item | None, position: StockPosition, shortages: Sequence[Shortage]
    ) -> None:
        self._item = item
        self._position = position
        breakable = item is not None and item.terms.breakable
        counted = shortages if breakable else [_whole(shortage) for shortage in shortages]
        self._shortages = tuple(sorted(counted, key=urgency))
        waited_for = math.ceil(sum((each.packs for each in self._shortages), Fraction(0)))
        self._short = max(0, waited_for - position.on_order)
        self._shelf = 0
        if item is not None and not item.discontinued and item.terms.reorder_at is not None:
            held = position.free + position.on_order - waited_for
            if held <= item.terms.reorder_at:
                self._shelf = max(0, item.terms.reorder_at + 1 - held - self._short)

    def line(self, equals: Equals) -> BuyLine | None:
        item, needed = self._item, self._short + self._shelf
        if item is None or item.discontinued or not needed:
            return None
        order = quantity_to_buy(item, needed)
        least = price_at(item, max(needed, item.terms.least_order))
        return BuyLine(
            item,
            self._short,
            self._shelf,
            least.packs,
            order,
            Cost(least.total.units - order.total.units, order.total.currency),
            next_break(item, order.packs),
            equals.arrival(item),
            equals.cheaper(item, needed, order.total),
            self._shortages,
        )

    def late(self, equals: Equals) -> Iterator[Late]:
        item = self._item
        bought = None if item is None or item.discontinued else equals.arrival(item)
        return late_ones(self._shortages, self._position.coming, bought)

    def not_bought(self) -> NotBought | None:
        item = self._item
        if not self._short or (item is not None and not item.discontinued):
            return None
        return NotBought(
            self._position.item,
            self._short,
            WhyNotBought.UNKNOWN if item is None else WhyNotBought.DISCONTINUED,
            None if item is None else item.replaced_by,
            self._shortages,
        )


def _whole(shortage: Shortage) -> Shortage:
    return replace(shortage, packs=Fraction(math.ceil(shortage.packs)))


def _by_supplier(lines: Iterable[BuyLine | None]) -> Iterator[SupplierBuy]:
    found: dict[tuple[str, str], list[BuyLine]] = {}
    for line in lines:
        if line is not None:
            key = line.item.supplier, line.item.cost.currency
            found.setdefault(key, []).append(line)
    for (supplier, currency), of_one in sorted(found.items()):
        yield SupplierBuy(supplier, currency, tuple(of_one))
