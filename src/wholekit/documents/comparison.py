"""What changed between two revisions, as a paper for the customer. No cost appears in it."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from wholekit.documents.flow import Block, Flow, _Renderer
from wholekit.documents.papers import PaperHead
from wholekit.documents.render import render_flow
from wholekit.wording.comparisons import TOTALS, ComparisonText

CHARGED = {TOTALS["freight"], TOTALS["tax"]}


@dataclass(frozen=True, slots=True)
class ComparisonPaper:
    """A comparison in words, with the head of the later revision."""

    head: PaperHead
    said: ComparisonText


def render_comparison(paper: ComparisonPaper, out: Path, templates: Path) -> None:
    """Write the paper as a PDF file; an error leaves what was there before.

    templates: the folder that holds the papers' templates. Raises CallError `paper-not-written`,
    `paper-in-place-of-other`.
    """
    render_flow(partial(comparison_flow, paper, templates), len(paper.said.openings), out)


def comparison_flow(paper: ComparisonPaper, templates: Path) -> Flow:
    """The paper's HTML: a block for the front, each opening and the end."""
    head, said = paper.head, paper.said
    render = _Renderer(templates, head.locale)

    def blocks() -> Iterator[Block]:
        charged = any(row.about in CHARGED for row in said.money)
        yield Block(render("comparison_front", number=0, head=head, said=said, charged=charged))
        for number, one in enumerate(said.openings, 1):
            first = number == 1
            html = render("comparison_opening", number=number, opening=one, first=first)
            yield Block(html, one.mark)
        yield Block(render("comparison_end", number=len(said.openings) + 1, said=said))

    sheets = ("comparison", "draft") if said.draft else ("comparison",)
    return Flow(
        title=f"Changes {head.number}, {head.customer}",
        author=head.letterhead.name,
        day=head.issued.isoformat(),
        running=f"Changes {head.number} · {head.customer}",
        job=head.job,
        house=head.letterhead.name,
        css=render.css(head, *sheets),
        blocks=tuple(blocks()),
    )
