"""Domain objects as plain data and back; texts that cannot be printed are refused."""

import json
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.support.fake_store import FakeStore
from tests.support.jobs import a_job, by, frozen, furnished

from wholekit.domain.customers import Customer, PriceTier
from wholekit.domain.errors import CallError
from wholekit.domain.plain import from_plain, to_plain
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import Alternate, Override, OverrideKind, snapshot_from, snapshot_text
from wholekit.domain.tax import LineKind, NamedTax, TaxRate
from wholekit.services.customers import add_customer
from wholekit.services.job_lines import NewExtra, add_extra
from wholekit.services.job_openings import override_opening
from wholekit.services.jobs import edit_job, set_alternate
from wholekit.services.quotes import issue_quote
from wholekit.views.quotes import quote_answer


def through_json(value):
    return from_plain(type(value), json.loads(json.dumps(to_plain(value))))


@given(
    st.fractions(),
    st.none() | st.dates(),
    st.none() | st.text(),
    st.frozensets(st.sampled_from(list(LineKind))),
)
def test_whatever_a_rate_or_tier_holds_comes_back(rate, day, name, kinds):
    tax = TaxRate(name or "", rate, kinds, day, day)
    tier = PriceTier(rate, name, None, name, day, None)
    assert through_json(tax) == tax
    assert through_json(tier) == tier


def test_an_override_with_its_moment_comes_back():
    done = Override(
        OverrideKind.PRICE, "why", "odo", datetime(2026, 11, 25, 9, 30, tzinfo=UTC),
        price=Money(-5, "KWD"),
    )  # fmt: skip
    assert through_json(done) == done


def test_what_an_older_program_left_out_is_read_as_its_default():
    tax = NamedTax("VAT", Fraction(1, 4), Money(4, "USD"), Money(1, "USD"))
    assert from_plain(NamedTax, to_plain(tax)) == tax
    assert from_plain(TaxRate, {"name": "VAT", "rate": "1/4"}) == TaxRate("VAT", Fraction(1, 4))


@pytest.mark.parametrize(
    "data",
    [
        {"minor": "5", "currency": "USD"},
        {"minor": 5.0, "currency": "USD"},
        {"minor": True, "currency": "USD"},
        {"currency": "USD"},
    ],
)
def test_an_amount_that_is_no_whole_number_is_refused(data):
    with pytest.raises((ValueError, KeyError)):
        from_plain(Money, data)


def test_what_has_no_plain_form_is_refused():
    @dataclass(frozen=True)
    class Strange:
        value: complex

    with pytest.raises(TypeError):
        to_plain(Strange(1j))


def test_a_snapshot_says_the_same_after_it_was_written_and_read():
    desk = furnished(FakeStore())
    job = a_job(desk, "101", "102")
    add_extra(desk, by(), job.label, NewExtra(LineKind.LABOUR, "Fitting", 2, Money(500, "USD")))
    set_alternate(desk, by(), job.label, Alternate("alt-1", "Without 102", ("102",)))
    agreed = Override(OverrideKind.PRICE, "agreed", "", by().at, price=Money(9_999, "USD"))
    override_opening(desk, by(), job.label, "101", agreed)
    snapshot = frozen(issue_quote(desk, by("odo"), job.label).revision)
    text = snapshot_text(snapshot)
    read = snapshot_from(json.loads(text))
    assert read == snapshot
    assert snapshot_text(read) == text
    assert quote_answer(read.offer, "") == quote_answer(snapshot.offer, "")
    assert read.offer.issued == date(2026, 11, 25)


def test_texts_that_would_steer_a_screen_are_refused_and_nothing_is_kept():
    desk = furnished(FakeStore())
    job = a_job(desk, "101")
    for bad in ("bell\a", "two\nlines", "\u202eturned", "x" * 2001):
        with pytest.raises(CallError, match="text-"):
            edit_job(desk, by(), job.label, {"site": bad})
        with pytest.raises(CallError, match="text-"):
            add_customer(desk, by("odo"), replace(Customer("new", "New"), note=bad))
    with pytest.raises(CallError, match="text-not-plain"):
        add_extra(desk, by(), job.label, NewExtra(LineKind.OTHER, "turned\u202e"))
    edit_job(desk, by(), job.label, {"site": "Kvæfjord, salle n° 3 — 門"})
