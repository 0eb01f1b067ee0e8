"""What a scanner types before Enter, read: a bag's id, or a code with a count; else refused.

Reading needs no shelf: whether a code is anybody's is asked by the judge. Any text whatever may
come; nothing here runs longer than the text is long.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TypeAlias

from wholekit.domain.catalog.gtin import GTIN_LENGTHS, as_gtin_14, is_digits, is_gtin
from wholekit.domain.errors import CallError
from wholekit.domain.picking.element_string import Elements, read_elements, without_symbology
from wholekit.domain.quotes.bag_id import BagId, bag_id_from

COUNT_SIGN = "*"
MOST_AT_ONCE = 999  # packs of one count; more is a code that ran into the prefix
LONGEST_SCAN = 80  # characters; no SKU, number or bag id comes near
_SHOWN = 24
_ENDS = " \t\r\n"


@dataclass(frozen=True, slots=True)
class ScanRefused:
    """A scan that counts nothing: why, as a code, and what its sentence needs."""

    code: str
    fields: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class CodeScan:
    """The code of an item, SKU or GTIN, and how many packs of it [count]."""

    code: str
    packs: int = 1

    @property
    def gtin(self) -> str:
        """As GTIN-14, under which all lengths of a number are one; empty where it is none."""
        return as_gtin_14(self.code) if is_gtin(self.code) else ""

    @property
    def misread_gtin(self) -> bool:
        """Whether it is as long as a GTIN and its check digit does not fit."""
        return is_digits(self.code) and len(self.code) in GTIN_LENGTHS and not self.gtin


@dataclass(frozen=True, slots=True)
class BagScan:
    """The id of a bag."""

    bag: BagId


Scan: TypeAlias = CodeScan | BagScan | ScanRefused


def read_scan(typed: str) -> Scan:
    """The text read; `4*CODE` is four of CODE, as is a GS1 label that says so. Never raises.

    >>> read_scan(" 4*TG-B3\\r")
    CodeScan(code='TG-B3', packs=4)
    >>> read_scan("q12r2p7b3b")
    BagScan(bag=BagId(quote=12, revision=2, place=7, bag=3))
    >>> read_scan("0*TG-B3").code
    'scan-count-none'
    """
    text, of_elements = without_symbology(typed.strip(_ENDS))
    if len(text) <= LONGEST_SCAN:
        elements = read_elements(text, promised=of_elements)
        if elements is not None:
            return _of_label(elements, text)
        if of_elements:
            return ScanRefused("scan-label-broken", {"given": shown(text)})
    refusal = _unreadable(text)
    if refusal:
        return ScanRefused(refusal, {"given": shown(text)})
    before, sign, after = text.partition(COUNT_SIGN)
    if sign and (before == "" or _like_a_count(before.rstrip(_ENDS))):
        return _counted(before.rstrip(_ENDS), after.lstrip(_ENDS), text)
    return _code(text)


def _of_label(elements: Elements, text: str) -> Scan:
    """What a label of a carton or a batch says: its item, and how many of it."""
    fields = {"given": shown(text), "count": str(elements.packs), "most": MOST_AT_ONCE}
    if not elements.gtin:
        return ScanRefused("scan-label-without-item", fields)
    if elements.packs == 0:
        return ScanRefused("scan-count-none", fields)
    if elements.packs > MOST_AT_ONCE:
        return ScanRefused("scan-count-large", fields)
    return CodeScan(elements.gtin, elements.packs)


def shown(text: str) -> str:
    """The text as it may be shown: short, with a dot for each sign that cannot be printed.

    >>> shown("AB\\x00C"), len(shown("A" * 10_000))
    ('AB·C', 24)
    """
    start = "".join(sign if sign.isprintable() else "·" for sign in text[:_SHOWN])
    return start if len(text) <= _SHOWN else start[:-1] + "…"


def _unreadable(text: str) -> str:
    if not text:
        return "scan-empty"
    if len(text) > LONGEST_SCAN:
        return "scan-too-long"
    return "" if text.isprintable() else "scan-garbled"


def _like_a_count(text: str) -> bool:
    """Whether somebody meant a number: `4`, `-1`, `2.5`; no SKU begins so before a star."""
    return is_digits(text.lstrip("+-").replace(".", "", 1).replace(",", "", 1))


def _counted(before: str, after: str, text: str) -> Scan:
    fields = {"given": shown(text), "count": shown(before), "most": MOST_AT_ONCE}
    if not is_digits(before):
        return ScanRefused("scan-count-malformed", fields)
    packs = int(before)
    if packs == 0:
        return ScanRefused("scan-count-none", fields)
    if packs > MOST_AT_ONCE:
        return ScanRefused("scan-count-large", fields)
    if not after:
        return ScanRefused("scan-count-alone", fields)
    again, sign, _ = after.partition(COUNT_SIGN)
    if sign and _like_a_count(again.rstrip(_ENDS)):
        return ScanRefused("scan-count-twice", fields)
    read = _code(after)
    if isinstance(read, BagScan):
        return ScanRefused("scan-count-of-bag", fields)
    return CodeScan(read.code, packs) if isinstance(read, CodeScan) else read


def _code(text: str) -> Scan:
    try:
        return BagScan(bag_id_from(text))
    except CallError as error:
        if error.code == "bag-id-misread":
            return ScanRefused("scan-bag-misread", {"given": shown(text)})
    return CodeScan(text)
