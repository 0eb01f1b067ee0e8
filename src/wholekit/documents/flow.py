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
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from wholekit.documents.any_paper import AnyPaper
from wholekit.documents.bag_code import code_drawing
from wholekit.documents.drilling_sheet import DrillingPaper
from wholekit.documents.internal_sheet import InternalSheet
from wholekit.documents.label_stock import LabelForm
from wholekit.documents.papers import (
    KitLabel,
    KitLabelsPaper,
    PaperHead,
    PickListPaper,
    QuoteOpening,
    QuotePaper,
    SettingCardPaper,
)
from wholekit.documents.setting_card import HoldPage, SettingCard
from wholekit.documents.submittal import SubmittalPaper
from wholekit.wording.amounts import (
    say_count,
    say_date,
    say_money,
    say_multiplier,
    say_percent,
    say_rate,
)
from wholekit.wording.questions import marks_text
from wholekit.wording.speech import ENGLISH, speaking, tr, trn

if TYPE_CHECKING:
    from jinja2 import Environment
    from markupsafe import Markup

# Up to so many characters, a mark on a label is written in the first, second … of its sizes.
MARK_LENGTHS = (5, 9, 16, 28, 60)
DRAWING_URL = "data:image/svg+xml;base64,"
# What XML forbids, since the pages are read as XML; other controls; marks that turn the order of
# text, by which a name could make a price read otherwise.
_UNPRINTABLE = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]"
)
SEVERITY_WORDS = {"stop": "STOP", "warn": "Check", "note": "Note", "released": "Deviation accepted"}
PAGE_OF = "Page {page} of {pages}"


class Block(NamedTuple):
    """A piece of a paper: one element whose id is `b` and its number in the flow, from 0.

    title: its name in the PDF's outline, empty for none. under: it stands in the outline under the
    last that does not. section: the name of a part that begins with this piece, over its own.
    """

    html: str
    title: str = ""
    under: bool = False
    section: str = ""


@dataclass(frozen=True, slots=True)
class Flow:
    """A paper's blocks, its style sheet, and what every page repeats. day: ISO date.

    page_of: the page's number in words; language: CLDR's code of it. true_size: a reader is asked
    to print it unscaled.
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
    true_size: bool = False


def make_flow(paper: AnyPaper, templates: Path) -> Flow:
    """The paper's HTML, made with the templates in that folder."""
    render = _Renderer(templates, paper.head.locale)
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
        case SettingCardPaper():
            with speaking(paper.head.words_of):
                return _setting_cards(paper, render)
        case InternalSheet():
            return _internal_sheet(paper, render)


class _Renderer:
    """The templates, bound to one locale."""

    def __init__(self, templates: Path, locale: str) -> None:
        self._environment = _environment(templates, locale)
        self._templates = templates

    def __call__(self, template: str, **values: object) -> str:
        return self._environment.get_template(f"papers/{template}.html").render(**values)

    def css(self, head: PaperHead, *names: str) -> str:
        """The style sheets named, and the sheet of paper."""
        texts = [
            (self._templates / "papers" / f"{name}.css").read_text(encoding="utf-8")
            for name in ("paper", *names)
        ]
        return "".join((*texts, f"@page {{ size: {head.page_size} }}"))


