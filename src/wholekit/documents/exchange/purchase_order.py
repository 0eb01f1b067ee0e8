"""A purchase order for the supplier's system: UBL 2.1 Order (OASIS; ISO/IEC 19845), and CSV.

Both hold cost: they are for the owner and the one supplier.
"""

import csv
import io
from xml.etree import ElementTree

from wholekit.documents.exchange.books import text_cell
from wholekit.documents.exchange.xml_element import Element, put_address, put_party, xml_bytes
from wholekit.documents.papers import Letterhead
from wholekit.domain.buying import OrderLine, PurchaseOrder
from wholekit.wording.speech import ENGLISH, speaking, tr

ORDER = "urn:oasis:names:specification:ubl:schema:xsd:Order-2"
# UN/ECE Recommendation 20: each.
EACH = {"unitCode": "EA"}
# ISO/IEC 6523 code of GTIN (GS1), from memory.
GTIN = {"schemeID": "0160"}
HEADINGS = (
    "order", "line", "sku", "gtin", "description", "finish", "pack_size", "packs", "unit_cost",
    "amount", "currency", "expected", "ship_to",
)  # fmt: skip


def purchase_order_xml(order: PurchaseOrder, house: Letterhead, language: str = ENGLISH) -> bytes:
    """The order; the same order gives the same bytes.

    Line amount = quantity × price / base quantity, rounded to the currency's minor unit; the lines
    make the total, which is without freight and taxes, as a note in the language says.
    """
    with speaking(language):
        return xml_bytes(_order(order, house, {"languageID": language}))


def purchase_order_csv(order: PurchaseOrder) -> bytes:
    """The same as CSV (RFC 4180), a row for each line; unit_cost with its four decimals."""
    out = io.StringIO()
    write = csv.writer(out)
    write.writerow(HEADINGS)
    for number, line in enumerate(order.lines, start=1):
        write.writerow(
            (
                order.number,
                number,
                text_cell(line.sku),
                line.barcode,
                text_cell(line.description),
                text_cell(line.finish),
                line.pieces,
                line.packs,
                line.unit.decimal_text,
                line.amount.decimal_text,
                order.currency,
                "" if line.expected is None else line.expected.isoformat(),
                text_cell(order.branch),
            )
        )
    return out.getvalue().encode()


def _order(
    order: PurchaseOrder, house: Letterhead, language: dict[str, str]
) -> ElementTree.Element:
    """The parts of the document, in the order of the schema."""
    root = Element(f"{{{ORDER}}}Order")
    root.leaf("UBLVersionID", "2.1")
    root.leaf("ID", order.number)
    root.leaf("IssueDate", order.issued.isoformat())
    for note in (order.note, tr("Goods only, without freight and taxes.")):
        root.leaf("Note", note, language)
    root.leaf("DocumentCurrencyCode", order.currency)
    root.leaf("LineCountNumeric", str(len(order.lines)))
    buyer = root.part("BuyerCustomerParty").part("Party")
    put_party(buyer, house.name, house.address)
    if order.buyer or house.phone or house.email:
        contact = buyer.part("Contact")
        contact.leaf("Name", order.buyer)
        contact.leaf("Telephone", house.phone)
        contact.leaf("ElectronicMail", house.email)
    put_party(
        root.part("SellerSupplierParty").part("Party"), order.supplier, order.supplier_address
    )
    delivery = root.part("Delivery")
    if order.wanted_by is not None:
        delivery.leaf("LatestDeliveryDate", order.wanted_by.isoformat())
    address = delivery.part("DeliveryAddress")
    address.leaf("ID", order.branch)
    put_address(address, filter(None, order.ship_to))
    total = root.part("AnticipatedMonetaryTotal")
    total.amount("LineExtensionAmount", order.total)
    total.amount("PayableAmount", order.total)
    for number, line in enumerate(order.lines, start=1):
        _line(root.part("OrderLine").part("LineItem"), str(number), line)
    return root.built


def _line(into: Element, number: str, line: OrderLine) -> None:
    into.leaf("ID", number)
    into.leaf("Quantity", str(line.packs), EACH)
    into.amount("LineExtensionAmount", line.amount)
    if line.expected is not None:
        into.part("Delivery").leaf("LatestDeliveryDate", line.expected.isoformat())
    price = into.part("Price")
    price.leaf("PriceAmount", line.unit.decimal_text, {"currencyID": line.unit.currency})
    price.leaf("BaseQuantity", "1", EACH)
    item = into.part("Item")
    item.leaf("Description", line.description)
    if line.pieces > 1:
        item.leaf("PackSizeNumeric", str(line.pieces))
    item.leaf("Name", line.description)
    item.part("SellersItemIdentification").leaf("ID", line.sku)
    if line.barcode:
        item.part("StandardItemIdentification").leaf("ID", line.barcode, GTIN)
    if line.finish:
        finish = item.part("AdditionalItemProperty")
        finish.leaf("Name", tr("Finish"))
        finish.leaf("Value", line.finish)
