"""A paper as HTML: blocks that follow one another.

Layout works on blocks, so that a job of 1,000 openings need never be in memory at once. Jinja2
is imported where used. Everything taken from a paper is escaped by the templates' autoescape.
"""

import base64
import re
from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache, partial
from itertools import chain
from pathlib import Path
from traceback import walk_tb
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from wholekit.documents.any_paper import AnyPaper
from wholekit.documents.bag_code import code_drawing
from wholekit.documents.drilling_sheet import DrillingPaper
from wholekit.documents.internal_sheet import InternalSheet
from wholekit.documents.label_stock import LabelForm, LabelStock
from wholekit.documents.packing_slip import PackingSlipPaper
from wholekit.documents.papers import (
    KitLabelsPaper,
    PaperHead,
    PickListPaper,
    QuoteKit,
    QuoteMark,
    QuotePaper,
    SettingCardPaper,
)
from wholekit.documents.quote_form import QuoteForm
from wholekit.documents.setting_card import HoldPage, SettingCard
from wholekit.documents.shelf_labels import HEIGHTS, ShelfLabelsPaper
from wholekit.documents.submittal import SubmittalPaper
from wholekit.documents.tally import tally
from wholekit.domain.errors import CallError
from wholekit.wording.amounts import (
    say_count,
    say_date,
    say_money,
    say_multiplier,
    say_percent,
    say_rate,
)
from wholekit.wording.questions import marks_text, ranges_text
from wholekit.wording.speech import ENGLISH, speaking, tr, trn

if TYPE_CHECKING:
    from jinja2 import Environment
    from markupsafe import Markup

Label = TypeVar("Label")
# Up to so many characters, a mark on a label is written in the first, second … of its sizes.
MARK_LENGTHS = (5, 9, 16, 28, 60)
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
ROWS = 16  # of a table in one block: few enough to lead to the page of each
# A code or a range of marks: no line is to break at its dash.
_CODE = re.compile(r"[^\s;,()]*[-–][^\s;,()]*")
_LONGEST_CODE = 32
Thing = TypeVar("Thing")


class Block(NamedTuple):
    """A piece of a paper: one element whose id is `b` and its number in the flow, from 0.

    title: its name in the PDF's outline, empty for none. under: it stands in the outline under the
    last that does not. section: the name of a part that begins with this piece, over its own.
    marks: openings in it, which the outline leads to as well.
    """

    html: str
    title: str = ""
    under: bool = False
    section: str = ""
    marks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Flow:
    """A paper's blocks, its style sheet, and what every page repeats. day: ISO date.

    page_of: the page's number in words; language: CLDR's code of it. logo: a `data:` URL.
    true_size: a reader is asked to print it unscaled.
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


def make_flow(paper: AnyPaper, templates: Path, house: str = "") -> Flow:
    """The paper's HTML, made with the templates in that folder, or those of the same name in the
    house's own. Raises CallError `house-template-fails`."""
    render = Renderer(templates, paper.head.locale, house)
    match paper:
        case QuotePaper():
            with speaking(paper.head.words_of):
                return _quote(paper, render)
        case DrillingPaper():
            with speaking(paper.head.words_of):
                return _drilling(paper, render)
        case SubmittalPaper():
            with speaking(paper.head.words_of):
                return _submittal(paper, render)
        # The pick room's and the owner's are the house's own, and in English.
        case PickListPaper():
            return _pick_list(paper, render)
        case KitLabelsPaper():
            return _labels(paper, render)
        case ShelfLabelsPaper():
            return _shelf_labels(paper, render)
        case SettingCardPaper():
            with speaking(paper.head.words_of):
                return _setting_cards(paper, render)
        case PackingSlipPaper():
            with speaking(paper.head.words_of):
                return _packing_slip(paper, render)
        case InternalSheet():
            return _internal_sheet(paper, render)


