"""Working days held against numpy's own: `numpy.busday_offset` and `numpy.is_busday`.

Source: NumPy reference, datetime support, business days; `roll="forward"` counts from the first
working day on or after the day given, which is how a lead is counted here (common practice, no
source).
"""

from datetime import date, timedelta

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from wholekit.domain.working_days import WorkingDays

DAYS = st.dates(date(2024, 1, 1), date(2031, 12, 31))
WEEKS = st.frozensets(st.integers(0, 6), min_size=1)
# Close together, so that a lead runs into several.
CLOSED = st.frozensets(st.dates(date(2026, 11, 20), date(2027, 1, 20)), max_size=40)
ASKED = st.dates(date(2026, 11, 1), date(2027, 2, 1))
FIVE = frozenset(range(5))


def numpy_day(asked, days, week, holidays):
    mask = "".join("1" if day in week else "0" for day in range(7))
    found = np.busday_offset(asked, days, roll="forward", weekmask=mask, holidays=sorted(holidays))
    return found.astype(object)


@given(WEEKS, CLOSED, ASKED, st.integers(0, 400))
def test_a_lead_ends_on_the_day_that_numpy_finds(week, holidays, asked, days):
    calendar = WorkingDays(week, holidays)
    assert calendar.after(asked, days) == numpy_day(asked, days, week, holidays)


@given(WEEKS, CLOSED, DAYS | ASKED)
def test_a_working_day_is_one_of_numpys_and_never_a_holiday(week, holidays, day):
    mask = [day in week for day in range(7)]
    calendar = WorkingDays(week, holidays)
    works = calendar.is_working(day)
    assert works == bool(np.is_busday(day, weekmask=mask, holidays=sorted(holidays)))
    assert not (works and day in holidays)


@given(CLOSED, ASKED, st.integers(0, 100), ASKED)
def test_a_holiday_more_makes_no_day_earlier(holidays, asked, days, more):
    before = WorkingDays(FIVE, holidays).after(asked, days)
    after = WorkingDays(FIVE, holidays | {more}).after(asked, days)
    assert before is not None
    assert after is not None
    assert before <= after
    assert WorkingDays(FIVE, holidays | {more}).is_working(after)


def test_where_dates_end_no_day_is_known():
    calendar = WorkingDays(FIVE)
    # 31 December 9999 is a Friday.
    assert calendar.after(date.max - timedelta(days=4), 4) == date.max
    assert calendar.after(date.max - timedelta(days=4), 5) is None
    assert calendar.after(date.max, 1_000_000) is None
    assert WorkingDays(FIVE, frozenset({date.max})).after(date.max, 0) is None
