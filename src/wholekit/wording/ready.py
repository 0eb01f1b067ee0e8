"""When kits can be ready, in words: at the counter in English, on a quote in its language."""

from collections.abc import Sequence
from datetime import date

from wholekit.domain.quotes.ready import JobReady, Ready
from wholekit.wording.words import listed

MOST_NAMED = 4


def say_day(day: date) -> str:
    """A day as the counter says it.

    >>> say_day(date(2026, 12, 4))
    'Fri 4 December 2026'
    """
    return f"{day:%a} {day.day} {day:%B} {day.year}"


def say_job_ready(ready: JobReady) -> str:
    """All kits of a job in a phrase.

    >>> say_job_ready(JobReady(date(2026, 11, 26), (Ready(9, date(2026, 11, 26)),
    ...     Ready(3, date(2026, 12, 4), ("X-1",)))))
    'all but 3 today, complete by Fri 4 December 2026'
    """
    if not ready.kits:
        return "no kits"
    late = ready.kits - ready.today
    if not late:
        return "all today"
    first = f"all but {late} today" if ready.today else "none today"
    dated = [step for step in ready.steps if step.day is not None and step.day != ready.asked]
    if not ready.undated:
        return f"{first}, complete by {say_day(dated[-1].day or ready.asked)}"
    last = f"no date known for {ready.undated}"
    if not dated:
        return f"{first}, {last}"
    count = sum(step.kits for step in dated)
    return f"{first}, {count} by {say_day(dated[-1].day or ready.asked)}, {last}"


def say_ready(parts: Sequence[Ready], asked: date) -> str:
    """The kits of one opening in a phrase: `1 today, 2 Fri 4 December 2026 (waits for X-1)`."""
    whole = len(parts) == 1
    return ", ".join(_part(part, asked, whole=whole) for part in parts)


def _part(part: Ready, asked: date, *, whole: bool) -> str:
    if part.day is None:
        said = "no date known" if whole else f"no date known for {part.kits}"
    else:
        day = "today" if part.day == asked else say_day(part.day)
        said = day if whole else f"{part.kits} {day}"
    if not part.waits_for:
        return said
    more = len(part.waits_for) - MOST_NAMED
    named = [*part.waits_for[:MOST_NAMED], *([f"{more} more"] if more > 0 else [])]
    return f"{said} (waits for {listed(named)})"