class Renderer:
    """The templates, bound to one locale. house: the folder of the house's own, empty for none."""

    def __init__(self, templates: Path, locale: str, house: str = "") -> None:
        self._environment = _environment(templates, locale, house)
        self._folders = [Path(house), templates] if house else [templates]

    def __call__(self, template: str, **values: object) -> str:
        """A template filled. Raises CallError `house-template-fails`."""
        try:
            return self._environment.get_template(f"papers/{template}.html").render(**values)
        except Exception as error:
            # Whatever a house's own template does: it is told where, as a fault of the call.
            told = self._fault_of_house(error)
            if told is None:
                raise
            raise told from error

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
        loader=FileSystemLoader([house, templates] if house else templates),
        autoescape=True,
        # A name mistyped in a template is an error and not a blank on a paper.
        undefined=StrictUndefined,
        finalize=_printable,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    filters: dict[str, Callable[..., str]] = {
        "money": partial(say_money, locale=locale),
        "percent": partial(say_percent, locale=locale),
        "rate": partial(say_rate, locale=locale),
        "count": partial(say_count, locale=locale),
        "date": partial(say_date, locale=locale),
        "multiplier": partial(say_multiplier, locale=locale),
    }
    environment.filters.update(filters)
    environment.globals["logo_url"] = LOGO_URL
    environment.filters["codes"] = _codes
    environment.globals["severity_word"] = lambda severity: tr(SEVERITY_WORDS[severity])
    environment.globals["_"] = _said
    environment.globals["ngettext"] = _counted
    return environment


def _said(message: str, /, **values: object) -> "Markup":
    """A message in the language in use; the values put into it are escaped."""
    from markupsafe import escape

    return escape(tr(message)).format_map(_safe(values))


def _codes(text: str) -> "Markup":
    """A text whose codes are not broken at their dashes; of the rest any word with one is free."""
    from markupsafe import Markup, escape

    def kept(found: re.Match[str]) -> str:
        code = found[0]
        whole = len(code) <= _LONGEST_CODE and not re.search("[a-z]{2}", code)
        return f'<span class="c">{escape(code)}</span>' if whole and len(code) > 1 else escape(code)

    parts: list[str] = []
    end = 0
    printable = str(_printable(str(text)))
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
    """Text without characters that are not for print: controls, and marks that turn its order."""
    return _UNPRINTABLE.sub("", value) if type(value) is str else value


def _flow(kind: str, paper: AnyPaper, css: str, blocks: Iterable[Block]) -> Flow:
    head = paper.head
    # These go into attributes and the PDF's properties, past the templates and what they clean.
    number, customer, job, name, foot = (
        _UNPRINTABLE.sub("", text)
        for text in (
            head.number,
            head.customer,
            head.job,
            head.letterhead.name,
            foot_of(head),
        )
    )
    return Flow(
        title=f"{kind} {number}, {customer}",
        author=name,
        day=head.issued.isoformat(),
        running=f"{kind} {number} · {customer}",
        job=job,
        house=foot,
        css=css,
        blocks=tuple(blocks),
        page_of=tr(PAGE_OF),
        language=head.language,
        logo=logo_data(head),
    )


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


def _quote(paper: QuotePaper, render: Renderer) -> Flow:
    inclusive = paper.totals.inclusive
    shared = {
        "paper": paper,
        "head": paper.head,
        "title": tr("Draft quote") if paper.draft else tr("Quote"),
        "net": tr("Price") if inclusive else tr("Net"),
        "net_unit": tr("Price unit") if inclusive else tr("Net unit"),
        "firm_total": tr("Total as quoted, with what is open") if paper.mixed else _total(paper),
        "brief": paper.form is QuoteForm.SHORT,
    }
    parts = chain(
        [_Part("quote_front", {})],
        _kits_of(paper),
        _alternates_of(paper),
        _rest_of(paper),
    )
    blocks = (
        Block(
            render(part.template, number=number, **{**shared, **part.values}),
            part.title,
            marks=part.marks,
        )
        for number, part in enumerate(parts)
    )
    sheets = ["quote", *(["quote_short"] if shared["brief"] else []), *(["draft"] * paper.draft)]
    css = render.css(paper.head, *sheets)
    if paper.draft and paper.head.language != ENGLISH:
        # The word stands in a style sheet, where no template translates it.
        css += f'@page {{ @top-center {{ content: "{tr("DRAFT")}" }} }}'
    return _flow(str(shared["title"]), paper, css, blocks)


