"""What changed between two revisions, as a paper for the customer. No cost appears in it."""

import tempfile
from dataclasses import dataclass
from pathlib import Path

from wholekit.documents.binding import bind
from wholekit.documents.flow import Block, Flow, _environment
from wholekit.documents.layout import calm_collector, lay_out_group
from wholekit.documents.merge import merge
from wholekit.documents.papers import PaperHead
from wholekit.documents.press import Press
from wholekit.domain.errors import CallError
from wholekit.wording.comparisons import ComparisonText


@dataclass(frozen=True, slots=True)
class ComparisonPaper:
    """A comparison in words, with the head of the later revision."""

    head: PaperHead
    said: ComparisonText


def render_comparison(paper: ComparisonPaper, out: Path, templates: Path) -> None:
    """Write the paper as a PDF file; an error leaves what was there before.

    templates: the folder that holds the papers' templates. Raises CallError `paper-not-written`.
    """
    flow = comparison_flow(paper, templates)
    try:
        with tempfile.TemporaryDirectory(
            prefix=f".{out.name}-", dir=out.parent, ignore_cleanup_errors=True
        ) as name:
            folder = Path(name)
            with calm_collector():
                part = lay_out_group(Press(flow, folder), 0, 1, 1, folder / "part.pdf")
            pdf = folder / "paper.pdf"
            merge(bind([part]), flow, pdf)
            pdf.replace(out)
    except OSError as error:
        because = error.strerror or str(error)
        raise CallError("paper-not-written", path=str(out), because=because) from error


def comparison_flow(paper: ComparisonPaper, templates: Path) -> Flow:
    """The paper's HTML: one block."""
    head = paper.head
    environment = _environment(templates, head.locale)
    html = environment.get_template("papers/comparison.html").render(
        number=0, head=head, said=paper.said
    )
    css = (templates / "papers" / "paper.css").read_text(encoding="utf-8")
    return Flow(
        title=f"Changes {head.number}, {head.customer}",
        author=head.letterhead.name,
        day=head.issued.isoformat(),
        running=f"Changes {head.number} · {head.customer}",
        job=head.job,
        house=head.letterhead.name,
        css=f"{css}@page {{ size: {head.page_size} }}",
        blocks=(Block(html),),
    )
