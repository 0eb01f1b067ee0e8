"""Price tiers that would never count, exemption certificates that run out."""

from datetime import date, timedelta
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.support.fake_store import FakeStore
from tests.support.jobs import by, furnished

from wholekit.domain.customers import Customer, Goods, PriceTier, TaxStatus
from wholekit.domain.errors import CallError
from wholekit.services.customers import customer_of, end_tier, set_tier
from wholekit.wording.errors import say_error

START = date(2026, 1, 1)
GOODS = Goods("tarrowby", "granite", "body")
DAYS = 12


def day(number):
    return START + timedelta(days=number)


@st.composite
def tiers(draw):
    first = draw(st.none() | st.integers(0, DAYS))
    last = draw(st.none() | st.integers(first or 0, DAYS))
    scope = draw(st.sampled_from([None, "tarrowby"]))
    return PriceTier(
        Fraction(1, 2),
        scope,
        valid_from=None if first is None else day(first),
        valid_to=None if last is None else day(last),
    )


@given(st.lists(tiers(), max_size=5), tiers(), st.integers(0, DAYS))
def test_a_tier_is_overruled_where_another_of_its_scope_counts_on_every_day_to_come(
    others, new, today
):
    customer = Customer("c", "C")
    for one in others:
        customer = customer.with_tier(one)
    # Of another scope: whether it wins is a matter of scope, not of days.
    alike = Customer("c", "C", tiers=tuple(
        tier for tier in customer.with_tier(new).tiers if tier.supplier == new.supplier
    ))  # fmt: skip
    first = max(new.valid_from or date.min, day(today))
    last = min(new.valid_to or date.max, day(3 * DAYS))
    ahead = [first + timedelta(days=number) for number in range((last - first).days + 1)]
    counts = any(alike.tier_for(GOODS, one) is new for one in ahead)
    places = customer.overruled_by(new, day(today))
    assert bool(places) == (bool(ahead) and not counts)
    for place in places:
        assert customer.tiers[place - 1].supplier == new.supplier


@pytest.mark.parametrize(
    ("last", "due", "lapse"),
    [
        (None, None, ""),
        (-1, None, "expired"),
        (-1, 40, "expired"),
        (0, None, "soon"),
        (30, None, "soon"),
        (31, None, ""),
        (31, 31, ""),
        (31, 32, "before-due"),
        (10, 11, "before-due"),
        (10, 10, "soon"),
        (10, -5, "soon"),
    ],
)
def test_a_certificate_is_told_when_it_has_run_out_or_soon_will(last, due, lapse):
    status = TaxStatus("EX-1", None if last is None else day(last))
    assert status.lapse(START, None if due is None else day(due)) == lapse
    assert TaxStatus("", status.expires).lapse(START, None) == "", "no certificate"
    assert (status.certificate_on(START) == "") == (lapse == "expired")


@pytest.mark.parametrize(
    ("scope", "words"),
    [
        ({"supplier": "tarowby"}, "The store has no catalogue tarowby; it has tarrowby and aver"),
        ({"supplier": "nobody"}, "it has averlund and tarrowby"),
        ({"series": "granit"}, "among averlund and tarrowby has a series granit; there are gran"),
        ({"series": "granite", "supplier": "averlund"}, "No catalogue among averlund has a ser"),
        ({"kind": "boddy"}, "boddy is no kind of item; there are body, "),
        ({"kind": "BODY"}, "there are body, "),
        ({"kind": "set"}, "is no kind of item"),
        ({"valid_from": date(2027, 2, 1), "valid_to": date(2027, 1, 1)}, "is before the first"),
        ({"valid_to": by().day - timedelta(days=1)}, "is past, so it would never count"),
    ],
)  # fmt: skip
def test_a_tier_of_nothing_known_says_what_there_is(scope, words):
    desk = furnished(FakeStore(), "averlund", "tarrowby")
    with pytest.raises(CallError) as refused:
        set_tier(desk, by("odo"), "saltmarsh", PriceTier(Fraction(1, 2), **scope))
    assert words in say_error(refused.value)
    assert customer_of(desk, by(), "saltmarsh").tiers == ()


def test_a_tier_of_what_the_catalogues_have_is_taken_until_it_ends():
    desk = furnished(FakeStore(), "averlund", "tarrowby")
    for scope in (
        {"supplier": "tarrowby", "series": "granite", "kind": "boxed-set"},
        {"series": "granite"},
        {"kind": "hold-open-arm", "valid_to": by().day},
        {},
    ):
        set_tier(desk, by("odo"), "saltmarsh", PriceTier(Fraction(1, 2), **scope))
    assert len(customer_of(desk, by(), "saltmarsh").tiers) == 4
    new = PriceTier(Fraction(1, 3), valid_from=by().day)
    set_tier(desk, by("odo"), "saltmarsh", new)
    with pytest.raises(CallError, match="dates-reversed"):
        end_tier(desk, by("odo"), "saltmarsh", 5, by().day - timedelta(days=1))
    with pytest.raises(CallError, match="tier-overruled"):
        set_tier(desk, by("odo"), "saltmarsh", PriceTier(Fraction(1, 4)))
