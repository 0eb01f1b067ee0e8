"""Tax rounding against published rules of tax authorities.

Source 1: Rhode Island General Laws § 44-18.1-25 (the rounding rule of the Streamlined Sales and
Use Tax Agreement, section 324), read: tax is carried to the third decimal place and rounded up to
the next cent whenever that place is greater than four; a seller may work it out item by item or
on the invoice.
Source 2: its usual worked example, read in a public article on the rule: a computed tax of 1.234
becomes 1.23, one of 1.235 becomes 1.24.
Source 3: UK, HMRC internal manual VATREC12010 on VAT Notice 700 paragraph 17.5, read: tax worked
out line by line may be rounded to the nearer 1p, and not down.
"""

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wholekit.domain.quantities import Money
from wholekit.domain.tax import LineKind, Rounding, TaxableLine, Taxed, TaxRate, assess

DAY = date(2026, 11, 25)


def taxed(
    amounts: list[int], rate: Fraction, rounding: Rounding, *, inclusive: bool = False
) -> Taxed:
    lines = [TaxableLine(LineKind.HARDWARE, Money(amount, "USD")) for amount in amounts]
    rates = [TaxRate("sales tax", rate)]
    return assess(lines, rates, day=DAY, currency="USD", inclusive=inclusive, rounding=rounding)


def by_the_letter(cents: int, rate: Fraction) -> int:
    """The rule as written: cut after the third place, up whenever it is greater than four."""
    thousandths = int(cents * rate * 10)
    whole, third = divmod(thousandths, 10)
    return whole + (1 if third > 4 else 0)


@pytest.mark.parametrize(("computed", "rounded"), [("1.234", 123), ("1.235", 124)])
def test_the_third_decimal_place_decides(computed, rounded):
    # A rate of one hundredth brings the computed tax about exactly.
    amount = int(Fraction(computed) * 10_000)
    assert taxed([amount], Fraction(1, 100), Rounding.DOCUMENT).tax.minor == rounded


@given(st.integers(0, 10**9), st.integers(0, 20_000).map(lambda part: Fraction(part, 100_000)))
def test_rounding_is_the_rule_by_the_letter(cents, rate):
    assert taxed([cents], rate, Rounding.DOCUMENT).tax.minor == by_the_letter(cents, rate)


@given(
    st.lists(st.integers(0, 10**7), min_size=1, max_size=8),
    st.integers(0, 20_000).map(lambda part: Fraction(part, 100_000)),
)
def test_item_basis_rounds_each_line_and_invoice_basis_the_sum(amounts, rate):
    by_line = taxed(amounts, rate, Rounding.LINE)
    assert by_line.tax.minor == sum(by_the_letter(amount, rate) for amount in amounts)
    by_document = taxed(amounts, rate, Rounding.DOCUMENT)
    assert by_document.tax.minor == by_the_letter(sum(amounts), rate)
    assert by_line.net == by_document.net


def test_the_two_bases_may_differ_by_cents():
    # Three items of 0.50 at 5 %: 2.5 cents each, 3 when rounded by itself, 7.5 together.
    assert taxed([50, 50, 50], Fraction(5, 100), Rounding.LINE).tax.minor == 9
    assert taxed([50, 50, 50], Fraction(5, 100), Rounding.DOCUMENT).tax.minor == 8


def test_a_line_is_never_rounded_down_to_the_whole_penny_below():
    # VAT at 20 % on 1.99 is 39.8p: the nearer penny is 40.
    assert taxed([199], Fraction(20, 100), Rounding.LINE).tax.minor == 40


@given(st.integers(0, 10**9), st.integers(0, 30_000).map(lambda part: Fraction(part, 100_000)))
def test_inclusive_prices_hold_net_and_tax_and_nothing_else(cents, rate):
    found = taxed([cents], rate, Rounding.DOCUMENT, inclusive=True)
    assert found.gross.minor == cents
    assert found.net + found.tax == found.gross
    assert abs(found.net.minor * rate - found.tax.minor) <= 1
