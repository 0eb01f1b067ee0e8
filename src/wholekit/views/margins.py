"""Margins, drift, wins and what-ifs as data. These hold cost: they are the owner's."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from wholekit.domain.earnings import Drift, Earning, WinRate
from wholekit.domain.margins import Margin
from wholekit.services.margin_reports import MarginReport, WhatIf
from wholekit.views.kits import PriceAnswer, price_answer
from wholekit.wording.job_sentences import LOST
from wholekit.wording.margin_keys import say_key
from wholekit.wording.rates import percent

PRICE_IS = "price: hardware and extra lines of known cost, without freight and tax"
NO_COST_IS = "no cost: price of extra lines whose cost is not known; in no margin"
NET_IS = "net: as the quote shows it, with freight and every extra line, without tax"


@dataclass(frozen=True, slots=True)
class MarginAnswer:
    """Price without freight and tax, cost to four decimals, what is earned, its share of the
    price."""

    price: PriceAnswer
    cost: str
    earned: PriceAnswer
    share: str
    markup: str


@dataclass(frozen=True, slots=True)
class EarningAnswer:
    """Margins of one key; uncosted: price of what has no known cost, not in the margin."""

    key: str
    sales: int
    margin: MarginAnswer
    uncosted: PriceAnswer
    under_floor: bool


@dataclass(frozen=True, slots=True)
class LeftOutAnswer:
    """Quotes in another currency than was asked for."""

    currency: str
    quotes: int


@dataclass(frozen=True, slots=True)
class ReportAnswer:
    """Margins by a key; alternates: what each open one would change, in no total."""

    by: str
    currency: str
    floor: str
    rows: tuple[EarningAnswer, ...]
    total: EarningAnswer
    alternates: tuple[EarningAnswer, ...]
    left_out: tuple[LeftOutAnswer, ...]


@dataclass(frozen=True, slots=True)
class DriftAnswer:
    """An open quote at present cost. before: without what is tried of costs; fell: it is under the
    floor, and was not before."""

    quote: str
    job: str
    customer: str
    valid_until: str
    then: MarginAnswer
    now: MarginAnswer
    short: PriceAnswer
    gone: tuple[str, ...]
    before: MarginAnswer
    fell: bool


@dataclass(frozen=True, slots=True)
class LostAnswer:
    """Quotes lost for one reason."""

    reason: str
    quotes: int
    net: PriceAnswer


@dataclass(frozen=True, slots=True)
class FateAnswer:
    """What became of a quote, and why it was lost; remark: in the customer's words;
    revision: the one it became so [count]."""

    quote: str
    customer: str
    salesperson: str
    state: str
    reason: str
    remark: str
    net: PriceAnswer
    revision: int


@dataclass(frozen=True, slots=True)
class WinAnswer:
    """Quotes won and lost; nets as quoted, with freight and without tax."""

    won: int
    lost: int
    open: int
    won_net: PriceAnswer
    lost_net: PriceAnswer
    open_net: PriceAnswer
    rate: str
    rate_by_money: str
    lost_by: tuple[LostAnswer, ...]
    quotes: tuple[FateAnswer, ...]
    left_out: tuple[LeftOutAnswer, ...]


@dataclass(frozen=True, slots=True)
class WhatIfAnswer:
    """A job's base bid as it is and as it would be; nets as the quote shows them."""

    job: str
    now: MarginAnswer
    then: MarginAnswer
    price_moved: PriceAnswer
    net_now: PriceAnswer
    net_then: PriceAnswer
    net_moved: PriceAnswer
    lacking: tuple[str, ...]
    stopped: tuple[str, ...]


def margin_answer(margin: Margin) -> MarginAnswer:
    """A margin as data; the markup is what is earned over the cost."""
    markup = None
    share = margin.share
    if share is not None and margin.cost.units:
        markup = share / (1 - share)
    return MarginAnswer(
        price_answer(margin.price),
        margin.cost.decimal_text,
        price_answer(margin.amount),
        percent(share),
        percent(markup),
    )


def report_answer(report: MarginReport) -> ReportAnswer:
    """A report as data."""

    def said(earning: Earning, floor: Fraction | None = report.floor) -> EarningAnswer:
        return EarningAnswer(
            say_key(earning.key),
            earning.sales,
            margin_answer(earning.margin),
            price_answer(earning.uncosted),
            floor is not None and earning.margin.under(floor),
        )

    return ReportAnswer(
        report.key.value,
        report.currency,
        percent(report.floor),
        tuple(said(earning) for earning in report.earnings),
        said(report.total),
        # A floor is for a whole price, not for a change of it.
        tuple(said(alternate, None) for alternate in report.alternates),
        tuple(LeftOutAnswer(*row) for row in report.left_out),
    )


def say_left_out(left_out: Sequence[LeftOutAnswer]) -> Iterator[str]:
    """What was left out, and how to see it.

    >>> list(say_left_out([LeftOutAnswer("EUR", 2)]))
    ['2 quotes in EUR left out; --currency EUR']
    """
    for out in left_out:
        quotes = "1 quote" if out.quotes == 1 else f"{out.quotes} quotes"
        yield f"{quotes} in {out.currency} left out; --currency {out.currency}"


def drift_answer(drift: Drift) -> DriftAnswer:
    """An open quote at present cost as data."""
    return DriftAnswer(
        drift.quote,
        drift.job,
        drift.customer,
        drift.valid_until.isoformat(),
        margin_answer(drift.then),
        margin_answer(drift.now),
        price_answer(drift.short),
        drift.gone,
        margin_answer(drift.before or drift.then),
        drift.fell,
    )


def win_answer(found: WinRate) -> WinAnswer:
    """Quotes won and lost as data."""
    return WinAnswer(
        found.won,
        found.lost,
        found.open,
        price_answer(found.won_net),
        price_answer(found.lost_net),
        price_answer(found.open_net),
        percent(found.rate),
        percent(found.by_money),
        tuple(
            LostAnswer(LOST.get(reason, reason), count, price_answer(net))
            for reason, count, net in found.lost_by
        ),
        tuple(
            FateAnswer(
                fate.quote,
                fate.customer,
                fate.salesperson,
                fate.state,
                LOST.get(fate.lost_reason, fate.lost_reason),
                fate.remark,
                price_answer(fate.net),
                fate.revision,
            )
            for fate in found.fates
        ),
        tuple(LeftOutAnswer(*row) for row in found.left_out),
    )


def what_if_answer(found: WhatIf) -> WhatIfAnswer:
    """A what-if as data."""
    now, then = found.now, found.then
    return WhatIfAnswer(
        found.job,
        margin_answer(now.margin),
        margin_answer(then.margin),
        price_answer(then.margin.price - now.margin.price),
        price_answer(now.net),
        price_answer(then.net),
        price_answer(then.net - now.net),
        found.lacking,
        found.stopped,
    )
