"""Elements of a UBL 2 document, put one after the other as its schema orders them."""

import re
from collections.abc import Iterable, Mapping
from decimal import Decimal
from fractions import Fraction
from xml.etree import ElementTree

from wholekit.domain.quantities import Money

_SPACE = "urn:oasis:names:specification:ubl:schema:xsd:Common{}Components-2"
BASIC, AGGREGATE = _SPACE.format("Basic"), _SPACE.format("Aggregate")
# All that XML 1.0 can hold (its production 2); of controls, it knows tab and line breaks alone.
_UNWRITABLE = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


class Element:
    """An element that holds basic ones (`put`, `amount`) or aggregate ones (`part`)."""

    def __init__(self, name: str, parent: ElementTree.Element | None = None) -> None:
        if parent is None:
            self.built = ElementTree.Element(name)
        else:
            self.built = ElementTree.SubElement(parent, name)

    def leaf(self, name: str, text: str, attributes: Mapping[str, str] | None = None) -> None:
        """A basic element with its text; none for an empty text, as the standard has no such."""
        clean = _UNWRITABLE.sub("", text).strip()
        if clean:
            found = ElementTree.SubElement(self.built, f"{{{BASIC}}}{name}", dict(attributes or {}))
            found.text = clean

    def amount(self, name: str, amount: Money) -> None:
        """An amount with its currency."""
        self.leaf(name, amount.decimal_text, {"currencyID": amount.currency})

    def part(self, name: str) -> "Element":
        """An aggregate element, to be filled."""
        return Element(f"{{{AGGREGATE}}}{name}", self.built)


def put_party(party: Element, name: str, lines: Iterable[str]) -> None:
    """A party's name and postal address, each where there is any."""
    if name:
        party.part("PartyName").leaf("Name", name)
    found = [line for line in lines if line]
    if found:
        put_address(party.part("PostalAddress"), found)


def put_address(address: Element, lines: Iterable[str]) -> None:
    """An address line by line."""
    for line in lines:
        address.part("AddressLine").leaf("Line", line)


def xml_bytes(root: ElementTree.Element) -> bytes:
    """The document in UTF-8, indented; the same elements give the same bytes."""
    ElementTree.register_namespace("cac", AGGREGATE)
    ElementTree.register_namespace("cbc", BASIC)
    ElementTree.register_namespace("", root.tag.partition("}")[0].removeprefix("{"))
    ElementTree.indent(root)
    text = ElementTree.tostring(root, encoding="unicode")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{text}\n'.encode()


def decimal_text(value: Fraction) -> str:
    """A number as XML Schema's decimal has it, never with an exponent.

    >>> decimal_text(Fraction(825, 100)), decimal_text(Fraction(25))
    ('8.25', '25')
    """
    return f"{Decimal(value.numerator) / Decimal(value.denominator):f}"
