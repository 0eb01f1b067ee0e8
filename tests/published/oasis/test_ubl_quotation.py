"""UBL 2.1 Quotation: the standard's schema, and the arithmetic of its example.

Sources: OASIS Universal Business Language 2.1, OASIS Standard of 4 November 2013: the schema
modules that Quotation imports (`ubl-2.1-quotation-xsd.zip`, unchanged, with OASIS' notice in
each), and the example instance of Quotation: 35 each of 4300, 1250, 50 and 50 DKK at 25 % tax come
to 197750.00 without and 247187.50 with it. In that example TaxExclusiveAmount is the tax itself;
here it is the amount without tax, as the standard's dictionary defines it.
"""

import zipfile
from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from xml.etree import ElementTree

import pytest
import xmlschema
from hypothesis import given
from hypothesis import strategies as st
from tests.support.fake_store import FakeStore
from tests.support.jobs import a_job, by, desk_on, frozen, furnished, plain

from wholekit.documents.exchange.quotation import quotation_xml
from wholekit.domain.catalog import Role
from wholekit.domain.customers import Customer, TaxStatus
from wholekit.domain.errors import CallError
from wholekit.domain.openings import HoldOpen
from wholekit.domain.quantities import Money, parse_money
from wholekit.domain.quotes import Override, OverrideKind
from wholekit.domain.quotes.net_parts import net_parts
from wholekit.domain.quotes.offer import OfferPiece, Totals
from wholekit.domain.tax import (
    FreightRate,
    LineKind,
    Rounding,
    ShipTo,
    TaxableLine,
    TaxRate,
    assess,
)
from wholekit.services.customers import add_customer, edit_customer, set_ship_to
from wholekit.services.job_lines import NewExtra, add_extra
from wholekit.services.job_openings import add_openings, override_opening
from wholekit.services.jobs import NewJob, create_job, edit_job, set_discount
from wholekit.services.quotes import issue_quote

LINES = ("4300", "1250", "50", "50")
CBC = "{urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2}"
CAC = "{urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2}"
XSD = Path(__file__).with_name("ubl-2.1-quotation-xsd.zip")
NOTE = "=1+1 \U0001f6aa \u05d3\u05dc\u05ea"
VAT = TaxRate("VAT", Fraction(1, 4))


@pytest.fixture(scope="module")
def schema(tmp_path_factory):
    folder = tmp_path_factory.mktemp("ubl")
    with zipfile.ZipFile(XSD) as modules:
        modules.extractall(folder)
    return xmlschema.XMLSchema(folder / "maindoc" / "UBL-Quotation-2.1.xsd", allow="local")


@pytest.fixture(params=list(Rounding))
def example(request):
    desk = desk_on(FakeStore())
    place = ShipTo("aarhus", "Aarhus", taxes=(VAT,), rounding=request.param)
    set_ship_to(desk, by(), place)
    add_customer(desk, by("odo"), Customer("buyer", "Buyer", currency="DKK", ship_to="aarhus"))
    job = create_job(desk, by(), NewJob("Example", "buyer"))
    for number, amount in enumerate(LINES, start=1):
        line = NewExtra(LineKind.HARDWARE, f"Line {number}", 35, parse_money(amount, "DKK"))
        add_extra(desk, by(), job.label, line)
    return frozen(issue_quote(desk, by(), job.label).revision).offer


def test_the_example_quotation_comes_to_its_payable_amount(example, schema):
    totals = example.totals
    assert totals.net.decimal_text == "197750.00"
    assert [charge.tax.decimal_text for charge in totals.taxes] == ["49437.50"]
    assert totals.gross.decimal_text == "247187.50"
    root = sound(quotation_xml(example), schema)
    assert texts(root, f"{CAC}QuotationLine/{CAC}LineItem/{CBC}LineExtensionAmount") == [
        "150500.00", "43750.00", "1750.00", "1750.00",
    ]  # fmt: skip
    total = root.find(f"{CAC}QuotedMonetaryTotal")
    assert [element.text for element in total] == [
        "197750.00", "197750.00", "247187.50", "247187.50",
    ]  # fmt: skip
    assert texts(root, f".//{CAC}TaxSubtotal/{CBC}TaxableAmount") == ["197750.00"]
    assert root.findtext(f".//{CBC}PricingCurrencyCode") == "DKK"