class _Part(NamedTuple):
    """A block to be: its template, what it shows, and its titles in the outline."""

    template: str
    values: dict[str, object]
    title: str = ""
    marks: tuple[str, ...] = ()


def _total(paper: QuotePaper) -> str:
    return tr("Firm total, base bid") if paper.alternates else tr("Firm total")


def _kits_of(paper: QuotePaper) -> Iterator[_Part]:
    """The base bid's kits, those of firm openings first."""
    several = sum(len(kit.marks) for kit in paper.kits) > 1
    title = trn("The opening and its kit", "Openings and their kits", 1 + several)
    yield from _kits(paper, paper.kits, title)
    yield from _kits(paper, paper.open_kits, tr("Open, as far as it is worked out; in no total"))


def _alternates_of(paper: QuotePaper) -> Iterator[_Part]:
    for alternate in paper.alternates:
        title = tr("Alternate {code}").format(code=alternate.code)
        yield _Part("quote_alternate", {"alternate": alternate}, title)
        yield from _kits(paper, alternate.kits, "", alternate.code)


def _kits(
    paper: QuotePaper, kits: Sequence[QuoteKit], title: str, alternate: str = ""
) -> Iterator[_Part]:
    if paper.form is QuoteForm.SHORT:
        for at, rows in enumerate(_by(ROWS, kits)):
            titles = tuple(_titled(mark, alternate) for kit in rows for mark in kit.marks)
            named = title or alternate
            yield _Part("quote_list", {"kits": rows, "title": "" if at else named}, "", titles)
        return
    for at, kit in enumerate(kits):
        for place, marks in enumerate(_by(ROWS, kit.marks)):
            values = {
                "kit": kit,
                "marks": marks,
                "alternate": alternate,
                "title": "" if at or place else title,
            }
            titles = tuple(_titled(mark, alternate) for mark in marks)
            yield _Part("quote_marks" if place else "quote_kit", values, "", titles)


def _titled(mark: QuoteMark, alternate: str) -> str:
    return f"{mark.mark} ({alternate})" if alternate else mark.mark


def _rest_of(paper: QuotePaper) -> Iterator[_Part]:
    """What comes after the kits: items in short, notes, what is signed, and the appendix."""
    full = paper.form is QuoteForm.FULL
    if not full:
        for at, items in enumerate(_by(ROWS, paper.items)):
            title = "" if at else tr("Items of all firm kits")
            yield _Part("quote_items", {"items": items, "title": title})
    notes = [one for one in paper.notes if full or one.note.severity != "note"]
    if notes:
        yield _Part("quote_notes", {"notes": notes}, tr("Checks and notes"))
    yield _Part("quote_closing", {}, tr("Acceptance"))
    if full:
        yield _Part("quote_appendix", {"part": paper.appendix}, tr("Appendix"))


def _by(size: int, things: Sequence[Thing]) -> Iterator[Sequence[Thing]]:
    """So many at a time; of none, none."""
    return (things[at : at + size] for at in range(0, len(things), size))


def _internal_sheet(paper: InternalSheet, render: Renderer) -> Flow:
    shared = {"paper": paper, "head": paper.head}

    def blocks() -> Iterator[Block]:
        yield Block(render("sheet_front", number=0, **shared))
        for number, kit in enumerate(paper.kits, 1):
            yield Block(render("sheet_kit", number=number, kit=kit, **shared), f"Kit {number}")

    sheets = ("margin", "sheet", *(("draft",) if paper.draft else ()))
    return _flow("Internal sheet", paper, render.css(paper.head, *sheets), blocks())


def _pick_list(paper: PickListPaper, render: Renderer) -> Flow:
    every = [opening.mark for opening in (*paper.openings, *paper.held)]
    shared = {
        "paper": paper,
        "head": paper.head,
        "ranges": lambda marks: ranges_text([*marks], every),
        "shares": lambda split: _shares(split, every),
        "tally": tally,
    }

    def blocks() -> Iterator[Block]:
        yield Block(render("pick_front", number=0, **shared))
        yield Block(render("pick_walk", number=1, **shared), "The walk")
        for number, opening in enumerate((*paper.openings, *paper.held), 2):
            held = number - 2 >= len(paper.openings)
            first = number - 2 in (0, len(paper.openings))
            values = {"opening": opening, "held": held, "first": first}
            yield Block(render("pick_opening", number=number, **values, **shared), opening.mark)

    return _flow("Pick list", paper, render.css(paper.head, "pick"), blocks())


