"""How many packs to order: least order, and price breaks that make more cost less."""

from dataclasses import dataclass

from wholekit.domain.catalog import Item, PriceBreak
from wholekit.domain.quantities import Cost


@dataclass(frozen=True, slots=True)
class Priced:
    """So many packs in one order [packs], each of them and all of them [Cost]."""

    packs: int
    unit: Cost
    total: Cost


def price_at(item: Item, packs: int) -> Priced:
    """What so many packs in one order cost, by the break they reach.

    The house's own cost as the price book has it: freight in is in it or is not, as the book says.
    """
    unit = item.cost
    for each in item.terms.price_breaks:
        if packs >= each.packs:
            unit = each.cost
    return Priced(packs, unit, unit.times(packs))


def quantity_to_buy(item: Item, needed: int) -> Priced:
    """The cheapest order that covers a need [packs] and the least order; of equal ones the smaller.

    More than is needed is ordered only where a break makes the whole order cost less. Raises
    ValueError where nothing is needed.
    """
    if needed < 1:
        raise ValueError(f"{item.sku}: {needed} packs needed")
    least = max(needed, item.terms.least_order)
    # Between two breaks the cost rises with every pack, so that nothing else can be cheapest.
    starts = [each.packs for each in item.terms.price_breaks if each.packs > least]
    return min(
        (price_at(item, packs) for packs in (least, *starts)),
        key=lambda priced: (priced.total, priced.packs),
    )


def next_break(item: Item, packs: int) -> PriceBreak | None:
    """The first break above so many packs; None where there is none."""
    return next((each for each in item.terms.price_breaks if each.packs > packs), None)
