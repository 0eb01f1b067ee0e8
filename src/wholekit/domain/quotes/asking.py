"""Which open questions of a job change its kits, over its openings, dearest first.

One question is one field with one list of answers, however its openings are quoted meanwhile; each
answer tells what it comes to opening by opening. Nothing is told twice: openings that an answer
moves alike stand together.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from enum import StrEnum

from wholekit.domain.kits import Shelf, host_field
from wholekit.domain.kits.decisive import Decided, Decisive, Effect, questions_on
from wholekit.domain.kits.outcome import Doubt, Outcome
from wholekit.domain.kits.unknowns import answered
from wholekit.domain.openings import Facts, Mount, OpeningType, stated_text
from wholekit.domain.quantities import Mass, Money
from wholekit.domain.quotes.job import BASE, Override, OverrideKind, finding_about
from wholekit.domain.quotes.worked import (
    WorkBench,
    WorkedJob,
    WorkedOpening,
    find_item,
    standing,
)
from wholekit.domain.rules import RuleBook


class InTotal(StrEnum):
    """What an answer does to the firm total at some openings, as `Change.counted` tells."""

    PRICED = "priced"
    ENTERS = "enters"
    APART = "apart"


@dataclass(frozen=True, slots=True)
class Change:
    """What an answer comes to for some openings alike. marks: their places; count: openings.

    difference: of one opening [Money]. stops, settled: codes of stops that come and go; mount, size
    [class]: the new ones, None where they stay; items: whether other items are bought; setting:
    whether template, side or finish differ. given: answers to other fields (field, answer) that
    it takes to come about. over: whether a force limit comes to be passed by calculation.

    alternate: theirs; firm, firm_then: whether they are firm as quoted, and with the answer; price:
    of one opening then [Money]. series: titles of the new one and the one before, empty where there
    is none, None where it stays; maker, closer: whether it is another supplier's body, another at
    all; larger: whether it is set to a larger size; doubts: what then speaks against it. finish:
    the code answered and the one it comes in, None where they are one; taken: the leaf's or the
    frame's material that nobody stated and is then assumed. unsound: holes of others come too near.
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
    alternate: str = BASE
    firm: bool = True
    firm_then: bool = True
    price: Money | None = None
    series: tuple[str, str] | None = None
    maker: bool = False
    closer: bool = False
    larger: bool = False
    doubts: tuple[Doubt, ...] = ()
    finish: tuple[str, str] | None = None
    taken: tuple[str, str] | None = None
    unsound: bool = False

    @property
    def nothing(self) -> bool:
        """Whether all stays as it is quoted."""
        return not (
            self.difference.minor or self.stops or self.settled or self.mount or self.size
            or self.items or self.setting or self.over or self.doubts
        )  # fmt: skip

    @property
    def refused(self) -> bool:
        """Whether it cannot be had so without another decision: no price is told of it."""
        lost = self.firm and not self.firm_then
        return bool(self.stops or self.over or self.unsound) or lost

    @property
    def felt(self) -> bool:
        """Whether more comes of it than another setting at the same price."""
        other = not self.given and (self.series or self.maker or self.size or self.mount)
        moved = self.difference.minor or self.counted is InTotal.ENTERS
        return bool(self.refused or self.settled or moved or other)

    @property
    def counted(self) -> InTotal:
        """Whether what can be had so moves a price, enters the firm total whole, or stands in none
        before and after. An alternate's amount has all its openings in it."""
        if self.firm or self.alternate:
            return InTotal.PRICED
        return InTotal.ENTERS if self.firm_then else InTotal.APART

    @property
    def moves_firm(self) -> Money:
        """What it adds to the firm price of one opening, or takes off [Money]."""
        if self.refused or self.counted is InTotal.APART:
            return Money.zero(self.difference.currency)
        if self.counted is InTotal.ENTERS and self.price is not None:
            return self.price
        return self.difference


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
        """What it moves the firm hardware of the base bid by, where it can be had so and takes no
        other answer [Money]. Alternates have sums of their own, and what stays open is in none."""
        minor = sum(
            change.moves_firm.minor * change.count
            for change in self.changes
            if change.alternate == BASE and not change.given
        )
        return Money(minor, self.changes[0].difference.currency)


