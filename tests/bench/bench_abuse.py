"""Twenty processes at random in the pick room: sums hold, nothing is promised twice.

They release, pick, undo, scan twice, leave, unpack, count, lose, receive, return, ship and cancel,
and accept further quotes. Each stops at the first thing that nobody should be told, such as a lock
or a deadlock; then the ledger is held against its sums, and every bag against its scans.
Run: python -m tests.bench.bench_abuse [MINUTES] [--processes N] [--engine NAME] [--seed N]
"""

import argparse
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path
from random import Random

from sqlalchemy import text
from tests.support.databases import ENGINES
from tests.support.deeds import Address, address_of, desk_at, desk_on, run_together
from tests.support.jobs import furnished
from tests.support.pick_room import accepted_quote, deed_at_random, require_sound

from wholekit.store.check import check_store

MINUTES, PROCESSES, JOBS, OPENINGS = 3.0, 20, 8, 5
NEW_JOB = 0.01


def work_until(address: Address, labels: list[str], seed: int, end: float, tally: str) -> None:
    """Deeds at random until a moment [s since 1970], their outcomes counted into a file."""
    desk, at_random, told = desk_at(address), Random(seed), Counter[str]()
    longest = 0.0
    while time.time() < end:
        begun = time.perf_counter()
        if at_random.random() < NEW_JOB:
            marks = [f"{seed}-{n}" for n in range(OPENINGS)]
            labels.append(accepted_quote(desk, marks, f"Job {seed}-{len(labels)}"))
        else:
            told[deed_at_random(desk, at_random, labels) or "done"] += 1
        longest = max(longest, time.perf_counter() - begun)
    lines = [f"{code} {count}" for code, count in told.items()]
    Path(tally).write_text("\n".join([f"{longest:.1f}", *lines]), encoding="utf-8")


def abuse(engine: str, minutes: float, processes: int, seed: int) -> None:
    """Print what became of one engine's store. Raises AssertionError where it is not sound."""
    with tempfile.TemporaryDirectory() as folder:
        store = ENGINES[engine](Path(folder))
        furnished(store)
        desk = desk_on(store)
        labels = [
            accepted_quote(desk, [f"{n}" for n in range(OPENINGS)], f"Job {job}")
            for job in range(JOBS)
        ]
        end = time.time() + 60 * minutes
        tallies = [str(Path(folder) / f"tally-{n}") for n in range(processes)]
        at = address_of(store.place)
        run_together(
            [
                (work_until, (at, labels, seed * 1000 + n, end, tally))
                for n, tally in enumerate(tallies)
            ],
            60 * minutes + 300,
        )
        told, longest = Counter[str](), 0.0
        for tally in tallies:
            first, *lines = Path(tally).read_text(encoding="utf-8").splitlines()
            longest = max(longest, float(first))
            for line in lines:
                code, count = line.split()
                told[code] += int(count)
        done = told.pop("done", 0)
        print(
            f"{engine}: {processes} processes, {minutes:g} min: {done:,} deeds done, "
            f"{sum(told.values()):,} told otherwise, the longest took {longest:.1f} s",
            flush=True,
        )
        print("  told: " + ", ".join(f"{code} {count}" for code, count in told.most_common()))
        bags = require_sound(store)
        report = check_store(store.place)
        assert report.faults == (), report.faults[:5]
        with store.place.reading() as connection:
            rows, scans = (
                connection.execute(text(f"SELECT count(*) FROM {table}")).scalar_one()  # noqa: S608
                for table in ("stock_movement", "bag_event")
            )
        stand = ", ".join(f"{count} {state}" for state, count in sorted(bags.items()))
        print(f"  bags: {stand}; {rows:,} movements and {scans:,} deeds at bags; all of it sound")
        store.close()


def main() -> None:
    """Abuse the stores asked for."""
    asked = argparse.ArgumentParser()
    asked.add_argument("minutes", type=float, nargs="?", default=MINUTES)
    asked.add_argument("--processes", type=int, default=PROCESSES)
    asked.add_argument("--engine", choices=sorted(ENGINES), default="")
    asked.add_argument("--seed", type=int, default=12)
    given = asked.parse_args(sys.argv[1:])
    for engine in [given.engine] if given.engine else sorted(ENGINES):
        abuse(engine, given.minutes, given.processes, given.seed)


if __name__ == "__main__":
    main()
