"""A share or rate in data and sentences, the same in every locale."""

from fractions import Fraction


def percent(rate: Fraction | None) -> str:
    """A rate as a percentage with up to three decimals, rounded half up.

    >>> percent(Fraction(1, 3)), percent(Fraction(5, 100)), percent(Fraction(-1, 80))
    ('33.333%', '5%', '-1.25%')
    """
    if rate is None:
        return "n/a"
    thousandths = (abs(rate) * 100_000 + Fraction(1, 2)).__floor__()
    text = f"{thousandths // 1000}.{thousandths % 1000:03d}".rstrip("0").rstrip(".")
    # What rounds to nothing has no sign.
    return f"{'-' if rate < 0 and thousandths else ''}{text}%"
