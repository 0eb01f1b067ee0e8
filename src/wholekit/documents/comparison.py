"""What changed between two revisions, as a paper for the customer. No cost appears in it."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from wholekit.documents.fill import head_of
from wholekit.documents.flow import Block, Flow, Renderer, flow_of
from wholekit.documents.papers import PaperHead
from wholekit.documents.press_room import PressRoom
from wholekit.documents.render import render_flow
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.changes import Comparison
from wholekit.wording.comparisons import ComparisonText, say_comparison
from wholekit.wording.speech import ENGLISH, speaking, tr


@dataclass(frozen=True, slots=True)
class ComparisonPaper:
    """A comparison in words, with the head of the later revision. charged: freight or taxes are
    among its totals."""

    head: PaperHead
    said: ComparisonText
    charged: bool


def comparison_paper(found: Comparison, later: Offer) -> ComparisonPaper:
    """The comparison in the customer's language. later: the later of what was compared."""
    head = head_of(later, language=later.sent.language if later.sent else ENGLISH)
    if found.draft:
        # A draft's number may never be issued: the paper goes by the one that was.
        head = replace(head, number=found.first)
    charged = any(
        total.what in ("freight", "tax") and (total.before.minor or total.after.minor)
        for total in found.totals
    )
    with speaking(head.words_of):
        return ComparisonPaper(head, say_comparison(found), charged)


def render_comparison(
    paper: ComparisonPaper,
    out: Path,
    templates: Path,
    house: str = "",
    room: PressRoom | None = None,
) -> None:
    """Write the paper as a PDF file; an error leaves what was there before.

    templates, house, room: as in `render_paper`. Raises CallError `paper-not-written`,
    `paper-in-place-of-other`.
    """
    make = partial(comparison_flow, paper, templates, house)
    render_flow(make, len(paper.said.openings), out, room=room)


def comparison_flow(paper: ComparisonPaper, templates: Path, house: str = "") -> Flow:
    """The paper's HTML: a block for the front, each opening and the end."""
    with speaking(paper.head.words_of):
        return _flow_of(paper, templates, house)


def _flow_of(paper: ComparisonPaper, templates: Path, house: str) -> Flow:
    head, said = paper.head, paper.said
    name = tr("Changes to quote")
    render = Renderer(templates, head.locale, house)

    def blocks() -> Iterator[Block]:
        charged = paper.charged
        yield Block(render("comparison_front", number=0, head=head, said=said, charged=charged))
        for number, opening in enumerate(said.openings, 1):
            first = number == 1
            html = render("comparison_opening", number=number, opening=opening, first=first)
            yield Block(html, marks=opening.marks)
        yield Block(render("comparison_end", number=len(said.openings) + 1, said=said))

    sheets = ("comparison", "draft") if said.draft else ("comparison",)
    return flow_of(name, head, render.css(head, *sheets), blocks())
