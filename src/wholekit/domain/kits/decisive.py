"""Which open fields of an opening decide its kit, alone or together, and what each answer does."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations, product
from math import prod
from typing import TypeAlias

from wholekit.domain.kits.facets import FACETS, HEIGHTS, OWN_FIELDS, Facet, MountsLook
from wholekit.domain.kits.outcome import Outcome, Outcomes
from wholekit.domain.kits.shelf import Shelf
from wholekit.domain.kits.unknowns import Unknown, answered, unknowns_of
from wholekit.domain.openings import Facts, Mount, OpeningType, stated_text
from wholekit.domain.rules import RuleBook

# More combinations than this are not tried one by one: their fields are asked instead. Far above
# what the published rules and the samples bring about.
MOST_TRIED = 5_000
# Outcomes that a shelf keeps, by far more than a large job comes to.
MOST_KEPT = 50_000
Answers: TypeAlias = dict[str, object]
# An outcome, and the mounts that were tried for it.
Reached: TypeAlias = tuple[Outcome, frozenset[Mount]]
# What a default follows from, where it is not one for all openings.
_FOLLOWS: Mapping[str, tuple[str, ...]] = {
    "door": ("frame",),
    "frame": ("door",),
    "door_reinforced": ("door", "frame"),
    "frame_reinforced": ("frame", "door"),
    "head_face": ("frame", "door"),
    "stop": ("frame", "door"),
}
# What is stated weighs more than the same assumed.
_STATED_APART = ("traffic",)


@dataclass(frozen=True, slots=True)
class Effect:
    """What comes of an answer. given: other answers it takes, where it decides nothing alone."""

    answer: object
    outcome: Outcome
    given: tuple[tuple[str, object], ...] = ()


@dataclass(frozen=True, slots=True)
class Decisive:
    """A field that decides, with what comes of each of its answers."""

    unknown: Unknown
    effects: tuple[Effect, ...]


@dataclass(frozen=True, slots=True)
class Decided:
    """What is asked of an opening, and what is not: no answers to `idle` change its outcome."""

    outcome: Outcome
    asked: tuple[Decisive, ...] = ()
    idle: tuple[Unknown, ...] = ()


@dataclass(slots=True)
class _Seen:
    """Looks by facet and fields, outcomes by all looks, and what decides, of openings so far.

    decided: by how the opening is written, for lengths in two units may be equal.
    """

    looks: dict[tuple[object, ...], tuple[object]] = field(default_factory=dict)
    outcomes: dict[tuple[object, ...], Reached] = field(default_factory=dict)
    decided: dict[str, Decided] = field(default_factory=dict)


@dataclass(slots=True)
class Questions:
    """Finds the decisive fields of openings from one shelf; keeps what it has seen for one run."""

    outcomes: Outcomes
    _seen: _Seen = field(default_factory=_Seen)

    def of(self, opening_type: OpeningType) -> Decided:
        """What decides an opening's kit. Raises RuleError."""
        written = repr(opening_type)
        known = self._seen.decided.get(written)
        if known is None:
            known = _Opening(opening_type, self.outcomes, self._seen).decided()
            self._seen.decided[written] = known
        return known


def questions_on(shelf: Shelf, rules: RuleBook) -> Questions:
    """The questions of a shelf, with what it has been asked before; kept with the shelf."""
    known = shelf.questions.get(rules.version)
    if not isinstance(known, Questions) or len(known.outcomes) > MOST_KEPT:
        known = shelf.questions[rules.version] = Questions(Outcomes(shelf, rules))
    return known


