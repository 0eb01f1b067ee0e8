"""The quote as HTML, grouped by kit, whole or short."""

from collections.abc import Iterator, Sequence
from itertools import chain
from typing import NamedTuple, TypeVar

from wholekit.documents.flow import Block, Flow, Renderer, flow_of
from wholekit.documents.papers import (
    QuoteKit,
    QuoteMark,
    QuotePaper,
)
from wholekit.documents.quote_form import QuoteForm
from wholekit.wording.speech import ENGLISH, tr, trn

Thing = TypeVar("Thing")
CLOSING = "quote_closing"
ROWS = 16  # of a table in one block: few enough to lead to the page of each


def quote_flow(paper: QuotePaper, render: Renderer) -> Flow:
    """The front, each kit once with its openings, what is signed; in full an appendix."""
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
    listed = [*parts]
    (signed,) = (at for at, part in enumerate(listed) if part.template == CLOSING)
    blocks = (
        Block(
            render(part.template, number=number, **{**shared, **part.values}),
            part.title,
            marks=part.marks,
            # The front says on which page it is accepted: there the last part ends.
            names=() if number or paper.draft or paper.nothing_firm else (signed,),
            at_end=True,
        )
        for number, part in enumerate(listed)
    )
    sheets = ["quote", *(["quote_short"] if shared["brief"] else []), *(["draft"] * paper.draft)]
    css = render.css(paper.head, *sheets)
    if paper.draft and paper.head.language != ENGLISH:
        # The word stands in a style sheet, where no template translates it.
        css += f'@page {{ @top-center {{ content: "{tr("DRAFT")}" }} }}'
    return flow_of(str(shared["title"]), paper.head, css, blocks)


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
    yield _Part(CLOSING, {}, tr("Acceptance"))
    if full:
        yield _Part("quote_appendix", {"part": paper.appendix}, tr("Appendix"))


def _by(size: int, things: Sequence[Thing]) -> Iterator[Sequence[Thing]]:
    """So many at a time; of none, none."""
    return (things[at : at + size] for at in range(0, len(things), size))
