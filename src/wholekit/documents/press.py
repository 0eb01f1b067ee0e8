"""Blocks of a flow to laid-out pages: the one module that calls WeasyPrint, imported where used."""

import ctypes
import ctypes.util
import logging
import re
import sys
from base64 import b64decode
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager, nullcontext
from functools import cache, lru_cache
from hashlib import sha256
from html import escape, unescape
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING
from xml.etree import ElementTree

from wholekit.documents.flow import DRAWING_URL, LOGO_URL, Flow
from wholekit.documents.glyphs import legible
from wholekit.documents.kept import kept
from wholekit.documents.numbering import placeholder

if TYPE_CHECKING:
    from weasyprint import HTML, Document

FIRST_PAGE_CSS = "@page :first { @top-left { content: none } @top-right { content: none } }"
# How the elements that the templates use are shown before the house style says more.
ELEMENTS_CSS = """
html, body, div, h1, h2, p, ul, ol { display: block }
head, title { display: none }
table { display: table }
colgroup { display: table-column-group }
col { display: table-column }
thead { display: table-header-group; vertical-align: middle }
tbody { display: table-row-group; vertical-align: middle }
tr { display: table-row; vertical-align: inherit }
th, td { display: table-cell; vertical-align: inherit }
ul { list-style-type: disc; break-before: avoid; counter-reset: list-item }
ol { list-style-type: decimal; break-before: avoid; counter-reset: list-item }
li { display: list-item }
b, th { font-weight: bold }
br::before { content: "\\A"; white-space: pre-line }
img { overflow: hidden }
table { box-sizing: border-box; text-indent: initial }
h1, h2 { break-inside: avoid; break-after: avoid }
[id] { anchor: attr(id) }
[lang] { lang: attr(lang) }
::marker { font-variant-numeric: tabular-nums; white-space: pre; text-transform: none }
"""
# tnum above all: page numbers are put in place of a placeholder whose digits are as wide.
FONT_FEATURES = ("ccmp", "locl", "kern", "liga", "calt", "mark", "mkmk", "tnum")
ELLIPSIS = 0x2026
# Latin of the papers' languages, dashes, quotation marks and arrows, by their code points. No
# ellipsis: a text that is cut short would end in it, and be read as all that it stands for, one
# text for all that are cut short. Without it they end in three dots.
USUAL = frozenset((*range(0x20, 0x180), *range(0x2010, 0x2040), *range(0x2190, 0x2194)))
USUAL -= {ELLIPSIS}
DRAWINGS = re.compile(re.escape(DRAWING_URL) + "([A-Za-z0-9+/=]*)")


# What WeasyPrint loads, by the names that Linux's loader knows them by.
LIBRARIES = (
    "libgobject-2.0.so.0", "libpango-1.0.so.0", "libharfbuzz.so.0", "libharfbuzz-subset.so.0",
    "libfontconfig.so.1", "libpangoft2-1.0.so.0",
)  # fmt: skip


def load_libraries() -> None:
    """Load all that laying out and joining need."""
    if "weasyprint" not in sys.modules:
        with _loader_alone() if _loader_knows(LIBRARIES) else nullcontext():
            import weasyprint  # noqa: F401  # loading is the purpose


def _loader_knows(names: Iterable[str]) -> bool:
    if sys.platform != "linux":
        return False
    try:
        for name in names:
            ctypes.CDLL(name)
    except OSError:
        return False
    return True


@contextmanager
def _loader_alone() -> Iterator[None]:
    """Libraries are found by the loader alone.

    WeasyPrint tries each under the names of several systems, and for one that the loader does not
    know Python runs ldconfig, a compiler and a linker in turn: a third of a small paper's time.
    """
    find = ctypes.util.find_library
    ctypes.util.find_library = lambda name: None  # noqa: ARG005  # its place is taken for a moment
    try:
        yield
    finally:
        ctypes.util.find_library = find


class Press:
    """A flow's style sheets and font, read once for all of its groups.

    folder: where the font, cut down to the flow's characters, is kept as long as the press works.
    """

    def __init__(self, flow: Flow, folder: Path) -> None:
        load_libraries()
        from weasyprint import CSS
        from weasyprint.text.fonts import FontConfiguration

        self._fonts = FontConfiguration()
        self.flow = flow = legible(flow, house_characters(), self._fonts)
        self._read = make_reader()
        font = cut_font(flow, folder / "font.ttf")
        self._fetcher = make_fetcher(font, flow.logo)
        self._styles = [
            CSS(
                string=font_css(font) + flow.css,
                font_config=self._fonts,
                url_fetcher=self._fetcher,
            )
        ]
        # The log would tell of a character that no font has once for every page.
        logging.getLogger("weasyprint").setLevel(logging.ERROR)

    def lay_out(self, at: int, stop: int) -> "Document":
        """Blocks at to stop (not included) as pages."""
        from weasyprint import CSS

        # In any other group `:first` would be some page in the middle of the paper.
        first = [CSS(string=FIRST_PAGE_CSS)] if at == 0 else []
        html = self._read(make_html(self.flow, at, stop), self._fetcher)
        return html.render(font_config=self._fonts, stylesheets=self._styles + first)