@lru_cache(maxsize=8)
def _environment(templates: Path, locale: str) -> "Environment":
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    environment = Environment(
        loader=FileSystemLoader(templates),
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
    environment.globals["severity_word"] = lambda severity: tr(SEVERITY_WORDS[severity])
    environment.globals["_"] = _said
    environment.globals["ngettext"] = _counted
    return environment


def _said(message: str, /, **values: object) -> "Markup":
    """A message in the language in use; the values put into it are escaped."""
    from markupsafe import escape

    return escape(tr(message)).format_map(_safe(values))


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
    number, customer, job, name, phone = (
        _UNPRINTABLE.sub("", text)
        for text in (
            head.number,
            head.customer,
            head.job,
            head.letterhead.name,
            head.letterhead.phone,
        )
    )
    return Flow(
        title=f"{kind} {number}, {customer}",
        author=name,
        day=head.issued.isoformat(),
        running=f"{kind} {number} · {customer}",
        job=job,
        house=" · ".join(text for text in (name, phone) if text),
        css=css,
        blocks=tuple(blocks),
        page_of=tr(PAGE_OF),
        language=head.language,
    )


def _is_held(opening: QuoteOpening) -> bool:
    return any(finding.severity == "stop" for finding in opening.findings)


def _quote(paper: QuotePaper, render: _Renderer) -> Flow:
    # A stop that was released is not on the paper; a piece that is lacking is told all the same.
    held = [opening.mark for opening in paper.openings if _is_held(opening)]
    inclusive = paper.totals.inclusive
    shared = {
        "paper": paper,
        "head": paper.head,
        "opening_count": sum(opening.quantity for opening in paper.openings),
        "held": held,
        "title": tr("Draft quote") if paper.draft else tr("Quote"),
        "net": tr("Price") if inclusive else tr("Net"),
        "net_each": tr("Price each") if inclusive else tr("Net each"),
        "net_unit": tr("Price unit") if inclusive else tr("Net unit"),
    }

    def parts() -> Iterator[tuple[str, dict[str, object], str]]:
        yield "quote_front", {}, ""
        for opening in paper.openings:
            yield "quote_opening", {"opening": opening, "alternate": ""}, opening.mark
        yield "quote_sums", {}, ""
        for alternate in paper.alternates:
            yield (
                "quote_alternate",
                {"alternate": alternate},
                tr("Alternate {code}").format(code=alternate.code),
            )
            for opening in alternate.openings:
                values = {"opening": opening, "alternate": alternate.code}
                yield "quote_opening", values, f"{opening.mark} ({alternate.code})"
        yield "quote_end", {}, ""

    blocks = (
        Block(render(template, number=number, **values, **shared), title)
        for number, (template, values, title) in enumerate(parts())
    )
    sheets = ("quote", "draft") if paper.draft else ("quote",)
    css = render.css(paper.head, *sheets)
    if paper.draft and paper.head.language != ENGLISH:
        # The word stands in a style sheet, where no template translates it.
        css += f'@page {{ @top-center {{ content: "{tr("DRAFT")}" }} }}'
    return _flow(str(shared["title"]), paper, css, blocks)


def _internal_sheet(paper: InternalSheet, render: _Renderer) -> Flow:
    shared = {"paper": paper, "head": paper.head}

    def blocks() -> Iterator[Block]:
        yield Block(render("sheet_front", number=0, **shared))
        for number, kit in enumerate(paper.kits, 1):
            yield Block(render("sheet_kit", number=number, kit=kit, **shared), f"Kit {number}")

    sheets = ("margin", "sheet", *(("draft",) if paper.draft else ()))
    return _flow("Internal sheet", paper, render.css(paper.head, *sheets), blocks())


def _pick_list(paper: PickListPaper, render: _Renderer) -> Flow:
    shared = {"paper": paper, "head": paper.head}

    def blocks() -> Iterator[Block]:
        yield Block(render("pick_front", number=0, **shared))
        yield Block(render("pick_walk", number=1, **shared), "The walk")
        for number, opening in enumerate((*paper.openings, *paper.held), 2):
            held = number - 2 >= len(paper.openings)
            first = number - 2 in (0, len(paper.openings))
            values = {"opening": opening, "held": held, "first": first}
            yield Block(render("pick_opening", number=number, **values, **shared), opening.mark)

    return _flow("Pick list", paper, render.css(paper.head, "pick"), blocks())


def _labels(paper: KitLabelsPaper, render: _Renderer) -> Flow:
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
        for number, start in enumerate(range(0, len(paper.labels), stock.to_a_page)):
            labels: list[KitLabel | None] = [*paper.labels[start : start + stock.to_a_page]]
            codes = {
                label.bag_id: _coded(code_drawing(label.bag_id, stock.dots))
                for label in labels
                if label and label.bag_id
            }
            # A row that is not full has empty places at its end.
            labels += [None] * (-len(labels) % stock.across)
            rows = [labels[at : at + stock.across] for at in range(0, len(labels), stock.across)]
            yield Block(render("label_sheet", number=number, rows=rows, codes=codes, **shared))

    css = render.css(paper.head, "labels") + stock.css
    return _flow("Kit labels", paper, css, blocks())


def _mark_class(mark: str) -> str:
    """How large a mark is written: the class of its length, as the labels' style sheet has it."""
    return f"m{1 + bisect_left(MARK_LENGTHS, len(mark))}"


def _setting_cards(paper: SettingCardPaper, render: _Renderer) -> Flow:
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
    cards: Sequence[SettingCard | HoldPage], number: int, head: PaperHead, render: _Renderer
) -> Iterator[Block]:
    """Cards and pages HOLD, numbered from the block with that number on."""
    for at, card in enumerate(cards, number):
        shared = {"number": at, "head": head, "card": card}
        if isinstance(card, HoldPage):
            yield Block(render("hold_page", **shared), f"{tr('HOLD:')} {card.title}")
            continue
        drawings = {"elevation": _coded(card.common.elevation), "plan": _coded(card.common.plan)}
        yield Block(render("setting_card", **drawings, **shared), f"{card.places}: {card.title}")


def _submittal(paper: SubmittalPaper, render: _Renderer) -> Flow:
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


def _drilling(paper: DrillingPaper, render: _Renderer) -> Flow:
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
