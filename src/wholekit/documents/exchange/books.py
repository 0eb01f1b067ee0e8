"""CSV (RFC 4180) of an accepted order for the books: its lines, its taxes, what it comes to."""

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from wholekit.domain.quantities import Money
from wholekit.domain.quotes import Acceptance
from wholekit.domain.quotes.offer import Offer

HEADINGS = (
    "quote", "row", "name", "quantity", "rate", "base", "amount", "contains_tax", "currency",
)  # fmt: skip
_CONTAINS = {True: "yes", False: "no", None: ""}


@dataclass(frozen=True, slots=True)
class _Row:
    kind: str
    name: str
    amount: Money | None = None
    contains_tax: bool | None = None
    quantity: int | None = None
    rate: Fraction | None = None
    base: Money | None = None


def order_csv(offer: Offer, accepted: Acceptance) -> bytes:
    """An order with the alternates taken, led by its number and day where they are known, one row
    each; amounts with a point, in the currency's own decimals. Rows of openings, extras and freight
    come before those that follow from them.

    contains_tax: whether the amount has the taxes in it; of a tax, whether its base has. So the
    rows before come to `gross` where they say yes, else to `net`; net and the taxes come to gross.
    """
    out = io.StringIO()
    write = csv.writer(out)
    write.writerow(HEADINGS)
    for row in _rows(offer, accepted):
        write.writerow(
            (
                offer.label,
                row.kind,
                text_cell(row.name),
                "" if row.quantity is None else row.quantity,
                "" if row.rate is None else _decimal(row.rate),
                "" if row.base is None else row.base.decimal_text,
                "" if row.amount is None else row.amount.decimal_text,
                _CONTAINS[row.contains_tax],
                offer.currency,
            )
        )
    return out.getvalue().encode()


def _rows(offer: Offer, accepted: Acceptance) -> Iterator[_Row]:
    had = offer.chosen(accepted.alternates)
    totals = offer.totals_with(accepted.alternates)
    inclusive = totals.inclusive
    if accepted.order_number:
        yield _Row("order", accepted.order_number)
    if accepted.day is not None:
        yield _Row("accepted", accepted.day.isoformat())
    for opening in had.openings:
        yield _Row("opening", opening.place, opening.price, inclusive, opening.quantity)
    for extra in had.extras:
        if extra.total is not None:
            name = extra.description
            yield _Row(extra.kind.value, name, extra.total, inclusive, extra.quantity)
    yield _Row("freight", "", totals.freight, inclusive)
    yield _Row("net", "", totals.net, contains_tax=False)
    for tax in totals.taxes:
        yield _Row("tax", tax.name, tax.tax, inclusive, rate=tax.rate, base=tax.base)
    yield _Row("gross", offer.totals.exempt, totals.gross, contains_tax=True)


def _decimal(rate: Fraction) -> str:
    """A share as the books want it: 0.0825."""
    return f"{Decimal(rate.numerator) / Decimal(rate.denominator):f}"


def text_cell(cell: str) -> str:
    """Text that a spreadsheet program takes for text, even if it begins like a formula."""
    return "'" + cell if cell[:1] in tuple("=+-@\t\r") else cell
