"""`wholekit quote papers` and `quote sheet`: a quote of the store as PDFs."""

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from wholekit import bootstrap
from wholekit.cli import options
from wholekit.cli.console import json_text, print_json, say, tell, wrapped
from wholekit.cli.desk import By, deed, desk
from wholekit.cli.parcels import consignment
from wholekit.documents.any_paper import AnyPaper
from wholekit.documents.archive import Archive
from wholekit.documents.fill_slip import WHOLE, Consignment
from wholekit.documents.label_stock import SHEET_10, LabelStock, stock_named
from wholekit.documents.paper_set import (
    FOR_ALL,
    MARGIN_SHEET,
    Ordered,
    PaperFile,
    paper_named,
    write_papers,
)
from wholekit.documents.quote_form import QuoteForm
from wholekit.domain.errors import CallError
from wholekit.domain.house_style import PLAIN, HouseStyle
from wholekit.domain.rules import RuleBook
from wholekit.services.quote_papers import Shown, order_shown, revision_shown, sheet_shown
from wholekit.settings import bundled
from wholekit.views.quotes import sent_answer
from wholekit.wording.orders import CHANGED

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
OutFolder = Annotated[
    Path,
    typer.Option("--out", help="Folder for the papers; with one paper, its PDF.", metavar="FOLDER"),
]


class PaperName(StrEnum):
    """What a paper is called on the command line."""

    QUOTE = "quote"
    PICK_LIST = "pick-list"
    KIT_LABELS = "kit-labels"
    PACKING_SLIP = "packing-slip"
    SETTING_CARDS = "setting-cards"
    DRILLING_SHEETS = "drilling-sheets"
    SUBMITTAL = "submittal"


# Without a price on them.
UNPRICED = frozenset(PaperName) - {PaperName.QUOTE}
Only = Annotated[
    PaperName | None, typer.Option("--only", help="This paper alone.", metavar="PAPER")
]


@dataclass(frozen=True, slots=True)
class PapersAnswer:
    """Papers that were written, in a folder or the one file of `path`.

    digest: SHA-256 of what was frozen, empty for a draft. changed: the job is no longer what was
    ordered.
    """

    path: str
    quote: str
    draft: bool
    digest: str
    ordered: bool
    changed: bool
    papers: tuple[str, ...]


def register(group: typer.Typer) -> None:
    """Put the commands on the group of quotes."""
    group.command("papers")(papers)
    group.command("paper")(paper)
    group.command("sheet")(sheet)


def papers(
    reference: Reference,
    out: OutFolder,
    only: Only = None,
    revision: RevisionNumber = None,
    archived: Annotated[
        bool,
        typer.Option(
            "--archive",
            help="The quote in the form for keeping (PDF/A-3), with its data as JSON in it.",
        ),
    ] = False,
    labels: options.Labels = SHEET_10.name,
    openings: options.SlipOpenings = None,
    parcel: options.Parcel = "",
    form: options.Form = QuoteForm.FULL,
    by: By = "",
    house: options.HouseFile = None,
    house_style: options.HouseStyleFolder = None,
    json: options.Json = False,
) -> None:
    """Quote, pick list, kit labels, packing slip and setting cards as PDFs, from what was frozen.

    --only drilling-sheets (holes in true size) and --only submittal (for the architect) make
    what comes on request alone.

    What was accepted comes with the alternates taken; what was not says NOT ORDERED on all but the
    quote; a draft says so on every page.
    """
    if archived and only not in (None, PaperName.QUOTE):
        raise CallError("archive-of-the-quote-alone", paper=str(only))
    stock = stock_named(labels)
    style = bootstrap.house_style(house_style, tell)
    goods = consignment(openings, parcel)
    if openings and only is not PaperName.PACKING_SLIP:
        raise CallError("openings-of-the-slip-alone")
    place = desk(house, style)
    # Without a price on them, the warehouse's papers are anybody's of the house.
    shown_to = order_shown if only in UNPRICED else revision_shown
    shown = shown_to(place, deed(by), reference, revision)
    kinds = [*FOR_ALL] if only is None else [paper_named(only.value)]
    _make(
        shown,
        place.rules,
        kinds,
        out,
        json,
        kept=_data_of(shown) if archived else None,
        stock=stock,
        style=style,
        goods=goods,
        form=form,
    )


def paper(
    reference: Reference,
    out: OutFolder,
    revision: RevisionNumber = None,
    form: options.Form = QuoteForm.FULL,
    by: By = "",
    house: options.HouseFile = None,
    house_style: options.HouseStyleFolder = None,
    json: options.Json = False,
) -> None:
    """Another name for `quote papers --only quote`."""
    papers(
        reference,
        out,
        PaperName.QUOTE,
        revision,
        form=form,
        by=by,
        house=house,
        house_style=house_style,
        json=json,
    )


def sheet(
    reference: Reference,
    out: Out,
    revision: RevisionNumber = None,
    by: By = "",
    house: options.HouseFile = None,
    house_style: options.HouseStyleFolder = None,
    json: options.Json = False,
) -> None:
    """The owner's internal sheet as a PDF: costs, margins, and every hand in it, by name."""
    style = bootstrap.house_style(house_style, tell)
    place = desk(house, style)
    shown = sheet_shown(place, deed(by), reference, revision)
    _make(shown, place.rules, [MARGIN_SHEET], out, json, one_file=True, style=style)


def _make(
    shown: Shown,
    rules: RuleBook,
    kinds: list[PaperFile],
    out: Path,
    json: bool,
    *,
    one_file: bool = False,
    kept: Archive | None = None,
    stock: LabelStock = SHEET_10,
    form: QuoteForm = QuoteForm.FULL,
    style: HouseStyle = PLAIN,
    goods: Consignment = WHOLE,
) -> None:
    of = Ordered(
        shown.snapshot,
        rules,
        shown.floor,
        shown.draft,
        shown.accepted,
        shown.changed,
        stock,
        form,
        goods,
        style,
        in_room=shown.in_room,
    )
    # A name that ends in .pdf, or a file that is there, is meant for the one paper itself.
    if one_file or (len(kinds) == 1 and (out.suffix.lower() == ".pdf" or out.is_file())):
        _write(of.paper(kinds[0]), out, kept, style.templates)
        made = [(out, kinds[0].what)]
    else:
        made = write_papers(of, kinds, out, tell, kept)
    if shown.changed:
        for line in wrapped(CHANGED):
            tell(line)
    if json:
        print_json(
            PapersAnswer(
                str(out),
                shown.label,
                shown.draft,
                shown.digest,
                shown.accepted is not None,
                shown.changed,
                tuple(str(path) for path, _ in made),
            )
        )
        return
    for path, what in made:
        say(f"{path}  {what}, {shown.label}{' as it stands: DRAFT' if shown.draft else ''}")


def _data_of(shown: Shown) -> Archive:
    """What the quote says as data, as it leaves the house."""
    answer = sent_answer(shown.snapshot.offer, shown.acceptance)
    return Archive(
        "quote.json", f"{shown.label} as data", "application/json", json_text(answer).encode()
    )


def _write(made: AnyPaper, out: Path, kept: Archive | None, house: str) -> None:
    from wholekit.documents.render import render_paper

    tell(f"making {out.name} …")
    render_paper(made, out, bundled("templates"), kept=kept, house=house)
