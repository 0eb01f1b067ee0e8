"""A paper as HTML: blocks that follow one another.

Layout works on blocks, so that a job of 1,000 openings need never be in memory at once. Jinja2
is imported where used. Everything taken from a paper is escaped by the templates' autoescape.
"""

import base64
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache, partial
from pathlib import Path
from traceback import walk_tb
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from wholekit.documents.kept import find, keep
from wholekit.documents.numbering import REFERENCE
from wholekit.documents.papers import (
    PaperHead,
)
from wholekit.domain.errors import CallError
from wholekit.wording.amounts import (
    NO_BREAK_SPACE,
    say_cost,
    say_count,
    say_date,
    say_money,
    say_multiplier,
    say_percent,
    say_rate,
)
from wholekit.wording.speech import ENGLISH, language_of, tr, trn
from wholekit.wording.text_order import in_order, is_right_to_left
from wholekit.wording.units import MINUS

if TYPE_CHECKING:
    from jinja2 import BytecodeCache, Environment
    from markupsafe import Markup

T = TypeVar("T")
DRAWING_URL = "data:image/svg+xml;base64,"
# Pages name the logo and do not carry it: it would count as their text, once for each card.
LOGO_URL = "house:logo"
LOGO_BOX, SMALL_LOGO_BOX = (60.0, 18.0), (24.0, 5.0)  # width and height at most [mm]
LOGO_GAP = 4.0  # [mm]
# What XML forbids, since the pages are read as XML; other controls; marks that turn the order of
# text, by which a name could make a price read otherwise.
_UNPRINTABLE = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]"
)
SEVERITY_WORDS = {"stop": "STOP", "warn": "Check", "note": "Note", "released": "Deviation accepted"}
PAGE_OF = "Page {page} of {pages}"
# A code or a range of marks: no line is to break at its dash; nor within a drill's size, which
# stands in brackets behind its name.
# Between a sign and the currency's a line may break by the standard, and behind what is kept from
# it: such an amount is kept whole.
_CODE = re.compile(
    r"[+−][^\s\d;,()]*[\u00a0\u202f]?\d(?:[\d.,\u00a0\u202f]*\d)?|[^\s;,()]*[-–][^\s;,()]*"
    r"|\([.,]?\d[\d.,/-]*[ \u00a0](?:in|po|pulg|mm)\)"
)
_LONGEST_CODE = 32
# A measure whose unit has a stroke, at which a line would break; not within a tag.
_STROKE = re.compile(
    "(?:\\d+(?:[.,]\\d+)?[ \u00a0\u202f])?(?<![\\w/])(?:km/h|m/s|ft/s|lbf/ft²)(?![\\w/])(?![^<>]*>)"
)


# A figure that begins with its point, at which a line would break, and its unit; a size across a
# sign of times, its feet and inches as a template writes them; neither within a tag.
_LEADING = re.compile(r"\(?(?<![\w.])\.\d+(?:[ \u00a0\u202f](?:in|po|pulg|mm))?\)?(?![^<>]*>)")
_ACROSS = re.compile(
    "(?<![\\w.,#&])\\d(?:[\\d.,/-]|&#3[49];)*[ \u00a0\u202f]×[ \u00a0\u202f]"
    "\\d(?:[\\d.,/-]|&#3[49];)*(?:[ \u00a0\u202f](?:mm|cm|m|in|po|pulg)(?!\\w))?(?![^<>]*>)"
)
# The space before a unit, or after the sign of a diameter; not within a tag.
_UNIT = re.compile(
    "(?:(?<=\\d) (?=(?:mm|kg|N|N·m|Pa|in|po|pulg|lb|lbf|s|min)(?![\\w/·]))|(?<=Ø) (?=\\d))"
    "(?![^<>]*>)"
)

# The space before a dot between two parts, with which no line of a list for the shelf or of a card
# begins; not within a tag.
_DOT = re.compile("(?<=\\S) ·(?=[ <])(?![^<>]*>)")
_LISTS = ("pick_", "setting_card", "hold_page")


