"""Random contests for tests and benchmarks of the allocation."""

import random
from collections.abc import Mapping

from tests.support.house import RULES

from wholekit.domain.allocation import Contest, Solved, Split, Substitutes, Want, weight_of
from wholekit.domain.catalog import ItemKey

Scene = tuple[list[Want], Mapping[ItemKey, int], Substitutes]
DAYS = (-3, 0, 1, 2, 4, 5, 8, 10, 15, 20, 30, None)
PRIORITIES = (-1, 0, 0, 0, 0, 0, 0, 1, 1, 2)


class NoSolver:
    """As where the library is missing."""

    def solve(self, contest: Contest, seconds: float, start: Split) -> Solved | None:
        return None


def short_scene(
    seed: int, openings: int = 2_000, items: int = 500, *, alike: bool = False
) -> Scene:
    """Openings over items of which all are short by 10 to 40 %: kits of 4 to 9 items, equal ones in
    groups of 1 to 8, a tenth of the items with one or two substitutes; come in random order.

    Weights by promise and priority as the rules have them, or alike."""
    chance = random.Random(seed)
    keys = [("maker", f"I-{number:03}") for number in range(items)]
    kinds: list[tuple[tuple[tuple[ItemKey, int], ...], int]] = []
    while len(kinds) < openings:
        picked = chance.sample(keys, chance.randint(4, min(9, items)))
        needs = tuple((key, chance.choice((1, 1, 1, 2, 2, 3))) for key in picked)
        weight = weight_of(RULES, chance.choice(PRIORITIES), chance.choice(DAYS))
        size = min(chance.randint(1, 8), openings - len(kinds))
        kinds += [(needs, 1 if alike else weight)] * size
    turns = list(range(openings))
    chance.shuffle(turns)
    wants = [
        Want(f"B-{number}", needs, weight, (turn,))
        for number, ((needs, weight), turn) in enumerate(zip(kinds, turns, strict=True))
    ]
    wanted: dict[ItemKey, int] = dict.fromkeys(keys, 0)
    for want in wants:
        for key, packs in want.needs:
            wanted[key] += packs
    free = {key: int(packs * (1 - chance.uniform(0.1, 0.4))) for key, packs in wanted.items()}
    substitutes = {
        key: tuple(chance.sample([other for other in keys if other != key], chance.randint(1, 2)))
        for key in chance.sample(keys, max(1, items // 10))
    }
    return wants, free, substitutes
