"""The spring size an opening asks for: by leaf width, by mass, for the mount, for a fire label.

Does not cover what wind, draught and seals ask for: see `forces`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from wholekit.domain.findings import Finding, Hint, Severity
from wholekit.domain.openings import Door, Facts, Location, Mount
from wholekit.domain.quantities import Length, Mass
from wholekit.domain.reasons import Reason
from wholekit.domain.rules import RuleBook

SQUARE_NM_PER_SQUARE_FOOT = (12 * 25_400_000) ** 2
LARGEST_SIZE = 7


@dataclass(frozen=True, slots=True)
class Sizing:
    """The answer: required size [class], or None beyond the tables, with the why of it.

    setting_most: the largest size [class] an accessible opening's force limit allows, else None.
    """

    required: int | None
    reason: Reason
    findings: tuple[Finding, ...]
    weight: Mass
    weight_estimated: bool
    setting_most: int | None


def size_opening(facts: Facts, mount: Mount, rules: RuleBook) -> Sizing:
    """The spring size [class] one leaf asks for in a mount, and why.

    The greatest of: the table for the location by width; the mass column of EN 1154 Table 1; the
    interior table plus one for a parallel arm; one more than the width for an unusually tall
    leaf; the least size for a fire label. They do not add up (common practice, no source).
    A pair is sized leaf by leaf: width and height are one leaf's. Raises RuleError.
    """
    findings: list[Finding] = []
    weight, estimated, weight_reason = leaf_weight(facts, rules, findings)
    parts: list[tuple[int | None, Reason]] = []
    by_width, by_interior = _by_width(facts, rules, parts)
    _by_mass(weight, weight_reason, rules, parts)
    if mount is Mount.PARALLEL:
        _for_parallel(by_interior, facts, rules, parts)
    _for_height(by_width, facts, rules, parts)
    if facts.fire_minutes:
        least = rules.whole("fire-size-least")
        parts.append(
            (
                least,
                Reason(
                    "size-for-fire",
                    {"size": least, "minutes": facts.fire_minutes},
                    ("fire-size-least",),
                    (facts.why("fire_minutes"),),
                ),
            )
        )
    sizes = [size for size, _ in parts if size is not None]
    out_of_range = len(sizes) < len(parts)
    required = None if out_of_range else max(sizes)
    for size, reason in parts:
        if size is None:
            findings.append(_out_of_range(reason, facts, weight))
    reason = Reason(
        "size-required",
        {"size": required},
        ("size-combination",),
        tuple(reason for _, reason in sorted(parts, key=lambda part: -(part[0] or 99))),
    )
    return Sizing(required, reason, tuple(findings), weight, estimated, _setting_most(facts, rules))


def leaf_weight(
    facts: Facts, rules: RuleBook, findings: list[Finding]
) -> tuple[Mass, bool, Reason]:
    """One leaf's mass as given, or estimated from area and material; and whether estimated.

    weight [lb] = planning figure [lb/ft²] × width × height [ft²]; wood in proportion to its
    thickness (planning figures from memory, see rule leaf-weights). A hollow metal leaf claimed
    lighter than its face sheets alone is reported.
    """
    area = Fraction(facts.type.width.nm * facts.type.height.nm, SQUARE_NM_PER_SQUARE_FOOT)
    given = facts.type.weight
    if given is not None:
        if facts.door is Door.HOLLOW_METAL:
            least = Mass.lb(round(float(area) * rules.number("face-sheets-alone"), 1))
            if given < least:
                findings.append(
                    Finding(
                        "weight-implausible",
                        Severity.WARN,
                        {"given": given, "least": least},
                        "face-sheets-alone",
                        Hint("ask-weight"),
                    )
                )
        return given, False, facts.why("weight")
    key: str = facts.door
    because = [facts.why("door")]
    if facts.door is Door.WOOD:
        key = f"wood-{facts.core}"
        because.append(facts.why("core"))
    per_area = Fraction(str(rules.mapping("leaf-weights")[key]))
    if facts.door is Door.WOOD:
        base = Fraction(str(rules.number("leaf-weight-base-thickness"))) * Length.inches(1).nm
        per_area = per_area * facts.thickness.nm / base
        because.append(facts.why("thickness"))
    weight = Mass.lb(round(float(per_area * area), 1))
    findings.append(
        Finding(
            "weight-estimated",
            Severity.NOTE,
            {"weight": weight, "door": facts.door},
            "leaf-weights",
            Hint("ask-weight"),
        )
    )
    reason = Reason("weight-estimated", {"weight": weight}, ("leaf-weights",), tuple(because))
    return weight, True, reason


def size_by_table(value: int, rows: Sequence[tuple[int, int]]) -> int | None:
    """The first size whose limit is not exceeded (up to and including), None beyond the last.

    >>> size_by_table(38, [(34, 2), (38, 3)]), size_by_table(39, [(34, 2), (38, 3)])
    (3, None)
    """
    return next((size for limit, size in rows if value <= limit), None)


def us_rows(location: Location, rules: RuleBook) -> list[tuple[int, int]]:
    """The US chart for a location: (width to and including [nm], size)."""
    return [
        (Length.inches(int(str(row["to"]))).nm, int(str(row["size"])))
        for row in rules.rows(f"us-width-{location}")
    ]


def en_rows(column: str, rules: RuleBook) -> list[tuple[int, int]]:
    """A limit column of EN 1154 Table 1: (limit [nm or µg], size)."""
    scale = 1_000_000 if column == "width_mm" else 1_000_000_000
    return [
        (int(str(row[column])) * scale, int(str(row["size"])))
        for row in rules.rows("en1154-table-1")
    ]


def _by_width(
    facts: Facts, rules: RuleBook, parts: list[tuple[int | None, Reason]]
) -> tuple[int | None, int | None]:
    width = facts.type.width
    en_size = size_by_table(width.nm, en_rows("width_mm", rules))
    basis = rules["en-basis-jurisdictions"].value
    because: tuple[Reason, ...]
    if isinstance(basis, Sequence) and facts.jurisdiction in basis:
        rule, size, interior = "en1154-table-1", en_size, en_size
        because = (facts.why("width"), facts.why("jurisdiction"))
    else:
        rule = f"us-width-{facts.location}"
        size = size_by_table(width.nm, us_rows(facts.location, rules))
        interior = size_by_table(width.nm, us_rows(Location.INTERIOR, rules))
        other = Reason("size-by-en-width", {"size": en_size}, ("en1154-table-1",))
        because = (facts.why("width"), facts.why("location"), other)
    reason = Reason(
        "size-by-width",
        {"size": size, "width": width, "location": facts.location},
        (rule, "boundary-smaller"),
        because,
    )
    parts.append((size, reason))
    return size, interior


def _by_mass(
    weight: Mass, why: Reason, rules: RuleBook, parts: list[tuple[int | None, Reason]]
) -> None:
    size = size_by_table(weight.ug, en_rows("mass_kg", rules))
    reason = Reason("size-by-mass", {"size": size, "weight": weight}, ("en1154-table-1",), (why,))
    parts.append((size, reason))


def _for_parallel(
    interior: int | None,
    facts: Facts,
    rules: RuleBook,
    parts: list[tuple[int | None, Reason]],
) -> None:
    size = None if interior is None else interior + rules.whole("parallel-adds")
    if size is not None and size > LARGEST_SIZE:
        size = None
    reason = Reason(
        "size-for-parallel",
        {"size": size, "interior": interior, "width": facts.type.width},
        ("parallel-adds", "mount-share"),
        (facts.why("width"),),
    )
    parts.append((size, reason))


def _for_height(
    by_width: int | None,
    facts: Facts,
    rules: RuleBook,
    parts: list[tuple[int | None, Reason]],
) -> None:
    limit = Length.mm(rules.number("tall-leaf"))
    if by_width is None or facts.type.height <= limit:
        return
    size = min(by_width + 1, LARGEST_SIZE)
    reason = Reason(
        "size-for-height",
        {"size": size, "height": facts.type.height, "limit": limit},
        ("tall-leaf",),
        (facts.why("height"),),
    )
    parts.append((size, reason))


def _setting_most(facts: Facts, rules: RuleBook) -> int | None:
    """An accessible interior opening without a fire label is held to the force limit."""
    limited = facts.accessible and facts.location is Location.INTERIOR and not facts.fire_minutes
    return rules.whole("accessible-size-most") if limited else None


def _out_of_range(reason: Reason, facts: Facts, weight: Mass) -> Finding:
    rule = reason.rules[0]
    if reason.code == "size-by-mass":
        return Finding("leaf-too-heavy", Severity.STOP, {"weight": weight}, rule, Hint("ask-maker"))
    return Finding(
        "size-out-of-range",
        Severity.STOP,
        {
            "width": facts.type.width,
            "location": facts.location,
            "leaves": facts.type.leaves,
            "interior": reason.fields.get("interior"),
        },
        rule,
        Hint("ask-maker"),
    )
