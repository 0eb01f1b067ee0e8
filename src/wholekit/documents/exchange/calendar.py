"""iCalendar (RFC 5545) of an issued offer's days: how long it holds, and when kits can be whole."""

from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING

from wholekit.domain.quotes.offer import Offer
from wholekit.wording.events import kits_ready, last_day
from wholekit.wording.speech import ENGLISH, speaking

if TYPE_CHECKING:
    from icalendar import Event


def calendar_bytes(offer: Offer) -> bytes:
    """All-day events of an issued revision; the same revision gives the same bytes.

    An event keeps its UID from revision to revision, and SEQUENCE says which is the later
    (RFC 5545, 3.8.7.4). Days when kits can be whole are in it where the customer's quote says them.
    What they are called is in the quote's language, and each says which that is (3.2.10).
    """
    from icalendar import Calendar

    book = Calendar()
    book.add("prodid", "-//wholekit//quote//EN")
    book.add("version", "2.0")
    book.add("method", "PUBLISH")
    about = f"{offer.label} {offer.job_name}".strip()
    with speaking(ENGLISH if _language(offer) == ENGLISH else offer.customer.locale):
        book.add_component(_event(offer, "valid", offer.valid_until, last_day(about)))
        steps = offer.ready.steps if offer.ready_shown and offer.ready else ()
        for step in steps:
            if step.day is not None:
                what = kits_ready(about, step.kits)
                book.add_component(_event(offer, f"ready-{step.day:%Y%m%d}", step.day, what))
    return bytes(book.to_ical())


def _language(offer: Offer) -> str:
    return (offer.sent or offer.words).language


def _event(offer: Offer, name: str, day: date, summary: str) -> "Event":
    from icalendar import Event

    event = Event()
    event.add("uid", f"{offer.quote}-{name}@wholekit.invalid")
    # The day of issue and not now: the same revision is the same file.
    event.add("dtstamp", datetime.combine(offer.issued, time(), UTC))
    event.add("sequence", offer.revision - 1)
    event.add("dtstart", day)
    event.add("dtend", day + timedelta(days=1))
    event.add("summary", summary, parameters={"language": _language(offer)})
    event.add("transp", "TRANSPARENT")
    return event
