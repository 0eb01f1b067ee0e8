"""UBL 2.1 Quotation (OASIS; ISO/IEC 19845) of an issued offer: its base bid, as it was sent.

What is no part of the firm offer is said in its notes: openings left out, with the reason, open
questions, and what alternates would change. No cost and no upstream supplier is in it.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from xml.etree import ElementTree

from wholekit.documents.exchange.xml_element import (
    Element,
    decimal_text,
    put_address,
    put_party,
    xml_bytes,
)
from wholekit.domain.errors import CallError
from wholekit.domain.quantities import Money
from wholekit.domain.quotes.net_parts import net_parts, taxed_kinds
from wholekit.domain.quotes.offer import KitWords, Offer, OfferExtra, OfferKit, OfferOpening
from wholekit.domain.tax import LineKind, TaxableLine
from wholekit.wording.exports import open_notes, opening_name, words_locale
from wholekit.wording.speech import speaking, tr

QUOTATION = "urn:oasis:names:specification:ubl:schema:xsd:Quotation-2"
# UN/ECE Recommendation 20: each.
EACH = {"unitCode": "EA"}
# UN/CEFACT code list 5305, duty or tax category.
STANDARD_RATE, EXEMPT = "S", "E"


@dataclass(frozen=True, slots=True)
class _Line:
    """A line of the quotation: an opening or an extra line, and its amount net of tax.

    net: None for text without a price.
    """

    of: OfferOpening | OfferExtra
    net: Money | None


def quotation_xml(offer: Offer) -> bytes:
    """The quotation; the same revision gives the same bytes.

    Line amount = quantity × price / base quantity, less the discount; lines and freight come to
    the amount without tax, with the taxes to what is payable. Where prices contain the tax, lines
    are given without it, as the standard has them, and add up to the offer's net.

    Raises CallError (`export-of-firm-alone`) where an opening of the base bid is stopped or not
    whole: taxes and freight of what is left were never worked out.
    """
    base = offer.chosen()
    loose = [opening.place for opening in base.openings if not offer.is_firm(opening)]
    if loose:
        raise CallError("export-of-firm-alone", quote=offer.label, marks=loose)
    words = offer.sent or offer.words
    with speaking(words_locale(offer)):
        return xml_bytes(_Quotation(base, words.language).element())


class _Quotation:
    """The parts of the document, in the order of the schema."""

    def __init__(self, base: Offer, language: str) -> None:
        self._offer = base
        self._words = base.sent or base.words
        self._language = {"languageID": language}
        priced: list[OfferOpening | OfferExtra] = [*base.openings]
        priced += [extra for extra in base.extras if extra.total is not None]
        parts = [_taxable(each) for each in priced]
        self._parts = [*parts, TaxableLine(LineKind.FREIGHT, base.totals.freight)]
        *nets, self._freight = net_parts(self._parts, base.totals)
        self._nets = [*nets, self._freight]
        texts = [extra for extra in base.extras if extra.total is None]
        self._lines = [
            *(_Line(of, net) for of, net in zip(priced, nets, strict=True)),
            *(_Line(extra, None) for extra in texts),
        ]

    def element(self) -> ElementTree.Element:
        offer = self._offer
        root = Element(f"{{{QUOTATION}}}Quotation")
        root.leaf("UBLVersionID", "2.1")
        root.leaf("ID", offer.label)
        root.leaf("IssueDate", offer.issued.isoformat())
        for note in open_notes(offer):
            root.leaf("Note", note, self._language)
        root.leaf("PricingCurrencyCode", offer.currency)
        root.leaf("LineCountNumeric", str(len(self._lines)))
        period = root.part("ValidityPeriod")
        period.leaf("StartDate", offer.issued.isoformat())
        period.leaf("EndDate", offer.valid_until.isoformat())
        self._parties(root)
        self._terms(root)
        if self._freight.minor:
            charge = _allowance(root, tr("Freight"), charged=True)
            charge.amount("Amount", self._freight)
        self._taxes(root)
        self._monetary_total(root)
        for number, line in enumerate(self._lines, start=1):
            self._line(root.part("QuotationLine"), str(number), line)
        return root.built

    def _parties(self, root: Element) -> None:
        offer, customer = self._offer, self._offer.customer
        seller = root.part("SellerSupplierParty").part("Party")
        put_party(seller, offer.house_name, offer.house_lines)
        if offer.issued_by or offer.house_phone:
            contact = seller.part("Contact")
            contact.leaf("Name", offer.issued_by)
            contact.leaf("Telephone", offer.house_phone)
        buyer = root.part("OriginatorCustomerParty")
        buyer.leaf("SupplierAssignedAccountID", customer.code)
        party = buyer.part("Party")
        put_party(party, customer.name, customer.address)
        if customer.contact:
            party.part("Contact").leaf("Name", customer.contact)
        site = [text for text in (offer.ship_to, offer.site, *offer.site_address) if text]
        if site:
            put_address(root.part("Delivery").part("DeliveryAddress"), site)

    def _terms(self, root: Element) -> None:
        words = self._words
        said = [tr("Payment: {terms}.").format(terms=words.payment)] if words.payment else []
        terms = [*said, *words.terms]
        if terms:
            conditions = root.part("TransactionConditions")
            for text in terms:
                conditions.leaf("Description", text, self._language)

    def _taxes(self, root: Element) -> None:
        totals = self._offer.totals
        for tax in totals.taxes:
            # Of inclusive prices the base that was kept has the tax in it.
            kinds = taxed_kinds(self._parts, tax)
            taxable = Money(
                sum(
                    net.minor
                    for part, net in zip(self._parts, self._nets, strict=True)
                    if part.kind in kinds
                ),
                tax.base.currency,
            )
            subtotal = _tax_total(root, tax.tax, taxable if totals.inclusive else tax.base)
            category = subtotal.part("TaxCategory")
            category.leaf("ID", STANDARD_RATE)
            category.leaf("Percent", decimal_text(tax.rate * 100))
            category.part("TaxScheme").leaf("Name", tax.name)
        if totals.exempt:
            subtotal = _tax_total(root, Money.zero(totals.net.currency), totals.net)
            category = subtotal.part("TaxCategory")
            category.leaf("ID", EXEMPT)
            category.leaf("Percent", "0")
            said = tr("Exempt, certificate {number}").format(number=totals.exempt)
            category.leaf("TaxExemptionReason", said)
            category.part("TaxScheme").leaf("Name", tr("Tax"))

    def _monetary_total(self, root: Element) -> None:
        totals = self._offer.totals
        found = root.part("QuotedMonetaryTotal")
        lines = sum(line.net.minor for line in self._lines if line.net is not None)
        found.amount("LineExtensionAmount", Money(lines, self._offer.currency))
        found.amount("TaxExclusiveAmount", totals.net)
        found.amount("TaxInclusiveAmount", totals.gross)
        if self._freight.minor:
            found.amount("ChargeTotalAmount", self._freight)
        found.amount("PayableAmount", totals.gross)

    def _line(self, into: Element, number: str, line: _Line) -> None:
        into.leaf("ID", number)
        item = into.part("LineItem")
        item.leaf("ID", number)
        if isinstance(line.of, OfferExtra):
            self._extra(item, line.of, line.net)
        elif line.net is not None:
            self._opening(item, number, line.of, line.net)

    def _extra(self, item: Element, extra: OfferExtra, net: Money | None) -> None:
        item.leaf("Quantity", str(extra.quantity), EACH)
        if net is not None and extra.unit is not None:
            item.amount("LineExtensionAmount", net)
            plain = net == extra.total
            _price(item, extra.unit if plain else net, 1 if plain else extra.quantity)
        item.part("Item").leaf("Name", extra.description)

    def _opening(self, item: Element, number: str, opening: OfferOpening, net: Money) -> None:
        kit, said = self._offer.kit_of(opening), self._words.kits[opening.kit]
        count = opening.quantity
        item.leaf("Note", opening.note)
        item.leaf("Quantity", str(count), EACH)
        item.amount("LineExtensionAmount", net)
        plain = net == opening.price
        saved = kit.discounted.times(count)
        if not plain:
            # The same part of it is net as of the price.
            saved = saved.scaled(Fraction(net.minor, opening.price.minor))
        if saved.minor:
            less = _allowance(item, tr("Discount"), charged=False)
            less.leaf("MultiplierFactorNumeric", decimal_text(self._offer.discount))
            less.amount("Amount", saved)
            less.amount("BaseAmount", net + saved)
        _price(item, kit.price + kit.discounted if plain else net + saved, 1 if plain else count)
        what = item.part("Item")
        what.leaf("Description", said.summary, self._language)
        what.leaf("Name", opening_name(opening.mark, said, kit.type.leaves))
        for place, (name, text, sku, quantity, unit) in enumerate(
            _items(kit, said, self._words.price_agreed), start=1
        ):
            sub = item.part("SubLineItem")
            sub.leaf("ID", f"{number}.{place}")
            sub.leaf("Quantity", str(quantity * count), EACH)
            if plain:
                sub.amount("LineExtensionAmount", unit.times(quantity * count))
                _price(sub, unit, 1)
            of = sub.part("Item")
            of.leaf("Description", text)
            of.leaf("Name", name)
            if sku:
                of.part("SellersItemIdentification").leaf("ID", sku)


def _items(
    kit: OfferKit, said: KitWords, agreed: str
) -> Iterator[tuple[str, str, str, int, Money]]:
    """Name, description, SKU, quantity for one opening and price each of what a kit holds."""
    for line, (serves, _) in zip(kit.lines, said.lines, strict=True):
        yield line.description, serves, line.sku, line.quantity, line.unit
    if kit.adjustment.minor:
        yield agreed, "", "", 1, kit.adjustment


def _taxable(part: OfferOpening | OfferExtra) -> TaxableLine:
    if isinstance(part, OfferOpening):
        return TaxableLine(LineKind.HARDWARE, part.price)
    if part.total is None:
        raise ValueError(part.description)
    return TaxableLine(part.kind, part.total)


def _allowance(into: Element, why: str, *, charged: bool) -> Element:
    found = into.part("AllowanceCharge")
    found.leaf("ChargeIndicator", "true" if charged else "false")
    found.leaf("AllowanceChargeReason", why)
    return found


def _price(item: Element, amount: Money, base_quantity: int) -> None:
    price = item.part("Price")
    price.amount("PriceAmount", amount)
    price.leaf("BaseQuantity", str(base_quantity), EACH)


def _tax_total(root: Element, tax: Money, taxable: Money) -> Element:
    total = root.part("TaxTotal")
    total.amount("TaxAmount", tax)
    subtotal = total.part("TaxSubtotal")
    subtotal.amount("TaxableAmount", taxable)
    subtotal.amount("TaxAmount", tax)
    return subtotal
