"""One opening's kit from 5,000 stored items in a running process: the first call and those after.

Measured over the store, as a counter's screen would ask: the job read, its shelf found, the kit
built and priced. Each call asks for another opening, so that no answer can be remembered whole.
Run: python -m tests.bench.bench_shelves
"""

import statistics
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

from tests.bench.bench_cover import every_sample
from tests.bench.bench_schedule import kinds
from tests.support.databases import ENGINES
from tests.support.deeds import desk_on
from tests.support.house import RULES
from tests.support.jobs import START, by, furnished
from tests.support.scaled import scaled_catalogs

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.kits import Policy
from wholekit.domain.openings import Opening
from wholekit.domain.quotes import CatalogRef
from wholekit.intake.cells import readers
from wholekit.intake.kinds import read_kind
from wholekit.intake.openings import profile_words
from wholekit.services.desk import Desk, job_of
from wholekit.services.job_openings import add_openings
from wholekit.services.jobs import NewJob, create_job
from wholekit.services.shelves import ShelfKeeper
from wholekit.services.workup import work_up_job

ITEMS = 5_000
CALLS = 40


def openings(count: int) -> list[Opening]:
    """So many openings, each of another kind."""
    read = readers(FinishBook(RULES), profile_words(RULES))
    found = [read_kind(kind.items(), read) for kind in kinds(count)]
    return [Opening(f"{number}", kind) for number, kind in enumerate(found)]  # type: ignore[arg-type]  # the kinds are sound


def milliseconds(work: Callable[[], object]) -> float:
    """Wall time of one call [ms]."""
    start = time.perf_counter()
    work()
    return (time.perf_counter() - start) * 1000


def jobs(desk: Desk, count: int) -> list[str]:
    """So many jobs of one opening each, on every catalogue in the store."""
    made = []
    for opening in openings(count):
        job = create_job(desk, by("ines"), NewJob("One opening", "saltmarsh"))
        add_openings(desk, by("ines"), job.label, [opening])
        made.append(job.label)
    return made


def main() -> None:
    """Print the figures for each engine."""
    for engine in sorted(ENGINES):
        with tempfile.TemporaryDirectory() as folder:
            store = ENGINES[engine](Path(folder))
            furnished(store)
            with store.writing() as work:
                for catalog in scaled_catalogs(every_sample(), ITEMS):
                    work.catalogs.put(catalog, START, "odo")
                work.commit()
            measure(engine, desk_on(store))
            store.close()


def measure(engine: str, desk: Desk) -> None:
    """Print the figures of one store."""
    labels = jobs(desk, CALLS)

    def call(label: str, at: Desk) -> None:
        with at.store.reading() as uow:
            work_up_job(uow, at, job_of(uow, label), by().day)

    first = milliseconds(lambda: call(labels[0], desk))
    later = [milliseconds(partial(call, label, desk)) for label in labels[1:]]
    again = [milliseconds(partial(call, label, desk)) for label in labels]
    anew = [
        milliseconds(partial(call, label, replace(desk, shelves=ShelfKeeper())))
        for label in labels[1:6]
    ]
    print(f"  {engine:<11} first call {first:8.1f} ms; with the shelf made anew {_say(anew)}")
    print(f"  {'':<11} later, each another kind      {_say(later)} (a finish not seen: once)")
    print(f"  {'':<11} later, kinds seen before      {_say(again)}")
    with desk.store.reading() as uow:
        refs = [CatalogRef(stored.catalog_id, stored.revision) for stored in uow.catalogs.current()]
        shelf = [
            milliseconds(partial(desk.shelves.shelf, uow, refs, Policy())) for _ in range(CALLS)
        ]
    print(f"  {'':<11} of it the shelf of {len(refs):2} books   {_say(shelf)}")


def _say(found: list[float]) -> str:
    return f"median {statistics.median(found):6.1f}, worst {max(found):6.1f} ms"


if __name__ == "__main__":
    main()
