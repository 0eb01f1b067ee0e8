"""What comes to more than a store holds is refused when entered, or before it is issued."""

import pytest
from tests.support.databases import ENGINES
from tests.support.fake_store import FakeStore
from tests.support.jobs import a_job, by, furnished

from wholekit.domain.errors import CallError
from wholekit.domain.quantities import MOST_SUM, Cost, Money
from wholekit.domain.quotes import Override, OverrideKind
from wholekit.domain.tax import LineKind
from wholekit.services.job_lines import NewExtra, add_extra, edit_extra
from wholekit.services.job_openings import override_opening
from wholekit.services.quotes import issue_quote


def refused(code, call, *given, **options):
    with pytest.raises(CallError) as caught:
        call(*given, **options)
    assert caught.value.code == code


def line(quantity, unit, cost=None):
    amount = None if cost is None else Cost(cost, "USD")
    return NewExtra(LineKind.OTHER, "crane", quantity, Money(unit, "USD"), amount)


def test_a_line_is_held_to_its_bound_by_price_and_by_cost():
    desk = furnished(FakeStore())
    job = a_job(desk, "101")
    most = MOST_SUM // 1_000_000
    add_extra(desk, by(), job.label, line(1_000_000, most, most))
    for unit, cost in ((most + 1, None), (1, most + 1)):
        refused("line-over-limit", add_extra, desk, by(), job.label, line(1_000_000, unit, cost))
        refused(
            "line-over-limit", edit_extra, desk, by(), job.label, 1,
            {"unit": Money(unit, "USD"), "cost": cost and Cost(cost, "USD")},
        )  # fmt: skip


@pytest.mark.parametrize("engine", sorted(ENGINES))
def test_a_quote_that_comes_to_too_much_is_not_issued_and_one_just_under_is_kept(engine, tmp_path):
    store = ENGINES[engine](tmp_path)
    try:
        desk = furnished(store)
        job = a_job(desk, "101")
        add_extra(desk, by(), job.label, line(1_000_000, MOST_SUM // 1_000_000))
        refused("quote-over-limit", issue_quote, desk, by(), job.label)
        edit_extra(desk, by(), job.label, 1, {"unit": Money(MOST_SUM // 2_000_000, "USD")})
        assert issue_quote(desk, by(), job.label).revision is not None
    finally:
        store.close()


def test_marks_count_by_price_times_their_number():
    desk = furnished(FakeStore())
    job = a_job(desk, "101")
    price = Override(OverrideKind.PRICE, "agreed", "", by().at, price=Money(2 * MOST_SUM, "USD"))
    override_opening(desk, by("odo"), job.label, "101", price)
    refused("quote-over-limit", issue_quote, desk, by("odo"), job.label)
