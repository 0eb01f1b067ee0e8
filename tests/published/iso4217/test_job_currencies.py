"""Digits of a job's currency: ISO 4217 list one has USD 2, JPY 0, KWD 3 minor-unit digits."""

from fractions import Fraction

import pytest
from tests.support.fake_store import FakeStore
from tests.support.jobs import by, desk_on, frozen

from wholekit.domain.customers import Customer
from wholekit.domain.quantities import Money, QuantityError, parse_money
from wholekit.domain.tax import FreightRate, LineKind, ShipTo, TaxRate
from wholekit.services.customers import add_customer, set_ship_to
from wholekit.services.job_lines import NewExtra, add_extra
from wholekit.services.jobs import NewJob, create_job
from wholekit.services.quotes import issue_quote


@pytest.mark.parametrize(
    ("currency", "unit", "net", "tax", "gross"),
    [
        # 3 × unit and freight of 4 units flat; 7.25 % on all, rounded half up to the minor unit.
        ("USD", "33.35", "104.05", "7.54", "111.59"),
        ("JPY", "3335", "10405", "754", "11159"),
        ("KWD", "33.335", "104.005", "7.540", "111.545"),
    ],
)
def test_amounts_of_a_quote_have_the_digits_of_its_currency(currency, unit, net, tax, gross):
    desk = desk_on(FakeStore())
    flat = parse_money({"USD": "4.00", "JPY": "400", "KWD": "4.000"}[currency], currency)
    set_ship_to(
        desk,
        by(),
        ShipTo("port", "Port", taxes=(TaxRate("tax", Fraction(725, 10_000)),)),
    )
    add_customer(desk, by("odo"), Customer("buyer", "Buyer", currency=currency, ship_to="port"))
    job = create_job(desk, by(), NewJob("Job", "buyer"))
    price = parse_money(unit, currency)
    add_extra(desk, by(), job.label, NewExtra(LineKind.HARDWARE, "Hinges", 3, price))
    add_extra(desk, by(), job.label, NewExtra(LineKind.FREIGHT, "Freight", 1, flat))
    totals = frozen(issue_quote(desk, by(), job.label).revision).offer.totals
    found = (totals.net, totals.taxes[0].tax, totals.gross)
    assert tuple(money.decimal_text for money in found) == (net, tax, gross)


@pytest.mark.parametrize(
    ("currency", "too_fine"), [("USD", "1.005"), ("JPY", "1.5"), ("KWD", "1.0005")]
)
def test_an_amount_finer_than_the_currency_is_refused(currency, too_fine):
    with pytest.raises(QuantityError, match="money-too-many-decimals"):
        parse_money(too_fine, currency)


def test_freight_in_parts_of_the_hardware_rounds_to_the_minor_unit():
    for currency, hardware, freight in (("USD", 10_012, 250), ("JPY", 10_012, 250)):
        rate = FreightRate("freight", Money(0, currency), Fraction(25, 1000))
        assert rate.charge(Money(hardware, currency)) == Money(freight, currency)
