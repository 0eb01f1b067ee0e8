"""Open formats of an issued offer, read back by independent readers.

Source of the amounts: OASIS UBL example Quotation, 197750 DKK net, 25 % VAT, 247187.50 DKK.
"""

import csv
import io
from fractions import Fraction

import pytest
from icalendar import Calendar
from tests.support.fake_store import FakeStore
from tests.support.jobs import by, desk_on, frozen

from wholekit.documents.exchange.books import order_csv
from wholekit.documents.exchange.calendar import calendar_bytes
from wholekit.domain.customers import Customer
from wholekit.domain.quantities import parse_money
from wholekit.domain.quotes import Acceptance
from wholekit.domain.tax import LineKind, ShipTo, TaxRate
from wholekit.services.customers import add_customer, set_ship_to
from wholekit.services.job_lines import NewExtra, add_extra
from wholekit.services.jobs import NewJob, create_job
from wholekit.services.quotes import issue_quote


@pytest.fixture(scope="module")
def offer():
    desk = desk_on(FakeStore())
    set_ship_to(desk, by(), ShipTo("aarhus", "Aarhus", taxes=(TaxRate("VAT", Fraction(1, 4)),)))
    add_customer(desk, by("odo"), Customer("buyer", "Buyer", currency="DKK", ship_to="aarhus"))
    job = create_job(desk, by(), NewJob("Example", "buyer"))
    for name, amount in (("=1+1", "150500"), ("b", "43750"), ("c", "1750"), ("d", "1750")):
        line = NewExtra(LineKind.HARDWARE, name, 1, parse_money(amount, "DKK"))
        add_extra(desk, by(), job.label, line)
    return frozen(issue_quote(desk, by(), job.label).revision).offer


def test_the_books_hold_every_line_its_tax_and_the_payable_amount(offer):
    rows = list(csv.DictReader(io.StringIO(order_csv(offer, Acceptance()).decode())))
    amounts = {row["row"]: row["amount"] for row in rows}
    assert (amounts["net"], amounts["tax"], amounts["gross"]) == (
        "197750.00", "49437.50", "247187.50",
    )  # fmt: skip
    lines = [row for row in rows if row["row"] == LineKind.HARDWARE.value]
    assert sum(Fraction(row["amount"]) for row in lines) == 197750
    assert lines[0]["name"] == "'=1+1"


def test_a_calendar_says_how_long_the_offer_holds_and_is_the_same_each_time(offer):
    read = Calendar.from_ical(calendar_bytes(offer))
    (event,) = read.walk("VEVENT")
    assert event.decoded("dtstart") == offer.valid_until
    assert str(event["uid"]).startswith(f"{offer.quote}-valid@")
    assert calendar_bytes(offer) == calendar_bytes(offer)
