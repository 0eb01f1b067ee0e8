"""The days on which the house works: a week of working days, less its holidays."""

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_LAST = date.max.toordinal()


@dataclass(frozen=True, slots=True)
class Holiday:
    """A day on which the house is closed, and what it is called."""

    day: date
    name: str


@dataclass(frozen=True, slots=True)
class WorkingDays:
    """A calendar of working days. week: those of a week, 0 = Monday; at least one."""

    week: frozenset[int]
    holidays: frozenset[date] = frozenset()

    def is_working(self, day: date) -> bool:
        """Whether the house works on a day."""
        return day.weekday() in self.week and day not in self.holidays

    def after(self, day: date, days: int) -> date | None:
        """The working day that is so many working days [d] after a day; None past year 9999.

        Counted from the day itself if the house works on it, else from the next day it does: what
        is asked for on a Saturday goes out on Monday, and a lead of one day ends on Tuesday.

        >>> calendar = WorkingDays(frozenset(range(5)), frozenset({date(2026, 12, 25)}))
        >>> str(calendar.after(date(2026, 12, 24), 1)), str(calendar.after(date(2026, 12, 26), 0))
        ('2026-12-28', '2026-12-28')
        """
        start = day.toordinal()
        while start <= _LAST and not self._works(start):
            start += 1
        closed = sorted(each.toordinal() for each in self.holidays if each.weekday() in self.week)
        passed = bisect_right(closed, start)
        end = self._in_week(start, days)
        # Each holiday on the way moves the end by a day, which may bring another one on the way.
        while (moved := self._in_week(start, days + bisect_right(closed, end) - passed)) != end:
            end = moved
        return date.fromordinal(end) if end <= _LAST else None

    def _works(self, ordinal: int) -> bool:
        return self.is_working(date.fromordinal(ordinal))

    def _in_week(self, start: int, days: int) -> int:
        """So many days of the week after a day that is one of them, as if there were no holidays
        [proleptic ordinal]."""
        weeks, rest = divmod(days, len(self.week))
        end = start + 7 * weeks
        while rest:
            end += 1
            # The ordinal 1 is a Monday.
            rest -= (end - 1) % 7 in self.week
        return end


def working_days(week: Iterable[str], holidays: Iterable[Holiday] = ()) -> WorkingDays:
    """The calendar of a week's days by name (see `WEEKDAYS`) and of holidays."""
    return WorkingDays(
        frozenset(WEEKDAYS.index(name) for name in week),
        frozenset(holiday.day for holiday in holidays),
    )
