"""10,000 openings of 200 kinds against 5,000 items, end to end after loading, in one run.

End to end: a schedule file is read, every opening sized, kitted, proven, explained and priced. The
shelf is loaded before, its markets with it. Beside it: the same with half the kinds and with half
the openings, to show that the cost grows with openings plus kinds and not with their product.
"""

import csv
import gc
import tempfile
import time
from pathlib import Path

from tests.bench.bench_cover import every_sample
from tests.bench.bench_schedule import kinds
from tests.support.house import RULES
from tests.support.offers import offered
from tests.support.scaled import scaled_catalogs

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.kits import Shelf
from wholekit.intake.openings import profile_words
from wholekit.intake.schedule import read_schedule

ITEMS = 5_000
CASES = ((10_000, 200), (5_000, 200), (10_000, 100), (200, 200))


def schedule(path: Path, openings: int, kind_count: int) -> None:
    """A schedule of so many marks over so many kinds."""
    found = kinds(kind_count)
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, ["mark", "quantity", *found[0]])
        writer.writeheader()
        for number in range(openings):
            writer.writerow(
                {"mark": f"M{number:05d}", "quantity": "1", **found[number % kind_count]}
            )


def main() -> None:
    """Print seconds and openings a second for each case."""
    finishes = FinishBook(RULES)
    with tempfile.TemporaryDirectory() as folder:
        for openings, kind_count in CASES:
            path = Path(folder) / "schedule.csv"
            schedule(path, openings, kind_count)
            shelf = Shelf(scaled_catalogs(every_sample(), ITEMS))
            for finish in shelf.finishes:
                shelf.market(finish)
            gc.collect()
            gc.freeze()
            start = time.perf_counter()
            read = read_schedule(path, finishes=finishes, jurisdictions=profile_words(RULES))
            reading = time.perf_counter() - start
            total = offered(read, shelf).offer.totals.hardware
            seconds = time.perf_counter() - start
            print(
                f"{openings:>6} openings, {kind_count:>3} kinds: {seconds:5.2f} s, "
                f"{openings / seconds:8,.0f} a second (reading {reading:.2f} s); "
                f"{total.decimal_text} {total.currency}"
            )


if __name__ == "__main__":
    main()
