"""`wholekit quote paper` and `quote sheet`: a quote of the store as a PDF."""

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say, tell
from wholekit.cli.desk import By, deed, desk
from wholekit.documents.fill_sheet import sheet_of_snapshot
from wholekit.documents.fill_snapshot import quote_of_snapshot
from wholekit.documents.internal_sheet import AnyPaper
from wholekit.services.quote_papers import Shown, revision_shown
from wholekit.settings import bundled

Reference = Annotated[
    str,
    typer.Argument(
        help="Q-00012/3, Q-00012 (its latest issued), or a job: its draft as it stands.",
        metavar="NUMBER",
    ),
]
RevisionNumber = Annotated[
    int | None, typer.Option("--revision", min=1, help="This revision of it.", metavar="N")
]
Out = Annotated[Path, typer.Option("--out", help="The PDF to write.", metavar="FILE")]


@dataclass(frozen=True, slots=True)
class WrittenAnswer:
    """A paper that was written. digest: SHA-256 of what was frozen, empty for a draft."""

    path: str
    quote: str
    draft: bool
    digest: str


def paper(
    reference: Reference,
    out: Out,
    revision: RevisionNumber = None,
    by: By = "",
    house: options.HouseFile = None,
    json: options.Json = False,
) -> None:
    """The customer's quote as a PDF, from what was frozen; a draft says so on every page."""
    shown = revision_shown(desk(house), deed(by), reference, revision)
    made = quote_of_snapshot(shown.snapshot, shown.label, draft=shown.draft)
    _write(made, out, shown, "quote for the customer", json)


def sheet(
    reference: Reference,
    out: Out,
    revision: RevisionNumber = None,
    by: By = "",
    house: options.HouseFile = None,
    json: options.Json = False,
) -> None:
    """The owner's internal sheet as a PDF: costs, margins, and every hand in it, by name."""
    shown = revision_shown(desk(house), deed(by), reference, revision)
    made = sheet_of_snapshot(
        shown.snapshot, shown.label, shown.floor, draft=shown.draft, accepted=shown.accepted
    )
    _write(made, out, shown, "internal sheet, not for customers", json)


def _write(made: AnyPaper, out: Path, shown: Shown, what: str, json: bool) -> None:
    from wholekit.documents.render import render_paper

    tell(f"making {out.name} …")
    render_paper(made, out, bundled("templates"))
    if json:
        print_json(WrittenAnswer(str(out), shown.label, shown.draft, shown.digest))
        return
    say(f"{out}  {what}, {shown.label}{' as it stands: DRAFT' if shown.draft else ''}")
