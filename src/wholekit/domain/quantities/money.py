"""Money as whole minor units of one currency; costs to four decimals."""

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from wholekit.domain.quantities.errors import QuantityError

# Minor-unit digits: ISO 4217 list one, for the currencies a job may be kept in.
ISO_4217_DIGITS = {
    "USD": 2, "CAD": 2, "MXN": 2, "EUR": 2, "GBP": 2, "CHF": 2, "SEK": 2, "NOK": 2, "DKK": 2,
    "PLN": 2, "AUD": 2, "NZD": 2, "JPY": 0, "KRW": 0, "CLP": 0, "KWD": 3, "BHD": 3, "JOD": 3,
}  # fmt: skip
COST_DIGITS = 4
# Whole digits of one amount; and the most that a line or a quote may come to [minor units; for a
# cost ten-thousandths]: thousands of such sums still fit the store's whole numbers of 64 bits.
MOST_DIGITS = 9
MOST_SUM = 10**15
_AMOUNT = re.compile(r"[0-9]+(?:\.[0-9]{1,12})?")


def currency_digits(code: str) -> int:
    """Digits after the point of a currency [count] (ISO 4217). Raises QuantityError if unknown."""
    try:
        return ISO_4217_DIGITS[code]
    except KeyError:
        raise QuantityError("currency-unknown", code, known=sorted(ISO_4217_DIGITS)) from None


@dataclass(frozen=True, slots=True, order=True)
class Money:
    """An amount [whole minor units] in one currency [ISO 4217 code].

    >>> Money(41250, "USD").decimal_text
    '412.50'
    """

    minor: int
    currency: str

    @classmethod
    def zero(cls, currency: str) -> "Money":
        """Nothing, in that currency."""
        return cls(0, currency)

    def __add__(self, other: "Money") -> "Money":
        return Money(self.minor + self._same(other), self.currency)

    def __sub__(self, other: "Money") -> "Money":
        return Money(self.minor - self._same(other), self.currency)

    def times(self, count: int) -> "Money":
        """The amount, count times over."""
        return Money(self.minor * count, self.currency)

    def scaled(self, factor: Fraction) -> "Money":
        """The amount times a factor, rounded half up to the minor unit.

        >>> Money(1005, "USD").scaled(Fraction(1, 2)).minor
        503
        """
        return Money(round_half_up(self.minor * factor), self.currency)

    @property
    def decimal(self) -> Decimal:
        """The amount [major units] as an exact decimal."""
        return Decimal(self.minor).scaleb(-currency_digits(self.currency))

    @property
    def decimal_text(self) -> str:
        """The amount with the currency's own digits and a point: `412.50`, JPY `41250`."""
        return f"{self.decimal:.{currency_digits(self.currency)}f}"

    def _same(self, other: "Money") -> int:
        if other.currency != self.currency:
            raise QuantityError("currency-mixed", f"{self.currency} and {other.currency}")
        return other.minor


@dataclass(frozen=True, slots=True, order=True)
class Cost:
    """What the supplier pays: ten-thousandths of the major unit [1/10 000], one currency."""

    units: int
    currency: str

    def __add__(self, other: "Cost") -> "Cost":
        if other.currency != self.currency:
            raise QuantityError("currency-mixed", f"{self.currency} and {other.currency}")
        return Cost(self.units + other.units, self.currency)

    def times(self, count: int) -> "Cost":
        """The cost, count times over."""
        return Cost(self.units * count, self.currency)

    def scaled(self, factor: Fraction) -> "Cost":
        """The cost times a factor, rounded half up to its fourth decimal.

        >>> Cost(33_333, "USD").scaled(Fraction(106, 100)).units
        35333
        """
        return Cost(round_half_up(self.units * factor), self.currency)

    @property
    def as_money(self) -> Money:
        """The cost rounded half up to the currency's minor unit."""
        scale = Fraction(10 ** currency_digits(self.currency), 10**COST_DIGITS)
        return Money(round_half_up(self.units * scale), self.currency)

    @property
    def decimal_text(self) -> str:
        """The cost with its four digits: `101.2500`."""
        return f"{Decimal(self.units).scaleb(-COST_DIGITS):.{COST_DIGITS}f}"


def round_half_up(value: Fraction) -> int:
    """Round to the nearest whole number, halves away from zero.

    >>> round_half_up(Fraction(5, 2)), round_half_up(Fraction(-5, 2))
    (3, -3)
    """
    magnitude = (abs(value) + Fraction(1, 2)).__floor__()
    return magnitude if value >= 0 else -magnitude


def parse_money(text: str, currency: str) -> Money:
    """Read a plain amount (`412.50`); no more decimals than ISO 4217 gives the currency.

    Raises QuantityError: unreadable, negative, above 999,999,999, too many decimals, unknown
    currency.

    >>> parse_money("412.5", "USD").minor
    41250
    """
    return Money(_scaled(text, currency, currency_digits(currency)), currency)


def parse_cost(text: str, currency: str) -> Cost:
    """Read a cost of at most four decimals. Raises QuantityError.

    >>> parse_cost("0.0375", "USD").units
    375
    """
    currency_digits(currency)
    return Cost(_scaled(text, currency, COST_DIGITS), currency)


def _scaled(text: str, currency: str, digits: int) -> int:
    cleaned = text.strip()
    if cleaned.startswith(("-", "−")):
        raise QuantityError("money-negative", text)
    if not _AMOUNT.fullmatch(cleaned):
        raise QuantityError("money-unreadable", text)
    if len(cleaned.partition(".")[0].lstrip("0")) > MOST_DIGITS:
        raise QuantityError("money-over-limit", text, most=10**MOST_DIGITS - 1)
    if len(cleaned.partition(".")[2]) > digits:
        raise QuantityError("money-too-many-decimals", text, currency=currency, digits=digits)
    return int(Decimal(cleaned).scaleb(digits))
