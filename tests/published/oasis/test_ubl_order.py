"""UBL 2.1 Order: the standard's schema, and that every line and the total hold.

Source: OASIS Universal Business Language 2.1, OASIS Standard of 4 November 2013. The common modules
are those in `ubl-2.1-quotation-xsd.zip`, unchanged; they hold every part and every line of an
order. Of the root element, the parts with how often each may stand were read in the module
UBL-Order-2.1.xsd of an earlier stage of 2.1 (generated 2010) and are listed here.
"""

import zipfile
from decimal import Decimal
from pathlib import Path
from xml.etree import ElementTree

import pytest
import xmlschema
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.buying.orders import HOUSE, an_order, orders

from wholekit.documents.exchange.purchase_order import ORDER, purchase_order_xml

XSD = Path(__file__).with_name("ubl-2.1-quotation-xsd.zip")
SPACE = "urn:oasis:names:specification:ubl:schema:xsd:Common{}Components-2"
CBC, CAC = (f"{{{SPACE.format(kind)}}}" for kind in ("Basic", "Aggregate"))
# `!` must stand once, `+` once or oftener, `*` any number of times; else at most once.
PARTS = (
    "ext:UBLExtensions", "cbc:UBLVersionID", "cbc:CustomizationID", "cbc:ProfileID",
    "cbc:ProfileExecutionID", "cbc:ID!", "cbc:SalesOrderID", "cbc:CopyIndicator", "cbc:UUID",
    "cbc:IssueDate!", "cbc:IssueTime", "cbc:OrderTypeCode", "cbc:Note*",
    "cbc:RequestedInvoiceCurrencyCode", "cbc:DocumentCurrencyCode", "cbc:PricingCurrencyCode",
    "cbc:TaxCurrencyCode", "cbc:CustomerReference", "cbc:AccountingCostCode",
    "cbc:AccountingCost", "cbc:LineCountNumeric", "cac:ValidityPeriod*",
    "cac:QuotationDocumentReference", "cac:OrderDocumentReference*",
    "cac:OriginatorDocumentReference", "cac:CatalogueReference",
    "cac:AdditionalDocumentReference*", "cac:Contract*", "cac:Signature*",
    "cac:BuyerCustomerParty!", "cac:SellerSupplierParty!", "cac:OriginatorCustomerParty",
    "cac:FreightForwarderParty", "cac:AccountingCustomerParty", "cac:Delivery*",
    "cac:DeliveryTerms", "cac:PaymentMeans*", "cac:PaymentTerms*", "cac:TransactionConditions",
    "cac:AllowanceCharge*", "cac:TaxExchangeRate", "cac:PricingExchangeRate",
    "cac:PaymentExchangeRate", "cac:DestinationCountry", "cac:TaxTotal*",
    "cac:AnticipatedMonetaryTotal", "cac:OrderLine+",
)  # fmt: skip
OFTEN = {"!": "", "+": 'maxOccurs="unbounded"', "*": 'minOccurs="0" maxOccurs="unbounded"'}
OPTIONAL = 'minOccurs="0"'
KINDS = {"cbc": "Basic", "cac": "Aggregate", "ext": "Extension"}


def root_module() -> str:
    """The schema of the root element, made of PARTS."""
    spaces = "".join(f' xmlns:{name}="{SPACE.format(kind)}"' for name, kind in KINDS.items())
    imports = "".join(
        f'<xsd:import namespace="{SPACE.format(kind)}" '
        f'schemaLocation="../common/UBL-Common{kind}Components-2.1.xsd"/>'
        for kind in KINDS.values()
    )
    parts = "".join(
        f'<xsd:element ref="{part.rstrip("!+*")}" {OFTEN.get(part[-1], OPTIONAL)}/>'
        for part in PARTS
    )
    return (
        f'<xsd:schema xmlns:xsd="http://www.w3.org/2001/XMLSchema"{spaces} '
        f'targetNamespace="{ORDER}" elementFormDefault="qualified">{imports}'
        f'<xsd:element name="Order"><xsd:complexType><xsd:sequence>{parts}</xsd:sequence>'
        "</xsd:complexType></xsd:element></xsd:schema>"
    )


@pytest.fixture(scope="module")
def schema(tmp_path_factory):
    folder = tmp_path_factory.mktemp("ubl")
    with zipfile.ZipFile(XSD) as modules:
        modules.extractall(folder)
    module = folder / "maindoc" / "UBL-Order-2.1.xsd"
    module.write_text(root_module(), encoding="utf-8")
    return xmlschema.XMLSchema(module, allow="local")


@settings(max_examples=25)
@given(order=orders(), language=st.sampled_from(("en", "fr", "es")))
def test_every_order_is_valid_and_its_sums_hold(schema, order, language):
    data = purchase_order_xml(order, HOUSE, language)
    schema.validate(data.decode())
    root = ElementTree.fromstring(data)  # noqa: S314  # our own
    lines = root.findall(f"{CAC}OrderLine/{CAC}LineItem")
    assert root.findtext(f"{CBC}LineCountNumeric") == str(len(lines)) == str(len(order.lines))
    for line, own in zip(lines, order.lines, strict=True):
        price = line.find(f"{CAC}Price")
        exact = number(price, "PriceAmount") * number(line, "Quantity")
        exact /= number(price, "BaseQuantity")
        half = Decimal(1).scaleb(own.amount.decimal.as_tuple().exponent) / 2
        assert abs(number(line, "LineExtensionAmount") - exact) <= half
        assert line.findtext(f"{CAC}Item/{CAC}SellersItemIdentification/{CBC}ID") == own.sku
    total = root.find(f"{CAC}AnticipatedMonetaryTotal")
    assert sum(number(line, "LineExtensionAmount") for line in lines) == number(
        total, "PayableAmount"
    )
    assert {element.get("currencyID") for element in root.iter()} - {None} == {order.currency}
    assert all(element.text for element in root.iter() if element.tag.startswith(CBC))
    assert purchase_order_xml(order, HOUSE, language) == data


def test_the_schema_refuses_what_is_out_of_place(schema):
    data = purchase_order_xml(an_order(), HOUSE).decode()
    assert not schema.is_valid(data.replace("<cbc:ID>PO-7</cbc:ID>", "", 1))
    assert not schema.is_valid(data.replace("LatestDeliveryDate>", "LastDeliveryDate>"))


def number(element, name):
    return Decimal(element.findtext(f"{CBC}{name}"))
