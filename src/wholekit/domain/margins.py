"""What a job earns: margin = (price - cost) / price; and the floor that flags."""

from dataclasses import dataclass
from fractions import Fraction

from wholekit.domain.quantities import Cost, Money


@dataclass(frozen=True, slots=True)
class Margin:
    """Price and cost [Money, Cost], what is earned, and as a share of the price."""

    price: Money
    cost: Cost

    @property
    def amount(self) -> Money:
        """Price less cost, the cost rounded once [Money]."""
        return self.price - self.cost.as_money

    @property
    def share(self) -> Fraction | None:
        """(price - cost) / price from the exact cost; None where the price is nothing or less.

        What an alternate takes away has a price below zero, and no share of it means anything.

        Source: the definition of gross margin in use in the trade (common practice, no source).

        >>> Margin(Money(10000, "USD"), Cost(750_000, "USD")).share
        Fraction(1, 4)
        """
        if self.price.minor <= 0:
            return None
        price = Fraction(self.price.decimal)
        return (price - Fraction(self.cost.units, 10_000)) / price

    def under(self, floor: Fraction) -> bool:
        """Whether the margin is below a floor [fraction of the price]; nothing sold is not."""
        share = self.share
        return share is not None and share < floor
