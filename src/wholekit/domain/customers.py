"""Customers: who they are, on what terms they buy, and their price tiers."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction

from wholekit.domain.catalog import Item, Piece, Role
from wholekit.domain.quantities import Money

BOXED_SET = "boxed-set"
LIST = Fraction(1)
_ROLE_ORDER = {role: place for place, role in enumerate(Role)}
# Days before the last day of a certificate from which on it is told [d].
SOON = 30


@dataclass(frozen=True, slots=True)
class PriceTier:
    """A multiplier on list for what a supplier, a series or a kind of item covers; None = any.

    supplier: catalogue id. series: series id. kind: a role (`body`, `cover`, …) or `boxed-set`.
    valid_from, valid_to: both days belong to the span; None = open.
    """

    multiplier: Fraction
    supplier: str | None = None
    series: str | None = None
    kind: str | None = None
    valid_from: date | None = None
    valid_to: date | None = None

    def holds(self, day: date) -> bool:
        """Whether the tier is in force on a day."""
        return (self.valid_from is None or self.valid_from <= day) and (
            self.valid_to is None or day <= self.valid_to
        )

    def covers(self, goods: "Goods") -> bool:
        """Whether the tier holds for an item."""
        return (
            self.supplier in (None, goods.supplier)
            and (self.series in (None, goods.series))
            and self.kind in (None, goods.kind)
        )

    @property
    def weight(self) -> tuple[int, int, int, int]:
        """How specific: conditions named, then series before kind before supplier."""
        series, kind, supplier = (
            int(part is not None) for part in (self.series, self.kind, self.supplier)
        )
        return series + kind + supplier, series, kind, supplier


@dataclass(frozen=True, slots=True)
class Goods:
    """What a tier looks at in an item: its catalogue, its leading piece's series, its kind.

    every_series: of all its pieces, for names of kits alone; no tier looks at it.
    """

    supplier: str
    series: str
    kind: str
    every_series: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class TaxStatus:
    """Whether the customer pays tax: an exemption certificate and the last day it holds."""

    certificate: str = ""
    expires: date | None = None

    def certificate_on(self, day: date) -> str:
        """The certificate in force on a day, or empty."""
        return self.certificate if self.expires is None or day <= self.expires else ""

    def lapse(self, day: date, due: date | None = None) -> str:
        """What is to be told of the certificate on a day: `expired`, `before-due` (its last day is
        before bids are due), `soon` (within SOON days), or empty."""
        if not self.certificate or self.expires is None:
            return ""
        if self.expires < day:
            return "expired"
        if due is not None and self.expires < due:
            return "before-due"
        return "soon" if (self.expires - day).days <= SOON else ""


@dataclass(frozen=True, slots=True)
class PaymentTerms:
    """Days to pay [d], and the terms as they are printed."""

    days: int = 30
    text: str = ""


@dataclass(frozen=True, slots=True)
class PriceTerms:
    """What a customer pays of list: the multiplier, and the tiers that go before it."""

    multiplier: Fraction = LIST
    tiers: tuple[PriceTier, ...] = ()


@dataclass(frozen=True, slots=True)
class Customer:
    """A customer by a short code, and the terms they buy on.

    multiplier: where no tier holds [fraction of list]. currency: ISO 4217. locale: CLDR name.
    version: counts its changes, from 1.
    """

    code: str
    name: str
    address: tuple[str, ...] = ()
    contact: str = ""
    email: str = ""
    phone: str = ""
    currency: str = "USD"
    locale: str = "en_US"
    multiplier: Fraction = LIST
    tiers: tuple[PriceTier, ...] = ()
    tax: TaxStatus = TaxStatus()
    terms: PaymentTerms = PaymentTerms()
    ship_to: str = ""
    note: str = ""
    version: int = 1

    @property
    def price_terms(self) -> PriceTerms:
        """What they pay of list."""
        return PriceTerms(self.multiplier, self.tiers)

    def tier_for(self, goods: Goods, day: date) -> PriceTier | None:
        """The most specific tier in force; of equals the one that began last, then the last."""
        found = [
            (tier.weight, tier.valid_from or date.min, number, tier)
            for number, tier in enumerate(self.tiers)
            if tier.holds(day) and tier.covers(goods)
        ]
        return max(found)[3] if found else None

    def multiplier_for(self, goods: Goods, day: date) -> Fraction:
        """The multiplier on list for an item on a day [fraction]."""
        tier = self.tier_for(goods, day)
        return self.multiplier if tier is None else tier.multiplier

    def overruled_by(self, tier: PriceTier, day: date) -> tuple[int, ...]:
        """The tiers, by place from 1, for which a tier would hold on no day from `day` on.

        Of two of one scope that hold on a day the one that began later counts. Empty where the
        tier would count on some day.
        """
        first, last = tier.valid_from or date.min, tier.valid_to or date.max
        rivals = [
            (place, rival)
            for place, rival in enumerate(self.tiers, start=1)
            if _about(rival) == _about(tier) and (rival.valid_from or date.min) > first
        ]
        at = max(first, day)
        found: list[int] = []
        while at <= last:
            holding = [
                (rival.valid_to or date.max, place) for place, rival in rivals if rival.holds(at)
            ]
            if not holding:
                return ()
            end, place = max(holding)
            found.append(place)
            if end == date.max:
                break
            at = end + timedelta(days=1)
        return tuple(found)

    def with_tier(self, tier: PriceTier) -> "Customer":
        """The customer with one tier more; one of the same scope and first day is replaced."""
        kept = tuple(old for old in self.tiers if _scope(old) != _scope(tier))
        return replace(self, tiers=(*kept, tier))


def goods_of(item: Item, catalog_id: str, pieces: Mapping[str, Piece]) -> Goods:
    """What a price tier looks at in an item; a kind of several roles is a boxed set.

    The leading piece is the one whose role comes first in a kit (a body before arms, arms before
    screws); of one role, the first by id. One screw that another series shares leads nothing.
    """
    supplied = [pieces[supply.piece] for supply in item.supplies if supply.piece in pieces]
    roles = {piece.role.value for piece in supplied}
    kind = next(iter(roles)) if len(roles) == 1 else BOXED_SET
    leading = min(supplied, key=lambda piece: (_ROLE_ORDER[piece.role], piece.id), default=None)
    every = frozenset(piece.series for piece in supplied)
    return Goods(catalog_id, "" if leading is None else leading.series, kind, every)


def net_price(list_price: Money, multipliers: Sequence[Fraction]) -> Money:
    """A net price each: list times every multiplier, rounded half up once [Money].

    >>> net_price(Money(10001, "USD"), [Fraction(1, 2)]).minor
    5001
    """
    factor = LIST
    for multiplier in multipliers:
        factor *= multiplier
    return list_price if factor == LIST else list_price.scaled(factor)


def _about(tier: PriceTier) -> tuple[object, ...]:
    return tier.supplier, tier.series, tier.kind


def _scope(tier: PriceTier) -> tuple[object, ...]:
    return *_about(tier), tier.valid_from
