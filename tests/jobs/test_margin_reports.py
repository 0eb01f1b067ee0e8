"""Margins by key, cost drift, quotes won and lost, and what if."""

from dataclasses import replace
from fractions import Fraction

import pytest
from tests.support.fake_store import FakeStore
from tests.support.house import sample
from tests.support.jobs import a_job, by, frozen, furnished, put_catalog

from wholekit.domain.earnings import Key
from wholekit.domain.errors import CallError
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes import State
from wholekit.domain.tax import LineKind
from wholekit.services.job_lines import NewExtra, add_extra
from wholekit.services.jobs import edit_job
from wholekit.services.margin_reports import (
    cost_drift,
    job_margins,
    margin_report,
    what_if_margin,
    what_if_price,
    what_if_supplier,
    win_report,
)
from wholekit.services.ports import RevisionFilter
from wholekit.services.quotes import close_quote, issue_quote

ANY = RevisionFilter()


@pytest.fixture
def desk():
    return furnished(FakeStore(), "tarrowby", "quillmere")


def issued(desk, job, days=0, who="odo"):
    revision = issue_quote(desk, by(who, days), job.label).revision
    assert revision is not None
    return revision


def costing(catalog, factor):
    """The catalogue with every cost times a factor, list prices as they were."""
    return replace(
        catalog,
        items=tuple(
            replace(item, cost=Cost(int(item.cost.units * factor), item.cost.currency))
            for item in catalog.items
        ),
    )


@pytest.mark.parametrize("key", list(Key))
def test_whatever_margins_are_told_by_they_add_up_to_the_whole(desk, key):
    job = a_job(desk, "101", "102")
    add_extra(
        desk, by(), job.label,
        NewExtra(LineKind.HARDWARE, "Hinges", 3, Money(1_250, "USD"), Cost(81_250, "USD")),
    )  # fmt: skip
    add_extra(desk, by(), job.label, NewExtra(LineKind.FREIGHT, "Van", 1, Money(4_000, "USD")))
    snapshot = frozen(issued(desk, job))
    report = margin_report(desk, key, ANY, "USD")
    total = report.total
    assert total.margin.price == Money(
        sum(one.margin.price.minor for one in report.earnings), "USD"
    )
    assert total.margin.cost.units == sum(one.margin.cost.units for one in report.earnings)
    assert total.margin.price + total.uncosted == snapshot.totals.net
    assert total.margin.cost == snapshot.totals.cost
    assert total.uncosted == Money(4_000, "USD"), "what has no known cost earns no margin"


def test_a_quote_counts_once_by_its_last_revision(desk):
    job = a_job(desk, "101")
    issued(desk, job)
    edit_job(desk, by(), job.label, {"site": "East wing"})
    issued(desk, job)
    rows = margin_report(desk, Key.OPENING, ANY, "USD").earnings
    assert [one.key for one in rows] == ["Q-00001/2 101"]


def test_margins_are_on_the_cost_of_the_day_of_quoting(desk):
    issued(desk, a_job(desk, "101"))
    before = margin_report(desk, Key.JOB, ANY, "USD")
    put_catalog(desk.store, costing(sample("tarrowby"), 3))
    put_catalog(desk.store, costing(sample("quillmere"), 3))
    assert margin_report(desk, Key.JOB, ANY, "USD") == before


def test_a_period_holds_what_was_issued_in_it(desk):
    issued(desk, a_job(desk, "101"))
    issued(desk, a_job(desk, "101"), days=10)
    by_month = margin_report(desk, Key.MONTH, ANY, "USD")
    assert [one.key for one in by_month.earnings] == ["2026-11", "2026-12"]
    november = RevisionFilter(issued_to=by(days=5).day)
    assert len(margin_report(desk, Key.JOB, november, "USD").earnings) == 1


def test_a_job_not_yet_issued_has_margins_too(desk):
    job = a_job(desk, "101", "102")
    draft = job_margins(desk, by(), job.label, Key.OPENING)
    snapshot = frozen(issued(desk, job))
    assert [one.margin.price for one in draft.earnings] == [one.price for one in snapshot.openings]


