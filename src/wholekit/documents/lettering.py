"""How wide words are in the house font, and how many lines they take in a column.

By the font's own advance widths (ISO/IEC 14496-22, hmtx and HVAR), without kerning.
"""

import re
from collections.abc import Mapping
from functools import cache, lru_cache
from unicodedata import east_asian_width

from wholekit.documents.press import house_font

POINT = 25.4 / 72  # [mm]
REGULAR, HEAVY = 400, 600
# Of a character that the house font does not draw, or that stands past its Latin ones, and of one
# that takes two columns (UAX #11, wide), with what its font leaves about it [em].
OTHER, WIDE = 0.6, 1.3
_LAST = 0x2300
# A line ends at a space or behind a hyphen; a no-break space binds.
_WORD = re.compile(r"[^ \n-]*-|[^ \n-]+")


@cache
def _advances(weight: int) -> Mapping[str, float]:
    """Advance widths of Latin characters and signs at that weight [em]."""
    from fontTools.ttLib import TTFont

    with TTFont(house_font(), lazy=True) as font:
        whole = font["head"].unitsPerEm
        drawn = font.getGlyphSet(location={"wght": weight})
        return {
            chr(code): drawn[name].width / whole
            for code, name in font.getBestCmap().items()
            if code < _LAST
        }


def breadth(text: str, points: float, weight: int = REGULAR) -> float:
    """How wide a text is in one line [mm]."""
    return _ems(text, weight) * points * POINT


@lru_cache(maxsize=65536)
def _ems(word: str, weight: int) -> float:
    advances = _advances(weight)
    return sum(advances.get(sign) or (WIDE if is_wide(sign) else OTHER) for sign in word)


def is_wide(sign: str) -> bool:
    """Whether a character takes the room of two: ideographs and pictures do."""
    return east_asian_width(sign) in "WF"


def lines_of(text: str, width: float, points: float, weight: int = REGULAR) -> int:
    """Lines that a text takes in a column so wide [mm]; one for none.

    >>> lines_of("a few words", 100, 8), lines_of("a few words", 10, 8)
    (1, 2)
    """
    room = width / (points * POINT)
    lines, filled = 1, 0.0
    space = _ems(" ", weight)
    end = 0
    for found in _WORD.finditer(text):
        word = _ems(found[0], weight)
        before = space if found.start() > end and filled else 0.0
        end = found.end()
        if filled and filled + before + word > room:
            lines, filled, before = lines + 1, 0.0, 0.0
        # A word longer than a line is broken where the line ends.
        while word > room:
            lines, word = lines + 1, word - room
        filled += before + word
    return lines


def room(signs: int) -> str:
    """Words of so many signs, in the place of those that a template adds."""
    return " es" * (signs // 3)