def _shares(split: Sequence[tuple[str, int]], every: Sequence[str]) -> Iterator[tuple[int, str]]:
    """How many for each mark, with the marks in ranges; the fewest first."""
    for quantity in sorted({count for _, count in split}):
        yield quantity, ranges_text([mark for mark, count in split if count == quantity], every)


def _packing_slip(paper: PackingSlipPaper, render: Renderer) -> Flow:
    shared = {"paper": paper, "head": paper.head}

    def blocks() -> Iterator[Block]:
        yield Block(render("slip_front", number=0, **shared))
        for number, kit in enumerate(paper.kits, 1):
            yield Block(render("slip_kit", number=number, kit=kit, **shared), kit.places)
        yield Block(render("slip_end", number=len(paper.kits) + 1, **shared))

    return _flow(tr("Packing slip"), paper, render.css(paper.head, "slip"), blocks())


def _labels(paper: KitLabelsPaper, render: Renderer) -> Flow:
    stock = paper.stock
    shared = {
        "head": paper.head,
        "stock": stock,
        "columns": 2 if stock.form is LabelForm.MIDDLE else 1,
        "shown_of": lambda contents: contents[: stock.lines],
        "mark_class": _mark_class,
        "drawing_url": DRAWING_URL,
    }

    def blocks() -> Iterator[Block]:
        for number, rows in enumerate(_pages_of_labels(paper.labels, stock)):
            codes = {
                label.bag_id: _coded(code_drawing(label.bag_id, stock.dots))
                for row in rows
                for label in row
                if label and label.bag_id
            }
            yield Block(render("label_sheet", number=number, rows=rows, codes=codes, **shared))

    css = render.css(paper.head, "labels") + stock.css
    return _flow("Kit labels", paper, css, blocks())


