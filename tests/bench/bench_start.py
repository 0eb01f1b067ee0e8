"""What a command costs before it does anything: its time over that of `import sqlmodel`.

Each command in a process of its own, as a counter calls it, in turn with the yardstick in the same
run; the store holds catalogues of 5,000 items, and one job with an issued quote on them. Aims: 1.3,
and 0.5 for what needs no store.
Run: python -m tests.bench.bench_start
"""

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.bench.bench_cover import every_sample
from tests.bench.bench_shelves import ITEMS
from tests.support.jobs import START
from tests.support.scaled import scaled_catalogs

from wholekit.bootstrap import open_store
from wholekit.settings import read_settings

ROUNDS = 9
FURNISHING = (
    ("house", "person", "odo", "--role", "owner"),
    ("customer", "add", "saltmarsh", "Saltmarsh Builders"),
    ("job", "new", "Heron Quay School", "--customer", "saltmarsh"),
    ("job", "add", "1", "--opening", "101 3070 interior not-egress x6 weight=95lb"),
    ("quote", "issue", "1"),
)
YARDSTICK = [sys.executable, "-c", "import sqlmodel"]
SAMPLES = Path(__file__).parents[2] / "catalog_samples"
COMMANDS = (
    (False, "--version"),
    (False, "rules"),
    (False, "door-force --width 36in --height 84in --wind 20mph --size 3"),
    (False, f"kit --opening 3070 --catalog {SAMPLES / 'tarrowby'}"),
    (True, "kit --opening 3070"),
    (True, "job list"),
    (True, "job show 1"),
    (True, "quote list 1"),
    (True, "quote show Q-1"),
    (True, "quote waiting"),
    (True, "customer list"),
    (True, "catalog list"),
)


def seconds(command: list[str], environment: dict[str, str]) -> float:
    """Wall time of one process [s]. Raises CalledProcessError where it fails."""
    start = time.perf_counter()
    subprocess.run(command, env=environment, check=True, capture_output=True)  # our own
    return time.perf_counter() - start


def main() -> None:
    """Print every command's ratio, median of the pairs."""
    with tempfile.TemporaryDirectory() as folder:
        environment = os.environ | {"WHOLEKIT_HOME": folder, "WHOLEKIT_USER": "odo"}
        store = open_store(read_settings(environment))
        with store.writing() as work:
            for catalog in scaled_catalogs(every_sample(), ITEMS):
                work.catalogs.put(catalog, START, "odo")
            work.commit()
        store.close()
        for arguments in FURNISHING:
            seconds([sys.executable, "-m", "wholekit", *arguments], environment)
        print(f"  a store of {ITEMS} items; {ROUNDS} pairs; python -c 'import sqlmodel' is 1")
        for stored, text in COMMANDS:
            command = [sys.executable, "-m", "wholekit", *text.split()]
            pairs = [
                (seconds(command, environment), seconds(YARDSTICK, environment))
                for _ in range(ROUNDS)
            ]
            ratio = statistics.median(ours / theirs for ours, theirs in pairs)
            aim = 1.3 if stored else 0.5
            print(f"  {ratio:5.2f} (aim {aim})  wholekit {text.partition(' --catalog')[0]}")


if __name__ == "__main__":
    main()
