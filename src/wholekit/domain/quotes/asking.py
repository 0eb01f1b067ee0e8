"""Which open questions of a job change its kits, over its openings, dearest first.

One question is one field with one list of answers, however its openings are quoted meanwhile; each
answer tells what it comes to opening by opening. Nothing is told twice: openings that an answer
moves alike stand together.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from wholekit.domain.kits import Shelf
from wholekit.domain.kits.decisive import Decided, Decisive, Effect, questions_on
from wholekit.domain.kits.outcome import Outcome
from wholekit.domain.openings import Mount, OpeningType, stated_text
from wholekit.domain.quantities import Money
from wholekit.domain.quotes.job import Override, OverrideKind
from wholekit.domain.quotes.worked import (
    WorkBench,
    WorkedJob,
    WorkedOpening,
    find_item,
    standing,
)
from wholekit.domain.rules import RuleBook


@dataclass(frozen=True, slots=True)
class Change:
    """What an answer comes to for some openings alike. marks: their places; count: openings.

    difference: of one opening [Money]. stops, settled: codes of stops that come and go; mount, size
    [class]: the new ones, None where they stay; items: whether other items are bought; setting:
    whether template, side or finish differ. given: answers to other fields (field, answer) that
    it takes to come about. over: whether a force limit comes to be passed by calculation.
    """

    marks: tuple[str, ...]
    count: int
    difference: Money
    stops: tuple[str, ...] = ()
    settled: tuple[str, ...] = ()
    mount: Mount | None = None
    size: int | None = None
    items: bool = False
    setting: bool = False
    given: tuple[tuple[str, str], ...] = ()
    over: bool = False

    @property
    def nothing(self) -> bool:
        """Whether all stays as it is quoted."""
        return not (
            self.difference.minor or self.stops or self.settled or self.mount or self.size
            or self.items or self.setting or self.over
        )  # fmt: skip

    @property
    def refused(self) -> bool:
        """Whether it cannot be had so without another decision: no price is told of it."""
        return bool(self.stops or self.over)


@dataclass(frozen=True, slots=True)
class Answer:
    """An answer as a schedule spells it, and what it comes to.

    A weight answers for all that is less, down to the answer before.
    """

    text: str
    changes: tuple[Change, ...]

    @property
    def stops(self) -> tuple[str, ...]:
        """Codes of the stops it brings."""
        return tuple(dict.fromkeys(code for change in self.changes for code in change.stops))

    @property
    def settled(self) -> tuple[str, ...]:
        """Codes of the stops it settles."""
        return tuple(dict.fromkeys(code for change in self.changes for code in change.settled))

    @property
    def difference(self) -> Money:
        """Over all openings it is asked for and can be had at [Money]."""
        minor = sum(
            change.difference.minor * change.count for change in self.changes if not change.refused
        )
        return Money(minor, self.changes[0].difference.currency)


@dataclass(frozen=True, slots=True)
class QuotedAs:
    """What kits are worked out with meanwhile, empty where nothing stands in, and where."""

    text: str
    marks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class JobQuestion:
    """A field to ask for. marks: places of its openings in the job's order; count: openings.

    quoted: what stands in at them, what stands in at most of them last; unclear: it was written,
    but could mean several things.
    """

    field: str
    quoted: tuple[QuotedAs, ...]
    marks: tuple[str, ...]
    count: int
    answers: tuple[Answer, ...]
    unclear: bool = False

    @property
    def moves(self) -> tuple[int, int, int]:
        """By what it moves: stops first [openings], then money [minor units], then settings."""
        stopped = money = moved = 0
        for answer in self.answers:
            held = sum(each.count for each in answer.changes if each.refused or each.settled)
            stopped = max(stopped, held)
            priced = (each for each in answer.changes if not each.refused)
            money = max(money, sum(abs(each.difference.minor) * each.count for each in priced))
            moved = max(moved, sum(each.count for each in answer.changes if not each.nothing))
        return stopped, money, moved


@dataclass(frozen=True, slots=True)
class Assumed:
    """A field that is open and not asked for, since no answer changes a kit."""

    field: str
    quoted_as: str
    marks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Asking:
    """What is asked of a job, the most telling first, and what is taken as it is assumed.

    every: places of all openings, in the job's order. beyond: places that no range of them may run
    over, of doors that nothing was asked for.
    """

    questions: tuple[JobQuestion, ...]
    assumed: tuple[Assumed, ...]
    every: tuple[str, ...]
    beyond: tuple[str, ...] = ()


WEIGHT = "weight"
NOTHING_ASKED = Asking((), (), ())


def place_of(opening: WorkedOpening) -> str:
    """An opening's mark, with its alternate in brackets."""
    entry = opening.entry
    return f"{entry.mark} [{entry.alternate}]" if entry.alternate else entry.mark


