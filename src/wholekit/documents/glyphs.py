"""Characters that no font here can draw, shown by their number and not as an empty box.

Of one that comes three times or more in a row, how often and its number: `[60 × U+1F6AA]`.

Two marks that differ only in such a character would look the same on a label.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import cache
from html import unescape
from typing import TYPE_CHECKING

from wholekit.documents.flow import Flow

if TYPE_CHECKING:
    from weasyprint.text.fonts import FontConfiguration

# The house font draws all before this, and most of the papers' own signs after it.
_LATIN_END = "\u024f"


def legible(flow: Flow, house_font: frozenset[int], fonts: "FontConfiguration") -> Flow:
    """The flow with `[U+1F6AA]` for each character that no font draws; most are as they were.

    house_font: the code points of the house font; fonts: what stands in for it.
    """
    written = {*unescape(f"{flow.running}{flow.job}{flow.house}")}
    for block in flow.blocks:
        written.update(unescape(block.html))
    asked = (one for one in sorted(written) if one > _LATIN_END and ord(one) not in house_font)
    unknown = "".join(_not_drawn(asked, fonts))
    if not unknown:
        return flow
    runs = re.compile(f"([{re.escape(unknown)}])\\1*")

    def told(text: str) -> str:
        return runs.sub(_numbered, text)

    # Every page's foot says what stands for the sign: where a reader first meets one they read it,
    # a page may lie alone, and no paper is the longer for it.
    house = " · ".join(part for part in (told(flow.house), flow.signs) if part)
    return replace(
        flow,
        running=told(flow.running),
        job=told(flow.job),
        house=house,
        blocks=tuple(block._replace(html=told(block.html)) for block in flow.blocks),
    )


def as_printed(text: str, house_font: frozenset[int]) -> str:
    """A text as `legible` prints it, for those who measure it before it is laid out."""
    found = (one for one in text if one > _LATIN_END and ord(one) not in house_font)
    unknown = "".join(one for one in dict.fromkeys(found) if not _is_drawn(one))
    return re.sub(f"([{re.escape(unknown)}])\\1*", _numbered, text) if unknown else text


@cache
def _is_drawn(sign: str) -> bool:
    return not any(_not_drawn(sign, _any_fonts()))


@cache
def _any_fonts() -> "FontConfiguration":
    from weasyprint.text.fonts import FontConfiguration

    return FontConfiguration()


def _numbered(run: re.Match[str]) -> str:
    count, number = len(run[0]), f"U+{ord(run[1]):04X}"
    return f"[{count} × {number}]" if count > 2 else f"[{number}]" * count


def _not_drawn(characters: Iterable[str], fonts: "FontConfiguration") -> Iterator[str]:
    from weasyprint.text.ffi import ffi, gobject, pango, unicode_to_char_p

    context = ffi.gc(pango.pango_font_map_create_context(fonts.font_map), gobject.g_object_unref)
    layout = ffi.gc(pango.pango_layout_new(context), gobject.g_object_unref)
    for one in characters:
        text, _ = unicode_to_char_p(one)
        pango.pango_layout_set_text(layout, text, -1)
        run = pango.pango_layout_get_line_readonly(layout, 0).runs
        if run == ffi.NULL:
            continue
        glyphs = run[0].data.glyphs
        if any(
            glyphs.glyphs[at].glyph & pango.PANGO_GLYPH_UNKNOWN_FLAG
            for at in range(glyphs.num_glyphs)
        ):
            yield one
