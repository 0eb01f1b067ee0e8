"""The store: a 100,000-row price book, a job of 1,000 openings, pages of 10,000 jobs."""

import atexit
import csv
import shutil
import statistics
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from tests.bench.bench_schedule import kinds
from tests.support.databases import ENGINES
from tests.support.deeds import desk_on, wide_catalog
from tests.support.fake_store import FakeStore
from tests.support.house import RULES, shelf
from tests.support.jobs import START, by, furnished
from tests.support.offers import DAY

from wholekit.bootstrap import collector_at_rest
from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.openings import Opening
from wholekit.domain.quotes import Job
from wholekit.intake.catalog_folder import load_catalog
from wholekit.intake.openings import profile_words
from wholekit.intake.schedule import read_schedule
from wholekit.services.catalog_loads import load, plan_loads
from wholekit.services.desk import Desk
from wholekit.services.job_openings import add_openings
from wholekit.services.jobs import NewJob, create_job
from wholekit.services.ports import JobFilter, Page
from wholekit.services.quotes import issue_quote
from wholekit.services.schedules import work_up_schedule
from wholekit.settings import bundled
from wholekit.store import catalogs, revisions
from wholekit.store.tables import METADATA
from wholekit.store.unit_of_work import SqlStore

ITEMS = 100_000
OPENINGS = 1_000
JOBS = 10_000
TIMES = 3


def main() -> None:
    """Print the figures for each engine."""
    for engine in sorted(ENGINES):
        print(f"  {engine}")
        price_book(engine)
        whole_job(engine)
        job_pages(engine)


def price_book(engine: str) -> None:
    """Put 100,000 items into the store, and the same rows by SQLAlchemy Core's insert-many."""
    catalog = wide_catalog(ITEMS)

    def put(store: SqlStore) -> None:
        with store.writing() as work:
            work.catalogs.put(catalog, START, "odo")
            work.commit()

    def core(store: SqlStore) -> None:
        table = METADATA.tables["catalog_item"]
        rows = dictionaries(catalogs._ITEM_COLUMNS, catalogs.item_rows(catalog, 1))
        with store.place.writing() as connection:
            catalogs.SqlCatalogs(connection).put(replace(catalog, items=()), START, "odo")
            start = time.perf_counter()
            connection.execute(table.insert(), rows)
        spent.append(time.perf_counter() - start)

    spent: list[float] = []
    ours = median(engine, put)
    median(engine, core)
    core_s = statistics.median(spent)
    print(
        f"    {ITEMS:,} items: put {ours:.2f} s, Core insert-many of the rows {core_s:.2f} s; "
        f"speed {core_s / ours:.2f} × Core's"
    )
    whole = median(engine, load_folder)
    print(
        f"    the same from its folder (read, checked, compared, written): {whole:.2f} s; "
        f"speed {core_s / whole:.2f} × Core's"
    )
    again = median(engine, lambda store: load_folder(store, dearer_folder()), load_folder)
    print(
        f"    once more, a tenth of its prices changed: {again:.2f} s; "
        f"speed {core_s / again:.2f} × Core's"
    )


def load_folder(store: SqlStore, folder: Path | None = None) -> None:
    """`wholekit catalog load` of a folder with 100,000 rows, as the command does it."""
    with collector_at_rest():
        read = load_catalog(folder or wide_folder())
        load(store, by("odo"), plan_loads(store, by("odo"), [read]))


@cache
def dearer_folder() -> Path:
    """The same with another list price in every tenth row."""
    folder = wide_folder().with_name("dearer")
    shutil.copytree(wide_folder(), folder)
    with (folder / "prices.csv").open(newline="", encoding="utf-8") as file:
        heads, *rows = list(csv.reader(file))
    place = heads.index("list")
    for row in rows[::10]:
        row[place] = f"{Decimal(row[place]) + 1:.2f}"
    with (folder / "prices.csv").open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows([heads, *rows])
    return folder


@cache
def wide_folder() -> Path:
    """A catalogue's folder with 100,000 rows in its price book, written once."""
    made = Path(tempfile.mkdtemp(prefix="wholekit-bench-"))
    atexit.register(shutil.rmtree, made, ignore_errors=True)
    folder = made / "quillmere"
    shutil.copytree(bundled("catalog_samples") / "quillmere", folder)
    with (folder / "prices.csv").open(newline="", encoding="utf-8") as file:
        heads, *rows = list(csv.reader(file))
    at = {name: number for number, name in enumerate(heads)}
    with (folder / "prices.csv").open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(heads)
        for number in range(ITEMS):
            row = list(rows[number % len(rows)])
            if number >= len(rows):
                row[at["sku"]] = f"W-{number:06d}"
                row[at["barcode"]] = ""
            writer.writerow(row)
    return folder