def test_cost_drift_tells_what_an_open_quote_lacks_for_the_floor(desk):
    job = a_job(desk, "101")
    snapshot = frozen(issued(desk, job))
    (calm,) = cost_drift(desk, by())
    assert (calm.then, calm.short) == (calm.now, Money.zero("USD"))
    for name in ("tarrowby", "quillmere"):
        put_catalog(desk.store, costing(sample(name), Fraction(13, 10)))
    (found,) = cost_drift(desk, by(days=1))
    line_cost = sum(
        int(line.cost.units * Fraction(13, 10)) * line.quantity for line in snapshot.kits[0].lines
    )
    assert found.now.cost.units == line_cost
    assert found.then.cost == snapshot.totals.cost
    held = replace(found.now, price=found.now.price + found.short)
    assert not held.under(Fraction(25, 100))
    assert replace(held, price=held.price - Money(1, "USD")).under(Fraction(25, 100))
    assert cost_drift(desk, by(days=31)) == (), "a quote past its day is no longer open"


def test_an_item_no_catalogue_has_any_more_is_named(desk):
    revision = issued(desk, a_job(desk, "101"))
    skus = {line.sku for line in frozen(revision).kits[0].lines}
    for name in ("tarrowby", "quillmere"):
        catalog = sample(name)
        kept = tuple(item for item in catalog.items if item.sku not in skus)
        put_catalog(desk.store, replace(catalog, items=kept))
    (found,) = cost_drift(desk, by())
    assert set(found.gone) == skus
    assert found.now == found.then


def test_win_rate_by_count_and_money_and_why_quotes_were_lost(desk):
    small, large = a_job(desk, "101"), a_job(desk, "101", "102", "103")
    third, fourth = a_job(desk, "101"), a_job(desk, "101")
    each = frozen(issued(desk, small)).totals.net
    for job in (large, third, fourth):
        issued(desk, job)
    close_quote(desk, by(), "Q-1", State.ACCEPTED)
    close_quote(desk, by(), "Q-2", State.DECLINED, lost_reason="price")
    close_quote(desk, by(), "Q-3", State.DECLINED, lost_reason="lead-time")
    found = win_report(desk, by(), ANY, "USD")
    assert (found.won, found.lost, found.open) == (1, 2, 1)
    assert found.rate == Fraction(1, 3)
    assert found.by_money == Fraction(1, 5)
    assert found.lost_by == (("lead-time", 1, each), ("price", 1, each.times(3)))
    later = win_report(desk, by(days=40), ANY, "USD")
    assert (later.lost, later.open) == (3, 0), "the fourth has expired"


def test_an_accepted_revision_outweighs_a_later_one(desk):
    job = a_job(desk, "101")
    issued(desk, job)
    close_quote(desk, by(), "Q-1/1", State.ACCEPTED)
    edit_job(desk, by(), job.label, {"site": "East wing"})
    issued(desk, job)
    close_quote(desk, by(), "Q-1/2", State.DECLINED, lost_reason="price")
    assert win_report(desk, by(), ANY, "USD").won == 1


def test_what_if_tells_margin_at_a_price_and_price_at_a_margin(desk):
    job = a_job(desk, "101")
    at_margin = what_if_margin(desk, by(), job.label, Fraction(40, 100))
    share = at_margin.then.share
    assert share is not None
    assert Fraction(40, 100) <= share < Fraction(401, 1000)
    at_price = what_if_price(desk, by(), job.label, at_margin.then.price)
    assert at_price.then == at_margin.then
    assert at_price.now.price == frozen(issued(desk, job)).totals.net


def test_what_if_another_supplier_gives_the_kits(desk):
    job = a_job(desk, "101")
    for supplier in ("tarrowby", "quillmere"):
        found = what_if_supplier(desk, by(), job.label, supplier)
        assert found.then.cost.units >= found.now.cost.units, "the job had the cheapest of both"
        assert found.lacking == ()
    with pytest.raises(CallError, match="supplier-unknown"):
        what_if_supplier(desk, by(), job.label, "averlund")
