"""What is drilled for a screw: for its thread, its lead, or for it to pass; and how near an edge.

Figures are the rule book's (`rulebook/drills.toml`). A screw whose thread is not told, or that no
table names, has none: nothing is guessed.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import ceil

from wholekit.domain.catalog.screws import wood_screw_diameter
from wholekit.domain.catalog.words import FastenerKind
from wholekit.domain.rules import RuleBook, RuleValue

MM_PER_INCH = 25.4
SIXTY_FOURTHS = 64
# Less than any figure tells [in]: what reckoning in binary adds.
HAIR = 1e-9
_METRIC = re.compile(r"M(\d+(?:\.\d+)?)")
_FRACTION = re.compile(r"(\d+)/(\d+)")


class HoleMade(StrEnum):
    """What becomes of the hole, or why no drill is named."""

    TAPPED = "tapped"
    LEAD = "lead"
    PASSED = "passed"
    OWN_HOLE = "own-hole"  # the screw drills it
    RIVET_NUT = "rivet-nut"  # no standard gives its diameter
    IN_PLATE = "in-plate"  # the plate has it already
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Drill:
    """A drill by its diameter [mm]; inches [in] and name where inch tables have it."""

    mm: float
    inches: float | None = None
    name: str = ""


@dataclass(frozen=True, slots=True)
class Bore:
    """What a screw asks for. thread: as its size names it.

    drills: one; for a wood screw those of thread and shank, in soft wood and then in hard.
    """

    made: HoleMade
    drills: tuple[Drill, ...] = ()
    thread: str = ""


def thread_of(size: str) -> str:
    """The thread that a screw's size begins with; empty where none is told.

    >>> thread_of("1/4-20 × 5/8 in"), thread_of("M6 × 16"), thread_of("5.5 × 25"), thread_of("")
    ('1/4-20', 'M6', '', '')
    """
    first = size.partition("×")[0].strip()
    return first if "-" in first or _METRIC.fullmatch(first) else ""


def drilled_for(kind: FastenerKind | None, number: int | None, size: str, rules: RuleBook) -> Bore:
    """What is drilled into the host for a screw of that kind. Raises RuleError.

    number: a wood screw's; size: another's, as the catalogue has it.
    """
    thread = thread_of(size)
    match kind:
        case FastenerKind.MACHINE_SCREW:
            tapped = (*rules.rows("tap-drills-inch"), *rules.rows("tap-drills-metric"))
            return _found(HoleMade.TAPPED, tapped, thread, thread)
        case FastenerKind.THROUGH_BOLT:
            # A bolt passes whatever its pitch.
            nominal = thread if _METRIC.fullmatch(thread) else thread.rpartition("-")[0]
            return _found(HoleMade.PASSED, rules.rows("clearance-holes"), nominal, thread)
        case FastenerKind.WOOD_SCREW:
            return _lead_holes(number, rules)
        case FastenerKind.SELF_DRILLING_SCREW:
            return Bore(HoleMade.OWN_HOLE)
        case FastenerKind.RIVET_NUT_SCREW:
            return Bore(HoleMade.RIVET_NUT, thread=thread)
        case _:
            return Bore(HoleMade.UNKNOWN)


def screw_diameter(
    kind: FastenerKind | None, number: int | None, size: str, rules: RuleBook
) -> float | None:
    """A screw's diameter over its thread [mm]; None where its size does not tell it.

    Raises RuleError.
    """
    if kind is FastenerKind.WOOD_SCREW:
        return None if number is None else wood_screw_diameter(number, rules) * MM_PER_INCH
    thread = thread_of(size)
    if metric := _METRIC.fullmatch(thread):
        return float(metric[1])
    nominal = thread.rpartition("-")[0]
    if fraction := _FRACTION.fullmatch(nominal):
        return int(fraction[1]) / int(fraction[2]) * MM_PER_INCH
    # Machine screws below a quarter of an inch are numbered as wood screws are.
    return wood_screw_diameter(int(nominal), rules) * MM_PER_INCH if nominal.isdigit() else None


def edge_distance(
    kind: FastenerKind | None, number: int | None, size: str, rules: RuleBook
) -> float:
    """How near a hole's center may come to an edge of rail, leaf or head [mm]. Raises RuleError.

    Where the screw's size is not told it is taken as the rule's.
    """
    rule = rules.mapping("hole-edge-distance")
    across = screw_diameter(kind, number, size, rules)
    if across is None:
        across = _number(rule, "screw") * MM_PER_INCH
    if kind is FastenerKind.RIVET_NUT_SCREW:
        across *= _number(rule, "rivet_nut")
    return across * _number(rule, "diameters")


def _found(made: HoleMade, rows: Sequence[Mapping[str, RuleValue]], key: str, thread: str) -> Bore:
    for row in rows:
        if row["thread"] == key:
            inches = _number(row, "inches") if "inches" in row else None
            drill = Drill(_number(row, "mm"), inches, str(row.get("drill", "")))
            return Bore(made, (drill,), thread)
    return Bore(HoleMade.UNKNOWN, thread=thread)


def _lead_holes(number: int | None, rules: RuleBook) -> Bore:
    roots = rules.mapping("wood-screw-roots")
    if number is None or str(number) not in roots:
        return Bore(HoleMade.UNKNOWN)
    share = rules.mapping("wood-screw-holes")
    across = (_number(roots, str(number)), wood_screw_diameter(number, rules))
    drills = _twist_drills(rules)
    root, shank = across
    return Bore(
        HoleMade.LEAD,
        tuple(
            drill
            for part in (_number(share, wood) for wood in ("soft", "hard"))
            for drill in (_nearest(part * root, drills), _not_under(part * shank, drills))
        ),
    )


def _twist_drills(rules: RuleBook) -> tuple[tuple[float, str], ...]:
    """Drills of inch sets [in] with their names: fractions, then numbers and letters."""
    fractions = (Fraction(parts, SIXTY_FOURTHS) for parts in range(1, SIXTY_FOURTHS))
    named = ((_number(row, "inches"), str(row["drill"])) for row in rules.rows("twist-drills"))
    return (*((float(each), str(each)) for each in fractions), *named)


def _nearest(inches: float, drills: Sequence[tuple[float, str]]) -> Drill:
    """The drill nearest to a thread's hole, and of a tenth of a millimetre: it must bite."""
    across, name = min(drills, key=lambda drill: abs(drill[0] - inches))
    return Drill(round(inches * MM_PER_INCH, 1), across, name)


def _not_under(inches: float, drills: Sequence[tuple[float, str]]) -> Drill:
    """The least drill that is no smaller than a shank's hole, likewise: it must not bind."""
    across, name = min(drill for drill in drills if drill[0] >= inches - HAIR)
    return Drill(ceil((inches - HAIR) * MM_PER_INCH * 10) / 10, across, name)


def _number(row: Mapping[str, RuleValue], name: str) -> float:
    return float(str(row[name]))
