"""A force limit as the rule book states it."""

from dataclasses import dataclass

from wholekit.domain.errors import RuleError
from wholekit.domain.openings import Location
from wholekit.domain.quantities.physical import N_PER_LBF
from wholekit.domain.rules import RuleBook

NEWTONS = {"lbf": N_PER_LBF, "N": 1.0}
WORDS = ("unit", "scope", "location", "fire_doors", "phase", "at")
SCOPES = ("accessible", "asked", "egress", "egress-other", "all")
FIRE_DOORS = ("yes", "no", "only", "unread")


@dataclass(frozen=True, slots=True)
class Limit:
    """One force limit of a profile.

    value [unit]; unit: `lbf` or `N`, or `N·m` for the opening moment of the closer's own size
    (value is then None). scope: whom it is for (`accessible`; `asked`: accessible too, on a
    condition to be asked about; `egress`: exits; `egress-other`: exits other than interior ones
    without a fire label; `all`). fire_doors: whether it covers fire doors (`yes`, `no`, `only`
    them, `unread`: its text was not read for that). phase: `motion` (closer and pressure),
    `swing` (closer alone), `whole` (both), `beyond-30` (from 30° on) or `closer`. at: `handle`,
    `edge` or `hinge`.
    """

    rule: str
    title: str
    value: float | None
    unit: str
    scope: str
    location: str
    fire_doors: str
    phase: str
    at: str

    def applies(
        self, location: Location, fire: bool, accessible: bool, egress: bool | None = None
    ) -> bool:
        """Whether it is for such an opening. egress None: nobody said whether it is an exit."""
        # A condition nobody has answered binds nobody; it is told as undecided.
        if self.scope == "asked" or not self._covers(fire):
            return False
        return self._concerns(location, fire, accessible, egress)

    def undecided(self, location: Location, fire: bool, accessible: bool) -> bool:
        """Whether it may be for such an opening, which the authority or the customer must say."""
        # Neither kept nor left out silently: nobody has read whether the text covers fire doors.
        unread = fire and self.fire_doors == "unread"
        asked = self.scope == "asked" and self._covers(fire)
        return (unread or asked) and self._concerns(location, fire, accessible, None)

    def _covers(self, fire: bool) -> bool:
        # On a fire door an unread limit does not bind; on any other door it does, for that was
        # read.
        return self.fire_doors in (("yes", "only") if fire else ("yes", "no", "unread"))

    def _concerns(
        self, location: Location, fire: bool, accessible: bool, egress: bool | None
    ) -> bool:
        if self.location not in ("any", location.value):
            return False
        match self.scope:
            case "accessible" | "asked":
                return accessible
            case "egress":
                # Silent is not no: the limit is worked out, and the opening is asked about (see
                # `_undecided`).
                return egress is not False
            case "egress-other":
                # IBC 1010.1.3: the interior door without a label has its 5 lbf, and that alone.
                return egress is not False and (fire or location is not Location.INTERIOR)
            case _:
                return True


def read_limit(rule: str, rules: RuleBook) -> Limit:
    """The limit of a rule. Raises RuleError where it lacks a word or its unit is not known."""
    entry = rules.mapping(rule)
    words = {}
    for name in WORDS:
        if not isinstance(entry.get(name), str):
            raise RuleError("rule-not-a-table", rule=rule)
        words[name] = str(entry[name])
    if words["scope"] not in SCOPES or words["fire_doors"] not in FIRE_DOORS:
        raise RuleError("rule-not-a-table", rule=rule)
    value = entry.get("limit")
    # TOML's true is an int to Python. A limit that is text names the table it is read from.
    number = isinstance(value, int | float) and not isinstance(value, bool)
    if number and words["unit"] not in NEWTONS:
        raise RuleError("rule-not-a-number", rule=rule)
    return Limit(rule, rules[rule].title, float(str(value)) if number else None, **words)
