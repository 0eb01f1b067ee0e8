"""Days as forms bring them."""

from datetime import date

from wholekit.domain.errors import CallError


def read_day(text: str) -> date | None:
    """Year-month-day, None for an empty text. Raises CallError."""
    if not text:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise CallError("date-unreadable", given=text) from None
