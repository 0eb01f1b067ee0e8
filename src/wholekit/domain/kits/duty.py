"""Where a body may go: the duty, grade, features and standard a place asks of it.

Duty decides; a BHMA grade is a floor beside it, in US practice only, since light bodies reach grade
1 too. Common practice, no source: the house may set its own (rules duty-by-place,
corrosion-by-place).
"""

from dataclasses import dataclass

from wholekit.domain.catalog import Body, Duty
from wholekit.domain.errors import RuleError
from wholekit.domain.findings import Finding, Hint, Severity
from wholekit.domain.openings import Facts, Location, Traffic
from wholekit.domain.rules import RuleBook
from wholekit.domain.sizing import by_en

# The words of Duty in order of strength: as text, heavy would come before light.
_STRENGTH = {Duty.LIGHT: 0, Duty.STANDARD: 1, Duty.HEAVY: 2}
EN, BHMA = "EN 1154", "BHMA"
# BHMA counts grades down: 1 is the strongest. A body without a grade counts as one below the
# lowest.
LOWEST_GRADE = 3


@dataclass(frozen=True, slots=True)
class DutyAsked:
    """What a place asks of a body. grade: BHMA's, 1 strongest; corrosion: EN 1670; None = no floor.

    standard: the body of standards whose bodies come first, or alone where it is EN 1154.
    """

    duty: Duty
    grade: int | None
    backcheck: bool
    corrosion: int | None
    standard: str
    grade_stated: bool = False
    traffic_stated: bool = False

    def lacks(self, body: Body) -> tuple[str, ...]:
        """What a body lacks for the place: `duty`, `grade`, `backcheck`, `corrosion`.

        A body whose catalogue is silent counts as of standard duty, and as lacking a grade or a
        corrosion class that is asked for.
        """
        short = []
        if _strength(body) < _STRENGTH[self.duty]:
            short.append("duty")
        # A series of another standard has no BHMA grade to hold against the house's floor.
        graded = self.grade_stated or body.claims(BHMA)
        if graded and self.grade is not None and (body.grade or LOWEST_GRADE + 1) > self.grade:
            short.append("grade")
        if self.backcheck and not body.backcheck:
            short.append("backcheck")
        if self.corrosion is not None and (
            body.corrosion is None or body.corrosion < self.corrosion
        ):
            short.append("corrosion")
        return tuple(short)

    def weakness(self, body: Body) -> int:
        """How far a body falls short, 0 where it is fit; the strongest falls short the least."""
        short = self.lacks(body)
        # A step of duty counts for more than all else together, which is three things at most.
        below = _STRENGTH[self.duty] - _strength(body) if "duty" in short else 0
        return 4 * below + sum(shortage != "duty" for shortage in short)

    def claimed_by(self, body: Body) -> bool:
        """Whether the body's series claims the standard of the place."""
        return body.claims(self.standard)


def duty_asked(facts: Facts, rules: RuleBook) -> DutyAsked:
    """What the opening's place, traffic and schedule ask of a body. Raises RuleError."""
    location = facts.location
    # Outside, every traffic asks the same of a body: it is no open question there.
    traffic = facts.traffic if location is Location.INTERIOR else facts.type.traffic
    named = traffic or Traffic.USUAL
    rows = rules.rows("duty-by-place")
    row = next(
        (
            use
            for use in rows
            if use["location"] == location.value and use["traffic"] == named.value
        ),
        None,
    )
    if row is None:
        raise RuleError("rule-not-a-table", rule="duty-by-place")
    europe = by_en(facts, rules)
    floor = int(str(row["grade"]))
    stated = facts.type.grade
    corrosion = None
    if europe and location is Location.EXTERIOR:
        corrosion = int(str(rules.mapping("corrosion-by-place")["exterior"]))
    return DutyAsked(
        Duty(str(row["duty"])),
        # The lower number is the stronger grade: a schedule may ask for more than the house, not
        # for less.
        None if europe else floor if stated is None else min(floor, stated),
        bool(row["backcheck"]),
        corrosion,
        EN if europe else BHMA,
        stated is not None and not europe,
        facts.type.traffic is not None,
    )


def grade_told(facts: Facts, rules: RuleBook) -> tuple[Finding, ...]:
    """A BHMA grade that is stated where another standard is the basis: told, not dropped."""
    if facts.type.grade is None or not by_en(facts, rules):
        return ()
    fields = {"grade": facts.type.grade, "standard": EN}
    return (
        Finding(
            "grade-not-counted",
            Severity.NOTE,
            fields,
            "en-basis-jurisdictions",
            Hint("state-traffic"),
        ),
    )


def _strength(body: Body) -> int:
    return _STRENGTH[body.duty or Duty.STANDARD]
