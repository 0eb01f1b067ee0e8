"""CSV (RFC 4180) of an accepted order for the books: its lines, its taxes, what it comes to."""

import csv
import io
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from wholekit.domain.quotes import Acceptance
from wholekit.domain.quotes.offer import Offer

HEADINGS = ("quote", "row", "name", "quantity", "rate", "base", "amount", "currency")


def order_csv(offer: Offer, accepted: Acceptance) -> bytes:
    """An order with the alternates taken, led by its number and day where they are known, one row
    each; amounts with a point, in the currency's
    own decimals. Rows of openings, extras and freight come before those that follow from them."""
    out = io.StringIO()
    write = csv.writer(out)
    write.writerow(HEADINGS)
    for kind, name, quantity, rate, base, amount in _rows(offer, accepted):
        write.writerow(
            (offer.label, kind, _text(name), quantity, rate, base, amount, offer.currency)
        )
    return out.getvalue().encode()


def _rows(offer: Offer, accepted: Acceptance) -> Iterator[tuple[str, str, str, str, str, str]]:
    had = offer.chosen(accepted.alternates)
    totals = offer.totals_with(accepted.alternates)
    if accepted.order_number:
        yield "order", accepted.order_number, "", "", "", ""
    if accepted.day is not None:
        yield "accepted", accepted.day.isoformat(), "", "", "", ""
    for opening in had.openings:
        price = opening.price.decimal_text
        yield "opening", opening.place, str(opening.quantity), "", "", price
    for extra in had.extras:
        if extra.total is not None:
            amount = extra.total.decimal_text
            yield extra.kind.value, extra.description, str(extra.quantity), "", "", amount
    yield "freight", "", "", "", "", totals.freight.decimal_text
    yield "net", "", "", "", "", totals.net.decimal_text
    for tax in totals.taxes:
        yield "tax", tax.name, "", _decimal(tax.rate), tax.base.decimal_text, tax.tax.decimal_text
    yield "gross", offer.totals.exempt, "", "", "", totals.gross.decimal_text


def _decimal(rate: Fraction) -> str:
    """A share as the books want it: 0.0825."""
    return f"{Decimal(rate.numerator) / Decimal(rate.denominator):f}"


def _text(cell: str) -> str:
    """Text that a spreadsheet program takes for text, even if it begins like a formula."""
    return "'" + cell if cell[:1] in tuple("=+-@\t\r") else cell
