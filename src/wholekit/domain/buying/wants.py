"""What asks for goods: bags that wait, and shelves that run low."""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from wholekit.domain.catalog import ItemKey


@dataclass(frozen=True, slots=True)
class Shortage:
    """Packs that a bag waits for and no free stock covers.

    packs: above nothing [packs]; a part of one only where the item is breakable, else it counts as
    a whole one. needed_by: the day promised; None = no day was. order, bag: for whom.
    """

    item: ItemKey
    packs: Fraction
    needed_by: date | None
    order: str
    bag: str

    def __post_init__(self) -> None:
        if self.packs <= 0:
            raise ValueError(f"{self.item}: {self.packs} packs short")


@dataclass(frozen=True, slots=True)
class Coming:
    """Packs under way in an order that was placed [packs], and when; None = no day is known."""

    packs: int
    day: date | None


@dataclass(frozen=True, slots=True)
class StockPosition:
    """What a branch has free of an item, and what is under way to it [packs]."""

    item: ItemKey
    free: int = 0
    coming: tuple[Coming, ...] = ()

    @property
    def on_order(self) -> int:
        """All that is under way [packs]."""
        return sum(each.packs for each in self.coming)
