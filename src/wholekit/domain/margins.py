"""What a job earns: margin = (price - cost) / price; and the floor that flags."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from wholekit.domain.quantities import COST_DIGITS, Cost, Money, currency_digits


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


def rounded_together(costs: Sequence[Cost], whole: Money) -> tuple[Money, ...]:
    """Costs to the minor unit, so that they add up to their rounded sum, `whole` [Money]: each is
    rounded down, and the units that then lack go one by one to the largest remainders (the
    method of the largest remainder, from memory). Each is off its cost by one unit at most.

    Raises ValueError where the whole is a unit or more off the sum of the costs.

    >>> costs = [Cost(10_050, "USD"), Cost(10_050, "USD"), Cost(10_000, "USD")]
    >>> [each.minor for each in rounded_together(costs, Money(301, "USD"))]
    [101, 100, 100]
    """
    # How many ten-thousandths there are in one minor unit.
    unit = Fraction(10**COST_DIGITS, 10 ** currency_digits(whole.currency))
    exact = [cost.units / unit for cost in costs]
    shown = [value.__floor__() for value in exact]
    lacking = whole.minor - sum(shown)
    if abs(whole.minor - sum(exact, Fraction(0))) >= 1:
        raise ValueError(f"{whole.decimal_text} is not the sum of the costs, rounded")
    by_remainder = sorted(range(len(exact)), key=lambda at: shown[at] - exact[at])
    for at in by_remainder[:lacking]:
        shown[at] += 1
    return tuple(Money(minor, whole.currency) for minor in shown)
