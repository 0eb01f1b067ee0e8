"""Amounts, percentages, counts and dates as a locale writes them (CLDR, through Babel).

Babel is imported inside the functions: it is wanted only where something is worded.
"""

import re
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING

from wholekit.domain.errors import CallError
from wholekit.domain.quantities import Cost, Money, currency_digits

if TYPE_CHECKING:
    from babel import Locale

MULTIPLIER_DIGITS = 4
NO_BREAK_SPACE = "\N{NO-BREAK SPACE}"
# CLDR's currency spacing, which Babel leaves out: a space between a letter and a digit.
_LETTER_BY_DIGIT = re.compile(r"(?<=[^\W\d_])(?=\d)|(?<=\d)(?=[^\W\d_])")


@lru_cache(maxsize=32)
def read_locale(name: str) -> "Locale":
    """The CLDR locale of a name such as `en_US` or `fr-CA`. Raises CallError if there is none."""
    from babel import Locale, UnknownLocaleError

    try:
        return Locale.parse(name.replace("-", "_"))
    except (UnknownLocaleError, ValueError):
        raise CallError("locale-unknown", locale=name) from None


# A long quote says the same amounts over and over, and Babel takes its time.
@lru_cache(maxsize=16384)
def say_money(amount: Money, locale: str) -> str:
    """An amount with its currency's sign and its own number of decimals (ISO 4217).

    Source: CLDR 47, standard currency pattern and currency spacing of the locale.

    >>> say_money(Money(123450, "CAD"), "en_US")
    'CA$1,234.50'
    >>> say_money(Money(123450, "CAD"), "fr_CA")
    '1\\xa0234,50\\xa0$'
    >>> say_money(Money(14850, "KWD"), "en_US")
    'KWD\\xa014.850'
    """
    from babel.numbers import format_currency

    text = format_currency(amount.decimal, amount.currency, locale=read_locale(locale))
    return _LETTER_BY_DIGIT.sub(NO_BREAK_SPACE, text)


def say_cost(cost: Cost, locale: str) -> str:
    """A cost as `say_money` says an amount, with more decimals where it has any, up to four.

    >>> say_cost(Cost(42_000, "USD"), "en_US"), say_cost(Cost(42_025, "USD"), "de_DE")
    ('$4.20', '4,2025\\xa0$')
    """
    from babel.numbers import format_currency

    value = Decimal(cost.decimal_text)
    digits = max(currency_digits(cost.currency), -int(value.normalize().as_tuple().exponent))
    found = read_locale(locale)
    pattern = re.sub(r"0\.0+", f"0.{'0' * digits}", found.currency_formats["standard"].pattern)
    if not digits:
        pattern = pattern.replace("0.", "0")
    text = format_currency(value, cost.currency, pattern, locale=found, currency_digits=False)
    return _LETTER_BY_DIGIT.sub(NO_BREAK_SPACE, text)


@lru_cache(maxsize=4096)
def say_percent(rate: Fraction, locale: str) -> str:
    """A rate [1] as a percentage with one decimal, rounded half up.

    >>> say_percent(Fraction(1, 3), "en_US"), say_percent(Fraction(-1, 8), "de_DE")
    ('33.3%', '-12,5\\xa0%')
    """
    from babel.numbers import format_percent

    # Rounded here: left to Babel a half would go to the even digit.
    tenths = (abs(rate) * 1000 + Fraction(1, 2)).__floor__()
    value = Decimal(tenths if rate >= 0 else -tenths) / 1000
    pattern = read_locale(locale).percent_formats[None].pattern
    # The last 0 of a locale's pattern is the digit of the ones; decimals come behind it.
    one_decimal = re.sub(r"0(?=[^0]*$)", "0.0", pattern)
    return format_percent(value, format=one_decimal, locale=read_locale(locale))


@lru_cache(maxsize=512)
def say_rate(rate: Fraction, locale: str) -> str:
    """A tax or discount rate [1] as a percentage with as many decimals as it has, up to four.

    >>> say_rate(Fraction(625, 10000), "en_US"), say_rate(Fraction(19, 100), "de_DE")
    ('6.25%', '19\\xa0%')
    """
    from babel.numbers import format_percent

    scale = 10**MULTIPLIER_DIGITS
    value = Decimal((rate * 100 * scale + Fraction(1, 2)).__floor__()) / scale / 100
    pattern = read_locale(locale).percent_formats[None].pattern
    decimals = re.sub(r"0(?=[^0]*$)", "0.####", pattern)
    return format_percent(value, format=decimals, locale=read_locale(locale))


@lru_cache(maxsize=4096)
def say_count(count: int, locale: str) -> str:
    """A whole number with the locale's grouping.

    >>> say_count(12500, "en_US"), say_count(12500, "de_DE")
    ('12,500', '12.500')
    """
    from babel.numbers import format_decimal

    return format_decimal(count, locale=read_locale(locale))


@lru_cache(maxsize=512)
def say_multiplier(multiplier: Fraction, locale: str) -> str:
    """A customer's multiplier [1] as a decimal of up to four places, rounded half up.

    >>> say_multiplier(Fraction(11, 20), "en_US"), say_multiplier(Fraction(11, 20), "fr_CA")
    ('0.55', '0,55')
    """
    from babel.numbers import format_decimal

    scale = 10**MULTIPLIER_DIGITS
    value = Decimal((multiplier * scale + Fraction(1, 2)).__floor__()) / scale
    return format_decimal(value, format="#,##0.####", locale=read_locale(locale))


@lru_cache(maxsize=512)
def say_date(day: date, locale: str) -> str:
    """A date in the locale's long form.

    >>> say_date(date(2026, 11, 25), "en_US"), say_date(date(2026, 11, 25), "de_DE")
    ('November 25, 2026', '25. November 2026')
    """
    from babel.dates import format_date

    return format_date(day, format="long", locale=read_locale(locale))
