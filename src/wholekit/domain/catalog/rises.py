"""A supplier's prices raised by a share, all of them or those of one series."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction

from wholekit.domain.catalog.model import Catalog, Item


@dataclass(frozen=True, slots=True)
class PriceRise:
    """By how much [fraction of the price before], from which day on; series: empty = all."""

    share: Fraction
    day: date
    series: str = ""

    @property
    def text(self) -> str:
        """The share as it is written, to its last digit.

        >>> PriceRise(Fraction(1, 16), date(2027, 1, 1)).text
        '+6.25%'
        """
        share = Decimal(self.share.numerator) * 100 / Decimal(self.share.denominator)
        plain = f"{share:f}"
        return (
            f"{'' if share < 0 else '+'}{plain.rstrip('0').rstrip('.') if '.' in plain else plain}%"
        )


@dataclass(frozen=True, slots=True)
class PlannedRise:
    """A rise that a supplier has told of and that is not loaded yet."""

    id: str
    catalog: str
    rise: PriceRise
    at: datetime
    by: str


def raised(catalog: Catalog, rise: PriceRise) -> Catalog:
    """The catalogue with list price, cost and price breaks raised, each rounded half up by itself;
    its edition is the day. An item is of every series that it supplies a piece of."""
    pieces = {
        piece.id
        for series in catalog.series
        if rise.series in ("", series.id)
        for piece in series.pieces
    }
    return replace(
        catalog, edition=rise.day, items=tuple(_items(catalog, frozenset(pieces), rise.share))
    )


def _items(catalog: Catalog, pieces: frozenset[str], share: Fraction) -> Iterator[Item]:
    factor = 1 + share
    for item in catalog.items:
        if not any(supply.piece in pieces for supply in item.supplies):
            yield item
            continue
        breaks = tuple(
            replace(each, cost=each.cost.scaled(factor)) for each in item.terms.price_breaks
        )
        terms = replace(item.terms, price_breaks=breaks) if breaks else item.terms
        yield replace(
            item,
            list_price=item.list_price.scaled(factor),
            cost=item.cost.scaled(factor),
            terms=terms,
        )
