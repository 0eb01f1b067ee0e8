"""The rule book's figures on forces, read once per book: they are asked for at every opening."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from wholekit.domain.errors import CallError, RuleError
from wholekit.domain.forces.limit import Limit, read_limit
from wholekit.domain.rules import RuleBook

EN_TABLE = "en1154-table-1"
EN_REMEMBERED = "en1154-table-1-remembered"


@dataclass(frozen=True, slots=True)
class SizeFigures:
    """A row of EN 1154 Table 1: closing moment at 0 to 4°, least and next size's least [N·m].

    efficiency: least at 0 to 4° [fraction]; opening_most: greatest opening moment to 60° [N·m].
    """

    size: int
    least: float
    upper: float
    efficiency: float
    opening_most: float


@dataclass(frozen=True, slots=True)
class DatedLimit:
    """A limit, and the days it holds: from the first up to, not including, the last if any."""

    limit: Limit
    since: date
    until: date | None

    def holds(self, on: date | None) -> bool:
        """Whether it holds on a day; without a day, whether it is of the newest edition."""
        if on is None:
            return self.until is None
        return self.since <= on and (self.until is None or on < self.until)


@dataclass(frozen=True, slots=True)
class ForceFigures:
    """All of a rule book's figures on forces. best: highest efficiency reckoned with [fraction]."""

    sizes: Mapping[int, SizeFigures]
    profiles: Mapping[str, Sequence[DatedLimit]]
    k_us: float
    k_si: float
    best: float

    def of_size(self, size: int) -> SizeFigures:
        """The figures of a size [class]. Raises CallError for one that does not exist."""
        try:
            return self.sizes[size]
        except KeyError:
            raise CallError("size-unknown", given=size, known=tuple(self.sizes)) from None


_last: tuple[RuleBook, ForceFigures] | None = None


def figures(rules: RuleBook) -> ForceFigures:
    """The figures of a rule book; those of the book asked for last are remembered.

    Raises RuleError for a rule that is missing or misstated.
    """
    # A rule book holds mappings and has no hash; one book at a time is in use, so one is kept, by
    # identity.
    global _last
    if _last is None or _last[0] is not rules:
        _last = (rules, _read(rules))
    return _last[1]


def _read(rules: RuleBook) -> ForceFigures:
    # Two rules, since the two halves of the table have sources of different standing: one was
    # read, the other is from memory.
    remembered = {row["size"]: row for row in rules.rows(EN_REMEMBERED)}
    found = {}
    for row in rules.rows(EN_TABLE):
        size = int(str(row["size"]))
        more = remembered.get(size)
        if more is None:
            raise RuleError("rule-not-a-table", rule=EN_REMEMBERED)
        found[size] = SizeFigures(
            size,
            float(str(row["moment_from"])),
            float(str(row["moment_to"])),
            float(str(more["efficiency"])) / 100,
            float(str(more["opening_most"])),
        )
    k = rules.mapping("force-k")
    return ForceFigures(
        sizes=dict(sorted(found.items())),
        profiles={
            name: [_dated(rule, rules) for rule in _names(limits)]
            for name, limits in rules.mapping("force-profiles").items()
        },
        k_us=float(str(k["us"])),
        k_si=float(str(k["si"])),
        best=rules.number("efficiency-best") / 100,
    )


def _names(limits: object) -> list[str]:
    if isinstance(limits, str) or not isinstance(limits, Sequence):
        raise RuleError("rule-not-a-table", rule="force-profiles")
    return [str(name) for name in limits]


def _dated(rule: str, rules: RuleBook) -> DatedLimit:
    until = rules.mapping(rule).get("until")
    return DatedLimit(
        read_limit(rule, rules), rules[rule].valid_from, until if isinstance(until, date) else None
    )