def whole_job(engine: str) -> None:
    """Load, expand, price and issue a job of 1,000 openings.

    Beside it the same on a store that is a dictionary in memory, and the quote's rows written by
    SQLAlchemy Core.
    """
    openings = the_openings()
    memory = desk_on(FakeStore())
    furnished(memory.store, "quillmere", "tarrowby", "averlund")
    job = filled(memory, openings)
    pure = timed(lambda: issue(memory, job))
    with tempfile.TemporaryDirectory() as folder:
        store = ENGINES[engine](Path(folder))
        furnished(store, "quillmere", "tarrowby", "averlund")
        desk = desk_on(store)
        adding = time.perf_counter()
        job = filled(desk, openings)
        adding = time.perf_counter() - adding
        kept = timed(lambda: issue(desk, job))
        rows = core_rows(store, job)
        store.close()
    kinds_count = len({opening.type for opening in openings})
    print(
        f"    job of {OPENINGS:,} openings, {kinds_count} kinds: added {adding:.2f} s; "
        f"issued {kept:.2f} s, in memory {pure:.2f} s, its rows by Core {rows:.2f} s; "
        f"{kept / (2 * pure + rows):.2f} of the limit"
    )


def the_openings() -> list[Opening]:
    """1,000 marks over the kinds, of 400, that can be issued: complete and without a stop."""
    found = kinds(400)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "schedule.csv"
        with path.open("w", newline="", encoding="utf-8") as file:
            writer = csv.DictWriter(file, ["mark", "quantity", *found[0]])
            writer.writeheader()
            for number, kind in enumerate(found):
                writer.writerow({"mark": f"M{number:04d}", "quantity": "1", **kind})
        read = read_schedule(path, finishes=FinishBook(RULES), jurisdictions=profile_words(RULES))
    good = [
        opening.entry.opening.type
        for opening in work_up_schedule(read, shelf(), RULES, DAY).job.openings
        if not opening.kit.stopped
    ]
    return [Opening(f"M{number:04d}", good[number % len(good)]) for number in range(OPENINGS)]


def filled(desk: Desk, openings: Sequence[Opening]) -> Job:
    """A job with these openings."""
    job = create_job(desk, by(), NewJob("A thousand doors", "saltmarsh"))
    add_openings(desk, by(), job.label, openings)
    return job


def issue(desk: Desk, job: Job) -> None:
    """Issue it."""
    done = issue_quote(desk, by(), job.label)
    if done.revision is None:
        raise SystemExit(f"not issued: {len(done.review.stops)} stops")


def core_rows(store: SqlStore, job: Job) -> float:
    """Seconds for Core to insert the lines of the job's quote again, under another revision."""
    with store.reading() as work:
        (revision,) = work.revisions.of_job(job.id)
    assert revision.snapshot is not None
    other = replace(
        revision, id="again", number=99, quote_number=99, snapshot=None, snapshot_digest="0" * 64
    )
    lines = dictionaries(
        revisions._LINE_COLUMNS,
        [
            ("again", position, *line)
            for position, line in enumerate(revisions.flat_lines(revision.snapshot))
        ],
    )
    with store.writing() as work:
        work.revisions.add(other)
        start = time.perf_counter()
        work._connection.execute(METADATA.tables["quote_line"].insert(), lines)
        return time.perf_counter() - start


def job_pages(engine: str) -> None:
    """First, middle and last page of 10,000 jobs."""
    with tempfile.TemporaryDirectory() as folder:
        store = ENGINES[engine](Path(folder))
        desk = furnished(store)
        first = create_job(desk, by(), NewJob("Heron Quay", "saltmarsh"))
        with store.writing() as work:
            for number in range(2, JOBS + 1):
                work.jobs.add(replace(first, id=f"j{number}", number=number, name=f"Job {number}"))
            work.commit()
        for title, wanted, page in (
            ("first", JobFilter(), Page(0, 50)),
            ("middle", JobFilter(), Page(5_000, 50)),
            ("last", JobFilter(), Page(9_950, 50)),
            ("searched", JobFilter(text="99"), Page(0, 50)),
        ):
            with store.reading() as work:
                seconds = min(timed(lambda: work.jobs.page(wanted, page)) for _ in range(TIMES))  # noqa: B023  # called at once
            print(f"    {title:>8} page of {JOBS:,} jobs: {seconds * 1000:.1f} ms")
        store.close()


def dictionaries(columns: Sequence[str], rows: Any) -> list[dict[str, object]]:
    """Rows as SQLAlchemy Core takes them."""
    return [dict(zip(columns, row, strict=True)) for row in rows]


def median(
    engine: str,
    work: Callable[[SqlStore], None],
    before: Callable[[SqlStore], None] = lambda _store: None,
) -> float:
    """Median seconds of something done to a new store, after something that is not measured."""
    found = []
    for _ in range(TIMES):
        with tempfile.TemporaryDirectory() as folder:
            store = ENGINES[engine](Path(folder))
            before(store)
            found.append(timed(lambda: work(store)))  # noqa: B023  # called at once
            store.close()
    return statistics.median(found)


def timed(work: Callable[[], object]) -> float:
    """Seconds of something."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


if __name__ == "__main__":
    main()