def _shelf_labels(paper: ShelfLabelsPaper, render: Renderer) -> Flow:
    stock = paper.stock
    shared = {
        "stock": stock,
        "shown_of": lambda items: items[: stock.lines // 2],
        "mark_class": _mark_class,
        "drawing_url": DRAWING_URL,
        "drawn": lambda label: _coded(label.bars.drawing(label.dots, HEIGHTS[stock.form])),
    }
    blocks = (
        Block(render("shelf_sheet", number=number, rows=rows, **shared))
        for number, rows in enumerate(_pages_of_labels(paper.labels, stock))
    )
    return _flow(paper.kind, paper, render.css(paper.head, "labels", "shelf") + stock.css, blocks)


def _pages_of_labels(
    labels: Sequence[Label], stock: LabelStock
) -> Iterator[list[list[Label | None]]]:
    """Labels by page and row; a row that is not full has empty places at its end."""
    for start in range(0, len(labels), stock.to_a_page):
        page: list[Label | None] = [*labels[start : start + stock.to_a_page]]
        page += [None] * (-len(page) % stock.across)
        yield [page[at : at + stock.across] for at in range(0, len(page), stock.across)]


def _mark_class(mark: str) -> str:
    """How large a mark is written: the class of its length, as the labels' style sheet has it."""
    return f"m{1 + bisect_left(MARK_LENGTHS, len(mark))}"


def _setting_cards(paper: SettingCardPaper, render: Renderer) -> Flow:
    def blocks() -> Iterator[Block]:
        # One card needs no index.
        several = len(paper.cards) > 1
        if several:
            yield Block(
                render("card_index", number=0, head=paper.head, cards=paper.cards),
                tr("Index of setting cards"),
            )
        yield from _cards(paper.cards, int(several), paper.head, render)

    return _flow(tr("Setting card"), paper, render.css(paper.head, "setting_card"), blocks())


def _cards(
    cards: Sequence[SettingCard | HoldPage], number: int, head: PaperHead, render: Renderer
) -> Iterator[Block]:
    """Cards and pages HOLD, numbered from the block with that number on."""
    for at, card in enumerate(cards, number):
        # As the index and the labels of bags name it.
        named = f" {at - number + 1}" if len(cards) > 1 else ""
        shared = {"number": at, "head": head, "card": card, "named": named}
        if isinstance(card, HoldPage):
            yield Block(render("hold_page", **shared), f"{tr('HOLD:')} {card.title}")
            continue
        drawings = {"elevation": _coded(card.common.elevation), "plan": _coded(card.common.plan)}
        yield Block(render("setting_card", **drawings, **shared), f"{card.places}: {card.title}")


def _submittal(paper: SubmittalPaper, render: Renderer) -> Flow:
    shared = {"paper": paper, "head": paper.head}
    held = [row.mark for row in paper.rows if row.held]
    every = [row.mark for row in paper.rows]
    contents = (
        (tr("Openings"), tr("every opening with its kit and its setting card")),
        (tr("Kits"), tr("items, finish and what is to be looked at, by kit")),
        (tr("Forces and latching"), tr("calculated, beside the limits that bind")),
        (tr("Setting cards"), tr("drilling, order of work and settings")),
        (tr("Assumptions and cautions"), tr("what the schedule left open, by mark")),
    )

    def parts() -> Iterator[tuple[str, dict[str, object], str, bool]]:
        places = marks_text(held, every) or ", ".join(held)
        front: dict[str, object] = {
            "contents": contents,
            "held": places,
            "facts": paper.facts,
        }
        yield "submittal_front", front, tr("Submittal"), False
        yield "submittal_index", {}, tr("Openings"), False
        for at, kit in enumerate(paper.kits):
            title = tr("Kit {number}").format(number=kit.number)
            values = {"kit": kit, "first": at == 0}
            yield "submittal_kit", values, f"{title}: {kit.places}", True
        yield "submittal_forces", {}, tr("Forces and latching"), False

    def blocks() -> Iterator[Block]:
        number = -1
        for number, (template, values, title, under) in enumerate(parts()):
            html = render(template, number=number, **values, **shared)
            section = tr("Kits") if values.get("first") else ""
            yield Block(html, title, under, section)
        number += 1
        index = render("card_index", number=number, head=paper.head, cards=paper.cards)
        yield Block(index, tr("Setting cards"))
        for block in _cards(paper.cards, number + 1, paper.head, render):
            number += 1
            yield block._replace(under=True)
        html = render("submittal_end", number=number + 1, **shared)
        yield Block(html, tr("Assumptions and cautions"))

    css = render.css(paper.head, "setting_card", "submittal")
    return _flow(tr("Submittal"), paper, css, blocks())


def _drilling(paper: DrillingPaper, render: Renderer) -> Flow:
    letters = [_letters(number) for number in range(len(paper.sheets))]

    def blocks() -> Iterator[Block]:
        shared = {"paper": paper, "head": paper.head, "letters": letters}
        yield Block(
            render("drilling_front", number=0, **shared), tr("Drilling sheets in true size")
        )
        number = 0
        for letter, sheet in zip(letters, paper.sheets, strict=True):
            for place, tile in enumerate(sheet.tiles, 1):
                number += 1
                values = {"sheet": sheet, "letter": letter, "place": place, "drawing": _coded(tile)}
                html = render("drilling_tile", number=number, head=paper.head, **values)
                title = f"{letter}: {sheet.places}; {sheet.title}"
                yield Block(html, title if place == 1 else "")

    css = render.css(paper.head, "setting_card", "drilling")
    return replace(_flow(tr("Drilling sheet"), paper, css, blocks()), true_size=True)


def _letters(number: int) -> str:
    """A, B … Z, AA, AB …, from 0."""
    name = ""
    while number >= 0:
        name = chr(ord("A") + number % 26) + name
        number = number // 26 - 1
    return name


def _coded(drawing: str) -> str:
    """An SVG document as a page carries it."""
    return base64.b64encode(drawing.encode()).decode()
