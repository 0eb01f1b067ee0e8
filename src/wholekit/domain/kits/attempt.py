"""Which size an opening is furnished in: the one required, or the nearest that can be had."""

from abc import ABC, abstractmethod
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from wholekit.domain.findings import Finding, Hint, Severity, in_order
from wholekit.domain.kits.kit import Kit
from wholekit.domain.kits.mounts import MountChoice
from wholekit.domain.kits.place import site_of
from wholekit.domain.kits.required import required_size
from wholekit.domain.kits.search import KitSearch
from wholekit.domain.kits.settings import is_limited
from wholekit.domain.kits.shelf import Shelf, SizeAsked
from wholekit.domain.openings import Facts
from wholekit.domain.quantities import Length
from wholekit.domain.rules import RuleBook
from wholekit.domain.sizing import LARGEST_SIZE, Sizing


@dataclass(frozen=True, slots=True)
class Tried:
    """A kit for one size [class], and how it stands.

    others: missing pieces and stops, and the limits of exits that no closer of the size could keep,
    should the opening be one [count]; exits: these alone. held: the larger size that would latch
    but for these [class].
    """

    target: int
    kit: Kit
    others: int
    exits: int = 0
    held: int | None = None

    @property
    def latches(self) -> bool:
        """Whether the calculation says that it latches, and gives what a fire door needs."""
        proof = self.kit.proof
        if proof is None or not proof.verdict.latches:
            return False
        return all(finding.code != "fire-moment-short" for finding in self.kit.findings)

    @property
    def stopped(self) -> bool:
        """Whether it is stopped for not latching."""
        return any(
            finding.code == "latch-power-short" and finding.severity is Severity.STOP
            for finding in self.kit.findings
        )

    @property
    def fine(self) -> bool:
        """Whether nothing stands in its way."""
        return self.latches and not self.others


