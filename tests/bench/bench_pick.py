"""A scan into a bag, whole, beside the bare inserts of what it writes: its event and its movement.

By turns in one run, each a transaction of its own; at least 0.3 of the rate is wanted. Told beside
them: scans of what does not belong into the bag, which are refused and kept too.
Run: python -m tests.bench.bench_pick [--scans N]
"""

import argparse
import statistics
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

from sqlalchemy import Insert, select
from tests.support.databases import ENGINES
from tests.support.deeds import desk_on
from tests.support.jobs import by, furnished
from tests.support.pick_room import accepted_quote

from wholekit.services import picks, waves
from wholekit.services.orders import ToldRelease, release_order
from wholekit.services.stock import ToldItem, ToldPlace, receive_stock
from wholekit.store.bag_questions import EVENT
from wholekit.store.stock_rows import MOVEMENT
from wholekit.store.unit_of_work import SqlStore

WANTED = 0.3
WRONG = "NOT-OURS-7"


def milliseconds(deed: Callable[[], object]) -> float:
    """How long a deed takes [ms]."""
    start = time.perf_counter()
    deed()
    return 1000 * (time.perf_counter() - start)


def measure(engine: str, scans: int) -> None:
    """Print the rate of scans beside that of bare inserts."""
    with tempfile.TemporaryDirectory() as folder:
        store = ENGINES[engine](Path(folder))
        furnished(store)
        desk = desk_on(store)
        bags = max(2, scans // 5)
        label = accepted_quote(desk, [f"{n}" for n in range(bags)], "Bench")
        standing = release_order(desk, by(), label, ToldRelease())
        for item, packs in standing.bags[0].needs:
            receive_stock(
                desk, by("odo"), ToldItem(item[1]), packs * bags + 5, ToldPlace(bin="S-1")
            )
        took: list[tuple[float, float]] = []
        refused: list[float] = []
        while True:
            wave = waves.open_wave(desk, by("odo"), most=min(12, bags))
            for row, bag in wave.bags:
                picks.scan(desk, by("odo"), wave.number, row.id)
                refused.append(
                    milliseconds(
                        partial(picks.scan, desk, by("odo"), wave.number, WRONG, into=row.id)
                    )
                )
                for line in bag.remaining:
                    code = line.ware.sku
                    scanned = milliseconds(
                        partial(picks.scan, desk, by("odo"), wave.number, code, into=row.id)
                    )
                    rows = written(store, len(took))
                    took.append((scanned, milliseconds(partial(bare, store, rows))))
                picks.close_bag(desk, by("odo"), row.id)
                bags -= 1
            if len(took) >= scans or bags <= 0:
                break
        scan, insert = (1000 / statistics.median(part) for part in zip(*took, strict=True))
        verdict = "HELD" if scan / insert >= WANTED else "MISSED"
        print(
            f"{engine:<10} {scan:.0f} scans a second, {insert:.0f} bare inserts: "
            f"{scan / insert:.2f} of them (wanted {WANTED}) {verdict}; "
            f"{1000 / statistics.median(refused):.0f} refused a second"
        )
        store.close()


def written(store: SqlStore, number: int) -> dict[Insert, dict[str, object]]:
    """The rows that the last scan wrote, under other keys."""
    rows = {}
    with store.place.reading() as connection:
        for table, key in ((EVENT, "event_id"), (MOVEMENT, "key")):
            last = connection.execute(select(table).order_by(table.c.id.desc()).limit(1)).one()
            values = {**last._mapping, key: f"bare-{number}"}
            del values["id"]
            rows[table.insert().inline()] = values
    return rows


def bare(store: SqlStore, rows: dict[Insert, dict[str, object]]) -> None:
    """Such rows, inserted with nothing asked and nothing else written."""
    with store.place.writing() as connection:
        for insert, values in rows.items():
            connection.execute(insert, values)


def main() -> None:
    """Print the figures for each engine."""
    asked = argparse.ArgumentParser()
    asked.add_argument("--scans", type=int, default=60)
    given = asked.parse_args()
    for engine in sorted(ENGINES):
        measure(engine, given.scans)


if __name__ == "__main__":
    main()
