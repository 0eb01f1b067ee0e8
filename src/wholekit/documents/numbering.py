"""Page x of y, written into a finished page.

How many pages a paper has is known only when its last group is laid out, and which number a
group's first page has only when all groups before it are. So every page is laid out with a
placeholder in its foot that holds every digit twice, and the placeholder's glyphs are put in
another order, and fewer of them, when the numbers are known. The digits are tabular and the line
starts at the left, so nothing else moves.

Where a page names the page of a part, it is laid out with another placeholder, and the
digits are those of its own foot. Such a number ends its line or stands in a column of its own.
"""

import re
from collections.abc import Iterator

DIGITS = "0123456789"
FOOT_LENGTH = 20_000  # drawing instructions of a page's foot, at most [bytes]
_SHOWN = re.compile(rb"\[((?:<[0-9a-f]+>(?:-?[\d.]+)?)+)\] ?TJ")
_GLYPHS = re.compile(rb"<([0-9a-f]+)>")
# Stands where the number of a page is named: no text of ours, and as broad as four digits.
REFERENCE = "8·0·8"


def placeholder(page_of: str) -> str:
    """What a page is laid out with: every digit for `{page}` and for `{pages}`.

    >>> placeholder("Page {page} of {pages}")
    'Page 0123456789 of 0123456789'
    """
    return page_of.format(page=DIGITS, pages=DIGITS)


def number_page(content: bytes, page: int, pages: int, page_of: str) -> bytes:
    """The page's drawing instructions with its number in place of the placeholder.

    page counts from 1. page_of: a text that ends with `{pages}` and has `{page}` before it, one
    glyph for each character. Raises ValueError if the placeholder is not there, which only another
    version of the layout library could bring about.
    """
    before, between = _lengths(page_of)
    shown, digits = _foot(content, before, between)
    glyphs = _glyphs(shown)
    written = [
        *glyphs[:before],
        *(digits[int(digit)] for digit in str(page)),
        *glyphs[before + 10 : before + 10 + between],
        *(digits[int(digit)] for digit in str(pages)),
    ]
    return content[: shown.start()] + _drawn(written) + content[shown.end() :]


def name_pages(content: bytes, named: Iterator[int], page_of: str) -> bytes:
    """The page's drawing instructions with the pages that its text names, in their order.

    named: the pages that the text names from here on [from 1]; those of this page are taken off.
    Before `number_page`, which has the same errors.
    """
    _, digits = _foot(content, *_lengths(page_of))

    def written(shown: re.Match[bytes]) -> bytes:
        match _glyphs(shown):
            case [first, dot, nought, other, last] if (
                (first, nought, last) == (digits[8], digits[0], digits[8])
                and dot == other
                and dot not in digits
            ):
                return _drawn([digits[int(digit)] for digit in str(next(named))])
        return shown[0]

    return _SHOWN.sub(written, content)


def _lengths(page_of: str) -> tuple[int, int]:
    before, between = page_of.removesuffix("{pages}").split("{page}")
    return len(before), len(between)


def _foot(content: bytes, before: int, between: int) -> tuple[re.Match[bytes], list[bytes]]:
    """The placeholder in the page's foot, and the glyphs of the ten digits."""
    # The foot is drawn last: its line is sought near the end, past all text of the page.
    near_end = max(len(content) - FOOT_LENGTH, 0)
    for shown in reversed(list(_SHOWN.finditer(content, near_end))):
        if digits := _digits(_glyphs(shown), before, between):
            return shown, digits
    raise ValueError("page number placeholder not found")


def _glyphs(shown: re.Match[bytes]) -> list[bytes]:
    # A glyph's number takes two bytes, four hexadecimal digits (encoding Identity-H).
    joined = b"".join(_GLYPHS.findall(shown[1]))
    return [joined[start : start + 4] for start in range(0, len(joined), 4)]


def _drawn(glyphs: list[bytes]) -> bytes:
    return b"[<" + b"".join(glyphs) + b">] TJ"


def _digits(glyphs: list[bytes], before: int, between: int) -> list[bytes]:
    """The ten digits' glyphs if these are the placeholder's, else nothing."""
    first = glyphs[before : before + 10]
    second = glyphs[before + 10 + between :]
    # Ten glyphs, all different, and the same ten again: no other text of a page is like it.
    is_placeholder = (
        len(glyphs) == before + between + 2 * len(DIGITS)
        and first == second
        and len(set(first)) == len(DIGITS)
    )
    return first if is_placeholder else []
