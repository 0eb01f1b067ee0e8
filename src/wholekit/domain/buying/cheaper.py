"""Equal goods that would cost less: named, never taken in place of what was asked for."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from wholekit.domain.buying.quantity import Priced, quantity_to_buy
from wholekit.domain.catalog import Item, ItemKey
from wholekit.domain.catalog.gtin import as_gtin_14, is_gtin
from wholekit.domain.quantities import Cost
from wholekit.domain.working_days import WorkingDays


@dataclass(frozen=True, slots=True)
class CheaperEqual:
    """An item that would do and cost less for the same need.

    same: one GTIN, the same article from another supplier; else a substitute that the price book
    names. saves: what less the whole would cost. arrives: when it could be here; None = not known.
    """

    item: Item
    priced: Priced
    saves: Cost
    same: bool
    arrives: date | None


class Equals:
    """The items that are for sale, looked up for what may stand in for one of them."""

    def __init__(self, items: Mapping[ItemKey, Item], calendar: WorkingDays, asked: date) -> None:
        self._items = items
        self._calendar = calendar
        self._asked = asked

    def cheaper(self, item: Item, needed: int, cost: Cost) -> tuple[CheaperEqual, ...]:
        """What would cover so many packs of an item for less, the cheapest first.

        cost: what they cost as they are. Prices of another currency are not compared.
        """
        found = []
        for other, same in self._equals(item):
            if other.discontinued or other.cost.currency != cost.currency:
                continue
            priced = quantity_to_buy(other, -(-needed // stands_for(other, item)))
            if priced.total < cost:
                saves = Cost(cost.units - priced.total.units, cost.currency)
                found.append(CheaperEqual(other, priced, saves, same, self.arrival(other)))
        found.sort(key=lambda each: (each.priced.total, each.item.supplier, each.item.sku))
        return tuple(found)

    def arrival(self, item: Item) -> date | None:
        """When it is here if ordered on the day asked; None = nobody states lead days."""
        return self._calendar.after(self._asked, item.lead_days) if item.lead_days else None

    def _equals(self, item: Item) -> Iterator[tuple[Item, bool]]:
        for sku in item.terms.substitutes:
            other = self._items.get((item.supplier, sku))
            if other is not None:
                yield other, False
        if is_gtin(item.barcode):
            for other in self._by_gtin.get(as_gtin_14(item.barcode), ()):
                if other.supplier != item.supplier:
                    yield other, True

    @cached_property
    def _by_gtin(self) -> Mapping[str, Iterable[Item]]:
        found: dict[str, list[Item]] = {}
        for item in self._items.values():
            if is_gtin(item.barcode):
                found.setdefault(as_gtin_14(item.barcode), []).append(item)
        return found


def stands_for(other: Item, item: Item) -> int:
    """How many packs of an item one pack of the other stands in for [count].

    More than one only where the other may be broken: a pack of 25 screws for 25 single ones.
    """
    if not other.terms.breakable:
        return 1
    held = {supply.piece: supply.quantity for supply in other.supplies}
    counts = (held.get(supply.piece, 0) // supply.quantity for supply in item.supplies)
    return max(1, min(counts, default=1))
