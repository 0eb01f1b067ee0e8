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
# A leaf of a pair is hardly narrower (common practice, no source).
LEAST_OF_A_PAIR = Length.inches(24)


@dataclass(frozen=True, slots=True)
class Sizing:
    """What an opening asks for: required size [class], None beyond every size, with the why of it.

    tables: what the tables alone ask for [class], None beyond them. binding: the required size
    without what is only recommended (a US fire door's least) [class]. setting_most: the largest
    size [class] common practice allows an accessible opening, else None. needed_nm: closing moment
    that latching needs [N·m].
    """

    required: int | None
    reason: Reason
    findings: tuple[Finding, ...]
    weight: Mass
    weight_estimated: bool
    setting_most: int | None
    tables: int | None = None
    binding: int | None = None
    needed_nm: float = 0.0


@dataclass(frozen=True, slots=True)
class _Part:
    """One table's answer: a size [class], None beyond the table. advice: recommended, not asked."""

    size: int | None
    reason: Reason
    advice: bool = False


def by_en(facts: Facts, rules: RuleBook) -> bool:
    """Whether the place sizes by EN 1154 and cites it, instead of US practice. Raises RuleError."""
    basis = rules["en-basis-jurisdictions"].value
    return isinstance(basis, Sequence) and facts.jurisdiction in basis


def cited(rule: str, facts: Facts, rules: RuleBook) -> str:
    """The rule to cite at this place in place of a US code's or criterion's. Raises RuleError."""
    if not by_en(facts, rules):
        return rule
    return str(rules.mapping("citations-en").get(rule, rule))


def size_opening(facts: Facts, mount: Mount, rules: RuleBook) -> Sizing:
    """The spring size [class] the tables ask of one leaf in a mount, and why.

    One basis per place. US: the chart for the location by width; a stated weight may raise it, an
    estimated one gives a note; the interior chart plus one for a parallel arm; the least size
    recommended for a fire label. UK and EN: EN 1154 Table 1 by width, mass and unusual height, one
    more for a parallel arm; its least size for a fire label. The greatest holds; they do not add
    up (common practice, no source), but see rule parallel-adds-outside.
    A pair is sized leaf by leaf: width and height are one leaf's. Raises RuleError.
    """
    weighed = leaf_weight(facts, rules)
    parts, of_tables = (_en_parts if by_en(facts, rules) else _us_parts)(
        facts, mount, weighed, rules
    )
    findings = [*weighed.findings, *of_tables]
    findings += [_out_of_range(part.reason, facts, weighed) for part in parts if part.size is None]
    sizes = [part.size for part in parts if part.size is not None]
    binding = [part.size for part in parts if part.size is not None and not part.advice]
    beyond = len(sizes) < len(parts)
    required = None if beyond else max(sizes)
    reason = Reason(
        "size-required",
        {"size": required},
        ("size-combination",),
        tuple(part.reason for part in sorted(parts, key=lambda part: -(part.size or 99))),
    )
    return Sizing(
        required,
        reason,
        tuple(findings),
        weighed.mass,
        weighed.estimated,
        _setting_most(facts, rules),
        required,
        None if beyond else max(binding),
    )


@dataclass(frozen=True, slots=True)
class Weighed:
    """One leaf's mass as given or estimated, with the why of it and what must be told.

    said: the mass as it is told, an estimate in the units of the opening's size.
    """

    mass: Mass
    estimated: bool
    reason: Reason
    findings: tuple[Finding, ...]
    said: Mass


def leaf_weight(facts: Facts, rules: RuleBook) -> Weighed:
    """One leaf's mass as given, or estimated from area and material.

    weight [lb] = planning figure [lb/ft²] × width × height [ft²]; wood in proportion to its
    thickness (planning figures from memory, see rule leaf-weights). A hollow metal leaf claimed
    lighter than its face sheets alone is reported. Raises RuleError.
    """
    area = Fraction(facts.type.width.nm * facts.type.height.nm, SQUARE_NM_PER_SQUARE_FOOT)
    given = facts.type.weight
    if given is not None:
        return Weighed(
            given, False, facts.why("weight"), _doubted(given, area, facts, rules), given
        )
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
    said = _said(weight, facts)
    finding = Finding(
        "weight-estimated",
        Severity.NOTE,
        {"weight": said, "door": facts.door},
        "leaf-weights",
        Hint("ask-weight"),
    )
    reason = Reason("weight-estimated", {"weight": said}, ("leaf-weights",), tuple(because))
    return Weighed(weight, True, reason, (finding,), said)


