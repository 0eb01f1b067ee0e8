"""What the owner asks, as tables for a spreadsheet: figures are numbers, and no formula is in them.

They hold cost, and never leave the house.
"""

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal

from wholekit.documents.exchange.workbook import Cell, WorkSheet
from wholekit.domain.catalog import ItemKey
from wholekit.domain.concessions import Concessions
from wholekit.domain.earnings import Drift, Earning, Fate, WinRate
from wholekit.domain.quantities import Cost, Money
from wholekit.services.margin_reports import MarginReport
from wholekit.services.stock_slow import SlowItem
from wholekit.services.stock_value import ValuedItem
from wholekit.wording.concessions import say_way
from wholekit.wording.job_sentences import LOST
from wholekit.wording.margin_keys import say_key
from wholekit.wording.speech import tr


def margin_sheets(report: MarginReport, wins: WinRate) -> tuple[WorkSheet, ...]:
    """Margins by a key with their total, what stands under the floor, and what became of each
    quote."""
    under = [each for each in report.earnings if each.margin.under(report.floor)]
    currency = report.currency
    return (
        _earnings(tr("Margins"), report, (*report.earnings, report.total)),
        _earnings(tr("Under the floor"), report, under),
        WorkSheet(
            tr("Won and lost"),
            (tr("What became of it"), tr("Quotes"), f"{tr('Net')} [{currency}]"),
            (
                (tr("Won"), wins.won, wins.won_net),
                (tr("Lost"), wins.lost, wins.lost_net),
                (tr("Open"), wins.open, wins.open_net),
                *(
                    (tr("lost: {why}").format(why=_lost(reason)), count, net)
                    for reason, count, net in wins.lost_by
                ),
            ),
        ),
        WorkSheet(
            tr("Quotes"),
            (tr("Quote"), tr("Customer"), tr("Salesperson"), tr("What became of it"), tr("Why"),
             tr("In their words"), f"{tr('Net')} [{currency}]"),
            tuple(map(_fate, wins.fates)),
        ),
    )  # fmt: skip


def discount_sheets(given: Sequence[Concessions]) -> tuple[WorkSheet, ...]:
    """What was given off list, by person and reason."""
    return (
        WorkSheet(
            tr("Discounts"),
            (tr("Person"), tr("By what"), tr("Reason"), tr("Quotes"), tr("Currency"),
             tr("Off list"), tr("List"), tr("Share of list")),
            tuple(
                (
                    each.who,
                    say_way(each.way),
                    each.reason,
                    each.quotes,
                    each.off.currency,
                    each.off,
                    each.of,
                    each.share,
                )
                for each in given
            ),
        ),
    )  # fmt: skip


def drift_sheets(found: Sequence[Drift]) -> tuple[WorkSheet, ...]:
    """Open quotes at another cost, those that lack most for the floor first."""
    return (
        WorkSheet(
            tr("Rises"),
            (tr("Quote"), tr("Job"), tr("Customer"), tr("Valid until"), tr("Currency"),
             tr("Price"), tr("Cost when quoted"), tr("Cost now"), tr("Margin when quoted"),
             tr("Margin now"), tr("Short of the floor"), tr("No longer in a price book")),
            tuple(
                (
                    each.quote,
                    each.job,
                    each.customer,
                    each.valid_until,
                    each.now.price.currency,
                    each.now.price,
                    each.then.cost,
                    each.now.cost,
                    each.then.share,
                    each.now.share,
                    each.short,
                    ", ".join(each.gone),
                )
                for each in found
            ),
        ),
    )  # fmt: skip


def value_sheets(day: date, found: Sequence[ValuedItem]) -> tuple[WorkSheet, ...]:
    """What lay on the shelves on a day, at cost."""
    return (
        WorkSheet(
            tr("Value of stock"),
            (tr("On"), tr("Item"), tr("Supplier"), tr("Packs"), tr("Currency"), tr("Cost of one"),
             tr("Value")),
            tuple(
                (day, each.item[1], each.item[0], each.packs, *_worth(each.cost, each.packs))
                for each in found
            ),
        ),
    )  # fmt: skip


def slow_sheets(
    day: date, found: Sequence[SlowItem], costs: Mapping[ItemKey, Cost]
) -> tuple[WorkSheet, ...]:
    """What lies longer than it should, and what it is worth at cost."""
    return (
        WorkSheet(
            tr("Slow stock"),
            (tr("On"), tr("Pace"), tr("Item"), tr("Supplier"), tr("Description"), tr("Branch"),
             tr("On hand"), tr("Promised"), tr("First came"), tr("Last left"), tr("Days idle"),
             tr("Left in the period"), tr("Turns"), tr("Days of cover"), tr("Currency"),
             tr("Cost of one"), tr("Value")),
            tuple(
                (
                    day,
                    tr(each.pace.value),
                    each.moves.item[1],
                    each.moves.item[0],
                    each.moves.description,
                    each.moves.branch,
                    each.moves.on_hand,
                    each.moves.promised,
                    each.moves.first_came,
                    each.moves.last_left,
                    each.idle,
                    each.moves.left,
                    Decimal(round(float(each.moves.turns), 2)),
                    None if each.cover is None else int(each.cover),
                    *_worth(costs.get(each.moves.item), each.moves.on_hand),
                )
                for each in found
            ),
        ),
    )  # fmt: skip


def _earnings(name: str, report: MarginReport, rows: Sequence[Earning]) -> WorkSheet:
    currency = report.currency
    money = (tr("Price"), tr("Cost"), tr("Earned"), tr("No known cost"))
    price, cost, earned, uncosted = (f"{each} [{currency}]" for each in money)
    return WorkSheet(
        name,
        (tr(report.key.value), tr("Sales"), price, cost, earned, tr("Margin"), uncosted,
         tr("Under the floor")),
        tuple(
            (
                tr("Total") if each is report.total else say_key(each.key),
                each.sales,
                each.margin.price,
                each.margin.cost,
                each.margin.amount,
                each.margin.share,
                each.uncosted,
                tr("under the floor") if each.margin.under(report.floor) else "",
            )
            for each in rows
        ),
    )  # fmt: skip


def _fate(fate: Fate) -> tuple[Cell, ...]:
    why = _lost(fate.lost_reason) if fate.lost_reason else ""
    head = (fate.quote, fate.customer, fate.salesperson, tr(fate.state))
    return (*head, why, fate.remark, fate.net)


def _lost(reason: str) -> str:
    return tr(LOST.get(reason, reason))


def _worth(cost: Cost | None, packs: int) -> tuple[str, Cost | None, Money | None]:
    if cost is None:
        return "", None, None
    return cost.currency, cost, cost.times(packs).as_money
