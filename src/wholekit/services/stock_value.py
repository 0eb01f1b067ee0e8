"""What stock is worth to the house; owners alone see it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from wholekit.domain.catalog import ItemKey
from wholekit.domain.quantities import Cost
from wholekit.domain.quotes.roles import Action
from wholekit.services.desk import Deed, Desk
from wholekit.services.rights import needs


@dataclass(frozen=True, slots=True)
class ValuedItem:
    """An item on all shelves [packs] and what a pack of it costs; None where no book has it."""

    item: ItemKey
    packs: int
    cost: Cost | None


@needs(Action.SEE_COST)
def stock_on(desk: Desk, deed: Deed, day: date) -> tuple[ValuedItem, ...]:
    """What lay on the shelves at the end of a day, at the cost of today's newest catalogues."""
    with desk.store.reading() as uow:
        costs = uow.catalogs.costs()
        found = uow.stock.on_hand_on(day)
    by_sku = sorted(found.items(), key=lambda entry: entry[0][::-1])
    return tuple(ValuedItem(item, packs, costs.get(item)) for item, packs in by_sku)


@needs(Action.SEE_COST)
def item_costs(desk: Desk, deed: Deed) -> Mapping[ItemKey, Cost]:
    """What a pack of each item costs by the newest catalogues."""
    with desk.store.reading() as uow:
        return uow.catalogs.costs()