class Block(NamedTuple):
    """A piece of a paper: one element whose id is `b` and its number in the flow, from 0.

    title: its name in the PDF's outline, empty for none. under: it stands in the outline under the
    last that does not. section: the name of a part that begins with this piece, over its own.
    marks: openings in it, which the outline leads to as well. names: the blocks whose pages it
    names, in the order it does: the first of each, or the last where `at_end`.
    """

    html: str
    title: str = ""
    under: bool = False
    section: str = ""
    marks: tuple[str, ...] = ()
    names: tuple[int, ...] = ()
    at_end: bool = False


@dataclass(frozen=True, slots=True)
class Flow:
    """A paper's blocks, its style sheet, and what every page repeats. day: ISO date.

    page_of: the page's number in words, empty where pages have none; language: CLDR's code of it.
    logo: a `data:` URL. true_size: a reader is asked to print it unscaled. apart: every block ends
    its page, so that none need be laid out twice to learn what follows on the same page. signs:
    what stands for a sign that no font draws, said at the foot of a paper that has one.
    """

    title: str
    author: str
    day: str
    running: str
    job: str
    house: str
    css: str
    blocks: tuple[Block, ...]
    page_of: str = PAGE_OF
    language: str = ENGLISH
    logo: str = ""
    true_size: bool = False
    apart: bool = False
    signs: str = ""


class Renderer:
    """The templates, bound to one locale. house: the folder of the house's own, empty for none."""

    def __init__(self, templates: Path, locale: str, house: str = "") -> None:
        self._environment = _environment(templates, locale, house)
        # In English print a figure may part from its unit; in French and Spanish it must not.
        self._spaced = language_of(locale) != ENGLISH
        self._folders = [Path(house), templates] if house else [templates]

    def __call__(self, template: str, **values: object) -> str:
        """A template filled. Raises CallError `house-template-fails`."""
        try:
            html = self._environment.get_template(f"papers/{template}.html").render(**values)
        except Exception as error:
            # Whatever a house's own template does: it is told where, as a fault of the call.
            told = self._fault_of_house(error)
            if told is None:
                raise
            raise told from error
        if template.startswith(_LISTS):
            html = _DOT.sub(f"{NO_BREAK_SPACE}·", html)
        return whole_figures(whole_units(html)) if self._spaced else whole_units(html)

    def css(self, head: PaperHead, *names: str) -> str:
        """The style sheets named, the house's colour, and the sheet of paper."""
        texts = [self._sheet(name).read_text(encoding="utf-8") for name in ("paper", *names)]
        return "".join((*texts, _look_css(head), f"@page {{ size: {head.page_size} }}"))

    def _sheet(self, name: str) -> Path:
        paths = (folder / "papers" / f"{name}.css" for folder in self._folders)
        return next((path for path in paths if path.is_file()), self._folders[-1] / name)

    def _fault_of_house(self, error: Exception) -> CallError | None:
        """The error with the place in the house's own template it came from; None for ours."""
        found = None
        for frame, line in walk_tb(error.__traceback__):
            path = Path(frame.f_code.co_filename)
            if len(self._folders) > 1 and self._folders[0] in path.parents:
                found = CallError(
                    "house-template-fails", path=str(path), line=line, because=str(error)
                )
        return found


def whole_units(html: str) -> str:
    """A page in which no line breaks within `24 km/h`, `.242 in` or `900 × 2100 mm`.

    >>> whole_units('<p title="24 km/h">wind of 24 km/h</p>')
    '<p title="24 km/h">wind of <span class="c">24 km/h</span></p>'
    >>> whole_units("drill C (.242 in), 3&#39;-0&#34; × 7&#39;-0&#34; of 1.5")
    'drill C <span class="c">(.242 in)</span>, <span class="c">3&#39;-0&#34; × 7&#39;-0&#34;</span> of 1.5'
    """  # noqa: E501
    for kept in (_STROKE, _LEADING, _ACROSS):
        html = kept.sub(r'<span class="c">\g<0></span>', html)
    return html


