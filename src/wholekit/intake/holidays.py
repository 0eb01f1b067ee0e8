"""The holidays of a house file: `[[holiday]]` tables, each with a day and a name."""

from collections.abc import Iterator
from datetime import date, datetime

from wholekit.domain.errors import Problem
from wholekit.domain.working_days import Holiday
from wholekit.intake.text_file import is_line

LONGEST_NAME = 120
_KEYS = ("day", "name")


def read_holidays(entries: object, where: str, problems: list[Problem]) -> tuple[Holiday, ...]:
    """The holidays by day; every fault goes to `problems`: a key that is missing, unknown or of
    another kind, a name that is no line, a day given twice."""
    if not isinstance(entries, list):
        problems.append(Problem("holiday-not-table", {}, where, column="holiday"))
        return ()
    found: dict[date, Holiday] = {}
    for number, entry in enumerate(entries, start=1):
        column = f"holiday {number}"
        faults = list(_faults(entry))
        problems += [Problem(code, fields, where, column=column) for code, fields in faults]
        if faults:
            continue
        holiday = Holiday(entry["day"], " ".join(entry["name"].split()))
        if holiday.day in found:
            fields = {"day": f"{holiday.day}", "name": found[holiday.day].name}
            problems.append(Problem("holiday-twice", fields, where, column=column))
        found.setdefault(holiday.day, holiday)
    return tuple(sorted(found.values(), key=lambda holiday: holiday.day))


def _faults(entry: object) -> Iterator[tuple[str, dict[str, object]]]:
    if not isinstance(entry, dict):
        yield "holiday-not-table", {}
        return
    for key in _KEYS:
        if key not in entry:
            yield "holiday-key-missing", {"key": key}
    for key in sorted(entry.keys() - set(_KEYS)):
        yield "holiday-key-unknown", {"key": key}
    # A datetime passes for a date, and a holiday has no time of day.
    if "day" in entry and (
        not isinstance(entry["day"], date) or isinstance(entry["day"], datetime)
    ):
        yield "holiday-day-wrong", {"given": entry["day"]}
    name = entry.get("name", "")
    if "name" in entry and not (
        isinstance(name, str) and is_line(name) and len(name) <= LONGEST_NAME
    ):
        yield "holiday-name-wrong", {"most": LONGEST_NAME}