class Attempt(ABC):
    """One opening in one mount: what it requires, and which of the kits for it is taken.

    Where a kit of one size comes from is for the kinds of attempt to say: found on the shelf
    (see build) or made by hand (see check). Sizes are tried alike for both. over_holes as in
    FixingPlace.
    """

    def __init__(
        self,
        facts: Facts,
        choice: MountChoice,
        findings: Sequence[Finding],
        shelf: Shelf,
        rules: RuleBook,
        over_holes: Length | None = None,
    ) -> None:
        self.facts = facts
        self._over_holes = over_holes
        self.choice = choice
        self._findings = tuple(findings)
        self.shelf = shelf
        self.rules = rules
        self.limited = is_limited(facts, rules)

    @cached_property
    def sizing(self) -> Sizing:
        """What the opening requires in this mount."""
        return required_size(self.facts, self.choice.mount, self.rules)

    @cached_property
    def search(self) -> KitSearch:
        """The search over the shelf in this mount."""
        site = site_of(self.facts, self.choice.mount, self.rules)
        return KitSearch(self.facts, self.shelf, site, self._over_holes)

    def asked(self, target: int) -> SizeAsked:
        """The size to build for [class]."""
        return SizeAsked(target, self.limited)

    def kit(self) -> Kit:
        """The best kit: of the size required, or of the size nearest to it that can be had."""
        if self.sizing.tables is None:
            return self.beyond_tables()
        taken = self.taken()
        if taken.held is None:
            return taken.kit
        fields = {"size": taken.kit.spring_size, "latching": taken.held}
        hint = Hint("say-egress", {"size": taken.held})
        finding = Finding("size-held-for-exit", Severity.WARN, fields, "limit-ibc-swing", hint)
        return replace(taken.kit, findings=in_order([*taken.kit.findings, finding]))

    def taken(self) -> Tried:
        """The size taken, with its kit; the opening must be within the tables. Raises RuleError."""
        first = self.first()
        if self.limited or first.fine:
            return first
        larger = self._raised(first)
        # Up before down: what latches in a larger size must not be answered by a smaller one.
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
        stops = sum(finding.severity is Severity.STOP for finding in kit.findings)
        exits = _exits(kit)
        return Tried(target, kit, len(kit.missing) + stops + exits, exits)

    @abstractmethod
    def beyond_tables(self) -> Kit:
        """The kit where no table has a size for the opening. Raises RuleError."""

    def before(self) -> tuple[Finding, ...]:
        """What is told before any body is looked for: mount, tables, and the size asked for."""
        return (*self._findings, *self.sizing.findings, *self._of_size_asked())

    def _range(self) -> tuple[int, int]:
        """The least size worth trying and the first to try [class]."""
        sizing = self.sizing
        assert sizing.tables is not None  # noqa: S101  # asked before
        asked = self.facts.type.spring_size or 0
        # A schedule may pass over what NFPA 80 only recommends, but not what the tables ask for.
        if self._below_advice(asked):
            return asked, asked
        required = sizing.required
        if required is None and asked >= sizing.tables:
            # No size latches: the one asked for is as good as any the tables allow.
            return asked, asked
        if required is None:
            # A limit and latching exclude each other: the tables' size, set to the limit.
            # Without a limit the largest comes nearest to latching where none does.
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
        # The size required was reckoned with the mount's nominal share; only the body's own arms
        # tell whether it latches. Where by that share none does, a larger one is no answer.
        if first.latches or first.kit.proof is None or self.sizing.required is None:
            return None
        for target in range(first.target + 1, LARGEST_SIZE + 1):
            larger = self.tried(target)
            # A size that latches but brings a stop would trade one fault for another.
            if larger.latches and larger.others <= first.others:
                return larger
        return None

    def _lowered(self, first: Tried) -> Tried:
        """The largest size that brings no more stops than the tables' size brings.

        That a size latches, where the tables' size is stopped for not latching, outweighs the limit
        of an exit that nobody has called one.
        """
        least = self._range()[0]
        if first.target == least:
            return first
        floor = self.tried(least)
        held: int | None = None
        # Never below the tables: the calculation may raise a size, but not excuse a smaller one.
        for target in range(first.target, least, -1):
            smaller = first if target == first.target else self.tried(target)
            # What nobody has called an exit must not leave a fire door that does not latch.
            stops = smaller.others - (smaller.exits if smaller.latches and floor.stopped else 0)
            if smaller.kit.body is not None and stops <= floor.others:
                return replace(smaller, held=held)
            if smaller.latches and smaller.others - smaller.exits <= floor.others:
                held = target
        return replace(floor, held=held)

    def _of_size_asked(self) -> tuple[Finding, ...]:
        sizing, asked = self.sizing, self.facts.type.spring_size
        if asked is None or sizing.tables is None or self._below_advice(asked):
            return ()
        # Where no size latches the tables' size is the least that may be asked for.
        required = sizing.required or sizing.tables
        hint = Hint("size-as-required", {"required": required})
        if asked < required and not self.limited:
            fields: dict[str, object] = {"wanted": required, "largest": asked}
            return (Finding("size-too-small", Severity.STOP, fields, "size-combination", hint),)
        # As far above as the shelf itself may go with a fixed body: no warning for that.
        most = (sizing.required or LARGEST_SIZE) + self.rules.whole("fixed-size-next")
        if asked > most:
            fields = {"wanted": required, "smallest": asked, "largest": asked}
            return (Finding("size-too-large", Severity.WARN, fields, "fixed-size-next", hint),)
        return ()


def _exits(kit: Kit) -> int:
    """Limits of exits no closer of the size could keep, where the opening may be one [count]."""
    if kit.proof is None or all(finding.code != "egress-force-limit" for finding in kit.findings):
        return 0
    return sum(map(_beyond_any_closer, kit.proof.verdict.findings))


def _beyond_any_closer(finding: Finding) -> bool:
    """Whether it is a limit of exits that no closer of the size could keep, however efficient."""
    # Where a better efficiency would keep the limit, it is not the size that stands in the way.
    efficient = finding.hint is not None and finding.hint.code == "efficient-closer"
    over = finding.severity is Severity.STOP and str(finding.rule).startswith("limit-ibc")
    return over and not efficient