def some_of(places: str, most: int) -> str:
    """The first of some places in so many signs at most, cut between two of them.

    >>> some_of("101, 214A, 221", 14), some_of("101, 214A, 221", 13), some_of("A" * 9, 5)
    ('101, 214A, 221', '101, 214A, …', 'AAAA…')
    """
    if len(places) <= most:
        return places
    first = places[: most - 1].rpartition(", ")[0]
    return f"{first}, …" if first else f"{places[: most - 1]}…"


def whole_figures(html: str) -> str:
    """A page in which no line breaks between a figure and its unit, or the sign before it.

    >>> whole_figures('<p title="41 N">Ø 5,1 mm, 41 N, 2 normes</p>')
    '<p title="41 N">Ø\\xa05,1\\xa0mm, 41\\xa0N, 2 normes</p>'
    """
    return _UNIT.sub("\u00a0", html)


def _look_css(head: PaperHead) -> str:
    """The house's colour and the size of its logo, in a letterhead and in the small one."""
    look = head.letterhead
    css = ""
    if look.accent:
        css = (
            f".letterhead {{ border-color: {look.accent} }}\n"
            f".letterhead .name, h2 {{ color: {look.accent} }}\n"
        )
    if look.logo:
        for name, box in (("logo", LOGO_BOX), ("small-logo", SMALL_LOGO_BOX)):
            wide, high = look.logo.fitted(*box)
            css += f".{name} {{ width: {wide:.2f}mm; height: {high:.2f}mm }}\n"
        css += f".of-logo {{ width: {look.logo.fitted(*LOGO_BOX)[0] + LOGO_GAP:.2f}mm }}\n"
    return css


