"""From an opening type to its kit: the mount settled, sizes tried, the least cover found."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.findings import Finding, Hint, Severity
from wholekit.domain.kits.bodies import eligible_bodies
from wholekit.domain.kits.demand import site_of
from wholekit.domain.kits.kit import Kit
from wholekit.domain.kits.made import Basis, BodyChoice, counted_from_cover, make_kit
from wholekit.domain.kits.mounts import MountChoice, mounts_to_try
from wholekit.domain.kits.proof import Proof, prove
from wholekit.domain.kits.required import required_size
from wholekit.domain.kits.search import Found, Search
from wholekit.domain.kits.settings import asked_of_body, is_limited
from wholekit.domain.kits.settled import settled_mount
from wholekit.domain.kits.shelf import Eligible, Shelf, SizeAsked
from wholekit.domain.openings import Facts, OpeningType
from wholekit.domain.rules import RuleBook
from wholekit.domain.sizing import LARGEST_SIZE, Sizing


def build_kit(opening_type: OpeningType, shelf: Shelf, rules: RuleBook) -> Kit:
    """The complete kit of one opening type from the shelf, by the rule book.

    Where the schedule names no mount it is settled by site and shelf, whatever the leaf's size and
    what acts on it (see `settled`). The size is the one required; where no closer of it is sold or
    latches without another stop, the largest that does. The same input gives the same kit. Raises
    RuleError.
    """
    facts = Facts(opening_type, rules)
    choices, told = mounts_to_try(facts, rules)
    choice = settled_mount(opening_type, choices, shelf, rules)
    return Attempt(facts, choice, told, shelf, rules).kit()


@dataclass(frozen=True, slots=True)
class _Tried:
    """A kit built for one size, and how it stands.

    others: missing pieces and stops other than that it may not latch, the limits of exits that no
    closer of the size could keep among them [count].
    """

    kit: Kit
    others: int

    @property
    def latches(self) -> bool:
        return self.kit.proof is not None and self.kit.proof.verdict.latches

    @property
    def fine(self) -> bool:
        return self.latches and not self.others


class Attempt:
    """One opening in one mount: what it requires, and the kits tried for it."""

    def __init__(
        self,
        facts: Facts,
        choice: MountChoice,
        told: Sequence[Finding],
        shelf: Shelf,
        rules: RuleBook,
    ) -> None:
        self.facts = facts
        self.choice = choice
        self._told = tuple(told)
        self._shelf = shelf
        self._rules = rules
        self.limited = is_limited(facts, rules)

    @cached_property
    def sizing(self) -> Sizing:
        """What the opening requires in this mount."""
        return required_size(self.facts, self.choice.mount, self._rules)

    @cached_property
    def search(self) -> Search:
        """The search over the shelf in this mount."""
        site = site_of(self.facts, self.choice.mount, self._rules)
        return Search(self.facts, self._shelf, site)

    def asked(self, target: int) -> SizeAsked:
        """The size to build for [class]."""
        return SizeAsked(target, self.limited)

    def kit(self) -> Kit:
        """The best kit: of the size required, or of the size nearest to it that can be had."""
        sizing = self.sizing
        if sizing.tables is None:
            basis = Basis(self.choice, sizing, None, self.facts.finish, self._before())
            counted = counted_from_cover(None, basis, self.facts, self._shelf)
            return make_kit(
                self.facts, basis, None, counted, None, self._shelf.currency, self._rules
            )
        least, first = self._range(sizing)
        tried = self._at(first)
        if self.limited or tried.fine:
            return tried.kit
        larger = self._raised(first, tried)
        if larger is not None:
            return larger.kit
        return self._lowered(first, least, tried).kit

    def _range(self, sizing: Sizing) -> tuple[int, int]:
        """The least size worth trying and the first to try [class]."""
        assert sizing.tables is not None  # noqa: S101  # asked before
        asked = self.facts.type.spring_size or 0
        if self._below_advice(asked):
            return asked, asked
        required = sizing.required
        if required is None:
            # A limit and latching exclude each other: the tables' size, set to the limit.
            required = sizing.tables if self.limited else LARGEST_SIZE
        return max(sizing.tables, asked), max(required, asked)

    def _below_advice(self, asked: int) -> bool:
        """Whether a size asked for passes over a recommendation alone; it is then warned of."""
        sizing = self.sizing
        return (
            sizing.required is not None
            and sizing.binding is not None
            and sizing.binding <= asked < sizing.required
        )

    def _raised(self, first: int, tried: _Tried) -> _Tried | None:
        """A larger size, where this body's arms leave the leaf less than its mount usually does."""
        if tried.latches or tried.kit.proof is None or self.sizing.required is None:
            return None
        for target in range(first + 1, LARGEST_SIZE + 1):
            larger = self._at(target)
            if larger.latches and larger.others <= tried.others:
                return larger
        return None

    def _lowered(self, first: int, least: int, tried: _Tried) -> _Tried:
        """The largest size that brings no other stop than the tables' size brings."""
        if first == least:
            return tried
        floor = self._at(least)
        for target in range(first, least, -1):
            smaller = tried if target == first else self._at(target)
            if smaller.kit.body is not None and smaller.others <= floor.others:
                return smaller
        return floor

    def _at(self, target: int) -> _Tried:
        """The kit for one size [class]."""
        asked = self.asked(target)
        eligible, told = eligible_bodies(
            self.facts, self.choice.mount, self.sizing, asked, self._shelf, self._rules
        )
        wanted = self.facts.finish
        found = self.search.best(eligible, self.choice.mount, wanted)
        finish, found, other = self._other_finish(eligible, wanted, found)
        proof = self._prove(found)
        if found is not None:
            asked = self._asked_of(found, asked)
        basis = Basis(self.choice, self.sizing, asked, finish, (*self._before(), *told, *other))
        counted = counted_from_cover(found, basis, self.facts, self._shelf)
        chosen = (
            None
            if found is None
            else BodyChoice(found.body, found.template, found.setting, found.tier)
        )
        kit = make_kit(
            self.facts, basis, chosen, counted, proof, self._shelf.currency, self._rules
        )
        return _Tried(kit, _others(kit))

    def _asked_of(self, found: Found, asked: SizeAsked) -> SizeAsked:
        """The size asked, with what a limit allows the body found."""
        if not self.limited:
            return asked
        catalog = self._shelf.catalog_of(found.cover.ranks[0])
        group = next(
            one
            for one in self._shelf.groups
            if one.catalog is catalog and any(body is found.body for body in one.bodies)
        )
        return asked_of_body(
            asked,
            self.facts,
            self.sizing,
            group,
            found.body,
            self.choice.mount,
            self._shelf,
            self._rules,
        )

    def _before(self) -> tuple[Finding, ...]:
        """What is told before any body is looked for: mount, tables, and the size asked for."""
        return (*self._told, *self.sizing.findings, *self._of_size_asked())

    def _of_size_asked(self) -> tuple[Finding, ...]:
        sizing, asked = self.sizing, self.facts.type.spring_size
        if asked is None or sizing.tables is None or self._below_advice(asked):
            return ()
        required = sizing.required or LARGEST_SIZE
        hint = Hint("size-as-required", {"required": required})
        if asked < required and not self.limited:
            fields: dict[str, object] = {"wanted": required, "largest": asked}
            return (Finding("size-too-small", Severity.STOP, fields, "size-combination", hint),)
        if asked > required + self._rules.whole("fixed-size-next"):
            fields = {"wanted": required, "smallest": asked, "largest": asked}
            return (Finding("size-too-large", Severity.WARN, fields, "fixed-size-next", hint),)
        return ()

    def _prove(self, found: Found | None) -> Proof | None:
        if found is None:
            return None
        return prove(
            self.facts,
            found.body,
            found.template,
            found.setting,
            self._shelf,
            self._shelf.catalog_of(found.cover.ranks[0]),
            self._rules,
        )

    def _other_finish(
        self, eligible: Sequence[Eligible], wanted: str, found: Found | None
    ) -> tuple[str, Found | None, tuple[Finding, ...]]:
        """The nearest finish in which less is missing, if the wanted one leaves a gap."""
        if not eligible or (found is not None and not found.cover.missing):
            return wanted, found, ()
        mount = self.choice.mount
        book = FinishBook(self._rules)
        left = set(self._shelf.finishes) - {wanted}
        least = 99 if found is None else len(found.cover.missing)
        while (near := book.nearest(wanted, left)) is not None:
            left.discard(near)
            other = self.search.best(eligible, mount, near)
            if other is not None and len(other.cover.missing) < least:
                return near, other, (_other_shown(book, wanted, near, near=True),)
        # None is near: the cheapest to be had, such as a painted one to be painted over.
        rest = [
            (len(other.cover.missing), other.cover.score, finish, other)
            for finish in sorted(left)
            if (other := self.search.best(eligible, mount, finish)) is not None
            and len(other.cover.missing) < least
        ]
        if not rest:
            return wanted, found, ()
        _, _, finish, other = min(rest, key=lambda one: one[:3])
        return finish, other, (_other_shown(book, wanted, finish, near=False),)


