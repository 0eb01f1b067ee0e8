"""Small papers and labels against a bare page: `import weasyprint` and one paragraph as a PDF.

Each in a process of its own, in turn with the yardstick in the same run, wall time; warm is the
least of three more of the same quote in that process. Medians of the pairs. Seconds are aims.
Run: python -m tests.bench.bench_papers
"""

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from tests.documents.paper_factory import make_labels, make_quote

from wholekit.documents.any_paper import AnyPaper
from wholekit.documents.render import render_paper

TEMPLATES = Path(__file__).parents[2] / "templates"
BARE = "import sys, weasyprint; weasyprint.HTML(string='<p>bare').write_pdf(sys.argv[1])"
LABELS = 1000
ROUNDS = {"quote": 5, "warm": 3, "labels": 2}
AIMS = {"quote": 1.0, "warm": 0.4, "labels": 20.0}  # s


def paper_of(name: str) -> AnyPaper:
    if name == "labels":
        paper = make_labels(LABELS)
        return replace(paper, labels=paper.labels[:LABELS])  # an opening may have several
    return make_quote(10)


def make(name: str, out: Path) -> None:
    """Write the paper; for `warm` print what one more takes, now that all is loaded [s]."""
    paper = paper_of(name)
    render_paper(paper, out, TEMPLATES)
    if name == "warm":
        print(min(seconds_of(lambda: render_paper(paper, out, TEMPLATES)) for _ in range(3)))


def seconds_of(act: Callable[[], None]) -> float:
    start = time.perf_counter()
    act()
    return time.perf_counter() - start


def run(command: list[str]) -> tuple[float, str]:
    """Wall time [s] and what it printed."""
    start = time.perf_counter()
    done = subprocess.run(command, check=True, capture_output=True, text=True)  # our own
    return time.perf_counter() - start, done.stdout


def main() -> None:
    """Print each paper's time and its ratio to the bare page."""
    if len(sys.argv) > 2:
        make(sys.argv[1], Path(sys.argv[2]))
        return
    with tempfile.TemporaryDirectory() as folder:
        out = f"{folder}/paper.pdf"
        for name, rounds in ROUNDS.items():
            pairs = []
            for _ in range(rounds):
                bare, _said = run([sys.executable, "-c", BARE, out])
                ours, said = run([sys.executable, "-m", "tests.bench.bench_papers", name, out])
                pairs.append((float(said or ours), bare))
            ratio = statistics.median(ours / bare for ours, bare in pairs)
            middle = statistics.median(ours for ours, _bare in pairs)
            print(f"  {name:7} {ratio:6.2f} × a bare page, {middle:6.2f} s (aim {AIMS[name]} s)")


if __name__ == "__main__":
    main()
