"""On what terms an item is bought and kept: what may stand in for it, and how much at a time."""

from dataclasses import dataclass

from wholekit.domain.quantities import Cost


@dataclass(frozen=True, slots=True)
class PriceBreak:
    """From so many packs on in one order [packs], what each of them costs."""

    packs: int
    cost: Cost


@dataclass(frozen=True, slots=True)
class BuyingTerms:
    """What the price book says beside the price.

    substitutes: SKUs of the same book, each of which holds at least the pieces of this item, in its
    finish. Directed: that A may stand in for B does not say that B may for A. breakable: a pack may
    be opened, and part of it picked. reorder_at: the point at or below which more is bought
    [packs]; None = bought for orders only. least_order: the fewest in one order [packs].
    price_breaks: by rising quantity, each cheaper than the one before.
    """

    substitutes: tuple[str, ...] = ()
    breakable: bool = False
    reorder_at: int | None = None
    least_order: int = 1
    price_breaks: tuple[PriceBreak, ...] = ()


USUAL_TERMS = BuyingTerms()
