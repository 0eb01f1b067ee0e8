"""What is net of an offer's parts where prices contain the tax, so that they add up to its net."""

from collections.abc import Sequence
from fractions import Fraction
from itertools import combinations

from wholekit.domain.quantities import Money
from wholekit.domain.quotes.offer import Totals
from wholekit.domain.tax import LineKind, NamedTax, TaxableLine


def taxed_kinds(parts: Sequence[TaxableLine], tax: NamedTax) -> frozenset[LineKind]:
    """The kinds of line that a tax was worked out on: those whose amounts come to its base.

    Of several choices that come to it, the one of most kinds: their amounts are the same.

    >>> from wholekit.domain.quantities import Money
    >>> kits = TaxableLine(LineKind.HARDWARE, Money(10_000, "EUR"))
    >>> freight = TaxableLine(LineKind.FREIGHT, Money(500, "EUR"))
    >>> base = Money(10_000, "EUR")
    >>> tax = NamedTax("VAT", Fraction(1, 4), base, Money(2_000, "EUR"))
    >>> sorted(taxed_kinds([kits, freight], tax))
    [<LineKind.HARDWARE: 'hardware'>]
    """
    sums: dict[LineKind, int] = {}
    for part in parts:
        sums[part.kind] = sums.get(part.kind, 0) + part.amount.minor
    choices = [choice for count in range(len(sums), -1, -1) for choice in combinations(sums, count)]
    return frozenset(
        min(choices, key=lambda choice: abs(sum(sums[kind] for kind in choice) - tax.base.minor))
    )


def net_parts(parts: Sequence[TaxableLine], totals: Totals) -> tuple[Money, ...]:
    """The net amount of each part [Money]; together exactly the totals' net.

    parts: all that the totals are made of, freight too. Each is divided by one plus the rates on
    its kind and rounded half up; the cents by which the sum then misses the net go one by one to
    the largest parts, where they weigh least.
    """
    if not totals.inclusive:
        return tuple(part.amount for part in parts)
    rates: dict[LineKind, Fraction] = {}
    for tax in totals.taxes:
        for kind in taxed_kinds(parts, tax):
            rates[kind] = rates.get(kind, Fraction(0)) + tax.rate
    net = [part.amount.scaled(1 / (1 + rates.get(part.kind, Fraction(0)))).minor for part in parts]
    missing = totals.net.minor - sum(net)
    largest = sorted(range(len(net)), key=lambda at: -net[at])
    for count in range(abs(missing) if net else 0):
        net[largest[count % len(net)]] += 1 if missing > 0 else -1
    return tuple(Money(minor, totals.net.currency) for minor in net)
