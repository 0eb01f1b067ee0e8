"""iCalendar (RFC 5545) of an issued offer's days: how long it holds, and when kits can be whole."""

from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING

from wholekit.domain.quotes.offer import Offer

if TYPE_CHECKING:
    from icalendar import Event


def calendar_bytes(offer: Offer) -> bytes:
    """All-day events of an issued revision; the same revision gives the same bytes.

    An event keeps its UID from revision to revision, and SEQUENCE says which is the later
    (RFC 5545, 3.8.7.4). Days when kits can be whole are in it where the customer's quote says them.
    """
    from icalendar import Calendar

    book = Calendar()
    book.add("prodid", "-//wholekit//quote//EN")
    book.add("version", "2.0")
    book.add("method", "PUBLISH")
    about = f"{offer.label} {offer.job_name}".strip()
    book.add_component(_event(offer, "valid", offer.valid_until, f"{about}: last day it holds"))
    steps = offer.ready.steps if offer.ready_shown and offer.ready else ()
    for step in steps:
        if step.day is not None:
            what = f"{about}: {step.kits} kits can be ready"
            book.add_component(_event(offer, f"ready-{step.day:%Y%m%d}", step.day, what))
    return bytes(book.to_ical())


def _event(offer: Offer, name: str, day: date, summary: str) -> "Event":
    from icalendar import Event

    event = Event()
    event.add("uid", f"{offer.quote}-{name}@wholekit.invalid")
    # The day of issue and not now: the same revision is the same file.
    event.add("dtstamp", datetime.combine(offer.issued, time(), UTC))
    event.add("sequence", offer.revision - 1)
    event.add("dtstart", day)
    event.add("dtend", day + timedelta(days=1))
    event.add("summary", summary)
    event.add("transp", "TRANSPARENT")
    return event
