"""What was given off list, as data: the owner's."""

from dataclasses import dataclass

from wholekit.services.discount_report import DiscountReport
from wholekit.views.kits import PriceAnswer, price_answer
from wholekit.views.margins import LeftOutAnswer
from wholekit.wording.concessions import say_way
from wholekit.wording.rates import percent

OFF_IS = (
    "off list: list prices of hardware less what was quoted for it; below zero, put up; "
    "who: who set it, and of a customer's multipliers who sells"
)


@dataclass(frozen=True, slots=True)
class ConcededAnswer:
    """What one person gave by one way for one reason. of: list of what it was given on."""

    who: str
    way: str
    reason: str
    quotes: int
    off: PriceAnswer
    of: PriceAnswer
    share: str


@dataclass(frozen=True, slots=True)
class DiscountAnswer:
    """What was given, by person and reason; off: all together."""

    currency: str
    quotes: int
    rows: tuple[ConcededAnswer, ...]
    off: PriceAnswer
    left_out: tuple[LeftOutAnswer, ...]


def discount_answer(report: DiscountReport) -> DiscountAnswer:
    """A report as data."""
    return DiscountAnswer(
        report.currency,
        report.quotes,
        tuple(
            ConcededAnswer(
                each.who,
                say_way(each.way),
                each.reason,
                each.quotes,
                price_answer(each.off),
                price_answer(each.of),
                percent(each.share),
            )
            for each in report.given
        ),
        price_answer(report.off),
        tuple(LeftOutAnswer(*row) for row in report.left_out),
    )
