"""Slow and dead stock: what lies on a branch's shelves longer than it should.

Turns and days as in Principles of Accounting, volume 1 (OpenStax), section 10.5: what left, by the
mean of what lay there at the beginning and at the end; what lies there, by what leaves in a day.
Counted in packs, of which those of one item cost the same. From where on stock is slow or dead:
common practice, no source; a house sets the figures (`slow-stock`).
"""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from fractions import Fraction

from wholekit.domain.catalog import ItemKey
from wholekit.domain.rules import RuleBook

RULE = "slow-stock"


class Pace(StrEnum):
    """How an item moves."""

    MOVING = "moving"
    SLOW = "slow"
    DEAD = "dead"


@dataclass(frozen=True, slots=True)
class SlowLimits:
    """Days looked back on; days of cover, or without anything leaving, from which an item is
    slow; days without anything leaving from which it is dead [d]."""

    period: int
    cover: int
    idle: int


@dataclass(frozen=True, slots=True)
class ShelfMoves:
    """An item on the shelves of a branch, over a period that ends with a day [packs].

    promised: of those on hand; before: on hand as the period began; left: to customers in the
    period, less what they brought back onto a shelf. first_came, last_left: whenever that was;
    last_left: None where nothing ever left.
    """

    item: ItemKey
    description: str
    branch: str
    on_hand: int
    promised: int
    before: int
    left: int
    first_came: date
    last_left: date | None

    @property
    def turns(self) -> Fraction:
        """How often what lay there left in the period.

        >>> ShelfMoves(("a", "X"), "", "main", 6, 0, 10, 4, date(2026, 1, 5), None).turns
        Fraction(1, 2)
        """
        return Fraction(2 * self.left, self.before + self.on_hand)

    def idle(self, day: date) -> int:
        """Days since something left, or since it first came where nothing ever did [d]."""
        return max(0, (day - (self.last_left or self.first_came)).days)

    def cover(self, day: date, period: int) -> Fraction | None:
        """Days that what lies there lasts at the pace of the period [d]; None where nothing left.

        What came later than the period began is taken at the pace of the days since.
        """
        if self.left <= 0:
            return None
        seen = min(period, (day - self.first_came).days + 1)
        return Fraction(self.on_hand * max(1, seen), self.left)

    def pace(self, day: date, limits: SlowLimits) -> Pace:
        """Whether it is slow or dead; what is promised whole is about to leave, and is neither."""
        if self.on_hand <= self.promised:
            return Pace.MOVING
        if self.idle(day) >= limits.idle:
            return Pace.DEAD
        cover = self.cover(day, limits.period)
        slow = self.idle(day) >= limits.cover if cover is None else cover >= limits.cover
        return Pace.SLOW if slow else Pace.MOVING


def slow_limits(
    rules: RuleBook, period: int | None = None, cover: int | None = None, idle: int | None = None
) -> SlowLimits:
    """The house's limits; those told in place of them [d]. Raises RuleError."""
    house = {name: int(str(days)) for name, days in rules.mapping(RULE).items()}
    told = {"period": period, "cover": cover, "idle": idle}
    return SlowLimits(**(house | {name: days for name, days in told.items() if days is not None}))
