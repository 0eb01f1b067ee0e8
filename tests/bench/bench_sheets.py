"""Reading 10,000 messy rows against the strict reader of the same clean rows, in one run.

Messy: titles, other headings in another order, columns that mean nothing, values in dialect, a
repeated header on each page. The bound: under twice the strict reader's time.
Run: python -m tests.bench.bench_sheets
"""

import csv
import io
import statistics
import time
from collections.abc import Callable

from tests.bench.bench_schedule import ROWS, rows

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.intake.rulebook import load_rulebook
from wholekit.intake.schedule import COLUMNS, read_schedule
from wholekit.intake.sheet import read_sheet
from wholekit.views.sheets import clean_schedule

HEADINGS = {
    "mark": "Door No.", "quantity": "Qty", "size": "Door Size", "leaves": "Leaves",
    "door": "Door Matl", "weight": "Weight", "frame": "Frame", "location": "Int/Ext",
    "swing": "Swing", "fire_minutes": "Rating", "accessible": "ADA", "opening_degrees": "Degrees",
    "reveal": "Reveal", "pressure": "Pressure", "finish": "Finish", "note": "Remarks",
}  # fmt: skip
DIALECT = {
    "size": {"3070": '3\'-0" x 7\'-0" x 1-3/4"', "2868": "2-8 x 6-8"},
    "fire_minutes": {"20": "20M", "90": "1 1/2 HR", "": "NR"},
}
PAGE = 40
TURNS = 9


def messy(given: list[dict[str, str]]) -> bytes:
    """The rows as somebody would send them."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(["TARROWBY ROAD CLINIC"])
    for number, row in enumerate(given):
        if number % PAGE == 0:
            writer.writerow([*HEADINGS.values(), "HW Set", "Room"])
        cells = [
            DIALECT.get(name, {}).get(row.get(name, ""), row.get(name, "")) for name in HEADINGS
        ]
        writer.writerow([*cells, str(number % 30), f"Room {number}"])
    return out.getvalue().encode()


def seconds(work: Callable[[], object]) -> float:
    """Time of the processor that a work takes [s]."""
    start = time.process_time()
    work()
    return time.process_time() - start


def main() -> None:
    """Measure and print; fails where the bound is broken or the two read different openings."""
    rules = load_rulebook()
    finishes = FinishBook(rules)
    data = messy(rows(ROWS, 200))
    sheet = read_sheet(data, "messy.csv", finishes=finishes)
    assert not sheet.problems, sheet.problems[:3]
    clean = clean_schedule(sheet.openings, sheet.texts, COLUMNS).encode()
    strictly = read_schedule(None, stdin=io.BytesIO(clean), finishes=finishes)
    assert list(sheet.openings) == strictly, "the same openings"
    # By turns, so that whatever else the machine does falls on both.
    base: list[float] = []
    found: list[float] = []
    for _ in range(TURNS):
        base.append(
            seconds(lambda: read_schedule(None, stdin=io.BytesIO(clean), finishes=finishes))
        )
        found.append(seconds(lambda: read_sheet(data, "messy.csv", finishes=finishes)))
    ratio = statistics.median(found) / statistics.median(base)
    print(f"{ROWS:,} rows: strict {statistics.median(base) * 1000:.1f} ms, as sent "
          f"{statistics.median(found) * 1000:.1f} ms, {ratio:.2f} x (bound 2)")  # fmt: skip
    assert ratio < 2, ratio


if __name__ == "__main__":
    main()
