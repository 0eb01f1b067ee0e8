"""Line and total arithmetic of the OASIS UBL Quotation example.

Source: OASIS Universal Business Language 2.x, example instance of Quotation: lines of 150500,
43750, 1750 and 1750 DKK at 25 % VAT give a payable amount of 247187.50 DKK.
"""

from fractions import Fraction

import pytest
from tests.support.fake_store import FakeStore
from tests.support.jobs import by, desk_on, frozen

from wholekit.domain.customers import Customer
from wholekit.domain.quantities import parse_money
from wholekit.domain.tax import LineKind, Rounding, ShipTo, TaxRate
from wholekit.services.customers import add_customer, set_ship_to
from wholekit.services.job_lines import NewExtra, add_extra
from wholekit.services.jobs import NewJob, create_job
from wholekit.services.quotes import issue_quote

LINES = ("150500", "43750", "1750", "1750")


@pytest.mark.parametrize("rounding", list(Rounding))
def test_the_example_quotation_comes_to_its_payable_amount(rounding):
    desk = desk_on(FakeStore())
    vat = TaxRate("VAT", Fraction(25, 100))
    set_ship_to(desk, by(), ShipTo("aarhus", "Aarhus", taxes=(vat,), rounding=rounding))
    add_customer(desk, by("odo"), Customer("buyer", "Buyer", currency="DKK", ship_to="aarhus"))
    job = create_job(desk, by(), NewJob("Example", "buyer"))
    for number, amount in enumerate(LINES, start=1):
        line = NewExtra(LineKind.HARDWARE, f"Line {number}", 1, parse_money(amount, "DKK"))
        add_extra(desk, by(), job.label, line)
    totals = frozen(issue_quote(desk, by(), job.label).revision).offer.totals
    assert totals.net.decimal_text == "197750.00"
    assert [charge.tax.decimal_text for charge in totals.taxes] == ["49437.50"]
    assert totals.gross.decimal_text == "247187.50"