def issued(place, *, locale="en_US", certificate="", discount=Fraction(0), stopped=False):
    """A quote of three kinds of opening, an agreed price, extra lines and freight."""
    desk = furnished(FakeStore())
    set_ship_to(desk, by(), place)

    def terms(old):
        return Customer(
            old.code, old.name, ("9 Quay St",), locale=locale, multiplier=old.multiplier,
            tax=TaxStatus(certificate), contact="R. Oake <&>", ship_to=place.code,
        )  # fmt: skip

    edit_customer(desk, by("odo"), "saltmarsh", terms)
    job = a_job(desk, "101")
    edit_job(desk, by(), job.label, {"ship_to": place.code})
    noted = replace(plain("103", 7, "4070"), note=NOTE)
    more = [plain("102", 3), noted]
    add_openings(desk, by(), job.label, more)
    if stopped:
        add_openings(desk, by(), job.label, [plain("104", fire_minutes=90, hold_open=HoldOpen.ARM)])
    agreed = Override(OverrideKind.PRICE, "agreed", "", by().at, price=Money(33_333, "USD"))
    override_opening(desk, by(), job.label, "102", agreed)
    for kind, amount in ((LineKind.HARDWARE, 1_999), (LineKind.LABOUR, 10_001), (None, 0)):
        unit = None if kind is None else Money(amount, "USD")
        line = NewExtra(kind or LineKind.OTHER, f"{kind}", 3, unit)
        add_extra(desk, by(), job.label, line)
    if discount:
        set_discount(desk, by("odo"), job.label, discount, "early order")
    done = issue_quote(desk, by("odo"), job.label, leave_stopped=stopped)
    return frozen(done.revision).offer


FREIGHT = (FreightRate("truck", Money(4_567, "USD"), Fraction(1, 30)),)
TWO = (
    TaxRate("state", Fraction(625, 10_000), frozenset({LineKind.HARDWARE})),
    TaxRate("city", Fraction(15, 1_000), exemptible=False),
)


@pytest.mark.parametrize(
    ("place", "more"),
    [
        (ShipTo("port", "Port", taxes=TWO, freights=FREIGHT), {"discount": Fraction(1, 33)}),
        (ShipTo("port", "Port", taxes=TWO, freights=FREIGHT, inclusive=True,
                rounding=Rounding.LINE), {"discount": Fraction(1, 33), "locale": "es_MX"}),
        (ShipTo("port", "Port", taxes=TWO), {"certificate": "EX-7"}),
        (ShipTo("port", "Port"), {"stopped": True, "locale": "fr_CA"}),
    ],
    ids=["exclusive", "inclusive", "exempt", "stopped"],
)  # fmt: skip
def test_a_quotation_is_valid_and_adds_up(schema, place, more):
    offer = issued(place, **more)
    data = quotation_xml(offer)
    root = sound(data, schema)
    assert quotation_xml(offer) == data
    total = root.find(f"{CAC}QuotedMonetaryTotal")
    assert total.findtext(f"{CBC}TaxExclusiveAmount") == offer.totals.net.decimal_text
    assert total.findtext(f"{CBC}PayableAmount") == offer.totals.gross.decimal_text
    names = texts(root, f".//{CAC}TaxCategory/{CAC}TaxScheme/{CBC}Name")
    assert names[: len(offer.totals.taxes)] == [tax.name for tax in offer.totals.taxes]
    assert len(texts(root, f".//{CBC}TaxExemptionReason")) == bool(offer.totals.exempt)
    assert len(root.findall(f"{CAC}AllowanceCharge")) == bool(offer.totals.freight.minor)
    less = root.findall(f".//{CAC}LineItem/{CAC}AllowanceCharge")
    assert bool(less) == bool(offer.discount)
    marks = [
        name.partition(":")[0] for name in texts(root, f".//{CAC}LineItem/{CAC}Item/{CBC}Name")
    ]
    assert {"101", "102", "103"} <= set(marks)
    assert "104" not in marks, "only what is firm is a line"
    notes = "".join(texts(root, f"{CBC}Note"))
    assert ("104 (× 1)" in notes) == bool(more.get("stopped"))
    assert NOTE in texts(root, f".//{CAC}LineItem/{CBC}Note")
    # Neither who supplies the house nor its own words.
    assert not any(word in data.decode() for word in ("Tarrowby Closer Company", "early order"))


