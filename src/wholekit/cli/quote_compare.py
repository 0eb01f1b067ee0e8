"""`wholekit quote compare`: what changed between two revisions, in words, as data or as a PDF."""

from pathlib import Path

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say, tell, wrapped
from wholekit.cli.desk import deed, desk
from wholekit.documents.comparison import ComparisonPaper, render_comparison
from wholekit.documents.papers import Letterhead, PaperHead, page_size_of
from wholekit.domain.quotes import Snapshot
from wholekit.services import quotes
from wholekit.services.ports import snapshot_of
from wholekit.settings import bundled
from wholekit.wording.comparisons import comparison_lines, say_comparison, with_amounts


def compare(
    first: str = typer.Argument(..., help="The earlier revision, or a job: its last against now."),
    second: str | None = typer.Argument(None, help="The later revision."),
    out: Path | None = typer.Option(
        None, "--out", help="Write it as a PDF for the customer.", metavar="FILE"
    ),
    house: options.HouseFile = None,
    json: options.Json = False,
) -> None:
    """What changed between two revisions: openings, lines and money; in words, data or a PDF."""
    place = desk(house)
    if second is None:
        found = quotes.compare_draft(place, deed(""), first)
    else:
        found = quotes.compare_quotes(place, first, second)
    said = say_comparison(found)
    if out is not None:
        # The head is that of the later revision, or of the job as it stands.
        later = quotes.issued_revision(place, second or found.first)
        _write(ComparisonPaper(_head(snapshot_of(later), found.second), said), out)
    if json:
        print_json({"comparison": with_amounts(found), "words": said})
        return
    for depth, text in comparison_lines(said):
        for line in wrapped(text, "    " * depth):
            say(line)


def _head(snapshot: Snapshot, number: str) -> PaperHead:
    locale = snapshot.customer.locale
    return PaperHead(
        Letterhead(snapshot.house_name),
        number,
        snapshot.issued,
        snapshot.customer.name,
        snapshot.job_name,
        snapshot.customer.address,
        locale=locale,
        page_size=page_size_of(locale),
    )


def _write(paper: ComparisonPaper, out: Path) -> None:
    render_comparison(paper, out, bundled("templates"))
    tell(f"{out}  changes, for the customer")
