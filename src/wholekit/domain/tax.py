"""Tax and freight by ship-to: named rates, exemption, inclusive or exclusive, rounding as set.

The order: amounts are summed (or not, where a line rounds for itself) by the kinds of line a rate
holds for; each named rate is worked out exactly and rounded half up once, per line or per document
as the ship-to says. Source of both ways of rounding: see tests/published/tax.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from fractions import Fraction

from wholekit.domain.quantities import Money


class LineKind(StrEnum):
    """What a line is, for tax: hardware (kits and loose hardware), freight, labour, other."""

    HARDWARE = "hardware"
    FREIGHT = "freight"
    LABOUR = "labour"
    OTHER = "other"


class Rounding(StrEnum):
    """Where tax is rounded: line by line, or once for each rate over the document."""

    LINE = "line"
    DOCUMENT = "document"


@dataclass(frozen=True, slots=True)
class TaxRate:
    """One named rate [fraction of the net amount], for some kinds of line and a span of days.

    kinds: empty = every kind. valid_from, valid_to: both days belong to the span; None = open.
    exemptible: whether an exemption certificate sets it aside.
    """

    name: str
    rate: Fraction
    kinds: frozenset[LineKind] = frozenset()
    valid_from: date | None = None
    valid_to: date | None = None
    exemptible: bool = True

    def holds(self, day: date) -> bool:
        """Whether the rate is in force on a day."""
        return (self.valid_from is None or self.valid_from <= day) and (
            self.valid_to is None or day <= self.valid_to
        )

    def covers(self, kind: LineKind) -> bool:
        """Whether the rate holds for a kind of line."""
        return not self.kinds or kind in self.kinds


@dataclass(frozen=True, slots=True)
class FreightRate:
    """What delivery costs the customer: a flat amount [Money] plus a share of the hardware.

    Hardware is what LineKind.HARDWARE is: kits and the loose hardware of extra lines.
    free_from: hardware net from which on there is none [Money]; None = never free.
    """

    name: str
    flat: Money
    share: Fraction = Fraction(0)
    free_from: Money | None = None

    def charge(self, hardware: Money) -> Money:
        """The freight on so much hardware net [Money], rounded half up once."""
        if hardware.minor <= 0:
            return Money.zero(hardware.currency)
        if self.free_from is not None and hardware >= self.free_from:
            return Money.zero(hardware.currency)
        return self.flat + hardware.scaled(self.share)


@dataclass(frozen=True, slots=True)
class ShipTo:
    """A place goods go to, and the rates that hold there.

    freights: what may be charged for delivery, the usual one first; none = no freight.
    inclusive: prices already contain the tax. version: counts its changes, from 1.
    """

    code: str
    name: str
    address: tuple[str, ...] = ()
    taxes: tuple[TaxRate, ...] = ()
    freights: tuple[FreightRate, ...] = ()
    inclusive: bool = False
    rounding: Rounding = Rounding.DOCUMENT
    version: int = 1

    def freight_of(self, name: str = "") -> FreightRate | None:
        """The freight rate of a name, or the usual one; None where there is none such."""
        if not name:
            return self.freights[0] if self.freights else None
        return next((freight for freight in self.freights if freight.name == name), None)

    def freight_named(self, name: str) -> FreightRate | None:
        """As `freight_of`, the name taken with case and outer spaces aside."""
        wanted = name.strip().casefold()
        return next(
            (freight for freight in self.freights if freight.name.casefold() == wanted), None
        )


@dataclass(frozen=True, slots=True)
class TaxableLine:
    """One amount to be taxed [Money], the quantity already in it, and its kind."""

    kind: LineKind
    amount: Money


@dataclass(frozen=True, slots=True)
class NamedTax:
    """One rate's share: the amount it was worked out on and the tax [Money]."""

    name: str
    rate: Fraction
    base: Money
    tax: Money


@dataclass(frozen=True, slots=True)
class Taxed:
    """Net, taxes by name, and gross [Money]. exempt: what certificate set taxes aside, or empty."""

    net: Money
    taxes: tuple[NamedTax, ...]
    gross: Money
    exempt: str = ""

    @property
    def tax(self) -> Money:
        """All taxes together [Money]."""
        return Money(sum(charge.tax.minor for charge in self.taxes), self.net.currency)


def assess(
    lines: Sequence[TaxableLine],
    rates: Sequence[TaxRate],
    *,
    day: date,
    currency: str,
    inclusive: bool = False,
    rounding: Rounding = Rounding.DOCUMENT,
    certificate: str = "",
) -> Taxed:
    """Tax on lines by the rates in force on a day.

    Exclusive: gross = net + taxes. Inclusive: the amounts are gross; each rate's tax is
    amount × rate / (1 + all rates on that kind), and net = gross - taxes. A certificate sets
    aside every rate that may be; under inclusive prices the amounts are then taken as they are.

    >>> vat = TaxRate("VAT", Fraction(25, 100))
    >>> amounts = [TaxableLine(LineKind.HARDWARE, Money(19_775_000, "DKK"))]
    >>> assess(amounts, [vat], day=date(2026, 1, 1), currency="DKK").gross.decimal_text
    '247187.50'
    """
    in_force = [rate for rate in rates if rate.holds(day) and not (certificate and rate.exemptible)]
    set_aside = bool(certificate) and any(rate.exemptible for rate in rates if rate.holds(day))
    total = Money(sum(line.amount.minor for line in lines), currency)
    taxes = []
    for rate in in_force:
        covered = [line for line in lines if rate.covers(line.kind)]
        exact = [_exact(line, rate, in_force, inclusive) for line in covered]
        if rounding is Rounding.LINE:
            tax = sum(_rounded(amount, currency).minor for amount in exact)
        else:
            tax = _rounded(sum(exact, Fraction(0)), currency).minor
        base = Money(sum(line.amount.minor for line in covered), currency)
        taxes.append(NamedTax(rate.name, rate.rate, base, Money(tax, currency)))
    tax_total = Money(sum(named.tax.minor for named in taxes), currency)
    net, gross = (total - tax_total, total) if inclusive else (total, total + tax_total)
    return Taxed(net, tuple(taxes), gross, certificate if set_aside else "")


def net_factor(kind: LineKind, place: ShipTo | None, day: date, certificate: str) -> Fraction:
    """What is net of an amount of a kind [fraction]: less than one where prices contain tax.

    >>> place = ShipTo("x", "X", taxes=(TaxRate("VAT", Fraction(1, 4)),), inclusive=True)
    >>> net_factor(LineKind.HARDWARE, place, date(2026, 1, 1), "")
    Fraction(4, 5)
    """
    if place is None or not place.inclusive:
        return Fraction(1)
    rates = [
        tax.rate
        for tax in place.taxes
        if tax.holds(day) and tax.covers(kind) and not (certificate and tax.exemptible)
    ]
    return 1 / (1 + sum(rates, Fraction(0)))


def _exact(line: TaxableLine, rate: TaxRate, rates: Sequence[TaxRate], inclusive: bool) -> Fraction:
    """A rate's tax on a line [minor units], not rounded."""
    if not inclusive:
        return line.amount.minor * rate.rate
    together = sum((tax_rate.rate for tax_rate in rates if tax_rate.covers(line.kind)), Fraction(0))
    return line.amount.minor * rate.rate / (1 + together)


def _rounded(minor: Fraction, currency: str) -> Money:
    return Money(1, currency).scaled(minor)