def _said(weight: Mass, facts: Facts) -> Mass:
    """An estimate as it is said: in the units of the opening's own size, to a tenth."""
    if facts.type.width.unit in ("in", "ft"):
        return weight
    return Mass.kg(round(weight.in_kg, 1))


def _doubted(given: Mass, area: Fraction, facts: Facts, rules: RuleBook) -> tuple[Finding, ...]:
    """A hollow metal leaf said to weigh less than its face sheets is doubted; the rest is not."""
    if facts.door is not Door.HOLLOW_METAL:
        return ()
    least = Mass.lb(round(float(area) * rules.number("face-sheets-alone"), 1))
    if given >= least:
        return ()
    fields = {"given": given, "least": least}
    hint = Hint("ask-weight")
    return (Finding("weight-implausible", Severity.WARN, fields, "face-sheets-alone", hint),)


def size_by_table(value: int, rows: Sequence[tuple[int, int]]) -> int | None:
    """The first size whose limit is not exceeded (up to and including), None beyond the last.

    >>> size_by_table(38, [(34, 2), (38, 3)]), size_by_table(39, [(34, 2), (38, 3)])
    (3, None)
    """
    return next((size for limit, size in rows if value <= limit), None)


def us_rows(location: Location, rules: RuleBook) -> tuple[tuple[int, int], ...]:
    """The US chart for a location: (width to and including [nm], size)."""
    return rules.once(
        ("us-rows", location),
        lambda: tuple(
            (Length.inches(int(str(row["to"]))).nm, int(str(row["size"])))
            for row in rules.rows(f"us-width-{location}")
        ),
    )


def en_rows(column: str, rules: RuleBook) -> tuple[tuple[int, int], ...]:
    """A limit column of EN 1154 Table 1: (limit [nm or µg], size)."""
    scale = 1_000_000 if column == "width_mm" else 1_000_000_000
    return rules.once(
        ("en-rows", column),
        lambda: tuple(
            (int(str(row[column])) * scale, int(str(row["size"])))
            for row in rules.rows("en1154-table-1")
        ),
    )


def _us_parts(
    facts: Facts, mount: Mount, weighed: Weighed, rules: RuleBook
) -> tuple[list[_Part], list[Finding]]:
    """The chart by location, a stated weight, the mount and the fire label, each a part."""
    width = facts.type.width
    size = size_by_table(width.nm, us_rows(facts.location, rules))
    interior = size_by_table(width.nm, us_rows(Location.INTERIOR, rules))
    rule = f"us-width-{facts.location}"
    because = (facts.why("width"), facts.why("location"))
    parts = [_by_width(size, facts, rule, because)]
    findings: list[Finding] = []
    by_mass = size_by_table(weighed.mass.ug, en_rows("mass_kg", rules))
    if not weighed.estimated:
        # EN's mass column is the only published measure of a heavy leaf there is.
        parts.append(_by_mass(by_mass, weighed, ("us-mass-measure", "en1154-table-1")))
    elif size is not None and (by_mass is None or by_mass > size):
        fields = {"weight": weighed.said, "size": size, "by_mass": by_mass or LARGEST_SIZE}
        findings.append(
            Finding("weight-may-raise", Severity.NOTE, fields, "us-mass-measure", _WEIGH)
        )
    if mount is Mount.PARALLEL:
        parts.append(_for_parallel(interior, facts, rules))
        adds_up = rules["parallel-adds-outside"].value is True
        if adds_up and facts.location is Location.EXTERIOR and size is not None:
            parts.append(_added_outside(size, facts))
    limit = Length.mm(rules.number("tall-leaf"))
    if facts.type.height > limit:
        fields = {"height": facts.type.height, "limit": limit}
        findings.append(Finding("leaf-tall", Severity.NOTE, fields, "tall-leaf", _WEIGH))
    if facts.fire_minutes:
        parts.append(_for_fire("fire-size-advised-least", facts, rules, advice=True))
    return parts, findings


