"""Force limits by jurisdiction and date, read from the rule book."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from wholekit.domain.errors import CallError, RuleError
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


def jurisdictions(rules: RuleBook) -> tuple[str, ...]:
    """Every profile's name, in order. Raises RuleError."""
    return tuple(sorted(rules.mapping("force-profiles")))


def profile_name(text: str, rules: RuleBook) -> str:
    """The profile a person's word means: `us-or`, `Oregon`. Raises CallError, RuleError.

    >>> from wholekit.intake.rulebook import load_rulebook
    >>> profile_name("Oregon", load_rulebook())
    'us-or'
    """
    word = "-".join(text.strip().lower().replace("_", "-").split())
    profiles = rules.mapping("force-profiles")
    named = str(rules.mapping("force-profile-names").get(word, word))
    if named not in profiles:
        raise CallError("jurisdiction-unknown", given=text, known=jurisdictions(rules))
    return named


def limits_of(jurisdiction: str, rules: RuleBook, on: date | None = None) -> tuple[Limit, ...]:
    """The limits of a profile that hold on a day, or of the newest edition where none is given.

    Raises CallError for an unknown profile, RuleError for a limit the book does not hold.
    """
    names = rules.mapping("force-profiles")[profile_name(jurisdiction, rules)]
    if isinstance(names, str) or not isinstance(names, Sequence):
        raise RuleError("rule-not-a-table", rule="force-profiles")
    return tuple(_limit(str(name), rules) for name in names if _holds(str(name), rules, on))


def _holds(name: str, rules: RuleBook, on: date | None) -> bool:
    until = rules.mapping(name).get("until")
    if on is None:
        return until is None
    return rules[name].valid_from <= on and not (isinstance(until, date) and on >= until)


def _limit(name: str, rules: RuleBook) -> Limit:
    entry: Mapping[str, object] = rules.mapping(name)
    value = entry.get("limit")
    unit = str(entry.get("unit"))
    number = isinstance(value, int | float) and not isinstance(value, bool)
    if number and unit not in NEWTONS:
        raise RuleError("rule-not-a-number", rule=name)
    return Limit(
        rule=name,
        title=rules[name].title,
        value=float(str(value)) if number else None,
        unit=unit,
        scope=str(entry.get("scope")),
        location=str(entry.get("location")),
        fire=str(entry.get("fire")),
        phase=str(entry.get("phase")),
        at=str(entry.get("at")),
    )
