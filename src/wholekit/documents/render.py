"""Papers to PDF files: whole or not at all.

A small paper is laid out here; a large one, and several together, in a press room, which uses as
many processors as there are. Page numbers and look are the same either way.
"""

import shutil
import tempfile
from collections.abc import Callable
from functools import partial
from pathlib import Path

from wholekit.documents import worker
from wholekit.documents.any_paper import AnyPaper
from wholekit.documents.archive import Archive, archive
from wholekit.documents.binding import bind
from wholekit.documents.drilling_sheet import DrillingPaper
from wholekit.documents.flow import Flow
from wholekit.documents.internal_sheet import InternalSheet
from wholekit.documents.layout import calm_collector, lay_out_group
from wholekit.documents.make_flow import make_flow
from wholekit.documents.merge import merge
from wholekit.documents.order_paper import PurchaseOrderPaper
from wholekit.documents.packing_slip import PackingSlipPaper
from wholekit.documents.papers import (
    KitLabelsPaper,
    PickListPaper,
    QuotePaper,
    SettingCardPaper,
)
from wholekit.documents.press import Press
from wholekit.documents.press_room import PressRoom, in_press_room, refuse_other, written_to
from wholekit.documents.shelf_labels import ShelfLabelsPaper
from wholekit.documents.submittal import SubmittalPaper
from wholekit.stopping import Allowed, PutOff

LARGE = 60  # blocks from which a process of its own pays


def render_paper(
    paper: AnyPaper,
    out: Path,
    templates: Path,
    *,
    progress: Callable[[int, int], None] | None = None,
    processes: int | None = None,
    kept: Archive | None = None,
    house: str = "",
    room: PressRoom | None = None,
) -> None:
    """Write a paper as a PDF file; an error leaves what was there before.

    templates: the folder that holds the papers' templates. progress: called with openings done
    and openings in all, for large papers. processes: how many may lay out at once [count]; as
    many as this process has processors unless given. kept: with it the paper is in archive form
    (PDF/A-3) and carries that file. house: the folder whose `papers` hold templates in place of
    ours, empty for none. room: where it is laid out beside others, and stands in its place when
    the room is done. Raises CallError `paper-not-written` with the path and what the system
    says, `paper-in-place-of-other` where the file there is no PDF, `house-template-fails`.
    """
    render_flow(
        partial(make_flow, paper, templates, house),
        _length(paper),
        out,
        progress=progress,
        processes=processes,
        kept=kept,
        room=room,
    )


def render_flow(
    make: Callable[[], Flow],
    blocks: int,
    out: Path,
    *,
    progress: Callable[[int, int], None] | None = None,
    processes: int | None = None,
    kept: Archive | None = None,
    room: PressRoom | None = None,
) -> None:
    """Write the flow that `make` gives as a PDF file, as `render_paper` does.

    blocks: about how many it has [count]. An older PDF of that name is replaced, nothing else is.
    """
    if room is not None:
        room.take(make, out, kept=kept, progress=progress)
    elif blocks >= LARGE:
        with written_to(out):
            in_press_room(lambda own: own.take(make, out, kept=kept, progress=progress), processes)
    else:
        _render_here(make, out, kept)


def _render_here(make: Callable[[], Flow], out: Path, kept: Archive | None) -> None:
    folder = None
    with PutOff(), written_to(out):
        try:
            refuse_other(out)
            folder = Path(tempfile.mkdtemp(prefix=f".{out.name}-", dir=out.parent.absolute()))
            # Loading, laying out and joining make much and drop little.
            with Allowed(), calm_collector():
                pdf = _lay_out(make(), folder)
                if kept is not None:
                    archive(pdf, kept)
            # From the same disk, so in one step: whoever looks finds the old paper or the new one.
            pdf.replace(out)
        finally:
            if folder is not None:
                shutil.rmtree(folder, ignore_errors=True)


def _length(paper: AnyPaper) -> int:
    """About how many blocks a paper has."""
    match paper:
        case QuotePaper():
            return len(paper.kits) + sum(len(alternate.kits) for alternate in paper.alternates)
        case PickListPaper():
            return len(paper.openings) + len(paper.held)
        case KitLabelsPaper():
            every = (paper, *paper.more)
            return sum(len(each.labels) for each in every) // paper.stock.to_a_page
        case ShelfLabelsPaper():
            return len(paper.labels) // paper.stock.to_a_page
        case SettingCardPaper():
            return len(paper.cards)
        case PackingSlipPaper():
            return len(paper.kits)
        case DrillingPaper():
            return 2 * len(paper.sheets)
        case SubmittalPaper():
            return len(paper.kits) + len(paper.cards)
        case InternalSheet():
            return len(paper.kits)
        case PurchaseOrderPaper():
            return 1


def _lay_out(flow: Flow, folder: Path) -> Path:
    end = len(flow.blocks)
    part = lay_out_group(Press(flow, folder), 0, end, end, folder / "part.pdf")
    pdf = folder / worker.PDF_FILE
    merge(bind([part]), flow, pdf)
    return pdf
