"""No way round an approval: a limit looks at the whole way down from terms an owner agreed to."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.support.fake_store import FakeStore
from tests.support.house import sample
from tests.support.jobs import START, a_job, by, desk_on, furnished, put_catalog

from wholekit.domain.customers import Customer, PriceTier
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import DiscountLimit, Override, OverrideKind, Person, PersonRole
from wholekit.services.approvals import review_job
from wholekit.services.customers import (
    add_customer,
    agree_terms,
    customer_history,
    edit_customer,
    end_tier,
    set_person,
    set_policy,
    set_tier,
)
from wholekit.services.job_openings import override_opening
from wholekit.services.jobs import NewJob, create_job, edit_job, set_discount
from wholekit.services.quotes import issue_quote

LIMIT = Fraction(10, 100)
AGREED = Fraction(70, 100)


@pytest.fixture
def desk():
    """Sam of sales beside the counter; no limit but discounts of 5 and 10 %."""
    return shop()


def shop():
    made = furnished(FakeStore())
    set_person(made, by("odo"), Person("sam", PersonRole.SALES))
    limits = tuple(
        DiscountLimit(role, most, Fraction(-1000))
        for role, most in (
            (PersonRole.COUNTER, Fraction(5, 100)),
            (PersonRole.SALES, LIMIT),
        )
    )
    set_policy(made, by("odo"), lambda old: replace(old, limits=limits))
    return made


def cut(desk, multiplier, who="sam"):
    edit_customer(
        desk, by(who), "saltmarsh", lambda old: replace(old, multiplier=Fraction(multiplier))
    )


def tier(desk, multiplier, who="sam", **about):
    set_tier(desk, by(who), "saltmarsh", PriceTier(Fraction(multiplier), **about))


def by_hand(desk, price, sku="", who="ines"):
    job = "1"
    override_opening(
        desk, by(who), job, "101",
        Override(OverrideKind.PRICE, "so", who, START, sku=sku, price=Money(price, "USD")),
    )  # fmt: skip


def codes(desk, who="sam"):
    return {breach.code for breach in review_job(desk, by(who), "1").breaches}


WALKS = {
    "a cut multiplier": lambda desk: cut(desk, Fraction(1, 2)),
    "a multiplier of next to nothing": lambda desk: cut(desk, Fraction(1, 10**6)),
    "a tier": lambda desk: tier(desk, Fraction(1, 2)),
    "a tier of the supplier": lambda desk: tier(desk, Fraction(1, 2), supplier="tarrowby"),
    "two cuts, each within the limit": lambda desk: (
        cut(desk, Fraction(65, 100)), cut(desk, Fraction(60, 100))),
    "a cut and a discount, each within the limit": lambda desk: (
        cut(desk, Fraction(65, 100)), set_discount(desk, by(), "1", Fraction(4, 100), "so")),
    "a price of nothing by hand": lambda desk: by_hand(desk, 0),
    "a cut to nothing and a price of nothing": lambda desk: (
        cut(desk, Fraction(1, 10**6)), by_hand(desk, 0)),
    "a cut by one, issued by another": lambda desk: cut(desk, Fraction(1, 2)),
}  # fmt: skip


@pytest.mark.parametrize("walk", sorted(WALKS))
@pytest.mark.parametrize("who", ["ines", "sam"])
def test_no_way_down_leads_round_the_owner(desk, walk, who):
    a_job(desk, "101")
    assert codes(desk, who) == set()
    WALKS[walk](desk)
    assert "discount-over-limit" in codes(desk, who)
    assert issue_quote(desk, by(who), "1").revision is None


def test_a_cut_that_an_owner_makes_or_agrees_to_is_no_discount(desk):
    a_job(desk, "101")
    cut(desk, Fraction(1, 2))
    assert codes(desk) == {"discount-over-limit"}
    agree_terms(desk, by("odo"), "saltmarsh", "the framework order")
    assert codes(desk) == set()
    cut(desk, Fraction(4, 10), "odo")
    assert codes(desk) == set()
    tier(desk, Fraction(3, 10), "odo", kind="body")
    assert issue_quote(desk, by("sam"), "1").revision is not None


def test_an_owners_word_on_one_thing_is_none_on_another(desk):
    a_job(desk, "101")
    cut(desk, Fraction(1, 2))
    edit_customer(desk, by("odo"), "saltmarsh", lambda old: replace(old, phone="555 0100"))
    assert codes(desk) == {"discount-over-limit"}
    tier(desk, Fraction(7, 10), "odo", kind="cover")
    assert codes(desk) == {"discount-over-limit"}, "the multiplier is still sam's"


def test_terms_put_back_and_terms_above_count_for_nothing(desk):
    a_job(desk, "101")
    cut(desk, Fraction(1, 2))
    cut(desk, AGREED)
    assert codes(desk) == set()
    cut(desk, Fraction(9, 10))
    set_discount(desk, by("sam"), "1", Fraction(20, 100), "as before")
    assert codes(desk) == set(), "still above what was agreed"
    tier(desk, Fraction(1, 2))
    end_tier(desk, by("sam", -9), "saltmarsh", 1, by(days=-1).day)
    assert codes(desk) == set()


def test_a_new_customer_whose_terms_no_owner_has_seen_stands_at_list(desk):
    add_customer(desk, by("sam"), Customer("dune", "Dune Point", multiplier=AGREED))
    a_job(desk, "101")
    edit_job(desk, by(), "1", {"customer": "dune"})
    assert codes(desk) == {"discount-over-limit"}
    agree_terms(desk, by("odo"), "dune", "as all contractors")
    assert codes(desk) == set()


def test_giving_away_what_costs_something_passes_the_limit_of_margin(desk):
    a_job(desk, "101")
    by_hand(desk, 0)
    found = {breach.code: breach.found for breach in review_job(desk, by(), "1").breaches}
    assert found == {"discount-over-limit": 1, "margin-under-limit": None}


def test_what_was_set_before_the_house_entered_anybody_stands():
    desk = desk_on(FakeStore())
    put_catalog(desk.store, sample("tarrowby"))
    add_customer(desk, by("root"), Customer("saltmarsh", "Salt", multiplier=Fraction(1, 2)))
    set_person(desk, by("odo"), Person("odo", PersonRole.OWNER))
    set_person(desk, by("odo"), Person("sam", PersonRole.SALES))
    create_job(desk, by("sam"), NewJob("X", "saltmarsh"))
    assert codes(desk) == set()


def test_a_house_without_people_has_no_limit():
    desk = desk_on(FakeStore())
    put_catalog(desk.store, sample("tarrowby"))
    add_customer(desk, by("root"), Customer("saltmarsh", "Salt"))
    a_job(desk, "101")
    set_discount(desk, by("root"), "1", Fraction(60, 100), "so")
    assert issue_quote(desk, by("root"), "1").revision is not None


def test_the_history_of_a_customer_says_who_set_what_when_and_why(desk):
    cut(desk, Fraction(1, 2))
    agree_terms(desk, by("odo", 1), "saltmarsh", "framework")
    told = [
        (entry.who, entry.at, entry.action, entry.reason)
        for entry in customer_history(desk, by(), "saltmarsh")
    ]
    assert told == [
        ("odo", START, "customer-added", ""),
        ("sam", START, "customer-edited", ""),
        ("odo", by(days=1).at, "terms-agreed", "framework"),
    ]


SHARES = st.fractions(Fraction(1, 100), 1, max_denominator=100)


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.tuples(st.sampled_from(["multiplier", "tier"]), SHARES), max_size=3),
    st.fractions(0, Fraction(9, 10), max_denominator=50),
    st.none() | st.integers(0, 60_000),
)
def test_what_sales_may_issue_alone_is_never_under_the_agreed_price_less_the_limit(
    changes, discount, price
):
    desk = shop()
    a_job(desk, "101")
    (line,) = {
        id(opening): opening for opening in review_job(desk, by(), "1").workup.job.openings
    }.values()
    agreed = line.tier_price.minor
    each = [(one.line.item.list_price.minor, one.line.quantity) for one in line.worked.lines]
    least = sum(
        int(Fraction(list_price) * AGREED * (1 - LIMIT) + Fraction(1, 2)) * count
        for list_price, count in each
    )
    assert least <= agreed
    for what, share in changes:
        (cut if what == "multiplier" else tier)(desk, share)
    set_discount(desk, by("sam"), "1", discount, "so")
    if price is not None:
        by_hand(desk, price, who="sam")
    review = review_job(desk, by("sam"), "1")
    now = sum(opening.price.minor for opening in review.workup.job.openings)
    assert ("discount-over-limit" in {breach.code for breach in review.breaches}) == (now < least)