@lru_cache(maxsize=8)
def _environment(templates: Path, locale: str, house: str) -> "Environment":
    from jinja2 import Environment, FileSystemLoader, StrictUndefined
    from jinja2.sandbox import SandboxedEnvironment

    # A house folder may have come from elsewhere: its templates reach nothing but the paper.
    kind = SandboxedEnvironment if house else Environment
    environment = kind(
        bytecode_cache=None if house else _compiled(),
        loader=FileSystemLoader([house, templates] if house else templates),
        autoescape=True,
        # A name mistyped in a template is an error and not a blank on a paper.
        undefined=StrictUndefined,
        finalize=_printable,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    filters: dict[str, Callable[..., str]] = {
        "money": _printed(say_money, locale),
        "cost": _printed(say_cost, locale),
        "percent": _printed(say_percent, locale),
        "rate": _printed(say_rate, locale),
        "count": partial(say_count, locale=locale),
        "date": partial(say_date, locale=locale),
        "multiplier": partial(say_multiplier, locale=locale),
    }
    environment.filters.update(filters)
    environment.filters["some"] = some_of
    environment.globals["logo_url"] = LOGO_URL
    environment.globals["page_named"] = REFERENCE
    environment.filters["codes"] = _codes
    environment.filters["figures"] = whole_figures
    # The class of a paragraph of the customer's words, whose lines may begin at the right.
    environment.filters["size"] = lambda amount: amount.times(-1 if amount.minor < 0 else 1)
    environment.filters["side"] = lambda text: "rtl" if is_right_to_left(text) else ""
    environment.globals["severity_word"] = lambda severity: tr(SEVERITY_WORDS[severity])
    environment.globals["_"] = _said
    environment.globals["ngettext"] = _counted
    return environment


def _printed(say: Callable[[T, str], str], locale: str) -> Callable[[T], str]:
    """How a figure is said, with the minus of print where CLDR gives the one of a keyboard."""
    return lambda value: say(value, locale).replace("-", MINUS)


def _compiled() -> "BytecodeCache":
    """Our templates as compiled by an earlier process: a fifteenth of a small paper's time."""
    from jinja2 import BytecodeCache
    from jinja2.bccache import Bucket

    # Compiled in are the values of constants, as this module says them.
    module = Path(__file__).read_bytes()

    class Compiled(BytecodeCache):
        """A bucket is of one template's text, and tells itself if another Python wrote it."""

        def load_bytecode(self, bucket: Bucket) -> None:
            if (code := find("template", self._key(bucket))) is not None:
                bucket.bytecode_from_string(code)

        def dump_bytecode(self, bucket: Bucket) -> None:
            keep("template", self._key(bucket), bucket.bytecode_to_string())

        @staticmethod
        def _key(bucket: Bucket) -> bytes:
            return f"{bucket.key} {bucket.checksum} ".encode() + module

    return Compiled()


def _said(message: str, /, **values: object) -> "Markup":
    """A message in the language in use; the values put into it are escaped."""
    from markupsafe import escape

    return escape(tr(message)).format_map(_safe(values))


def _codes(text: str) -> "Markup":
    """A text whose codes are not broken at their dashes; of the rest any word with one is free."""
    from markupsafe import Markup, escape

    def kept(found: re.Match[str]) -> str:
        code = found[0]
        # Two words joined by a dash may part; what has a figure in it is a name.
        named = re.search("[0-9]", code) or not re.search("[a-z]{2}", code)
        whole = len(code) <= _LONGEST_CODE and named
        return f'<span class="c">{escape(code)}</span>' if whole and len(code) > 1 else escape(code)

    parts: list[str] = []
    end = 0
    # A message with values put into it is escaped already.
    printable = _UNPRINTABLE.sub("", text.unescape() if isinstance(text, Markup) else str(text))
    if in_order(printable) != printable:
        # One piece: pieces are laid side by side from the left, whatever they say.
        return Markup(escape(in_order(printable)))  # noqa: S704  # it is escaped
    for found in _CODE.finditer(printable):
        parts += [escape(printable[end : found.start()]), kept(found)]
        end = found.end()
    return Markup("".join((*parts, escape(printable[end:]))))  # noqa: S704  # each part is escaped


def _counted(singular: str, plural: str, count: int, /, **values: object) -> "Markup":
    """As `_said`, of so many."""
    from markupsafe import escape

    return escape(trn(singular, plural, count)).format_map(_safe(values))


def _safe(values: Mapping[str, object]) -> dict[str, object]:
    return {name: _printable(value) for name, value in values.items()}


def _printable(value: object) -> object:
    """Text without controls and marks that turn its order, and in an order that holds."""
    return _clean(value) if type(value) is str else value


def _clean(text: str) -> str:
    return in_order(_UNPRINTABLE.sub("", text))


def flow_of(
    kind: str,
    head: PaperHead,
    css: str,
    blocks: Iterable[Block],
    *,
    apart: bool = False,
    numbered: bool = True,
) -> Flow:
    """A paper's blocks with what every page repeats. kind: what the paper is called; apart: every
    block ends its page; numbered: a page says which of how many it is."""
    # These go into attributes and the PDF's properties, past the templates and what they clean.
    number, customer, job, name, foot = (
        _clean(text)
        for text in (
            head.number,
            head.customer,
            head.job,
            head.letterhead.name,
            foot_of(head),
        )
    )
    return Flow(
        title=f"{kind} {number}, {customer}" if customer else f"{kind} {number}",
        author=name,
        day=head.issued.isoformat(),
        running=" · ".join(part for part in (f"{kind} {number}", customer, _notice(head)) if part),
        job=job,
        house=foot,
        css=css,
        blocks=tuple(blocks),
        page_of=tr(PAGE_OF) if numbered else "",
        language=head.language,
        logo=logo_data(head),
        apart=apart,
        signs=tr("[U+nnnn]: a sign that cannot be printed."),
    )


def _notice(head: PaperHead) -> str:
    """What a loose page must not be without: `NOT ORDERED`."""
    return _clean(head.notice.partition(":")[0].strip().replace(" ", NO_BREAK_SPACE))


def foot_of(head: PaperHead) -> str:
    """What stands at the foot of each page: the house's own line, or who it is."""
    house = head.letterhead
    return house.footer or " · ".join(filter(None, (house.name, house.phone, house.email)))


def logo_data(head: PaperHead) -> str:
    """The house's logo as a flow carries it; empty where there is none."""
    logo = head.letterhead.logo
    if logo is None:
        return ""
    return f"data:{logo.media_type};base64,{base64.b64encode(logo.content).decode()}"


def coded(drawing: str) -> str:
    """An SVG document as a page carries it."""
    return base64.b64encode(drawing.encode()).decode()