@dataclass(frozen=True, slots=True)
class QuotedAs:
    """What kits are worked out with meanwhile, of a weight an estimate, and where; text is empty
    where nothing stands in."""

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
    over, of doors that nothing was asked for. doubted: places of firm openings of the base bid
    that by calculation may not latch or pass a limit; unmended: those for which no answer changes
    that, unlatched: those of them that may not latch.
    """

    questions: tuple[JobQuestion, ...]
    assumed: tuple[Assumed, ...]
    every: tuple[str, ...]
    beyond: tuple[str, ...] = ()
    doubted: tuple[str, ...] = ()
    unmended: tuple[str, ...] = ()
    unlatched: tuple[str, ...] = ()


WEIGHT = "weight"
# Of two parts one is taken to be of the other's material.
_FOLLOWS = {"door": "frame", "frame": "door"}
_HEIGHTS = frozenset(map(host_field, Mount))
_LATCHING = frozenset({Doubt.NO_LATCH, Doubt.MAY_NOT_LATCH})
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
    return Asking(asking.questions(), asking.assumed(), every, beyond, *asking.doubted())


@dataclass(slots=True)
class _Alike:
    """Openings of one kind, alike in what a hand has set and let go, and in what they are quoted
    with. released: the stops that somebody let go, code and what it said."""

    kind: OpeningType
    decided: Decided
    price: Money
    by_hand: tuple[Override, ...]
    alternate: str
    firm: bool
    released: frozenset[tuple[str, str]]
    weight: Mass
    marks: list[str] = field(default_factory=list)
    count: int = 0


class _Asking:
    """Gathers openings by kind, then questions over kinds."""

    def __init__(self, shelf: Shelf, rules: RuleBook, bench: WorkBench) -> None:
        self._shelf = shelf
        self._rules = rules
        self._finder = questions_on(shelf, rules)
        self._bench = bench
        self._alike: dict[object, _Alike] = {}
        self._each: dict[str, Money] = {}
        self._titles = {
            series.id: series.title for catalog in shelf.catalogs for series in catalog.series
        }

    def take(self, opening: WorkedOpening) -> None:
        overrides = standing(opening.entry.overrides)
        if any(override.kind is OverrideKind.ITEM for override in overrides):
            return
        entry = opening.entry
        released = frozenset((done.code, done.about) for done in entry.releases)
        # The kit's own type has a size that a hand has set; by identity, as kinds share one kit.
        key = (id(opening.worked), entry.alternate, opening.firm, released)
        alike = self._alike.get(key)
        if alike is None:
            decided = self._finder.of(opening.kit.type)
            alike = self._alike[key] = _Alike(
                opening.kit.type,
                decided,
                opening.worked.price,
                overrides,
                entry.alternate,
                opening.firm,
                released,
                opening.kit.weight,
            )
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

    def doubted(self) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
        """Places of firm openings of the base bid with a doubt, those that keep one whatever is
        answered, and those of them that may not latch."""
        found = [
            alike
            for alike in self._alike.values()
            if alike.firm and not alike.alternate and alike.decided.outcome.doubts
        ]
        unmended = [alike for alike in found if not any(map(_sound, _effects(alike)))]
        unlatched = [alike for alike in unmended if _LATCHING & {*alike.decided.outcome.doubts}]
        return _marks(found), _marks(unmended), _marks(unlatched)

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
                bare = self._change(alike, asked.effects[at], name)
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

    def _change(self, alike: _Alike, effect: Effect, name: str) -> Change:
        was, now, title = alike.decided.outcome, effect.outcome, self._titles.get
        price = self._price(alike, now)
        before = self._price(alike, was)
        return Change(
            (),
            0,
            price - before,
            tuple(code for code in _more(now, was) if code in _open_stops(now, alike)),
            _more(was, now),
            now.mount if now.mount is not was.mount else None,
            now.spring_size if now.spring_size != was.spring_size else None,
            now.lines != was.lines or now.missing != was.missing,
            (now.template, now.body_side, now.finish) != (was.template, was.body_side, was.finish)
            or (now.spring_size is None) != (was.spring_size is None),
            tuple((other, stated_text(answer)) for other, answer in effect.given),
            now.over and not was.over,
            alike.alternate,
            alike.firm,
            _firm(now, alike),
            None if alike.firm else price,
            (title(now.series, now.series), title(was.series, was.series))
            if now.series != was.series
            else None,
            bool(now.closer and was.closer and now.closer[0] != was.closer[0]),
            now.closer != was.closer,
            (now.spring_size or 0) > (was.spring_size or 0),
            _against(was, now, asks_height=name in _HEIGHTS),
            (str(effect.answer), now.finish)
            if name == "finish" and now.finish != effect.answer
            else None,
            self._taken(alike.kind, effect, name),
            name in _HEIGHTS
            and now.lines != was.lines
            and not {*now.near_edge} <= {*was.near_edge},
        )

    def _taken(self, kind: OpeningType, effect: Effect, name: str) -> tuple[str, str] | None:
        """What an answer makes a part that nobody stated be taken as."""
        other = _FOLLOWS.get(name, "")
        if not other or getattr(kind, other) is not None or other in dict(effect.given):
            return None
        facts = Facts(answered(kind, {name: effect.answer}), self._rules)
        now, was = getattr(facts, other), getattr(Facts(kind, self._rules), other)
        return None if now is was else (other, stated_text(now))

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


def _against(was: Outcome, now: Outcome, *, asks_height: bool) -> tuple[Doubt, ...]:
    """What speaks against an outcome; of the same closer set alike only what is new, and of holes
    too near an edge unless their rail or head is asked for: then each height tells of them."""
    same = now.closer == was.closer and now.spring_size == was.spring_size
    known = was.doubts if same else ()
    known += () if asks_height else was.near_edge
    return tuple(doubt for doubt in (*now.doubts, *now.near_edge) if doubt not in known)


def _effects(alike: _Alike) -> Iterator[tuple[_Alike, Outcome]]:
    """What comes of each answer to what is asked of some openings."""
    for asked in alike.decided.asked:
        for effect in asked.effects:
            yield alike, effect.outcome


def _sound(found: tuple[_Alike, Outcome]) -> bool:
    """Whether an outcome is firm and nothing speaks against it."""
    alike, outcome = found
    return _firm(outcome, alike) and not outcome.doubts


def _marks(found: Iterable[_Alike]) -> tuple[str, ...]:
    return tuple(mark for alike in found for mark in alike.marks)


def _firm(outcome: Outcome, alike: _Alike) -> bool:
    """Whether an opening with it is whole, and no stop of it is open."""
    return not outcome.missing and not _open_stops(outcome, alike)


def _open_stops(outcome: Outcome, alike: _Alike) -> frozenset[str]:
    """Codes of the stops of an outcome that nobody let go as they are told there."""
    return frozenset(
        stop.code
        for stop in outcome.stopped
        if (stop.code, finding_about(stop)) not in alike.released
    )


def _more(has: Outcome, had: Outcome) -> tuple[str, ...]:
    """Codes of the stops that one outcome has and the other has not."""
    codes = {code for code, _ in set(has.stops) - set(had.stops)}
    return tuple(sorted(codes))


def _quoted(group: Sequence[tuple[_Alike, Decisive]]) -> tuple[QuotedAs, ...]:
    found: dict[str, list[str]] = {}
    for alike, asked in group:
        # Nothing is assumed of a weight, and what stands in for it is an estimate.
        weighed = asked.unknown.field == WEIGHT and not asked.unknown.unclear
        text = stated_text(alike.weight) if weighed else asked.unknown.quoted_as
        found.setdefault(text, []).extend(alike.marks)
    ways = (QuotedAs(text, tuple(marks)) for text, marks in found.items())
    return tuple(sorted(ways, key=lambda way: len(way.marks)))


def _weights(group: Sequence[tuple[_Alike, Decisive]]) -> list[str]:
    """The weights as most of the openings have them written."""
    units = Counter[tuple[str, ...]]()
    for alike, asked in group:
        units[tuple(map(stated_text, asked.unknown.answers))] += len(alike.marks)
    return [*units.most_common(1)[0][0]]