def _other_shown(book: FinishBook, wanted: str, shown: str, *, near: bool) -> Finding:
    """A stop; only a warning where the look is the one asked for, on another base metal."""
    asked, had = book.finish(wanted), book.finish(shown)
    alike = asked is not None and had is not None and asked.look == had.look
    return Finding(
        "finish-unavailable",
        Severity.WARN if alike else Severity.STOP,
        {"finish": wanted, "nearest": shown, "near": near, "alike": alike},
        None,
        Hint("accept-finish", {"nearest": shown}),
    )


def _others(kit: Kit) -> int:
    stops = sum(
        one.severity is Severity.STOP and one.code != "latch-power-short" for one in kit.findings
    )
    told = {one.code for one in kit.findings}
    exits = (
        sum(
            one.severity is Severity.STOP and str(one.rule).startswith("limit-ibc")
            for one in kit.proof.verdict.findings
        )
        if kit.proof is not None and "egress-force-limit" in told
        else 0
    )
    return len(kit.missing) + stops + exits


def kit_in(
    opening_type: OpeningType, choice: MountChoice, shelf: Shelf, rules: RuleBook
) -> Kit:
    """The kit in one mount that the opening may have. Raises RuleError."""
    facts = Facts(opening_type, rules)
    _, told = mounts_to_try(facts, rules)
    return Attempt(facts, choice, told, shelf, rules).kit()
