"""A kit's whole choice: what the program searches, and the same as one integer program."""

import random
from collections.abc import Iterator

from tests.support.house import RULES
from tests.support.milp import Program, program_of

from wholekit.domain.kits import Shelf
from wholekit.domain.kits import build as building
from wholekit.domain.kits.bodies import eligible_bodies
from wholekit.domain.kits.cover import Alternative
from wholekit.domain.kits.floors import floor_of
from wholekit.domain.kits.mounts import mounts_to_try
from wholekit.domain.kits.settled import settled_mount
from wholekit.domain.openings import Door, Facts, Location, Mount, OpeningType, Swing
from wholekit.domain.quantities import Length
from wholekit.domain.sizing import LARGEST_SIZE

COST_SHIFT = 48


def kinds(count: int, seed: int = 3) -> Iterator[OpeningType]:
    """Distinct kinds of opening."""
    draw = random.Random(seed)
    seen: set[OpeningType] = set()
    while len(seen) < count:
        opening_type = OpeningType(
            Length.inches(draw.choice((30, 32, 34, 36, 40, 42, 48))),
            Length.inches(draw.choice((80, 84))),
            location=draw.choice(list(Location)),
            swing=draw.choice(list(Swing)),
            door=draw.choice(list(Door)),
            fire_minutes=draw.choice((0, 0, 90)),
            leaves=draw.choice((1, 1, 2)),
            finish=draw.choice(("689", "690", "695")),
            mount=draw.choice((None, None, Mount.TOP_JAMB)),
        )
        if opening_type not in seen:
            seen.add(opening_type)
            yield opening_type


class Problem:
    """One kind's search: what ours does, and the same choice as alternatives."""

    def __init__(self, opening_type: OpeningType, shelf: Shelf) -> None:
        facts = Facts(opening_type, RULES)
        choices, findings = mounts_to_try(facts, RULES)
        choice = settled_mount(opening_type, choices, shelf, RULES)
        self.attempt = building.FromShelf(facts, choice, findings, shelf, RULES)
        self.mount = choice.mount
        sizing = self.attempt.sizing
        asked = self.attempt.asked(sizing.required or LARGEST_SIZE)
        eligible, _ = eligible_bodies(facts, self.mount, sizing, asked, shelf, RULES)
        order = min((entry.order for entry in eligible), default=None)
        self.eligible = [entry for entry in eligible if entry.order == order]
        self.finish = self.attempt.facts.finish
        self.shelf = shelf

    def index(self) -> None:
        """Make what the shelf keeps for every later kit in this finish and mount."""
        for entry in self.eligible:
            floor_of(
                entry,
                self.mount,
                self.attempt.facts.type.leaves,
                hold_open_arm=False,
                finish=self.finish,
                shelf=self.shelf,
            )

    def ours(self) -> float | None:
        found = self.attempt.search.best(self.eligible, self.mount, self.finish)
        if found is None or found.cover.missing or found.demand.stops or found.demand.unsound:
            return None
        return found.cover.score / 2**COST_SHIFT

    def program(self) -> Program:
        alternatives: list[Alternative] = []
        search = self.attempt.search
        for entry in self.eligible:
            for stops, _, demand in search.templates(entry, self.mount):
                if not stops and not demand.unsound:
                    alternatives.append(search.alternative(entry, demand))
        market = self.shelf.market(self.finish)
        program = program_of(alternatives, market.boxes, market.loose)
        program.cost = [cost / 2**COST_SHIFT for cost in program.cost]
        return program
