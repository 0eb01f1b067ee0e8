"""Which size an opening is furnished in: the one required, or the nearest that can be had."""

from abc import ABC, abstractmethod
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from wholekit.domain.findings import Finding, Hint, Severity
from wholekit.domain.kits.demand import site_of
from wholekit.domain.kits.kit import Kit
from wholekit.domain.kits.mounts import MountChoice
from wholekit.domain.kits.required import required_size
from wholekit.domain.kits.search import Search
from wholekit.domain.kits.settings import is_limited
from wholekit.domain.kits.shelf import Shelf, SizeAsked
from wholekit.domain.openings import Facts
from wholekit.domain.rules import RuleBook
from wholekit.domain.sizing import LARGEST_SIZE, Sizing


@dataclass(frozen=True, slots=True)
class Tried:
    """A kit for one size [class], and how it stands.

    others: missing pieces and stops other than that it may not latch, the limits of exits that no
    closer of the size could keep among them [count].
    """

    target: int
    kit: Kit
    others: int

    @property
    def latches(self) -> bool:
        """Whether the calculation says that it latches."""
        return self.kit.proof is not None and self.kit.proof.verdict.latches

    @property
    def fine(self) -> bool:
        """Whether nothing stands in its way."""
        return self.latches and not self.others


class Attempt(ABC):
    """One opening in one mount: what it requires, and which of the kits for it is taken.

    Where a kit of one size comes from is for the kinds of attempt to say: found on the shelf
    (see build) or made by hand (see check). Sizes are tried alike for both.
    """

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
        self.shelf = shelf
        self.rules = rules
        self.limited = is_limited(facts, rules)

    @cached_property
    def sizing(self) -> Sizing:
        """What the opening requires in this mount."""
        return required_size(self.facts, self.choice.mount, self.rules)

    @cached_property
    def search(self) -> Search:
        """The search over the shelf in this mount."""
        site = site_of(self.facts, self.choice.mount, self.rules)
        return Search(self.facts, self.shelf, site)

    def asked(self, target: int) -> SizeAsked:
        """The size to build for [class]."""
        return SizeAsked(target, self.limited)

    def kit(self) -> Kit:
        """The best kit: of the size required, or of the size nearest to it that can be had."""
        return self.beyond_tables() if self.sizing.tables is None else self.taken().kit

    def taken(self) -> Tried:
        """The size taken, with its kit; the opening must be within the tables. Raises RuleError."""
        first = self.first()
        if self.limited or first.fine:
            return first
        larger = self._raised(first)
        return self._lowered(first) if larger is None else larger

    def first(self) -> Tried:
        """The size required, or the larger one asked for, with its kit. Raises RuleError."""
        return self.tried(self._range()[1])

    @abstractmethod
    def at(self, target: int) -> Kit:
        """The kit for one size [class]. Raises RuleError."""

    def tried(self, target: int) -> Tried:
        """The kit for one size [class], and how it stands. Raises RuleError."""
        kit = self.at(target)
        return Tried(target, kit, _others(kit))

    @abstractmethod
    def beyond_tables(self) -> Kit:
        """The kit where no table has a size for the opening. Raises RuleError."""

    def before(self) -> tuple[Finding, ...]:
        """What is told before any body is looked for: mount, tables, and the size asked for."""
        return (*self._told, *self.sizing.findings, *self._of_size_asked())

    def _range(self) -> tuple[int, int]:
        """The least size worth trying and the first to try [class]."""
        sizing = self.sizing
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

    def _raised(self, first: Tried) -> Tried | None:
        """A larger size, where this body's arms leave the leaf less than its mount usually does."""
        if first.latches or first.kit.proof is None or self.sizing.required is None:
            return None
        for target in range(first.target + 1, LARGEST_SIZE + 1):
            larger = self.tried(target)
            if larger.latches and larger.others <= first.others:
                return larger
        return None

    def _lowered(self, first: Tried) -> Tried:
        """The largest size that brings no other stop than the tables' size brings."""
        least = self._range()[0]
        if first.target == least:
            return first
        floor = self.tried(least)
        for target in range(first.target, least, -1):
            smaller = first if target == first.target else self.tried(target)
            if smaller.kit.body is not None and smaller.others <= floor.others:
                return smaller
        return floor

    def _of_size_asked(self) -> tuple[Finding, ...]:
        sizing, asked = self.sizing, self.facts.type.spring_size
        if asked is None or sizing.tables is None or self._below_advice(asked):
            return ()
        required = sizing.required or LARGEST_SIZE
        hint = Hint("size-as-required", {"required": required})
        if asked < required and not self.limited:
            fields: dict[str, object] = {"wanted": required, "largest": asked}
            return (Finding("size-too-small", Severity.STOP, fields, "size-combination", hint),)
        if asked > required + self.rules.whole("fixed-size-next"):
            fields = {"wanted": required, "smallest": asked, "largest": asked}
            return (Finding("size-too-large", Severity.WARN, fields, "fixed-size-next", hint),)
        return ()


def _others(kit: Kit) -> int:
    stops = sum(
        one.severity is Severity.STOP and one.code != "latch-power-short" for one in kit.findings
    )
    may_be_exit = any(one.code == "egress-force-limit" for one in kit.findings)
    exits = sum(map(_beyond_any_closer, kit.proof.verdict.findings)) if kit.proof else 0
    return len(kit.missing) + stops + (exits if may_be_exit else 0)


def _beyond_any_closer(finding: Finding) -> bool:
    """Whether it is a limit of exits that no closer of the size could keep, however efficient."""
    efficient = finding.hint is not None and finding.hint.code == "efficient-closer"
    over = finding.severity is Severity.STOP and str(finding.rule).startswith("limit-ibc")
    return over and not efficient
