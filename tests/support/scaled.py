"""Catalogues of any size built like the samples: their series cloned, or only some taken."""

import random
from collections.abc import Sequence
from dataclasses import replace

from wholekit.domain.catalog import Catalog, Item, Series, Supply
from wholekit.domain.quantities import Cost, Money


def scaled_catalogs(samples: Sequence[Catalog], items: int, seed: int = 1) -> list[Catalog]:
    """Catalogues with just so many items [count] over all: whole finishes of whole samples first.

    Under the samples' own number, finishes are left out, then items; over it, every sample is
    cloned as a supplier of its own with other prices, so that choices grow as they would in
    trade: more suppliers, not more of one.
    """
    draw = random.Random(seed)
    found: list[Catalog] = []
    left = items
    generation = 0
    while left > 0:
        for sample in samples:
            if left <= 0:
                break
            clone = _clone(sample, generation, draw) if generation else sample
            if len(clone.items) > left:
                clone = replace(clone, items=_fewer(clone, left))
            left -= len(clone.items)
            found.append(clone)
        generation += 1
    return found


def _fewer(catalog: Catalog, count: int) -> tuple[Item, ...]:
    """Items without a finish and of the finish sold most, then the rest, up to the count."""
    finishes = [item.finish for item in catalog.items if item.finish]
    order = sorted(set(finishes), key=lambda finish: (-finishes.count(finish), finish))
    ranked = sorted(
        catalog.items,
        key=lambda item: -1 if item.finish is None else order.index(item.finish),
    )
    return tuple(ranked[:count])


def _clone(sample: Catalog, generation: int, draw: random.Random) -> Catalog:
    return replace(
        sample,
        id=f"{sample.id}-{generation}",
        supplier=f"{sample.supplier} {generation}",
        items=tuple(_reprice(item, generation, draw) for item in sample.items),
        series=tuple(_renamed(series, generation) for series in sample.series),
    )


def _renamed(series: Series, generation: int) -> Series:
    return replace(series, title=f"{series.title} {generation}")


def _reprice(item: Item, generation: int, draw: random.Random) -> Item:
    factor = draw.randint(80, 125)
    return replace(
        item,
        sku=f"{item.sku}-{generation}",
        supplier=f"{item.supplier} {generation}",
        list_price=Money(max(1, item.list_price.minor * factor // 100), item.list_price.currency),
        cost=Cost(max(1, item.cost.units * factor // 100), item.cost.currency),
        supplies=tuple(Supply(supply.piece, supply.quantity) for supply in item.supplies),
    )