def test_an_offer_with_a_stopped_opening_is_no_quotation():
    offer = issued(ShipTo("port", "Port"))
    (first, *_), kits = offer.openings, list(offer.kits)
    kits[first.kit] = replace(kits[first.kit], missing=(OfferPiece(Role.COVER, 1),))
    with pytest.raises(CallError) as refused:
        quotation_xml(replace(offer, kits=tuple(kits)))
    assert refused.value.code == "export-of-firm-alone"
    assert refused.value.fields["marks"] == ["101"]


@given(
    st.lists(st.tuples(st.sampled_from(LineKind), st.integers(0, 10**7)), min_size=1, max_size=9),
    st.lists(st.tuples(st.integers(0, 3_000), st.booleans()), max_size=3),
    st.sampled_from(Rounding),
)
def test_net_parts_come_to_the_net_and_each_is_its_amount_without_its_rates(lines, rates, rounding):
    parts = [TaxableLine(kind, Money(minor, "EUR")) for kind, minor in lines]
    hardware = frozenset({LineKind.HARDWARE})
    taxes = [
        TaxRate(f"{number}", Fraction(rate, 10_000), hardware if alone else frozenset())
        for number, (rate, alone) in enumerate(rates)
    ]
    taxed = assess(
        parts, taxes, day=date(2026, 1, 1), currency="EUR", inclusive=True, rounding=rounding
    )
    zero = Money.zero("EUR")
    totals = Totals(zero, zero, zero, taxed.net, taxed.taxes, taxed.gross, inclusive=True)
    found = net_parts(parts, totals)
    assert sum(net.minor for net in found) == taxed.net.minor
    # Half a cent for each rounding of a tax, spread over the parts, and each part's own.
    most = 2 + (len(taxes) + 1) // 2
    for part, net in zip(parts, found, strict=True):
        together = sum(tax.rate for tax in taxes if tax.covers(part.kind))
        assert abs(net.minor - part.amount.minor / (1 + together)) <= most


def sound(data, schema):
    """The document's root, once it is valid and every sum in it holds."""
    schema.validate(data.decode())
    root = ElementTree.fromstring(data)  # noqa: S314  # our own
    lines = root.findall(f"{CAC}QuotationLine/{CAC}LineItem")
    for line in lines:
        if line.find(f"{CAC}Price") is not None:
            check_line(line)
            subs = [amount(sub, "LineExtensionAmount") for sub in line.findall(f"{CAC}SubLineItem")]
            if any(subs):
                assert sum(subs) == amount(line, "LineExtensionAmount")
    total = root.find(f"{CAC}QuotedMonetaryTotal")
    line_total = sum(amount(line, "LineExtensionAmount") for line in lines)
    charges = sum(amount(each, "Amount") for each in root.findall(f"{CAC}AllowanceCharge"))
    taxes = root.findall(f"{CAC}TaxTotal")
    for tax in taxes:
        parts = [amount(part, "TaxAmount") for part in tax.findall(f"{CAC}TaxSubtotal")]
        assert sum(parts) == amount(tax, "TaxAmount")
        assert amount(tax.find(f"{CAC}TaxSubtotal"), "TaxableAmount") <= line_total + charges
    assert amount(total, "LineExtensionAmount") == line_total
    assert amount(total, "ChargeTotalAmount") == charges
    assert amount(total, "TaxExclusiveAmount") == line_total + charges
    tax = sum(amount(tax, "TaxAmount") for tax in taxes)
    assert amount(total, "TaxInclusiveAmount") == line_total + charges + tax
    assert amount(total, "PayableAmount") == amount(total, "TaxInclusiveAmount")
    assert root.findtext(f"{CBC}LineCountNumeric") == f"{len(lines)}"
    assert all(element.text for element in root.iter() if element.tag.startswith(CBC))
    return root


def check_line(line):
    price = line.find(f"{CAC}Price")
    count, base = amount(line, "Quantity"), amount(price, "BaseQuantity")
    less = sum(amount(each, "Amount") for each in line.findall(f"{CAC}AllowanceCharge"))
    assert amount(line, "LineExtensionAmount") == amount(price, "PriceAmount") * count / base - less


def amount(element, name):
    return Decimal(element.findtext(f"{CBC}{name}") or 0)


def texts(root, path):
    return [element.text for element in root.findall(path)]