def asking_of(job: WorkedJob, shelf: Shelf | None, rules: RuleBook, day: date) -> Asking:
    """What is asked of a job worked up from a shelf, at the prices of a day. Raises RuleError.

    Openings of one kind, alike in what a hand has set, are worked out once. A kit whose items a
    hand has set is nobody's to work out anew, and asks nothing.
    """
    every = tuple(place_of(opening) for opening in job.openings)
    beyond = tuple(door.place for door in job.contents.job.unasked if door.place not in {*every})
    if shelf is None:
        return Asking((), (), every, beyond)
    asking = _Asking(
        shelf, rules, WorkBench(shelf, rules, job.customer, job.contents.job.discount, day)
    )
    for opening in job.openings:
        asking.take(opening)
    return Asking(asking.questions(), asking.assumed(), every, beyond)


@dataclass(slots=True)
class _Alike:
    """Openings of one kind, alike in what a hand has set."""

    decided: Decided
    price: Money
    by_hand: tuple[Override, ...]
    marks: list[str] = field(default_factory=list)
    count: int = 0


class _Asking:
    """Gathers openings by kind, then questions over kinds."""

    def __init__(self, shelf: Shelf, rules: RuleBook, bench: WorkBench) -> None:
        self._shelf = shelf
        self._finder = questions_on(shelf, rules)
        self._bench = bench
        self._alike: dict[object, _Alike] = {}
        self._each: dict[str, Money] = {}

    def take(self, opening: WorkedOpening) -> None:
        overrides = standing(opening.entry.overrides)
        if any(override.kind is OverrideKind.ITEM for override in overrides):
            return
        # The kit's own type has a size that a hand has set; by identity, as kinds share one kit.
        key = id(opening.worked)
        alike = self._alike.get(key)
        if alike is None:
            decided = self._finder.of(opening.kit.type)
            alike = self._alike[key] = _Alike(decided, opening.worked.price, overrides)
        alike.marks.append(place_of(opening))
        alike.count += opening.entry.opening.quantity

    def questions(self) -> tuple[JobQuestion, ...]:
        groups: dict[tuple[str, tuple[str, ...], bool], list[tuple[_Alike, Decisive]]] = {}
        for alike in self._alike.values():
            for asked in alike.decided.asked:
                unknown = asked.unknown
                texts = tuple(stated_text(answer) for answer in unknown.answers)
                if unknown.field == WEIGHT:
                    # One question, in whatever units the leaves are written.
                    texts = tuple(str(at) for at, _ in enumerate(texts))
                key = (unknown.field, texts, unknown.unclear)
                groups.setdefault(key, []).append((alike, asked))
        found = [self._question(key, group) for key, group in groups.items()]
        return tuple(sorted(found, key=lambda question: question.moves, reverse=True))

    def assumed(self) -> tuple[Assumed, ...]:
        groups: dict[tuple[str, str], list[str]] = {}
        for alike in self._alike.values():
            for unknown in alike.decided.idle:
                groups.setdefault((unknown.field, unknown.quoted_as), []).extend(alike.marks)
        order = list(OpeningType.__dataclass_fields__)
        return tuple(
            Assumed(name, quoted, tuple(marks))
            for (name, quoted), marks in sorted(groups.items(), key=lambda g: order.index(g[0][0]))
        )

    def _question(
        self,
        key: tuple[str, tuple[str, ...], bool],
        group: Sequence[tuple[_Alike, Decisive]],
    ) -> JobQuestion:
        name, texts, unclear = key
        answers = []
        for at, text in enumerate(_weights(group) if name == WEIGHT else texts):
            changes: dict[Change, tuple[list[str], int]] = {}
            for alike, asked in group:
                bare = self._change(alike, asked.effects[at])
                marks, count = changes.get(bare, ([], 0))
                changes[bare] = ([*marks, *alike.marks], count + alike.count)
            told = tuple(
                replace(bare, marks=tuple(marks), count=count)
                for bare, (marks, count) in changes.items()
            )
            answers.append(Answer(text, told))
        return JobQuestion(
            name,
            _quoted(group),
            tuple(mark for alike, _ in group for mark in alike.marks),
            sum(alike.count for alike, _ in group),
            tuple(answers),
            unclear,
        )

    def _change(self, alike: _Alike, effect: Effect) -> Change:
        was, now = alike.decided.outcome, effect.outcome
        return Change(
            (),
            0,
            self._price(alike, now) - self._price(alike, was),
            _more(now, was),
            _more(was, now),
            now.mount if now.mount is not was.mount else None,
            now.spring_size if now.spring_size != was.spring_size else None,
            now.lines != was.lines or now.missing != was.missing,
            (now.template, now.body_side, now.finish) != (was.template, was.body_side, was.finish)
            or (now.spring_size is None) != (was.spring_size is None),
            tuple((other, stated_text(answer)) for other, answer in effect.given),
            now.over and not was.over,
        )

    def _price(self, alike: _Alike, outcome: Outcome) -> Money:
        """The lines of an outcome at the customer's prices, or at those that a hand has set."""
        by_hand = {
            override.sku: override.price
            for override in alike.by_hand
            if override.kind is OverrideKind.PRICE and override.price is not None
        }
        # A price agreed for the whole opening stands, whatever is answered.
        if "" in by_hand:
            return alike.price
        minor = sum(
            (by_hand.get(sku) or self._net_each(sku)).minor * quantity
            for sku, quantity in outcome.lines
        )
        return Money(minor, alike.price.currency)

    def _net_each(self, sku: str) -> Money:
        known = self._each.get(sku)
        if known is None:
            found = find_item(self._shelf.catalogs, sku)
            assert found is not None  # noqa: S101  # of this shelf
            known = self._each[sku] = self._bench.net_each(found[1])
        return known


def _more(has: Outcome, had: Outcome) -> tuple[str, ...]:
    """Codes of the stops that one outcome has and the other has not."""
    codes = {code for code, _ in set(has.stops) - set(had.stops)}
    return tuple(sorted(codes))


def _quoted(group: Sequence[tuple[_Alike, Decisive]]) -> tuple[QuotedAs, ...]:
    found: dict[str, list[str]] = {}
    for alike, asked in group:
        found.setdefault(asked.unknown.quoted_as, []).extend(alike.marks)
    ways = (QuotedAs(text, tuple(marks)) for text, marks in found.items())
    return tuple(sorted(ways, key=lambda way: len(way.marks)))


def _weights(group: Sequence[tuple[_Alike, Decisive]]) -> list[str]:
    """The weights as most of the openings have them written."""
    units = Counter[tuple[str, ...]]()
    for alike, asked in group:
        units[tuple(map(stated_text, asked.unknown.answers))] += len(alike.marks)
    return [*units.most_common(1)[0][0]]
