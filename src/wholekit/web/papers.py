"""Papers for a page: made once, and kept while the program runs."""

from hashlib import sha256
from pathlib import Path

from wholekit.documents.paper_set import Ordered, paper_named
from wholekit.documents.render import render_paper
from wholekit.services.quote_papers import Shown
from wholekit.settings import bundled
from wholekit.web.place import WebPlace


def paper_file(place: WebPlace, shown: Shown, name: str) -> Path:
    """The PDF of a paper of a revision. What was frozen gives the same file, which is kept.

    Raises CallError, PaperError.
    """
    style = place.style()
    of = Ordered(
        shown.snapshot,
        place.desk.rules,
        shown.floor,
        shown.draft,
        shown.accepted,
        shown.changed,
        style=style,
    )
    # All that decides what stands on it; a draft has no digest, and is made anew each time.
    told = (shown.digest, shown.label, name, shown.accepted, shown.changed, style)
    key = sha256(repr(told).encode()).hexdigest()[:24]
    file = place.papers / f"{key}.pdf"
    if shown.draft or not file.is_file():
        render_paper(of.paper(paper_named(name)), file, bundled("templates"), house=style.templates)
    return file
