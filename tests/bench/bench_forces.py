"""Forces and linkage in the expansion of a large job, and one template on its own.

10,000 openings of 200 kinds. The time that proving takes within the expansion is summed up as it
runs; the aim is that it adds no more than a third to the rest. Geometry is forgotten before each
round, so each is a first one. Run: python -m tests.bench.bench_forces
"""

import itertools
import time
from collections.abc import Callable
from functools import partial
from typing import Any
from unittest.mock import patch

from tests.support.house import RULES, opening, sample
from tests.support.offers import DAY

from wholekit.domain.kits import Shelf
from wholekit.domain.kits.proof import Proof, prove
from wholekit.domain.linkage import check_template, position, swing, template
from wholekit.domain.openings import Location, Opening, OpeningType
from wholekit.domain.quantities import Length, Physical
from wholekit.services.schedules import work_up_schedule

OPENINGS, KINDS, ROUNDS = 10_000, 200, 3


def kinds() -> list[OpeningType]:
    """Kinds that differ in width, height, reveal, draught and place."""
    sizes = itertools.product(range(28, 49), (80, 84, 90, 96), (2, 4, 6, 8), Location)
    chosen = list(itertools.islice(sizes, 0, None, 3))[:KINDS]
    return [
        opening(
            f"{width}x{height}",
            reveal=Length.inches(reveal),
            location=location,
            pressure=Physical(float(5 * reveal), f"{5 * reveal} Pa"),
            accessible=number % 2 == 0,
        )
        for number, (width, height, reveal, location) in enumerate(chosen)
    ]


def forget() -> None:
    """Empty every memory of geometry."""
    for remembered in (position, swing, template.can_be_set):
        remembered.cache_clear()


def timed(work: Callable[[], object]) -> float:
    """Wall time [s]."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def proving(work: Callable[[], object]) -> tuple[float, float, int]:
    """Wall time of a piece of work, that of the proofs in it [s], and how many they were."""
    spent: list[float] = []

    def measured(*facts: Any) -> Proof:
        start = time.perf_counter()
        proof = prove(*facts)
        spent.append(time.perf_counter() - start)
        return proof

    with patch("wholekit.domain.kits.build.prove", measured):
        whole = timed(work)
    return whole, sum(spent), len(spent)


def main() -> None:
    """Measure and print."""
    found = kinds()
    assert len(found) == KINDS
    job = [Opening(f"{number}", found[number % KINDS]) for number in range(OPENINGS)]
    print(f"{OPENINGS} openings of {KINDS} kinds")
    for _ in range(ROUNDS):
        forget()
        shelf = Shelf([sample("tarrowby")])
        whole, proofs, count = proving(partial(work_up_schedule, job, shelf, RULES, DAY))
        print(
            f"  expansion {whole * 1000:7.1f} ms, of it {count} proofs {proofs * 1000:6.1f} ms: "
            f"{proofs / (whole - proofs) * 100:.1f} % on top of the rest"
        )
    slowest = 0.0
    for placed in sample("tarrowby").series[0].templates:
        forget()
        check = partial(check_template, placed, sample("tarrowby").pieces, RULES)
        slowest = max(slowest, timed(check))
    print(f"  slowest template, checked cold at both reveals: {slowest * 1000:.1f} ms")


if __name__ == "__main__":
    main()
