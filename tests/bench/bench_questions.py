"""What is asked of 1,000 openings, ten fields open in each, beside one expansion, in one run.

Kinds are drawn at random; 200 of them as in the benchmark of expansion, and 1,000
where no two openings are alike (minutes). Both times are from an empty shelf.
"""

import gc
import random
import time

from tests.bench.bench_cover import every_sample
from tests.support.house import RULES
from tests.support.offers import DAY
from tests.support.openings import random_opening
from tests.support.scaled import scaled_catalogs

from wholekit.domain.kits import Shelf
from wholekit.domain.kits.unknowns import RULE, answered, unknowns_of
from wholekit.domain.openings import Opening, OpeningType
from wholekit.services.schedules import work_up_schedule

ITEMS = 5_000
OPENINGS = 1_000
OPEN = 10
KINDS = (200, 1_000)


def open_in_ten(draw: random.Random) -> OpeningType:
    """An opening with just so many fields open, the others answered at random."""
    kind = random_opening(draw)
    for row in RULES.rows(RULE):
        kind = answered(kind, {str(row["field"]): None})
    while len(unknown := unknowns_of(kind, RULES)) > OPEN:
        chosen = draw.choice(unknown)
        kind = answered(kind, {chosen.field: draw.choice(chosen.answers)})
    return kind


def main() -> None:
    """Print seconds of expansion and of questions, and their ratio."""
    for kind_count in KINDS:
        draw = random.Random(7)
        kinds = [open_in_ten(draw) for _ in range(kind_count)]
        openings = [Opening(f"M{at:04d}", kinds[at % kind_count]) for at in range(OPENINGS)]
        shelf = Shelf(scaled_catalogs(every_sample(), ITEMS))
        for finish in shelf.finishes:
            shelf.market(finish)
        gc.collect()
        start = time.process_time()
        workup = work_up_schedule(openings, shelf, RULES, DAY)
        expanding = time.process_time() - start
        start = time.process_time()
        asking = workup.asking(RULES)
        asked = time.process_time() - start
        print(
            f"{kind_count:>5} kinds: expanded in {expanding:6.1f} s, asked in {asked:6.1f} s: "
            f"{asked / expanding:4.1f} ×; {len(asking.questions)} questions"
        )


if __name__ == "__main__":
    main()
