"""GS1 element strings: what a label of a carton or a batch says beside the item's number.

A scanner sends them as application identifiers (AI) with their values, a group separator behind
each that has no length of its own, and, if it is set so, a symbology identifier in front. GS1
General Specifications, 7.8 (processing of element strings, predefined lengths) and 5.1 (symbology
identifiers, ISO/IEC 15424), from memory; lengths of the identifiers themselves: GS1 Tag Data
Translation 2.0, table K, seen at ref.gs1.org.
"""

from dataclasses import dataclass

from wholekit.domain.catalog.gtin import is_digits, is_gtin

SEPARATOR = "\x1d"
# Data carriers whose content is an element string: GS1-128, DataBar, DataMatrix, QR Code.
OF_ELEMENTS = frozenset({"]C1", "]e0", "]d2", "]Q3"})
GTIN, CONTENT, COUNT, VARIABLE_COUNT = "01", "02", "37", "30"
_GTIN_DIGITS = 14
_LONGEST_COUNT = 8
# Values of these need no separator behind them [characters].
_LENGTHS = {
    "00": 18, "01": 14, "02": 14, "03": 14, "04": 16,
    **{f"{number}": 6 for number in range(11, 20)},
    "20": 2, "41": 13,
    # Four digits of identifier and six of value; the identifier is read by its own length.
    **{f"{number}": 6 for number in range(31, 37)},
}  # fmt: skip
# How long an identifier is, by its first two digits.
_NAMES = {
    **dict.fromkeys(("23", "24", "25", "40", "41", "42", "71"), 3),
    **dict.fromkeys(("31", "32", "33", "34", "35", "36", "39", "43", "70", "72", "80", "81", "82"),
                    4),
}  # fmt: skip
# A GTIN within brackets is how people write what stands under the bars.
_BRACKET = "("


@dataclass(frozen=True, slots=True)
class Elements:
    """An item's number [GTIN-14] and how many it is [count]; empty where the label names none."""

    gtin: str
    packs: int = 1


def without_symbology(text: str) -> tuple[str, bool]:
    """The text without the symbology identifier in front, and whether that one promises elements.

    >>> without_symbology("]C10102880000000181"), without_symbology("]E02880000000181")
    (('0102880000000181', True), ('2880000000181', False))
    """
    if len(text) > 3 and text[0] == "]" and text[1].isalpha() and text[2].isalnum():
        return text[3:], text[:3] in OF_ELEMENTS
    return text, False


def read_elements(text: str, *, promised: bool) -> Elements | None:
    """What an element string says; None where the text is none, or is not whole.

    promised: the scanner said that it is one. Else only a text that is one to its end is taken for
    one, with a number whose check digit fits: codes of other kinds begin with digits, too.

    >>> read_elements("010288000000018130" + "12", promised=True)
    Elements(gtin='02880000000181', packs=12)
    >>> read_elements("(01)02880000000181(10)B7", promised=False)
    Elements(gtin='02880000000181', packs=1)
    >>> read_elements("0102880000000181x", promised=False) is None
    True
    """
    found = _bracketed(text) if text.startswith(_BRACKET) else _parted(text)
    if found is None:
        return None
    number = found.get(GTIN) or found.get(CONTENT, "")
    if not promised and not is_gtin(number):
        return None
    said = found.get(COUNT) or found.get(VARIABLE_COUNT, "1")
    if not is_digits(said) or len(said) > _LONGEST_COUNT:
        return None
    return Elements(number, int(said))


def _parted(text: str) -> dict[str, str] | None:
    found: dict[str, str] = {}
    rest = text.lstrip(SEPARATOR)
    while rest:
        first = rest[:2]
        if not is_digits(first) or len(first) < 2:
            return None
        name = rest[: _NAMES.get(first, 2)]
        length = _LENGTHS.get(first)
        rest = rest[len(name) :]
        if length is None:
            value, _, rest = rest.partition(SEPARATOR)
        else:
            value, rest = rest[:length], rest[length:]
            if len(value) < length or not is_digits(value):
                return None
            # Some printers put one behind these as well.
            rest = rest.removeprefix(SEPARATOR)
        if not value or not is_digits(name) or name in found:
            return None
        found[name] = value
    return found or None


def _bracketed(text: str) -> dict[str, str] | None:
    found: dict[str, str] = {}
    for part in text.split(_BRACKET)[1:]:
        name, closed, value = part.partition(")")
        if not closed or not is_digits(name) or not value or name in found:
            return None
        if name in (GTIN, CONTENT) and len(value) != _GTIN_DIGITS:
            return None
        found[name] = value.strip(SEPARATOR)
    return found or None
