"""When kits can be ready, and the holidays that count against it, as data."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from wholekit.domain.quotes.ready import JobReady, Ready
from wholekit.domain.working_days import WEEKDAYS, Holiday
from wholekit.wording.ready import say_job_ready


@dataclass(frozen=True, slots=True)
class ReadyAnswer:
    """So many kits [count] that are whole on a day [ISO 8601]; null: no date is known. waits_for:
    SKUs of the items that come last."""

    kits: int
    day: str | None
    waits_for: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class JobReadyAnswer:
    """All kits by day, as expected on the day asked; no promise.

    today, undated: kits that are whole that day, and of which no date is known [count]; complete:
    the day of the last, null where no date is known. text: the same in words.
    """

    asked: str
    kits: int
    today: int
    undated: int
    complete: str | None
    steps: tuple[ReadyAnswer, ...]
    text: str


@dataclass(frozen=True, slots=True)
class HolidayAnswer:
    """A day on which the house is closed."""

    day: str
    weekday: str
    name: str


def ready_answers(parts: Iterable[Ready]) -> tuple[ReadyAnswer, ...]:
    """Kits by day as data."""
    return tuple(
        ReadyAnswer(part.kits, None if part.day is None else part.day.isoformat(), part.waits_for)
        for part in parts
    )


def job_ready_answer(ready: JobReady | None) -> JobReadyAnswer | None:
    """All kits of a job by day as data; None where that was not kept."""
    if ready is None:
        return None
    return JobReadyAnswer(
        ready.asked.isoformat(),
        ready.kits,
        ready.today,
        ready.undated,
        None if ready.complete is None else ready.complete.isoformat(),
        ready_answers(ready.steps),
        say_job_ready(ready),
    )


def holiday_answers(holidays: Sequence[Holiday]) -> list[HolidayAnswer]:
    """Holidays as data."""
    return [
        HolidayAnswer(holiday.day.isoformat(), WEEKDAYS[holiday.day.weekday()], holiday.name)
        for holiday in holidays
    ]
