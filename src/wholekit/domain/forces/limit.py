"""A force limit as the rule book states it."""

from dataclasses import dataclass

from wholekit.domain.errors import RuleError
from wholekit.domain.openings import Location
from wholekit.domain.quantities.physical import N_PER_LBF
from wholekit.domain.rules import RuleBook

NEWTONS = {"lbf": N_PER_LBF, "N": 1.0}


@dataclass(frozen=True, slots=True)
class Limit:
    """One force limit of a profile.

    value [unit]; unit: `lbf` or `N`, or `N·m` for the opening moment of the closer's own size
    (value is then None). scope: whom it is for (`accessible`, `egress`, `all`). phase: `motion`
    (closer and pressure), `swing` (closer alone), `whole` (both), `beyond-30` (from 30° on) or
    `closer`. at: `handle`, `edge` or `hinge`.
    """

    rule: str
    title: str
    value: float | None
    unit: str
    scope: str
    location: str
    fire: str
    phase: str
    at: str

    def applies(self, location: Location, fire: bool, accessible: bool) -> bool:
        """Whether it is for such an opening."""
        return (
            (self.scope != "accessible" or accessible)
            and self.location in ("any", location.value)
            and self.fire in ("any", "yes" if fire else "no")
        )


def read_limit(rule: str, rules: RuleBook) -> Limit:
    """The limit of a rule. Raises RuleError where it lacks a word or its unit is not known."""
    entry = rules.mapping(rule)
    words = {}
    for name in ("unit", "scope", "location", "fire", "phase", "at"):
        if not isinstance(entry.get(name), str):
            raise RuleError("rule-not-a-table", rule=rule)
        words[name] = str(entry[name])
    value = entry.get("limit")
    number = isinstance(value, int | float) and not isinstance(value, bool)
    if number and words["unit"] not in NEWTONS:
        raise RuleError("rule-not-a-number", rule=rule)
    return Limit(rule, rules[rule].title, float(str(value)) if number else None, **words)
