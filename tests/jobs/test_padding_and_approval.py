"""What is typed beside a thin price does not carry it across a limit; what makes an approved offer
worse ends the approval."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.support.fake_store import FakeStore
from tests.support.house import sample
from tests.support.jobs import a_job, by, furnished, plain, put_catalog

from wholekit.domain.limits import thinnest_margin
from wholekit.domain.margins import Margin
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes import Override, OverrideKind, PersonRole
from wholekit.domain.tax import LineKind
from wholekit.services.approvals import approve_draft, review_job
from wholekit.services.customers import set_policy
from wholekit.services.job_lines import NewExtra, add_extra
from wholekit.services.job_openings import add_openings, override_opening
from wholekit.services.jobs import reprice_job, set_discount
from wholekit.services.quotes import issue_quote

LABOUR = st.tuples(st.integers(0, 5_000_000), st.integers(0, 500_000_000))


def line(price, cost, quantity=1):
    return NewExtra(LineKind.LABOUR, "Fitting", quantity, Money(price, "USD"), Cost(cost, "USD"))


def thin(least_margin=Fraction(60, 100)):
    """A house whose counter may not go under a margin, and a job that does."""
    desk = furnished(FakeStore())
    set_policy(
        desk,
        by("odo"),
        lambda old: replace(
            old,
            limits=tuple(
                replace(limit, least_margin=least_margin) if limit.role is PersonRole.COUNTER
                else limit
                for limit in old.limits
            ),
        ),
    )  # fmt: skip
    return desk, a_job(desk, "101").label


def asked(desk, job):
    return {breach.code for breach in review_job(desk, by(), job).breaches}


@given(st.lists(LABOUR, max_size=6))
def test_no_lines_with_typed_costs_carry_a_thin_price_across_the_margin_limit(lines):
    desk, job = thin()
    assert asked(desk, job) == {"margin-under-limit"}
    for price, cost in lines:
        add_extra(desk, by(), job, line(price, cost))
    assert "margin-under-limit" in asked(desk, job)


@given(st.lists(LABOUR, max_size=6))
def test_the_margin_held_against_the_limit_is_the_least_of_hardware_and_any_of_the_lines(lines):
    """Against every choice of the lines there is, tried one by one."""
    desk = furnished(FakeStore())
    job = a_job(desk, "101").label
    for price, cost in lines:
        add_extra(desk, by(), job, line(price, cost))
    workup = review_job(desk, by(), job).workup
    found = thinnest_margin(workup.job, workup.place, "").share
    hardware = workup.job.openings[0]
    choices = [Margin(hardware.price, hardware.cost)]
    for price, cost in lines:
        choices += [
            Margin(each.price + Money(price, "USD"), each.cost + Cost(cost, "USD"))
            for each in choices
        ]
    assert found == min(each.share for each in choices if each.share is not None)


def test_a_line_sold_under_its_cost_counts_against_the_limit():
    desk, job = thin(Fraction(25, 100))
    assert asked(desk, job) == set()
    add_extra(desk, by(), job, line(10_000, 90_000_000))
    assert asked(desk, job) == {"margin-under-limit"}


def test_hardware_given_away_is_not_hidden_by_a_line_that_is_sold():
    desk, job = thin(Fraction(0))
    free = Override(OverrideKind.PRICE, "a gift", "", by().at, price=Money(0, "USD"))
    override_opening(desk, by(), job, "101", free)
    add_extra(desk, by(), job, line(1_000_000, 0))
    assert "margin-under-limit" in asked(desk, job)


def approved_at(share):
    """A job with a discount that its owner approved, asked for by ines."""
    desk = furnished(FakeStore())
    job = a_job(desk, "101", "102").label
    set_discount(desk, by(), job, share, "third school")
    assert issue_quote(desk, by(), job).revision is None
    approve_draft(desk, by("odo"), job, "to win it")
    assert review_job(desk, by(), job).clear
    return desk, job


def price_of(desk, job, mark="101"):
    return next(
        opening.worked.price
        for opening in review_job(desk, by(), job).workup.job.openings
        if opening.entry.mark == mark
    )


def cut(desk, job):
    low = Money(price_of(desk, job).minor // 2, "USD")
    override_opening(
        desk, by(), job, "101", Override(OverrideKind.PRICE, "x", "", by().at, price=low)
    )


def cut_behind_a_line(desk, job):
    cut(desk, job)
    add_extra(desk, by(), job, line(1_000_000, 0))


def cut_behind_openings(desk, job):
    set_discount(desk, by(), job, Fraction(45, 100), "more of them")
    add_openings(desk, by(), job, [plain("201", 40)])


def a_line_at_a_loss(desk, job):
    add_extra(desk, by(), job, line(10_000, 90_000_000))


def item_left_out(desk, job):
    sku = review_job(desk, by(), job).workup.job.openings[0].kit.lines[0].item.sku
    override_opening(desk, by(), job, "101", Override(
        OverrideKind.ITEM, "theirs", "", by().at, sku=sku))  # fmt: skip


def repriced(desk, job, *, listed=Fraction(1), cost=Fraction(1)):
    old = sample("tarrowby")
    put_catalog(
        desk.store,
        replace(
            old,
            items=tuple(
                replace(item, list_price=item.list_price.scaled(listed),
                        cost=Cost(int(item.cost.units * cost), item.cost.currency))
                for item in old.items
            ),
        ),
    )  # fmt: skip
    reprice_job(desk, by(), job)


def dearer_to_the_house(desk, job):
    repriced(desk, job, cost=Fraction(11, 10))


def lower_listed(desk, job):
    repriced(desk, job, listed=Fraction(9, 10), cost=Fraction(9, 10))


def higher_listed_at_a_price_by_hand(desk, job):
    """The customer gets what lists higher for the same: a deeper discount than the owner saw."""
    for mark in ("101", "102"):
        held = Override(
            OverrideKind.PRICE, "agreed", "", by().at, price=price_of(desk, job, mark)
        )  # fmt: skip
        override_opening(desk, by(), job, mark, held)
    assert review_job(desk, by(), job).clear
    repriced(desk, job, listed=Fraction(12, 10))


@pytest.mark.parametrize(
    "change",
    [
        cut, cut_behind_a_line, cut_behind_openings, a_line_at_a_loss, item_left_out,
        dearer_to_the_house, lower_listed, higher_listed_at_a_price_by_hand,
    ],
)  # fmt: skip
def test_what_makes_an_approved_offer_worse_ends_the_approval(change):
    desk, job = approved_at(Fraction(15, 100))
    change(desk, job)
    review = review_job(desk, by(), job)
    assert review.approval is None
    assert review.needs_owner
    assert issue_quote(desk, by(), job).revision is None


@pytest.mark.parametrize(
    "change",
    [
        lambda desk, job: set_discount(desk, by(), job, Fraction(14, 100), "less"),
        lambda desk, job: add_openings(desk, by(), job, [plain("201")]),
        lambda desk, job: add_extra(desk, by(), job, line(10_000, 100_000)),
        lambda desk, job: repriced(desk, job, listed=Fraction(11, 10)),
    ],
    ids=["a smaller discount", "another opening", "a line that earns", "a higher list"],
)
def test_what_makes_an_approved_offer_no_worse_leaves_the_approval(change):
    desk, job = approved_at(Fraction(15, 100))
    change(desk, job)
    assert review_job(desk, by(), job).clear
    assert issue_quote(desk, by(), job).revision is not None
