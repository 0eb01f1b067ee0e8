"""Taxes and freight rates of a ship-to place, as the command line writes them."""

import re
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from wholekit.domain.catalog.nearest_words import nearest_first
from wholekit.domain.errors import CallError
from wholekit.domain.quantities import Money, parse_money, parse_share
from wholekit.domain.tax import FreightRate, LineKind, TaxRate

FREIGHT = "freight"
_FREE_FROM = re.compile(r"^(.*?)(?:,\s*free\s+from\b\s*(.*))?$", re.IGNORECASE | re.DOTALL)


def read_tax(text: str, since: date | None) -> TaxRate:
    """`NAME=RATE` or `NAME=RATE:KIND,KIND`, in force from a day. Raises CallError, QuantityError.

    >>> read_tax("state=6.25%:hardware,freight", None).rate
    Fraction(1, 16)
    """
    name, sign, rest = text.partition("=")
    rate, colon, given = rest.partition(":")
    kinds = [kind.strip().lower() for kind in given.split(",") if kind.strip()]
    if not sign or not name.strip() or (colon and not kinds):
        raise CallError("tax-wrong", given=text)
    known = [line_kind.value for line_kind in LineKind]
    for kind in kinds:
        if kind not in known:
            raise CallError("tax-kind-unknown", given=kind, known=nearest_first(kind, known))
    return TaxRate(name.strip(), parse_share(rate), frozenset(map(LineKind, kinds)), since)


def read_freights(
    texts: Sequence[str], currency: str, share: str | None, free_from: str | None
) -> tuple[FreightRate, ...]:
    """The freight rates of a place, the usual one first.

    Either any number of `NAME=CHARGE`, or one amount without a name with its share and the hardware
    from which on it is free beside it. Raises CallError, QuantityError.
    """
    if share is None and free_from is None:
        return tuple(read_freight(text, currency) for text in texts)
    named = next((text for text in texts if "=" in text), None)
    if named is not None or len(texts) > 1:
        raise CallError("freight-options-apart", given=named or texts[-1])
    flat = parse_money(texts[0] if texts else "0", currency)
    part = Fraction(0) if share is None else parse_share(share)
    free = None if free_from is None else parse_money(free_from, currency)
    if not flat.minor and not part:
        raise CallError("freight-of-nothing")
    return (FreightRate(FREIGHT, flat, part, free),)


def read_freight(text: str, currency: str) -> FreightRate:
    """`NAME=AMOUNT`, `NAME=SHARE%` or both with a plus sign, and from what on it is free.

    Without a name it is called freight. Raises CallError, QuantityError.

    >>> rate = read_freight("dock truck=45.00+3%, free from 2000", "USD")
    >>> rate.name, rate.flat.minor, rate.share, rate.free_from.minor
    ('dock truck', 4500, Fraction(3, 100), 200000)
    """
    name, sign, rest = text.partition("=")
    if not sign:
        name, rest = FREIGHT, text
    found = _FREE_FROM.match(rest.strip())
    charge, free = ("", None) if found is None else found.groups()
    flat, share = _charge(text, charge, currency)
    if not name.strip() or (free is not None and not free.strip()):
        raise CallError("freight-wrong", given=text)
    return FreightRate(
        " ".join(name.split()), flat, share, None if free is None else parse_money(free, currency)
    )


def _charge(text: str, charge: str, currency: str) -> tuple[Money, Fraction]:
    """At most one amount and at most one share, in any order."""
    parts = [part.strip() for part in charge.split("+")]
    shares = [part for part in parts if part.endswith("%")]
    amounts = [part for part in parts if not part.endswith("%")]
    if len(shares) > 1 or len(amounts) > 1 or not all(parts):
        raise CallError("freight-wrong", given=text)
    if amounts and not re.match(r"[-−\d]", amounts[0]):
        raise CallError("freight-wrong", given=text)
    return (
        parse_money(amounts[0], currency) if amounts else Money.zero(currency),
        parse_share(shares[0]) if shares else Fraction(0),
    )


def tax_text(rate: TaxRate) -> str:
    """A tax as `read_tax` reads it; its first day is apart.

    >>> tax_text(read_tax("state=6.25%:hardware", None))
    'state=6.25%:hardware'
    """
    kinds = ",".join(sorted(kind.value for kind in rate.kinds))
    return f"{rate.name}={_percent(rate.rate)}{':' if kinds else ''}{kinds}"


def freight_text(rate: FreightRate) -> str:
    """A freight rate as `read_freight` reads it.

    >>> freight_text(read_freight("dock truck=45.00+3%, free from 2000", "USD"))
    'dock truck=45.00+3%, free from 2000.00'
    """
    charge = [rate.flat.decimal_text] if rate.flat.minor or not rate.share else []
    if rate.share:
        charge.append(_percent(rate.share))
    free = "" if rate.free_from is None else f", free from {rate.free_from.decimal_text}"
    return f"{rate.name}={'+'.join(charge)}{free}"


def _percent(share: Fraction) -> str:
    """A share with all its decimals: what is read back is the same."""
    whole = Decimal(share.numerator * 100) / Decimal(share.denominator)
    return f"{whole.normalize():f}%"
