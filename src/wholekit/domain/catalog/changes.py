"""What another edition of a catalogue would change: items new, gone, dearer, cheaper, restocked."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from wholekit.domain.catalog.model import Catalog, Item
from wholekit.domain.catalog.terms import BuyingTerms

# Where an item lies in its file says nothing about it.
_COMPARED = tuple(
    name
    for name in Item.__dataclass_fields__
    if name not in ("sku", "supplier", "row", "list_price", "cost", "terms")
)
_TERMS = tuple(BuyingTerms.__dataclass_fields__)


@dataclass(frozen=True, slots=True)
class ItemChange:
    """One item before and after; others: names of fields besides price, cost and stock.

    stock_before, stock_after: what the books say is on hand [packs].
    """

    before: Item
    after: Item
    others: tuple[str, ...]
    stock_before: int = 0
    stock_after: int = 0

    @property
    def price_moved(self) -> int:
        """By how much the list price moved [minor units]; 0 where it stayed."""
        return self.after.list_price.minor - self.before.list_price.minor

    @property
    def price_share(self) -> Fraction | None:
        """The same as a share of the price before [fraction]; None from a price of nothing."""
        return _share(self.before.list_price.minor, self.after.list_price.minor)

    @property
    def cost_moved(self) -> int:
        """By how much the cost moved [1/10 000 of the major unit]."""
        return self.after.cost.units - self.before.cost.units

    @property
    def cost_share(self) -> Fraction | None:
        """The same as a share of the cost before [fraction]."""
        return _share(self.before.cost.units, self.after.cost.units)

    @property
    def stock_moved(self) -> int:
        """By how much the stock moved [packs]."""
        return self.stock_after - self.stock_before


@dataclass(frozen=True, slots=True)
class CatalogChanges:
    """What a load would change. before None: nothing of this catalogue is there yet.

    With another currency than before prices are not compared: every item counts as changed in it.
    """

    before: Catalog | None
    after: Catalog
    new: tuple[Item, ...]
    gone: tuple[Item, ...]
    changed: tuple[ItemChange, ...]
    series_changed: tuple[str, ...]

    @property
    def currency_changed(self) -> bool:
        """Whether prices are in another currency than before."""
        return self.before is not None and self.before.currency != self.after.currency

    @property
    def nothing(self) -> bool:
        """Whether the load would change nothing at all."""
        return self.before is not None and not (
            self.new
            or self.gone
            or self.changed
            or self.series_changed
            or self.currency_changed
            or self.before.supplier != self.after.supplier
            or self.before.edition != self.after.edition
        )

    @property
    def average_rise(self) -> Fraction | None:
        """By how much list prices rise on average [fraction]: the mean of every item's own share,
        those whose price stays among them; None where no item had a price before."""
        return None if self.before is None else _mean(self._shares(), self._priced())

    @property
    def average_of_moved(self) -> Fraction | None:
        """The same of those items alone whose list price moves; None where none does."""
        shares = [share for share in self._shares() if share]
        return _mean(shares, len(shares))

    def _shares(self) -> list[Fraction]:
        if self.currency_changed:
            return []
        found = (change.price_share for change in self.changed)
        return [share for share in found if share is not None]

    def _priced(self) -> int:
        """Items in both books that had a price before [count]."""
        if self.before is None or self.currency_changed:
            return 0
        kept = self.after.items_by_sku
        return sum(item.list_price.minor > 0 and item.sku in kept for item in self.before.items)

    @property
    def dearer(self) -> Sequence[ItemChange]:
        """Items whose list price goes up, the largest share first."""
        found = [change for change in self.changed if change.price_moved > 0]
        return sorted(found, key=lambda change: (-(change.price_share or 0), change.after.sku))

    @property
    def cheaper(self) -> Sequence[ItemChange]:
        """Items whose list price goes down, the largest share first."""
        found = [change for change in self.changed if change.price_moved < 0]
        return sorted(found, key=lambda change: (change.price_share or 0, change.after.sku))


def catalog_changes(before: Catalog | None, after: Catalog) -> CatalogChanges:
    """What stands in `after` and not in `before`, item by item."""
    if before is None:
        every = tuple(series.id for series in after.series)
        return CatalogChanges(None, after, after.items, (), (), every)
    old = before.items_by_sku
    kept = after.items_by_sku
    same_currency = before.currency == after.currency
    new = []
    changed = []
    for item in after.items:
        known = old.get(item.sku)
        if known is None:
            new.append(item)
            continue
        stock = before.counts.get(item.sku, 0), after.counts.get(item.sku, 0)
        if (known is item or known == item) and stock[0] == stock[1]:
            continue
        others = (*_differing(_COMPARED, known, item), *_differing(_TERMS, known.terms, item.terms))
        if not same_currency:
            others = (*others, "currency")
        elif not others and (known.list_price, known.cost, stock[0]) == (
            item.list_price,
            item.cost,
            stock[1],
        ):
            continue
        changed.append(ItemChange(known, item, others, *stock))
    series = {each.id: each for each in before.series}
    now = {each.id: each for each in after.series}
    return CatalogChanges(
        before,
        after,
        tuple(new),
        tuple(item for item in before.items if item.sku not in kept),
        tuple(changed),
        tuple(sorted(name for name in {*series, *now} if series.get(name) != now.get(name))),
    )


def _differing(names: Sequence[str], known: object, other: object) -> Iterator[str]:
    return (name for name in names if getattr(known, name) != getattr(other, name))


def _share(before: int, after: int) -> Fraction | None:
    return None if before == 0 else Fraction(after - before, before)


def _mean(shares: Sequence[Fraction], count: int) -> Fraction | None:
    return sum(shares, Fraction(0)) / count if count else None
