"""Holidays in a store, and when kits can be ready: as said today, and as it was said at issue."""

from dataclasses import replace
from datetime import date

import pytest
from tests.support.house import sample
from tests.support.jobs import START, by, frozen, plain, set_stock

from wholekit.domain.errors import CallError, ConflictError
from wholekit.domain.quotes import Alternate, snapshot_text
from wholekit.domain.working_days import Holiday
from wholekit.services.approvals import review_job
from wholekit.services.customers import house_history, house_policy, set_policy
from wholekit.services.holidays import add_holiday, list_holidays, remove_holiday
from wholekit.services.job_openings import add_openings
from wholekit.services.jobs import NewJob, create_job, reprice_job, set_alternate
from wholekit.services.quote_reading import issued_revision, issued_whole
from wholekit.services.quotes import issue_quote
from wholekit.views.history import entry_answers

FRIDAY = Holiday(date(2026, 11, 27), "Founders' Day")
THURSDAY = Holiday(date(2026, 11, 26), "Stocktaking")
DAY = START.date()


def more_than_there_is(desk):
    """A job of 61 kits, of which the shelf has 20."""
    set_stock(desk.store, sample("tarrowby"), 20)
    job = create_job(desk, by(), NewJob("Heron Quay School", "saltmarsh"))
    add_openings(desk, by(), job.label, [plain("101"), plain("102", 60)])
    return job


def ready_on(desk, job, days=0):
    return review_job(desk, by("odo", days), job.label).workup.base_ready()


def test_holidays_are_kept_by_day_and_told_in_the_history(desk):
    add_holiday(desk, by("odo"), FRIDAY)
    found = add_holiday(desk, by("odo"), replace(THURSDAY, name=" Stocktaking\t"), expected=2)
    assert found == list_holidays(desk, by()) == (THURSDAY, FRIDAY)
    with pytest.raises(ConflictError, match="version-stale"):
        add_holiday(desk, by("odo"), Holiday(DAY, "Late"), expected=2)
    assert remove_holiday(desk, by("odo"), replace(THURSDAY, name="stocktaking")) == (FRIDAY,)
    # Other settings stay as they are.
    assert house_policy(desk, by("odo")).valid_days == 30
    said = [(entry.action, entry.changes) for entry in entry_answers(house_history(desk, by("odo")))
            if entry.action.startswith("holiday")]  # fmt: skip
    assert said == [
        ("holiday added", ("holiday 2026-11-27 Founders' Day",)),
        ("holiday added", ("holiday 2026-11-26 Stocktaking",)),
        ("holiday taken out", ("holiday 2026-11-26 Stocktaking: taken back",)),
    ]


def test_a_holiday_that_makes_no_sense_is_refused_and_nothing_changes(desk):
    add_holiday(desk, by("odo"), FRIDAY)
    for deed, holiday, code in (
        (add_holiday, FRIDAY, "holiday-there"),
        (add_holiday, Holiday(DAY, "  "), "holiday-name-needed"),
        (add_holiday, Holiday(DAY, "x\u202ey"), "text-not-plain"),
        (add_holiday, Holiday(DAY, "x" * 121), "text-too-long"),
        (remove_holiday, THURSDAY, "holiday-unknown"),
        (remove_holiday, replace(FRIDAY, name="Another"), "holiday-other"),
    ):
        with pytest.raises(CallError, match=code):
            deed(desk, by("odo"), holiday)
    assert list_holidays(desk, by()) == (FRIDAY,)


def test_a_holiday_moves_the_days_of_every_job_and_of_none_that_was_issued(desk):
    job = more_than_there_is(desk)
    before = ready_on(desk, job)
    assert (before.today, before.kits) == (20, 61)
    issued = issue_quote(desk, by("odo"), job.label).revision
    assert issued is not None
    add_holiday(desk, by("odo"), FRIDAY)
    after = ready_on(desk, job)
    assert (after.today, after.complete > before.complete) == (before.today, True)
    kept = frozen(issued_revision(desk, by(), issued.label)).offer
    assert (kept.ready, kept.ready_asked, kept.ready_shown) == (before, DAY, False)
    # Asked again on that holiday nothing is ready that day: the house is closed.
    assert ready_on(desk, job, 2).today == 0


def test_other_stock_and_another_day_are_no_change_of_a_quote_but_showing_days_is(desk):
    job = more_than_there_is(desk)
    first = issue_quote(desk, by("odo"), job.label).revision
    assert first is not None
    text = snapshot_text(frozen(first))
    set_stock(desk.store, sample("tarrowby"), 900)
    with pytest.raises(CallError, match="quote-unchanged"):
        issue_quote(desk, by("odo", 3), job.label)
    set_policy(desk, by("odo"), lambda old: replace(old, dates_on_quote=True))
    reprice_job(desk, by(), job.label)
    second = issue_quote(desk, by("odo", 1), job.label).revision
    offer = frozen(second).offer
    assert offer.ready is not None
    assert (offer.ready_shown, offer.ready.today, offer.ready.kits) == (True, 61, 61)
    assert snapshot_text(frozen(issued_whole(desk, by("odo"), first.label))) == text


def test_an_alternate_draws_after_the_base_bid_and_moves_none_of_its_days(desk):
    job = more_than_there_is(desk)
    base = ready_on(desk, job)
    set_alternate(desk, by(), job.label, Alternate("alt-1", "One more", ()))
    add_openings(desk, by(), job.label, [plain("201", 2)], alternate="alt-1")
    assert ready_on(desk, job) == base
    workup = review_job(desk, by("odo"), job.label).workup
    # All that is on hand went into the base bid's kits.
    assert [part.day for part in workup.ready()[-1]] == [base.complete]
