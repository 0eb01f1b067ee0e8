"""Amounts and dates against CLDR 47 and ISO 4217.

Read in the published data: en-US CAD `CA$1,234.50`; fr-CA CAD `1 234,50 $` with U+00A0 twice;
es-US accounting without parentheses; digits of USD, CAD, MXN, EUR 2, JPY 0, KWD 3. The others are
from memory, not read.
"""

from datetime import date
from fractions import Fraction

import pytest

from wholekit.domain.errors import CallError
from wholekit.domain.quantities import Money, currency_digits
from wholekit.domain.quantities.money import ISO_4217_DIGITS
from wholekit.wording.amounts import say_date, say_money, say_percent

NBSP = "\N{NO-BREAK SPACE}"


@pytest.mark.parametrize(
    ("minor", "currency", "locale", "written"),
    [
        (123450, "CAD", "en_US", "CA$1,234.50"),
        (123450, "CAD", "fr_CA", f"1{NBSP}234,50{NBSP}$"),
        (123450, "USD", "en_US", "$1,234.50"),
        (123450, "EUR", "de_DE", f"1.234,50{NBSP}€"),
        (1234, "JPY", "en_US", "¥1,234"),
        (1234567, "KWD", "en_US", f"KWD{NBSP}1,234.567"),
        (-500, "USD", "en_US", "-$5.00"),
    ],
)
def test_an_amount_is_written_as_the_locale_writes_it(minor, currency, locale, written):
    assert say_money(Money(minor, currency), locale) == written


def test_a_negative_amount_in_us_spanish_has_no_parentheses():
    assert "(" not in say_money(Money(-500, "USD"), "es_US")


@pytest.mark.parametrize(
    ("currency", "digits"),
    [("USD", 2), ("CAD", 2), ("MXN", 2), ("EUR", 2), ("JPY", 0), ("KWD", 3)],
)
def test_an_amount_has_the_decimals_that_iso_4217_gives_its_currency(currency, digits):
    assert currency_digits(currency) == digits
    decimals = say_money(Money(10**6 + 1, currency), "en_US").partition(".")[2]
    assert len(decimals) == digits


@pytest.mark.parametrize("currency", ISO_4217_DIGITS)
def test_no_minor_unit_is_lost_on_paper_whatever_decimals_cldr_shows(currency):
    one_more = say_money(Money(1001, currency), "en_US"), say_money(Money(1002, currency), "en_US")
    assert one_more[0] != one_more[1]


def test_a_rate_has_one_decimal_rounded_half_up():
    assert say_percent(Fraction(2005, 10000), "en_US") == "20.1%"
    assert say_percent(Fraction(1, 5), "fr_CA") == f"20,0{NBSP}%"


def test_a_date_is_written_out_so_that_day_and_month_cannot_be_confused():
    assert say_date(date(2026, 3, 4), "en_US") == "March 4, 2026"
    assert say_date(date(2026, 3, 4), "fr_CA") == "4 mars 2026"


def test_an_unknown_locale_is_refused():
    with pytest.raises(CallError) as refused:
        say_money(Money(1, "USD"), "xx_ZZZZ_nonsense")
    assert refused.value.code == "locale-unknown"
