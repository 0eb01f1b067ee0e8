"""Force verdicts as data and as text. No cost appears in any of them."""

from collections.abc import Iterator
from dataclasses import dataclass

from wholekit.domain.forces import ForceVerdict, LimitResult, adopted
from wholekit.domain.rules import RuleBook
from wholekit.wording.findings import FindingText, say_finding, without_text
from wholekit.wording.sources import rule_source
from wholekit.wording.units import force_in_use, moment_text, pressure_text

CAUTION = (
    "Calculated: check with a gauge on the hung door. Friction of hinges, latch and seals is not "
    "in these figures unless it was given. Local codes and the authority having jurisdiction "
    "decide."
)
WITHIN = {True: "within", False: "OVER", None: "not known"}
EDITIONS = {
    "published": "Limits as published; which editions the place has adopted, the authority says.",
    "adopted": "The place has adopted these editions.",
}
# Where a profile's code reads the force, in words of a plain line.
READ_AT = {"handle": "at the handle", "edge": "at the leading edge"}


@dataclass(frozen=True, slots=True)
class ForceLimitAnswer:
    """A limit, the force held against it [unit], and whether it is for such an opening.

    applies null: the authority, or the customer, must say.
    """

    rule: str
    title: str
    allowed: float
    force: float | None
    unit: str
    applies: bool | None
    within: bool | None
    source: str


@dataclass(frozen=True, slots=True)
class ForceAnswer:
    """The answer of `wholekit door-force`.

    read_at: where the forces are read, `handle` or `edge`, the leading edge. without: what is in
    none of the figures because it was not given. editions: `published`, or `adopted` there.
    """

    jurisdiction: str
    pressure_pa: float
    opening_force_lbf: float
    opening_force_n: float
    read_at: str
    without: tuple[str, ...]
    closer_force_n: float
    pressure_force_n: float
    closing_moment_nm: float
    closing_moment_needed_nm: float
    latches: bool
    largest_pressure_pa: float
    largest_pressure_to_open_pa: float | None
    efficiency: float
    editions: str
    smallest_size_that_latches: int | None
    limits: tuple[ForceLimitAnswer, ...]
    findings: tuple[FindingText, ...]
    caution: str = CAUTION


def force_answer(
    verdict: ForceVerdict, jurisdiction: str, pressure_pa: float, rules: RuleBook
) -> ForceAnswer:
    """A verdict as data; figures to four decimals."""
    most = verdict.opens_to_pa
    return ForceAnswer(
        jurisdiction=jurisdiction,
        pressure_pa=round(pressure_pa, 4),
        opening_force_lbf=round(verdict.opening_lbf, 4),
        opening_force_n=round(verdict.opening_n, 4),
        read_at=verdict.read_at,
        without=verdict.unchecked,
        closer_force_n=round(verdict.closer_n, 4),
        pressure_force_n=round(verdict.pressure_n, 4),
        closing_moment_nm=round(verdict.closing_nm, 4),
        closing_moment_needed_nm=round(verdict.needed_nm, 4),
        latches=verdict.latches,
        largest_pressure_pa=round(verdict.latches_to_pa, 4),
        largest_pressure_to_open_pa=None if most is None else round(most, 4),
        efficiency=round(verdict.efficiency, 4),
        editions="adopted" if adopted(jurisdiction, rules) else "published",
        smallest_size_that_latches=verdict.size_latching,
        limits=tuple(_limit(result, rules) for result in verdict.limits),
        findings=tuple(say_finding(finding, rules) for finding in verdict.findings),
    )


def force_lines(answer: ForceAnswer) -> Iterator[tuple[str, str]]:
    """A verdict's figures as labels and values, in the units in use."""
    without = f", {without_text(answer.without)}" if answer.without else ""
    yield "Pressure", pressure_text(answer.pressure_pa, 1)
    force = force_in_use(answer.opening_force_n, 2)
    yield "To set in motion", f"{force} {READ_AT[answer.read_at]}{without}"
    closer, pressure = force_in_use(answer.closer_force_n), force_in_use(answer.pressure_force_n)
    parts = f"closer {closer}, pressure {pressure}"
    yield "  of it", f"{parts} if it holds the leaf shut"
    needed = moment_text(answer.closing_moment_needed_nm, sign="-")
    yield "To latch", f"{needed} needed if the pressure holds it open"
    yield "Closer gives", f"{moment_text(answer.closing_moment_nm, sign='-')} in the last degrees"
    yield "Latches up to", f"{pressure_text(answer.largest_pressure_pa, 1)}{without}"
    if answer.largest_pressure_to_open_pa is not None:
        yield "Opens within limit", f"up to {pressure_text(answer.largest_pressure_to_open_pa, 1)}"
    size = answer.smallest_size_that_latches
    yield "Size that latches", "none of the table" if size is None else f"{size} or larger"


def read_text(verdict: ForceVerdict) -> str:
    """Where the force is read, and what it does not contain: `at the handle, without latch`."""
    without = without_text(verdict.unchecked)
    return f"{READ_AT[verdict.read_at]}, {without}" if without else READ_AT[verdict.read_at]


def limit_row(limit: ForceLimitAnswer) -> tuple[str, str, str, str]:
    """A limit as a table's row: what it is, allowed, force, how it stands."""
    force = "-" if limit.force is None else f"{limit.force:.2f}"
    stands = WITHIN[limit.within]
    if limit.applies is None:
        stands = f"{stands} if it holds"
    elif not limit.applies:
        stands = f"({stands})"
    return limit.title, f"{limit.allowed:g} {limit.unit}", force, stands


def _limit(result: LimitResult, rules: RuleBook) -> ForceLimitAnswer:
    return ForceLimitAnswer(
        rule=result.limit.rule,
        title=result.limit.title,
        allowed=result.allowed,
        force=None if result.force is None else round(result.force, 4),
        unit=result.limit.unit,
        applies=None if result.undecided else result.binding,
        within=result.within,
        source=rule_source(rules, result.limit.rule),
    )
