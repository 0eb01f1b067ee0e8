"""The ledger of stock: one item's balance, a page, a pick beside the bare insert of its movement.

Measured over a store filled past the program with movements and their sums, which `db check` then
holds against each other. Each engine in turn; ratios are within one run.
Run: python -m tests.bench.bench_stock [--items N] [--movements N] [--engine NAME]
"""

import argparse
import statistics
import tempfile
import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from random import Random

from sqlalchemy import text
from tests.support.databases import ENGINES
from tests.support.jobs import START

from wholekit.domain.stock import Slips, StockPlace
from wholekit.services.paging import Page
from wholekit.services.stock_port import StockFilter
from wholekit.store import bulk
from wholekit.store.check import StoreFault, check_store
from wholekit.store.stock_rows import ITEM, MOVEMENT, movement_values
from wholekit.store.unit_of_work import SqlStore

ITEMS, MOVEMENTS = 5_000, 250_000
ASKED, PICKED = 200, 300
AT = START.isoformat()
_COLUMNS = (
    "key", "kind", "item", "packs", "source", "source_branch", "source_bin", "target",
    "target_branch", "target_bin", "bag", "at", "who", "reason",
)  # fmt: skip
_SUMS = (
    (
        "INSERT INTO stock_bin (item, branch, bin, on_hand) "
        "SELECT item, target_branch, target_bin, sum(packs) FROM stock_movement "
        "GROUP BY item, target_branch, target_bin"
    ),
    (
        "INSERT INTO stock_balance (item, branch, on_hand, promised, moves) "
        "SELECT item, branch, sum(on_hand), 0, count(*) FROM stock_bin GROUP BY item, branch"
    ),
)


def item(number: int) -> tuple[str, str]:
    """An item of the store, from 1."""
    return "Averlund", f"I-{number:06d}"


def filled(store: SqlStore, items: int, movements: int) -> None:
    """So many items and receipts, and their sums."""
    with store.place.writing() as connection:
        bulk.insert(
            connection,
            ITEM,
            ("sku", "supplier", "description"),
            ((item(n)[1], item(n)[0], f"Piece {n}") for n in range(1, items + 1)),
        )
        bulk.insert(connection, MOVEMENT, _COLUMNS, _rows(items, movements))
        for statement in _SUMS:
            connection.execute(text(statement))
        if store.place.file is None:
            for table in ("stock_movement", "stock_bin", "stock_balance", "stock_item"):
                connection.execute(text(f"ANALYZE {table}"))


def _rows(items: int, movements: int) -> Iterator[tuple[object, ...]]:
    for n in range(movements):
        number = n % items + 1
        yield (
            f"r/{n}", "receipt", number, 1 + n % 7, "outside", "", "", "shelf", "main",
            f"B-{number % 400:03d}", "", AT, "pim", "",
        )  # fmt: skip


def milliseconds(work: Callable[[], object]) -> float:
    """Wall time of one call [ms]."""
    start = time.perf_counter()
    work()
    return (time.perf_counter() - start) * 1000


def measure(engine: str, items: int, movements: int) -> None:
    """Print the figures of one engine."""
    draw = Random(5)
    with tempfile.TemporaryDirectory() as folder:
        store = ENGINES[engine](Path(folder))
        took = milliseconds(lambda: filled(store, items, movements))
        print(f"{engine}: {items:,} items, {movements:,} movements (filled in {took / 1000:.0f} s)")
        with store.reading() as work:
            stock = work.stock
            one = [
                milliseconds(lambda: stock.balances([item(draw.randint(1, items))]))
                for _ in range(ASKED)
            ]
            told = [
                milliseconds(lambda: stock.history(Page(), item(draw.randint(1, items))))
                for _ in range(20)
            ]
            listed = milliseconds(lambda: stock.page(StockFilter(), Page(items // 2, 50)))
            found = milliseconds(lambda: stock.page(StockFilter(text="piece 12"), Page()))
            stamp = milliseconds(stock.stamp)
            free = milliseconds(stock.every_free)
        print(
            f"  one item's balance {statistics.median(one):.2f} ms (worst {max(one):.2f}), its "
            f"history {statistics.median(told):.2f} ms; a page {listed:.0f} ms, by text "
            f"{found:.0f} ms; the stamp {stamp:.0f} ms, all that is free {free:.0f} ms"
        )
        picks(store, items, draw)
        faults: list[StoreFault] = []
        checked = milliseconds(lambda: faults.extend(check_store(store.place).faults))
        wrong = [fault for fault in faults if fault.code == "stock-differs"]
        print(f"  db check took {checked / 1000:.1f} s and found {len(wrong)} sums wrong")
        store.close()


def picks(store: SqlStore, items: int, draw: Random) -> None:
    """One pack into a bag, a transaction each, beside the bare insert of such a movement."""
    numbers = [draw.randint(1, items) for _ in range(PICKED)]
    slips = Slips("promise", START, "pim")
    with store.writing() as work:
        work.stock.move(
            [slips.reserve(item(n), 1, "main", f"bag-{at}") for at, n in enumerate(numbers)]
        )
        work.commit()

    def made(at: int, key: str) -> Slips:
        return Slips(f"{key}-{at}", START, "pim")

    def pick(at: int) -> None:
        number = numbers[at]
        place = StockPlace("main", f"B-{number % 400:03d}")
        with store.writing() as work:
            work.stock.move([made(at, "scan").pick(item(number), 1, place, f"bag-{at}")])
            work.commit()

    def bare(at: int) -> None:
        number = numbers[at]
        one = made(at, "bare").receipt(item(number), 1, StockPlace("main", "B"))
        with store.place.writing() as connection:
            connection.execute(MOVEMENT.insert(), movement_values(one, number))

    # By turns, since the disk is others' too.
    took = [
        (milliseconds(partial(pick, at)), milliseconds(partial(bare, at))) for at in range(PICKED)
    ]
    picked, inserted = (1000 / statistics.median(part) for part in zip(*took, strict=True))
    # The bare ones have no sums; taken out, so that the check finds what the program wrote alone.
    of_table = "" if store.place.file else " ON stock_movement"
    with store.place.writing() as connection:
        connection.execute(text("DROP TRIGGER keep_stock_movement_delete" + of_table))
        connection.execute(text("DELETE FROM stock_movement WHERE key LIKE 'bare-%'"))
    ratio = picked / inserted
    print(f"  {picked:.0f} picks a second, {inserted:.0f} bare inserts: {ratio:.2f} of them")


def main() -> None:
    """Print the figures for each engine."""
    asked = argparse.ArgumentParser()
    asked.add_argument("--items", type=int, default=ITEMS)
    asked.add_argument("--movements", type=int, default=MOVEMENTS)
    asked.add_argument("--engine", choices=sorted(ENGINES), default="")
    given = asked.parse_args()
    for engine in [given.engine] if given.engine else sorted(ENGINES):
        measure(engine, given.items, given.movements)


if __name__ == "__main__":
    main()
