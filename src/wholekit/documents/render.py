"""Papers to PDF files: whole or not at all.

A small paper is laid out here; a large one by a process of its own that uses two processors where
it may. Page numbers and look are the same either way.
"""

import os
import shutil
import signal
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, nullcontext, suppress
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
from wholekit.documents.shelf_labels import ShelfLabelsPaper
from wholekit.documents.submittal import SubmittalPaper
from wholekit.domain.errors import CallError
from wholekit.stopping import Allowed, PutOff

WORKER = worker.__name__
_PDF = b"%PDF-"
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
) -> None:
    """Write a paper as a PDF file; an error leaves what was there before.

    templates: the folder that holds the papers' templates. progress: called with openings done
    and openings in all, for large papers. processes: how many may lay out at once [count]; as
    many as this process has processors unless given. kept: with it the paper is in archive form
    (PDF/A-3) and carries that file. house: the folder whose `papers` hold templates in place of
    ours, empty for none. Raises CallError `paper-not-written` with the path and what the system
    says, `paper-in-place-of-other` where the file there is no PDF, `house-template-fails`.
    """
    render_flow(
        partial(make_flow, paper, templates, house),
        _length(paper),
        out,
        progress=progress,
        processes=processes,
        kept=kept,
    )


def render_flow(
    make: Callable[[], Flow],
    blocks: int,
    out: Path,
    *,
    progress: Callable[[int, int], None] | None = None,
    processes: int | None = None,
    kept: Archive | None = None,
) -> None:
    """Write the flow that `make` gives as a PDF file, as `render_paper` does.

    blocks: about how many it has [count]. An older PDF of that name is replaced, nothing else is.
    """
    folder = None
    with PutOff():
        try:
            _refuse_other(out)
            folder = Path(tempfile.mkdtemp(prefix=f".{out.name}-", dir=out.parent.absolute()))
            with Allowed():
                if blocks < LARGE:
                    pdf = _render_here(make(), folder)
                else:
                    pdf = _render_apart(make, folder, progress, processes or _processors())
                if kept is not None:
                    archive(pdf, kept)
            # From the same disk, so in one step: whoever looks finds the old paper or the new one.
            pdf.replace(out)
        except (OSError, subprocess.CalledProcessError) as error:
            raise CallError("paper-not-written", path=str(out), because=_say(error)) from error
        finally:
            if folder is not None:
                shutil.rmtree(folder, ignore_errors=True)


def _refuse_other(out: Path) -> None:
    """A name mistyped must not cost a schedule or a price book."""
    if out.is_file():
        with out.open("rb") as file:
            start = file.read(len(_PDF))
        if start and start != _PDF:
            raise CallError("paper-in-place-of-other", path=str(out))


def _length(paper: AnyPaper) -> int:
    """About how many blocks a paper has."""
    match paper:
        case QuotePaper():
            return len(paper.kits) + sum(len(alternate.kits) for alternate in paper.alternates)
        case PickListPaper():
            return len(paper.openings) + len(paper.held)
        case KitLabelsPaper() | ShelfLabelsPaper():
            return len(paper.labels) // paper.stock.to_a_page
        case SettingCardPaper():
            return len(paper.cards)
        case PackingSlipPaper():
            return len(paper.kits)
        case DrillingPaper():
            return sum(len(sheet.tiles) for sheet in paper.sheets)
        case SubmittalPaper():
            return len(paper.kits) + len(paper.cards)
        case InternalSheet():
            return len(paper.kits)
        case PurchaseOrderPaper():
            return 1


def _render_here(flow: Flow, folder: Path) -> Path:
    end = len(flow.blocks)
    with calm_collector():
        part = lay_out_group(Press(flow, folder), 0, end, end, folder / "part.pdf")
    pdf = folder / worker.PDF_FILE
    merge(bind([part]), flow, pdf)
    return pdf


def _render_apart(
    make: Callable[[], Flow],
    folder: Path,
    progress: Callable[[int, int], None] | None,
    processes: int,
) -> Path:
    command = [sys.executable, "-m", WORKER, str(folder)]
    # A file and no pipe: one that nobody reads meanwhile would fill, and the worker would stop.
    log = folder / "errors"
    with (
        log.open("w", encoding="utf-8") as errors,
        subprocess.Popen(  # noqa: S603  # this program
            command,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=errors,
            encoding="utf-8",
            # So that the worker and all it forks can be ended as one group.
            start_new_session=True,
        ) as process,
        _ended_with_caller(process),
    ):
        flow = make()  # while the worker loads its libraries
        # A worker that failed while loading reads nothing; what it said of that is told below.
        with suppress(BrokenPipeError), process.stdin or nullcontext() as task:
            if task:
                task.write(worker.write_task(flow, processes))
        _tell(process.stdout or (), len(flow.blocks), progress)
    if process.returncode:
        raise subprocess.CalledProcessError(
            process.returncode, command, stderr=log.read_text(encoding="utf-8")
        )
    return folder / worker.PDF_FILE


@contextmanager
def _ended_with_caller(process: "subprocess.Popen[str]") -> Iterator[None]:
    """End the worker and all it forked where the caller is stopped; leaving would wait for them."""
    try:
        yield
    except BaseException:
        if hasattr(os, "killpg"):
            with suppress(ProcessLookupError):
                os.killpg(process.pid, signal.SIGKILL)
        else:
            process.kill()
        raise


def _tell(lines: Iterable[str], blocks: int, progress: Callable[[int, int], None] | None) -> None:
    done = 0
    for line in lines:
        done = min(done + int(line), blocks)
        if progress:
            progress(done, blocks)


def _processors() -> int:
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def _say(error: OSError | subprocess.CalledProcessError) -> str:
    if isinstance(error, OSError):
        return error.strerror or type(error).__name__
    lines = (error.stderr or "").strip().splitlines()
    # The last line of a traceback is what went wrong.
    return lines[-1] if lines else str(error)
