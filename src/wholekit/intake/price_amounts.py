"""Amounts as suppliers write them in price sheets, made plain."""

import re

_AROUND = re.compile(r"^(?:[A-Z]{3}|[$€£])\s*|\s*(?:[A-Z]{3}|[$€£])$")
_SPACED = re.compile(r"(?<=\d)[\s\u00a0\u202f\u2019'](?=\d{3}(?:\D|$))")
# Groups of three behind commas with a decimal point, or several of them; and the other way round.
_GROUPED = re.compile(r"\d{1,3}(?:,\d{3})+\.\d+|\d{1,3}(?:,\d{3}){2,}")
_GROUPED_POINTS = re.compile(r"\d{1,3}(?:\.\d{3})+,\d+|\d{1,3}(?:\.\d{3}){2,}")
# One comma and any number of decimals but three, which might as well be a group.
_COMMA = re.compile(r"\d+,(?:\d{1,2}|\d{4,})")


def plain_amount(text: str) -> str:
    """An amount without currency and groups, with a decimal point; what is not clearly one as it
    stands, for its reader to refuse.

    >>> plain_amount("$1,234.50"), plain_amount("1.234,50 €"), plain_amount("1,234")
    ('1234.50', '1234.50', '1,234')
    """
    bare = _SPACED.sub("", _AROUND.sub("", text.strip()))
    if _GROUPED.fullmatch(bare):
        return bare.replace(",", "")
    if _GROUPED_POINTS.fullmatch(bare):
        return bare.replace(".", "").replace(",", ".")
    if _COMMA.fullmatch(bare):
        return bare.replace(",", ".")
    return bare