def _en_parts(
    facts: Facts, mount: Mount, weighed: Weighed, rules: RuleBook
) -> tuple[list[_Part], list[Finding]]:
    """EN 1154 by width and by mass; height, mount and fire label on top of the greater."""
    width = facts.type.width
    size = size_by_table(width.nm, en_rows("width_mm", rules))
    because = (facts.why("width"), facts.why("jurisdiction"))
    parts = [_by_width(size, facts, "en1154-table-1", because)]
    by_mass = size_by_table(weighed.mass.ug, en_rows("mass_kg", rules))
    parts.append(_by_mass(by_mass, weighed, ("en1154-table-1",)))
    limit = Length.mm(rules.number("tall-leaf"))
    if size is not None and facts.type.height > limit:
        size = min(size + 1, LARGEST_SIZE)
        fields = {"size": size, "height": facts.type.height, "limit": limit}
        tall = Reason("size-for-height", fields, ("tall-leaf",), (facts.why("height"),))
        parts.append(_Part(size, tall))
    if mount is Mount.PARALLEL and size is not None and by_mass is not None:
        parts.append(_for_parallel(max(size, by_mass), facts, rules))
    if facts.fire_minutes:
        parts.append(_for_fire("fire-size-least", facts, rules))
    return parts, []


_WEIGH = Hint("ask-weight")


def _by_width(size: int | None, facts: Facts, rule: str, because: tuple[Reason, ...]) -> _Part:
    fields = {"size": size, "width": facts.type.width, "location": facts.location}
    return _Part(size, Reason("size-by-width", fields, (rule, "boundary-smaller"), because))


def _by_mass(size: int | None, weighed: Weighed, rules: tuple[str, ...]) -> _Part:
    fields = {"size": size, "weight": weighed.said}
    return _Part(size, Reason("size-by-mass", fields, rules, (weighed.reason,)))


def _for_parallel(before: int | None, facts: Facts, rules: RuleBook) -> _Part:
    """A parallel arm loses about a size, so it takes one more than the leaf alone asks for."""
    size = None if before is None else before + rules.whole("parallel-adds")
    if size is not None and size > LARGEST_SIZE:
        size = None
    fields = {"size": size, "interior": before, "width": facts.type.width}
    cited = ("parallel-adds", "mount-share")
    return _Part(size, Reason("size-for-parallel", fields, cited, (facts.why("width"),)))


def _added_outside(size: int, facts: Facts) -> _Part:
    """The house has the exterior chart and the parallel arm add up."""
    total = size + 1 if size < LARGEST_SIZE else None
    fields = {"size": total, "chart": size}
    cited = ("parallel-adds-outside",)
    because = (facts.why("location"), facts.why("width"))
    return _Part(total, Reason("size-added-outside", fields, cited, because))


def _for_fire(rule: str, facts: Facts, rules: RuleBook, *, advice: bool = False) -> _Part:
    least = rules.whole(rule)
    fields = {"size": least, "minutes": facts.fire_minutes}
    reason = Reason("size-for-fire", fields, (rule,), (facts.why("fire_minutes"),))
    return _Part(least, reason, advice)


def _setting_most(facts: Facts, rules: RuleBook) -> int | None:
    """An accessible interior opening in the US without a fire label is held to 5 lbf."""
    limited = facts.accessible and facts.location is Location.INTERIOR and not facts.fire_minutes
    return rules.whole("accessible-size-most") if limited and not by_en(facts, rules) else None


def _out_of_range(reason: Reason, facts: Facts, weighed: Weighed) -> Finding:
    rule = reason.rules[0]
    if reason.code == "size-by-mass":
        fields = {"weight": weighed.said}
        return Finding("leaf-too-heavy", Severity.STOP, fields, rule, Hint("ask-maker"))
    kind = facts.type
    interior = reason.fields.get("interior")
    half = Length(kind.width.nm // 2, kind.width.unit)
    # The width of an opening stands where a leaf's is asked as often as the other way round.
    both = interior is None and half >= LEAST_OF_A_PAIR
    return Finding(
        "size-out-of-range",
        Severity.STOP,
        {
            "width": kind.width,
            "location": facts.location,
            "leaves": kind.leaves,
            "interior": interior,
        },
        rule,
        Hint("ask-pair-width", {"leaf": half, "whole": kind.width}) if both else Hint("ask-maker"),
    )
