"""Margins, drift, wins and what-ifs as data. These hold cost: they are the owner's."""

from dataclasses import dataclass

from wholekit.domain.earnings import Drift, Earning, WinRate
from wholekit.domain.margins import Margin
from wholekit.domain.quantities import Money
from wholekit.services.margin_reports import MarginReport, WhatIf
from wholekit.wording.answers import PriceAnswer, price_answer
from wholekit.wording.job_sentences import LOST
from wholekit.wording.rates import percent


@dataclass(frozen=True, slots=True)
class MarginAnswer:
    """Price, cost to four decimals, what is earned and its share of the price."""

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
class ReportAnswer:
    """Margins by a key."""

    by: str
    floor: str
    rows: tuple[EarningAnswer, ...]
    total: EarningAnswer


@dataclass(frozen=True, slots=True)
class DriftAnswer:
    """An open quote at present cost."""

    quote: str
    job: str
    customer: str
    valid_until: str
    then: MarginAnswer
    now: MarginAnswer
    short: PriceAnswer
    gone: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LostAnswer:
    """Quotes lost for one reason."""

    reason: str
    quotes: int
    net: PriceAnswer


@dataclass(frozen=True, slots=True)
class WinAnswer:
    """Quotes won and lost."""

    won: int
    lost: int
    open: int
    won_net: PriceAnswer
    lost_net: PriceAnswer
    open_net: PriceAnswer
    rate: str
    rate_by_money: str
    lost_by: tuple[LostAnswer, ...]


@dataclass(frozen=True, slots=True)
class WhatIfAnswer:
    """A job as it is and as it would be."""

    job: str
    now: MarginAnswer
    then: MarginAnswer
    price_moved: PriceAnswer
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

    def said(one: Earning) -> EarningAnswer:
        return EarningAnswer(
            one.key,
            one.sales,
            margin_answer(one.margin),
            price_answer(one.uncosted),
            one.margin.under(report.floor),
        )

    return ReportAnswer(
        report.key.value,
        percent(report.floor),
        tuple(said(one) for one in report.earnings),
        said(report.total),
    )


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
    )


def what_if_answer(found: WhatIf) -> WhatIfAnswer:
    """A what-if as data."""
    moved: Money = found.then.price - found.now.price
    return WhatIfAnswer(
        found.job,
        margin_answer(found.now),
        margin_answer(found.then),
        price_answer(moved),
        found.lacking,
        found.stopped,
    )
