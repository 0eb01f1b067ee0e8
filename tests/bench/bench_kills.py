"""A hundred kills −9 of each kind on each engine, at random points; the suite does a dozen."""

import tempfile
from pathlib import Path

from tests.support.databases import ENGINES
from tests.support.kills import KINDS

TIMES = 100


def main() -> None:
    """Print how many of each were caught in the middle; an unsound store stops it."""
    for name, kill in KINDS.items():
        for engine in sorted(ENGINES):
            with tempfile.TemporaryDirectory() as folder:
                killed = kill(engine, Path(folder), TIMES)
            print(f"{name:>8} on {engine:<10} {killed} of {TIMES} killed in the middle, all sound")


if __name__ == "__main__":
    main()