class _Opening:
    """One opening's open fields, parted into those that decide and those that do not."""

    def __init__(self, kind: OpeningType, outcomes: Outcomes, seen: _Seen) -> None:
        self._kind = kind
        self._outcomes = outcomes
        self._seen = seen
        self._looks: dict[tuple[object, ...], tuple[object]] = {}
        self._own = tuple(getattr(kind, name) for name in OWN_FIELDS)
        self._unknown = {each.field: each for each in unknowns_of(kind, outcomes.rules)}
        self._choices = {name: self._unlike(each) for name, each in self._unknown.items()}
        self._facets = self._concerned()
        self._own += tuple(facet.name for facet in self._facets)
        self._base = self._outcome({})

    def decided(self) -> Decided:
        asked: dict[str, tuple[Effect, ...]] = {}
        for name in self._unknown:
            effects = self._alone(name)
            if any(effect.outcome != self._base for effect in effects):
                asked[name] = effects
        while found := self._together([name for name in self._unknown if name not in asked]):
            asked |= {name: self._beside(name, found) for name in found}
        return Decided(
            self._base,
            tuple(Decisive(each, asked[name]) for name, each in self._unknown.items()
                  if name in asked),
            tuple(each for name, each in self._unknown.items() if name not in asked),
        )  # fmt: skip

    def _alone(self, name: str) -> tuple[Effect, ...]:
        return tuple(
            Effect(answer, self._outcome({name: answer})) for answer in self._unknown[name].answers
        )

    def _beside(self, name: str, found: Answers) -> tuple[Effect, ...]:
        """The answers of a field that decides nothing alone, one of them with what it takes."""
        others = tuple((other, answer) for other, answer in found.items() if other != name)
        return tuple(
            Effect(answer, self._outcome(found), others)
            if answer == found[name]
            else Effect(answer, self._outcome({name: answer}))
            for answer in self._unknown[name].answers
        )

    def _together(self, idle: Sequence[str]) -> Answers | None:
        """The fewest answers to idle fields that together change the outcome; None where none do.

        Every combination of the moving fields is tried. All others leave every facet as it is
        whatever the moving ones are, and so the outcome.
        """
        mounts, seen = frozenset[Mount](), self._reached({})[1]
        # What is looked at in one mount counts once some combination has that mount tried.
        while not seen <= mounts:
            mounts |= seen
            moving = self._moving(idle, mounts)
            many = prod(len(self._choices[name]) + 1 for name in moving) > MOST_TRIED
            for given in self._in_twos(moving) if many else self._combined(moving):
                outcome, tried = self._reached(given)
                seen |= tried
                if outcome != self._base:
                    return _fewest(given, lambda less: self._outcome(less) != self._base)
            if many:
                # Better one question more than an answer that changes what nobody asked for.
                most = max(moving, key=lambda name: len(self._choices[name]))
                return {most: self._choices[most][0]}
        return None

    def _moving(self, idle: Sequence[str], mounts: frozenset[Mount]) -> list[str]:
        """The idle fields that facets follow: those of all others depend on these alone."""
        moving: set[str] = set()
        facets = [
            (facet, [name for name in facet.fields if name in idle])
            for facet in self._facets
            if facet.mount is None or facet.mount in mounts
        ]
        size = -1
        # A field that has come to move may bring others with it: a bolt, the thickness it clamps.
        while len(moving) > size:
            size = len(moving)
            for facet, names in facets:
                self._add_movers(facet, names, moving)
        return [name for name in idle if name in moving]

    def _add_movers(self, facet: Facet, names: Sequence[str], moving: set[str]) -> None:
        for given in self._combined(names):
            rest = {name: answer for name, answer in given.items() if name not in moving}
            while rest:
                kept = {name: answer for name, answer in given.items() if name in moving}
                held = self._look(facet, kept)
                if self._look(facet, given) == held:
                    break
                less = _fewest(
                    rest,
                    lambda few, kept=kept, held=held: self._look(facet, {**kept, **few}) != held,  # type: ignore[misc]  # bound now
                )
                moving.update(less)
                rest = {name: answer for name, answer in rest.items() if name not in moving}

    def _unlike(self, unknown: Unknown) -> tuple[object, ...]:
        """The answers that are not what stands in anyway."""
        follows = _FOLLOWS.get(unknown.field, ())
        if unknown.field in _STATED_APART or any(name in self._unknown for name in follows):
            return unknown.answers
        return tuple(
            answer for answer in unknown.answers if stated_text(answer) != unknown.quoted_as
        )

    def _concerned(self) -> list[Facet]:
        """The facets that may count: some are looked at in one mount only."""
        by_mount = FACETS[0]
        mounts: set[Mount] = set()
        for given in self._combined([name for name in by_mount.fields if name in self._unknown]):
            tried: MountsLook = self._look(by_mount, given)  # type: ignore[assignment]  # its own
            mounts |= {mount for mount, _ in tried[0]}
        return [facet for facet in FACETS if facet.mount is None or facet.mount in mounts]

    def _combined(self, names: Sequence[str]) -> Iterator[Answers]:
        """Every combination of answers to fields, those left open among them."""
        choices = [[None, *((name, answer) for answer in self._choices[name])] for name in names]
        for chosen in product(*choices):
            yield dict(pair for pair in chosen if pair is not None)

    def _in_twos(self, names: Sequence[str]) -> Iterator[Answers]:
        """Every two answers to two fields."""
        for pair in combinations(names, 2):
            yield from self._combined(pair)

    def _look(self, facet: Facet, given: Answers) -> object:
        # By the answers alone first: to hash all the fields of an opening costs more than a look.
        mine = (facet.name, facet.follows(given))
        looked = self._looks.get(mine)
        if looked is None:
            looked = self._looks[mine] = self._looked(facet, given)
        return looked[0]

    def _looked(self, facet: Facet, given: Answers) -> tuple[object]:
        values = [
            given.get(name, getattr(self._kind, name)) for name in (*facet.fields, *facet.also)
        ]
        key = (facet.name, *values)
        known = self._seen.looks.get(key)
        if known is None:
            facts = Facts(answered(self._kind, given), self._outcomes.rules)
            known = self._seen.looks[key] = (facet.look(facts, self._outcomes),)
        return known

    def _outcome(self, given: Answers) -> Outcome:
        return self._reached(given)[0]

    def _reached(self, given: Answers) -> Reached:
        """The outcome with some answers; alike in every facet and height, openings have one."""
        unclear = tuple(each.field for each in self._kind.unclear if each.field not in given)
        looks = [self._look(facet, given) for facet in (*self._facets, HEIGHTS)]
        key = (self._own, unclear, *looks)
        known = self._seen.outcomes.get(key)
        if known is None:
            kind = answered(self._kind, given)
            outcome = self._outcomes.of(kind)
            known = self._seen.outcomes[key] = (outcome, self._outcomes.tried(kind))
        return known


def _fewest(given: Answers, still: Callable[[Answers], bool]) -> Answers:
    """The answers without those that it does not take for something to be still so."""
    left = dict(given)
    for name in given:
        less = {other: answer for other, answer in left.items() if other != name}
        if less and still(less):
            left = less
    return left
