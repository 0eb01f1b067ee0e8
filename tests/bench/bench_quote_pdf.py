"""Quote PDF of a large job, against the same openings ungrouped and laid out plainly, in one run.

Plain: each opening's kit written for itself, one document, one process, the collector as Python
sets it. Ungrouped: the same paper as plain, laid out as ours. All start from the paper and end with
a PDF on disk. Memory is the proportional set size (PSS) of all processes, sampled.
Run: python -m tests.bench.bench_quote_pdf [OPENINGS]
"""

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import NamedTuple

from pikepdf import Pdf
from tests.documents.paper_factory import make_quote
from tests.documents.plain import lay_out_plainly
from tests.support.pdf_structure import faults_of

from wholekit.documents.make_flow import make_flow
from wholekit.documents.render import render_paper

TEMPLATES = Path(__file__).parents[2] / "templates"
SAMPLE_EVERY = 0.4  # s
LEAST_RATIO = 5
MOST_MEMORY = 250  # MB
SHOWN = 10  # faults
GROWTH = (250, 500, 1000, 2000)  # openings


def make_plain(openings: int, out: Path) -> None:
    flow = make_flow(make_quote(openings, alone=True), TEMPLATES)
    lay_out_plainly(flow, out.parent).write_pdf(out)


def make_grouped(openings: int, out: Path) -> None:
    render_paper(make_quote(openings), out, TEMPLATES)


def make_ungrouped(openings: int, out: Path) -> None:
    render_paper(make_quote(openings, alone=True), out, TEMPLATES)


WAYS = {"plain": make_plain, "grouped": make_grouped, "ungrouped": make_ungrouped}


class Measured(NamedTuple):
    """Wall and processor time [s], greatest sum over processes and greatest process [MB of PSS]."""

    wall: float
    processor: float
    together: float
    single: float


def measure(way: str, openings: int, out: Path) -> Measured:
    start, before = time.perf_counter(), os.times()
    command = [sys.executable, "-m", "tests.bench.bench_quote_pdf", str(openings), way, str(out)]
    together = single = 0.0
    with subprocess.Popen(command) as process:
        while process.poll() is None:
            sizes = [pss(pid) for pid in family(process.pid)]
            together, single = max(together, sum(sizes)), max(single, *sizes, 0.0)
            time.sleep(SAMPLE_EVERY)
    assert process.returncode == 0, f"{way} failed"
    wall, after = time.perf_counter() - start, os.times()
    processor = sum(
        getattr(after, kind) - getattr(before, kind)
        for kind in ("children_user", "children_system")
    )
    return Measured(wall, processor, together, single)


def family(pid: int) -> list[int]:
    """A process and all below it (Linux)."""
    try:
        threads = Path(f"/proc/{pid}/task").iterdir()
        children = [
            int(child) for task in threads for child in (task / "children").read_text().split()
        ]
    except (FileNotFoundError, ProcessLookupError):
        return []
    return [pid, *(process for child in children for process in family(child))]


def pss(pid: int) -> float:
    try:
        lines = Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines()
    except (FileNotFoundError, ProcessLookupError, PermissionError):
        return 0.0
    return next((int(line.split()[1]) / 1024 for line in lines if line.startswith("Pss:")), 0.0)


def structure_faults(openings: int) -> list[str]:
    """What is wrong with tags, bookmarks and properties of the grouped paper, told as well."""
    paper = make_quote(openings)
    flow = make_flow(paper, TEMPLATES)
    marks = [mark.mark for kit in (*paper.kits, *paper.open_kits) for mark in kit.marks]
    with tempfile.TemporaryDirectory() as folder:
        render_paper(paper, Path(folder) / "quote.pdf", TEMPLATES)
        found = faults_of(Path(folder) / "quote.pdf", flow.title, flow.language, marks)
    for fault in found[:SHOWN]:
        print(f"  {fault}")
    return found


def say(held: bool) -> str:
    return "held" if held else "MISSED"


def tell_growth(folder: str) -> None:
    """Processor time for each page of ever longer papers, ungrouped so that pages grow as they do.

    Loading the libraries and reading the font is taken off, as a paper of one opening has it.
    """
    out = Path(folder) / "growth.pdf"
    start = measure("ungrouped", 1, out).processor
    for openings in GROWTH:
        taken = measure("ungrouped", openings, out)
        with Pdf.open(out) as book:
            pages = len(book.pages)
        each = (taken.processor - start) / pages
        print(f"{openings:5} openings, {pages:4} pages: {1000 * each:5.1f} ms of processor a page")


def main() -> None:
    openings = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    if len(sys.argv) > 2:
        WAYS[sys.argv[2]](openings, Path(sys.argv[3]))
        return
    taken: dict[str, Measured] = {}
    with tempfile.TemporaryDirectory() as folder:
        tell_growth(folder)
        for way in ("grouped", "plain", "ungrouped", "grouped"):
            out = Path(folder) / f"{way}.pdf"
            run = taken[way] = measure(way, openings, out)
            print(
                f"{way:8} {openings} openings: {run.wall:6.1f} s, {run.processor:6.1f} s of "
                f"processor, peak {run.together:5.0f} MB in all processes, {run.single:5.0f} MB in "
                f"the largest, {out.stat().st_size / 1e6:.1f} MB on disk",
                flush=True,
            )
    ratio = taken["plain"].wall / taken["grouped"].wall
    print(f"plain / grouped: {ratio:.2f} (at least {LEAST_RATIO}): {say(ratio >= LEAST_RATIO)}")
    peak = taken["grouped"].together
    print(f"peak of grouped: {peak:.0f} MB (under {MOST_MEMORY}): {say(peak < MOST_MEMORY)}")
    print(f"structure of grouped: {say(not structure_faults(openings))}")
    print(f"load: {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors (want no other work)")


if __name__ == "__main__":
    main()
