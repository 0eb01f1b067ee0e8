"""The rule book: every number the program applies, with its source and the date it holds from.

Numbers are data (TOML under `wholekit/rulebook`); formulas stay in code. A house file may set a
rule anew: the house's value then stands, and every citation shows that it is the house's.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import TypeAlias, TypeVar

from wholekit.domain.citations import Source
from wholekit.domain.errors import RuleError
from wholekit.domain.working_days import Holiday

RuleValue: TypeAlias = (
    "int | float | str | bool | date | Sequence[RuleValue] | Mapping[str, RuleValue]"
)


Read = TypeVar("Read")


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: its value [unit], since when it holds, and where it comes from.

    `replaces` holds the published rule where the house has set its own value.
    """

    id: str
    title: str
    value: RuleValue
    unit: str
    valid_from: date
    source: Source
    replaces: "Rule | None" = None


@dataclass(frozen=True, slots=True)
class RuleBook:
    """All rules by id, and the book's version. holidays: those that a house file names."""

    rules: Mapping[str, Rule]
    version: str
    holidays: tuple[Holiday, ...] = ()
    # What was read of rules before, by what it is. A book with other rules begins anew, since
    # `replace` gives it a memory of its own.
    _worked_out: dict[object, object] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    def once(self, what: object, make: Callable[[], Read]) -> Read:
        """Something worked out of this book's rules, at the first call only; it must not change."""
        try:
            return self._worked_out[what]  # type: ignore[return-value]  # made by the same maker
        except KeyError:
            made = self._worked_out[what] = make()
            return made

    def __getitem__(self, rule_id: str) -> Rule:
        """The rule. Raises RuleError if there is none of that id."""
        try:
            return self.rules[rule_id]
        except KeyError:
            raise RuleError("rule-unknown", rule=rule_id) from None

    def number(self, rule_id: str) -> float:
        """A rule's single number [its unit]. Raises RuleError."""
        value = self[rule_id].value
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise RuleError("rule-not-a-number", rule=rule_id)
        return value

    def whole(self, rule_id: str) -> int:
        """A rule's single whole number. Raises RuleError."""
        value = self[rule_id].value
        if isinstance(value, bool) or not isinstance(value, int):
            raise RuleError("rule-not-a-number", rule=rule_id)
        return value

    def rows(self, rule_id: str) -> list[Mapping[str, RuleValue]]:
        """A rule's table: rows of named columns. Raises RuleError."""
        value = self[rule_id].value
        if isinstance(value, str) or not isinstance(value, Sequence):
            raise RuleError("rule-not-a-table", rule=rule_id)
        rows = [row for row in value if isinstance(row, Mapping)]
        if len(rows) != len(value):
            raise RuleError("rule-not-a-table", rule=rule_id)
        return rows

    def words(self, rule_id: str) -> list[str]:
        """A rule whose value is a list of words. Raises RuleError."""
        value = self[rule_id].value
        if isinstance(value, str) or not isinstance(value, Sequence):
            raise RuleError("rule-not-a-table", rule=rule_id)
        return [str(word) for word in value]

    def mapping(self, rule_id: str) -> Mapping[str, RuleValue]:
        """A rule whose value is named entries. Raises RuleError."""
        value = self[rule_id].value
        if not isinstance(value, Mapping):
            raise RuleError("rule-not-a-table", rule=rule_id)
        return value
