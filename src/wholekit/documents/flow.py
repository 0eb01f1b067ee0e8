"""A paper as HTML: blocks that follow one another.

Layout works on blocks, so that a job of 1,000 openings need never be in memory at once. Jinja2
is imported where used. Everything taken from a paper is escaped by the templates' autoescape.
"""

import base64
import re
from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache, partial
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from wholekit.documents.bag_code import code_drawing
from wholekit.documents.internal_sheet import AnyPaper, InternalSheet
from wholekit.documents.label_stock import LabelForm
from wholekit.documents.papers import (
    KitLabel,
    KitLabelsPaper,
    PaperHead,
    PickListPaper,
    QuoteKit,
    QuoteMark,
    QuotePaper,
    SettingCardPaper,
)
from wholekit.documents.quote_form import QuoteForm
from wholekit.documents.setting_card import HoldPage
from wholekit.wording.amounts import (
    say_count,
    say_date,
    say_money,
    say_multiplier,
    say_percent,
    say_rate,
)
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
ROWS = 16  # of a table in one block: few enough to lead to the page of each
# A code or a range of marks: no line is to break at its dash.
_CODE = re.compile(r"[^\s;,()]*[-–][^\s;,()]*")
_LONGEST_CODE = 32
Thing = TypeVar("Thing")


class Block(NamedTuple):
    """A piece of a paper: one element whose id is `b` and its number in the flow, from 0.

    title: its name in the PDF's outline, empty for none; marks: openings in it, which the outline
    leads to as well.
    """

    html: str
    title: str = ""
    marks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Flow:
    """A paper's blocks, its style sheet, and what every page repeats. day: ISO date.

    page_of: the page's number in words; language: CLDR's code of it.
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


def make_flow(paper: AnyPaper, templates: Path) -> Flow:
    """The paper's HTML, made with the templates in that folder."""
    render = _Renderer(templates, paper.head.locale)
    match paper:
        case QuotePaper():
            # The other papers below are the house's own, and in English.
            with speaking(paper.head.words_of):
                return _quote(paper, render)
        case PickListPaper():
            return _pick_list(paper, render)
        case KitLabelsPaper():
            return _labels(paper, render)
        case SettingCardPaper():
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


def _quote(paper: QuotePaper, render: _Renderer) -> Flow:
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
        Block(render(part.template, number=number, **{**shared, **part.values}), *part.titles)
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
    titles: tuple[str, tuple[str, ...]] = ("", ())


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
        yield _Part("quote_alternate", {"alternate": alternate}, (title, ()))
        yield from _kits(paper, alternate.kits, "", alternate.code)


def _kits(
    paper: QuotePaper, kits: Sequence[QuoteKit], title: str, alternate: str = ""
) -> Iterator[_Part]:
    if paper.form is QuoteForm.SHORT:
        for at, rows in enumerate(_by(ROWS, kits)):
            titles = tuple(_titled(mark, alternate) for kit in rows for mark in kit.marks)
            named = title or alternate
            yield _Part("quote_list", {"kits": rows, "title": "" if at else named}, ("", titles))
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
            yield _Part("quote_marks" if place else "quote_kit", values, ("", titles))


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
        yield _Part("quote_notes", {"notes": notes}, (tr("Checks and notes"), ()))
    yield _Part("quote_closing", {}, (tr("Acceptance"), ()))
    if full:
        yield _Part("quote_appendix", {"part": paper.appendix}, (tr("Appendix"), ()))


def _by(size: int, things: Sequence[Thing]) -> Iterator[Sequence[Thing]]:
    """So many at a time; of none, none."""
    return (things[at : at + size] for at in range(0, len(things), size))


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
                "Index of setting cards",
            )
        for number, card in enumerate(paper.cards, int(several)):
            shared = {"number": number, "head": paper.head, "card": card}
            if isinstance(card, HoldPage):
                yield Block(render("hold_page", **shared), f"HOLD: {card.title}")
                continue
            drawings = {"elevation": _coded(card.elevation), "plan": _coded(card.plan)}
            yield Block(render("setting_card", **drawings, **shared), card.title)

    return _flow("Setting card", paper, render.css(paper.head, "setting_card"), blocks())


def _coded(drawing: str) -> str:
    """An SVG document as a page carries it."""
    return base64.b64encode(drawing.encode()).decode()
