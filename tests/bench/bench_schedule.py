"""Reading a schedule of 10,000 rows and 200 kinds, against csv.DictReader alone, in one run.

The reader also reads every size, weight and word, and puts rows alike together; csv.DictReader
only parts the cells. A workbook of the same rows is measured beside it.
Run: python -m tests.bench.bench_schedule
"""

import csv
import random
import statistics
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

from openpyxl import Workbook

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.openings import Opening
from wholekit.intake.rulebook import load_rulebook
from wholekit.intake.schedule import COLUMNS, read_schedule

ROWS = 10_000
KINDS = 200
ROUNDS = 7
WIDEST = 16_382


def kinds(count: int) -> list[dict[str, str]]:
    """So many rows without a mark, each of another kind."""
    chance = random.Random(3)
    found: dict[tuple[str, ...], dict[str, str]] = {}
    while len(found) < count:
        row = {
            "size": chance.choice(("3070", "3068", "2868", "4070", "36x84", "914x2134 mm")),
            "leaves": chance.choice(("", "1", "2")),
            "door": chance.choice(("hollow-metal", "wood", "aluminum", "")),
            "weight": chance.choice(("", "100 lb", "45 kg", "120 lb")),
            "frame": chance.choice(("steel", "wood", "")),
            "location": chance.choice(("interior", "exterior")),
            "swing": chance.choice(("in", "out", "")),
            "fire_minutes": chance.choice(("", "20", "90", "1-1/2 h")),
            "accessible": chance.choice(("", "yes", "no")),
            "opening_degrees": chance.choice(("", "110", "170 deg")),
            "reveal": chance.choice(("", "4 in", "100 mm", "6-1/2 in")),
            "pressure": chance.choice(("", "25 Pa", "0.1 inwg")),
            "finish": chance.choice(("689", "690", "dark bronze", "")),
        }
        found.setdefault(tuple(row.values()), row)
    return list(found.values())


def rows(count: int, kind_count: int) -> list[dict[str, str]]:
    """A schedule's rows: marks, numbers alike and notes over the kinds."""
    every = kinds(kind_count)
    return [
        {
            "mark": f"{number // 100 + 1}{number % 100:02d}",
            "quantity": str(number % 3 + 1),
            "note": f"note {number % 40}" if number % 4 == 0 else "",
            **every[number % kind_count],
        }
        for number in range(count)
    ]


def write_csv(path: Path, given: list[dict[str, str]]) -> None:
    """The rows as CSV with every column of a schedule."""
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, COLUMNS)
        writer.writeheader()
        writer.writerows(given)


def write_xlsx(path: Path, given: list[dict[str, str]]) -> None:
    """The rows as a workbook of one sheet."""
    workbook = Workbook(write_only=True)
    sheet = workbook.create_sheet("Openings")
    sheet.append(list(COLUMNS))
    for row in given:
        sheet.append([row.get(column) for column in COLUMNS])
    workbook.save(path)


def plain(path: Path) -> int:
    """csv.DictReader alone over the file."""
    with path.open(newline="", encoding="utf-8") as file:
        return sum(1 for _ in csv.DictReader(file))


def _cells(path: Path) -> int:
    """csv.reader alone over the file."""
    with path.open(newline="", encoding="utf-8") as file:
        return sum(len(row) for row in csv.reader(file))


def seconds(work: Callable[[], object]) -> list[float]:
    """Wall time of each round [s]."""
    found = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        work()
        found.append(time.perf_counter() - start)
    return found


def report(name: str, found: list[float], base: float) -> None:
    """One line of the result."""
    middle = statistics.median(found)
    print(
        f"  {name:<28} median {middle * 1000:7.1f} ms   worst {max(found) * 1000:7.1f} ms"
        f"   {ROWS / middle:9,.0f} rows/s   {middle / base:5.2f} x csv.DictReader"
    )


def main() -> None:
    """Make the files, check that all is read, then measure."""
    finishes = FinishBook(load_rulebook())
    given = rows(ROWS, KINDS)
    with tempfile.TemporaryDirectory() as folder:
        csv_file, workbook = Path(folder) / "schedule.csv", Path(folder) / "schedule.xlsx"
        write_csv(csv_file, given)
        write_xlsx(workbook, given)

        def read(path: Path) -> list[Opening]:
            return read_schedule(path, finishes=finishes)

        openings = read(csv_file)
        assert openings == read(workbook)
        assert len(openings) == plain(csv_file) == ROWS
        shared = len({id(opening.type) for opening in openings})
        print(f"{ROWS:,} rows of {KINDS} kinds as written, {shared} opening types in memory")
        alone = seconds(lambda: plain(csv_file))
        base = statistics.median(alone)
        report("csv.DictReader alone", alone, base)
        report("schedule, CSV", seconds(lambda: read(csv_file)), base)
        report("schedule, XLSX", seconds(lambda: read(workbook)), base)
        wide = Path(folder) / "wide.csv"
        wide.write_text(
            "mark,size\n" + "".join(f"{one},3070{',' * WIDEST}\n" for one in range(100)),
            encoding="utf-8",
        )
        bare, found = (statistics.median(seconds(partial(work, wide))) for work in (_cells, read))
        print(
            f"  100 rows with {WIDEST:,} empty cells behind: {found * 1000:.0f} ms, "
            f"{found / bare:.2f} x csv.reader"
        )


if __name__ == "__main__":
    main()