def make_reader() -> Callable[[str, Callable[..., object]], "HTML"]:
    """A reader of the templates' XML, with the few rules their elements ask for.

    WeasyPrint's own reads any HTML, in Python, and holds each element against the rules of every
    element there is: an eighth of the whole work. The pages come out the same (a test sees to it).
    """
    from cssselect2 import ElementWrapper
    from weasyprint import CSS, HTML

    elements = CSS(string=ELEMENTS_CSS)

    class PaperHTML(HTML):  # type: ignore[misc]  # WeasyPrint ships no types
        """Sets what HTML's own constructor would set."""

        def __init__(self, text: str, url_fetcher: Callable[..., object]) -> None:
            root = ElementTree.fromstring(text)  # noqa: S314  # our own templates wrote it
            self.base_url = None
            self.url_fetcher = url_fetcher
            self.media_type = "print"
            self.wrapper_element = ElementWrapper.from_html_root(root, content_language=None)
            self.etree_element = self.wrapper_element.etree_element

        def _ua_stylesheets(self, forms: bool = False) -> list[CSS]:  # noqa: ARG002  # no forms
            return [elements]

    return PaperHTML


def make_html(flow: Flow, at: int, stop: int) -> str:
    """Blocks at to stop (not included) as a document of its own, well-formed as XML."""
    attributes = {
        "running": flow.running,
        "job": flow.job,
        "house": flow.house,
        "page-of": placeholder(flow.page_of),
    }
    repeated = "".join(f' data-{name}="{escape(text)}"' for name, text in attributes.items())
    return "".join(
        (
            f'<html lang="{flow.language}"><head><title>{escape(flow.title)}</title></head>',
            f"<body{repeated}>",
            *(block.html for block in flow.blocks[at:stop]),
            "</body></html>",
        )
    )


@cache
def house_characters() -> frozenset[int]:
    """The code points that the house font draws."""

    def read() -> bytes:
        from fontTools.ttLib import TTFont

        with TTFont(house_font(), lazy=True) as font:
            return "".join(map(chr, sorted(font.getBestCmap()))).encode("utf-8", "surrogatepass")

    return frozenset(map(ord, kept("drawn", _font_key(), read).decode("utf-8", "surrogatepass")))


@cache
def _font_key() -> bytes:
    """What everything made of the house font depends on: the font and what reads and cuts it."""
    import fontTools

    return str(fontTools.version).encode() + sha256(house_font().read_bytes()).digest()


def house_font() -> Path:
    """The file of the typeface that papers and screens share."""
    import fontpkg_source_sans_3

    return Path(fontpkg_source_sans_3.ROOT) / "files" / "SourceSans3[wght].ttf"


def cut_font(flow: Flow, file: Path) -> Path:
    """Write the house font with what papers are written with, and the flow's rarer characters.

    All weights stay, and the tabular figures; so text is as wide as in the whole font.
    """
    file.write_bytes(_font_with(_rarer(flow)))
    return file


def keep_font(flow: Flow) -> None:
    """Cut the font of a flow beforehand, for this process and those that it forks."""
    _font_with(_rarer(flow))


def _rarer(flow: Flow) -> frozenset[int]:
    """Code points of a flow's characters that are not among the usual ones."""
    texts = (flow.running, flow.job, flow.house, flow.css, placeholder(flow.page_of))
    characters = set(unescape("".join(texts)))
    for block in flow.blocks:
        characters.update(unescape(block.html))
        # The words within drawings are set in the same font.
        for drawing in DRAWINGS.findall(block.html):
            characters.update(unescape(b64decode(drawing).decode()))
    return frozenset(map(ord, characters)) - USUAL


@lru_cache(maxsize=8)
def _font_with(rarer: frozenset[int]) -> bytes:
    """The font of the usual characters and these, which come by their code points.

    Cutting takes a quarter of a short paper's time, and most papers ask for the same font.
    """
    characters = sorted(USUAL | rarer)
    key = _font_key() + repr((FONT_FEATURES, characters)).encode()
    return kept("font", key, lambda: _cut(characters))


def _cut(characters: Sequence[int]) -> bytes:
    from fontTools.subset import Options, Subsetter
    from fontTools.ttLib import TTFont

    options = Options(hinting=False, notdef_outline=True, glyph_names=False)
    options.layout_features = [*FONT_FEATURES]
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=characters)
    written = BytesIO()
    # No time of day in the font: equal papers have equal bytes.
    with TTFont(house_font(), lazy=True, recalcTimestamp=False) as font:
        subsetter.subset(font)
        font.save(written)
    return written.getvalue()


def font_css(file: Path) -> str:
    """The house font as a style sheet's rule."""
    return f'@font-face {{ font-family: "Source Sans 3"; src: url("{file.as_uri()}") }}'


def make_fetcher(font: Path, logo: str) -> Callable[..., object]:
    """A fetcher that reads the house font, its logo and drawings carried in the paper, no more."""
    from weasyprint.urls import URLFetcher

    font_url = font.as_uri()

    class HouseFetcher(URLFetcher):  # type: ignore[misc]  # WeasyPrint ships no types
        """Refuses every address but those; WeasyPrint then leaves the resource out."""

        def fetch(self, url: str, headers: dict[str, str] | None = None) -> object:
            # A text of a job that got past the escaping still could not make a paper show a file of
            # this machine, or call a host.
            if url == LOGO_URL and logo:
                return super().fetch(logo, headers)
            if url == font_url or url.startswith(DRAWING_URL):
                return super().fetch(url, headers)
            raise ValueError("a paper reads no outside file")

    return HouseFetcher(allowed_protocols=("file", "data"))
