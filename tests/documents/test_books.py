"""An order for the books adds up, whatever is in it; its calendar is in the quote's language."""

import csv
import io
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from icalendar import Calendar
from tests.support.fake_store import FakeStore
from tests.support.jobs import by, frozen, furnished, plain

from wholekit.documents.exchange.books import order_csv
from wholekit.documents.exchange.calendar import calendar_bytes
from wholekit.domain.customers import Customer
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import Acceptance, Alternate, Offer
from wholekit.domain.tax import FreightRate, LineKind, Rounding, ShipTo, TaxRate
from wholekit.services.customers import add_customer, set_ship_to
from wholekit.services.job_lines import NewExtra, add_extra
from wholekit.services.job_openings import add_openings, copy_opening
from wholekit.services.jobs import NewJob, create_job, set_alternate
from wholekit.services.quotes import issue_quote

TAXES = (
    TaxRate("GST", Fraction(5, 100)),
    TaxRate("PST", Fraction(7, 100), kinds=frozenset({LineKind.HARDWARE, LineKind.FREIGHT})),
)
FREIGHT = (FreightRate("van", Money(4_500, "USD"), Fraction(3, 100)),)


@pytest.fixture(scope="module", params=[False, True], ids=["tax on top", "tax contained"])
def order(request) -> Offer:
    """Three marks, two alternates of which one takes a mark out, extra lines, freight."""
    desk = furnished(FakeStore())
    place = ShipTo(
        "port", "Port", taxes=TAXES, freights=FREIGHT, inclusive=request.param,
        rounding=Rounding.LINE,
    )  # fmt: skip
    set_ship_to(desk, by(), place)
    add_customer(desk, by("odo"), Customer("quay", "Quai", ship_to="port", locale="fr_CA"))
    job = create_job(desk, by(), NewJob("École", "quay")).label
    add_openings(desk, by(), job, [plain("101"), plain("102", 3), plain("103")])
    set_alternate(desk, by(), job, Alternate("alt-1", "Other", ("102",)))
    copy_opening(desk, by(), job, "101", ["201"], to_alternate="alt-1")
    set_alternate(desk, by(), job, Alternate("alt-2", "Without", ("103",)))
    for kind, amount in ((LineKind.HARDWARE, 1_999), (LineKind.LABOUR, 6_533)):
        add_extra(desk, by(), job, NewExtra(kind, kind.value, 3, Money(amount, "USD")))
    return frozen(issue_quote(desk, by("odo"), job).revision).offer


@pytest.mark.parametrize("taken", [(), ("alt-1",), ("alt-2",), ("alt-1", "alt-2")])
def test_the_rows_come_to_net_or_gross_as_they_say_and_net_and_taxes_to_gross(order, taken):
    rows = list(csv.DictReader(io.StringIO(order_csv(order, Acceptance(taken)).decode())))
    follow = ("net", "tax", "gross")
    lines = [row for row in rows if row["row"] not in follow]
    sums = {row["row"]: Fraction(row["amount"]) for row in rows if row["row"] != "tax"}
    (contains,) = {row["contains_tax"] for row in lines}
    assert contains == ("yes" if order.totals.inclusive else "no")
    total = sum(Fraction(row["amount"]) for row in lines)
    assert total == sums["gross" if contains == "yes" else "net"]
    taxes = [row for row in rows if row["row"] == "tax"]
    assert len(taxes) == 2
    assert sums["net"] + sum(Fraction(row["amount"]) for row in taxes) == sums["gross"]
    said = {row["row"]: row["contains_tax"] for row in rows}
    assert (said["net"], said["tax"], said["gross"]) == ("no", contains, "yes")
    # The GST is on all of it, the PST on all but the labour.
    labour = sum(Fraction(row["amount"]) for row in lines if row["row"] == "labour")
    assert [Fraction(row["base"]) for row in taxes] == [total, total - labour]
    marks = {row["name"] for row in lines if row["row"] == "opening"}
    gone = {mark for code, mark in (("alt-1", "102"), ("alt-2", "103")) if code in taken}
    more = {"201 [alt-1]"} if "alt-1" in taken else set()
    assert marks == {"101", "102", "103"} - gone | more


def test_a_day_is_named_in_the_quotes_language_and_says_which_it_is(order):
    shown = replace(order, ready_shown=True)
    events = Calendar.from_ical(calendar_bytes(shown)).walk("VEVENT")
    named: list[Any] = [event["summary"] for event in events]
    assert str(named[0]) == f"{order.label} École\xa0: dernier jour de validité"
    assert any("peuvent être prêts" in text or "peut être prêt" in text for text in named[1:])
    assert {text.params["LANGUAGE"] for text in named} == {"fr"}
    english = replace(shown, sent=None)
    (first, *_) = Calendar.from_ical(calendar_bytes(english)).walk("VEVENT")
    assert str(first["summary"]).endswith("École: last day it holds")
    assert first["summary"].params["LANGUAGE"] == "en"
