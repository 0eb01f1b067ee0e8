"""What processes of their own do to a store: all of it is importable, so that they can start."""

import multiprocessing
import random
import time
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import Any
from uuid import uuid4

from tests.support.databases import url_of
from tests.support.house import RULES, sample
from tests.support.jobs import START, by, plain

from wholekit.domain.catalog import Catalog
from wholekit.domain.errors import CallError
from wholekit.services.desk import Desk
from wholekit.services.job_openings import add_openings
from wholekit.services.jobs import NewJob, create_job
from wholekit.services.ports import Store
from wholekit.services.quotes import issue_quote
from wholekit.store.backup import restore
from wholekit.store.engine import Place, postgresql_place, sqlite_place
from wholekit.store.migrate import upgrade
from wholekit.store.unit_of_work import SqlStore
from wholekit.wording.offers import HouseWords

# A server that has imported all this forks the others off: they start at once, and clean, and
# what is timed or killed is the deed, not the import of what it needs.
PROCESSES = multiprocessing.get_context("forkserver")
PROCESSES.set_forkserver_preload(
    [
        __name__,
        "alembic.command",
        "psycopg",
        "sqlalchemy.dialects.postgresql.psycopg",
        "wholekit.domain.quotes.asked",
        "wholekit.services.served",
        "wholekit.store.migrations.baseline",
    ]
)
Address = tuple[str, str]


class _Ids:
    def new(self) -> str:
        return uuid4().hex


def address_of(place: Place) -> Address:
    """How another process finds a store."""
    if place.file is not None:
        return "sqlite", str(place.file)
    return "postgresql", url_of(place)


def place_at(address: Address) -> Place:
    """The store's place of an address."""
    kind, where = address
    return sqlite_place(Path(where)) if kind == "sqlite" else postgresql_place(where)


def desk_on(store: Store) -> Desk:
    """A desk whose ids no other process makes."""
    return Desk(store, _Ids(), RULES, HouseWords())


def desk_at(address: Address) -> Desk:
    """The same over the store of an address."""
    return desk_on(SqlStore(place_at(address)))


@cache
def wide_catalog(items: int) -> Catalog:
    """A catalogue with so many items, made of a sample's."""
    few = sample("quillmere")
    return replace(
        few,
        id="wide",
        items=tuple(
            replace(few.items[number % len(few.items)], sku=f"W-{number:06d}", row=number + 2)
            for number in range(items)
        ),
        counts={},
    )


def load(address: Address, catalog: Catalog) -> None:
    """Load a catalogue, that another process has made."""
    store = SqlStore(place_at(address))
    with store.writing() as work:
        work.catalogs.put(catalog, START, "odo")
        work.commit()


def issue(address: Address, job: str, who: str = "ines") -> None:
    """Issue a job's quote."""
    done = issue_quote(desk_at(address), by(who), job)
    assert done.revision is not None, done.review


def issue_or_be_told(address: Address, job: str, who: str) -> None:
    """Issue a job's quote, or be told that nothing has changed since somebody did."""
    try:
        issue(address, job, who)
    except CallError as told:
        if told.code != "quote-unchanged":
            raise


def make_and_issue(address: Address, count: int, who: str) -> None:
    """So many jobs, each with an opening, each issued."""
    desk = desk_at(address)
    for number in range(count):
        job = create_job(desk, by(who), NewJob(f"{who} {number}", "saltmarsh"))
        add_openings(desk, by(who), job.label, [plain("101")])
        assert issue_quote(desk, by(who), job.label).revision is not None


def add_marks(address: Address, job: str, who: str, count: int) -> None:
    """So many openings to one job, one by one."""
    desk = desk_at(address)
    for number in range(count):
        add_openings(desk, by(who), job, [plain(f"{who}-{number}")])


def bring_up(address: Address) -> None:
    """Upgrade a store."""
    upgrade(place_at(address))


def restore_from(address: Address, backup: str) -> None:
    """Make a store what a backup says."""
    restore(Path(backup), place_at(address), overwrite=True)


def run_together(
    deeds: list[tuple[Callable[..., None], tuple[Any, ...]]], longest: float = 120
) -> None:
    """Each in a process of its own, all at once; every one must end well, within a time [s]."""
    end = time.monotonic() + longest
    running = [PROCESSES.Process(target=deed, args=given) for deed, given in deeds]
    for process in running:
        process.start()
    for process in running:
        process.join(max(0, end - time.monotonic()))
    assert [process.exitcode for process in running] == [0] * len(running)


def seconds_of(deed: Callable[..., None], given: tuple[Any, ...]) -> float:
    """How long a deed takes in a process of its own, once that has started [s]."""
    running, started = _start(deed, given)
    running.join()
    assert running.exitcode == 0, running.exitcode
    return time.perf_counter() - started


class Killing:
    """Deeds killed −9, so many times, each after up to 1.2 times what such a deed takes [s].

    That span has as many parts as there are kills, and each kill falls somewhere in a part of its
    own: few of them are spread over all of it. A deed that ends before its kill halves the span:
    the machine's pace at the start is no measure of it a minute later.
    """

    def __init__(self, longest: float, times: int, seed: int) -> None:
        self.caught = 0
        self._longest = longest
        draw = random.Random(seed)
        self._shares = [(part + draw.random()) / times for part in range(times)]
        draw.shuffle(self._shares)

    def start_and_kill(self, deed: Callable[..., None], given: tuple[Any, ...]) -> None:
        """Start a deed and kill it; `caught` counts those that had not ended before."""
        running, started = _start(deed, given)
        running.join(1.2 * self._longest * self._shares.pop())
        took = time.perf_counter() - started
        running.kill()
        running.join()
        assert running.exitcode in (0, -9), running.exitcode
        if running.exitcode == 0:
            self._longest = min(self._longest, took) / 2
        else:
            self.caught += 1


def _start(deed: Callable[..., None], given: tuple[Any, ...]) -> tuple[BaseProcess, float]:
    """A process at the first line of its deed, and when that was [s]."""
    here, there = PROCESSES.Pipe(duplex=False)
    running = PROCESSES.Process(target=_announced, args=(there, deed, given))
    running.start()
    there.close()
    here.recv()
    here.close()
    return running, time.perf_counter()


def _announced(here: Any, deed: Callable[..., None], given: tuple[Any, ...]) -> None:
    here.send(None)
    here.close()
    deed(*given)
