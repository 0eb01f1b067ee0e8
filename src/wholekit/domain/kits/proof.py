"""Forces and latching power of a chosen body on its template: proven, not only tabled.

The size may rise by this proof; it never falls below the tables.
"""

from dataclasses import dataclass
from fractions import Fraction

from wholekit.domain.catalog import Body, Catalog, Template
from wholekit.domain.forces import (
    CloserPower,
    DoorCase,
    ForceVerdict,
    band,
    closer_of_size,
    judge,
    least_efficiency,
    limits_of,
    sizes,
)
from wholekit.domain.forces.formulas import wind_pressure, wind_pressure_us
from wholekit.domain.forces.limits import NEWTONS
from wholekit.domain.forces.power import largest_size_within
from wholekit.domain.kits.shelf import Shelf
from wholekit.domain.linkage import (
    Arms,
    best_arms,
    greatest_moment,
    reference_arms,
    share_of,
)
from wholekit.domain.openings import Facts, Mount
from wholekit.domain.quantities import Length, parse_length
from wholekit.domain.quantities.length import NM_PER_INCH
from wholekit.domain.quantities.physical import PA_PER_PSF
from wholekit.domain.rules import RuleBook

BEYOND = (30.0, 60.0)
MPH = 0.44704


@dataclass(frozen=True, slots=True)
class Proof:
    """What was calculated for one leaf; to be checked with a gauge.

    share: closing moment in this mount over the regular arm's [fraction]; pressure_pa: the
    pressure difference it was reckoned with [Pa], 0 where the schedule states none. arms: the
    linkage it rests on, None where the catalogue gives no lengths.
    """

    verdict: ForceVerdict
    share: float
    pressure_pa: float
    arms: Arms | None = None


def prove(
    facts: Facts,
    body: Body,
    template: Template,
    setting: int,
    shelf: Shelf,
    catalog: Catalog,
    rules: RuleBook,
) -> Proof:
    """Opening force, latching margin and limits of one leaf with a body set to a size [class].

    The greater of the schedule's pressure and its wind's pressure acts either way. Arms without
    lengths fall back on the rule book's loss of a parallel arm. Raises CallError, RuleError.
    """
    pressure = pressure_on(facts, rules)
    arms, reference, share = _geometry(facts, body, template, shelf, catalog, rules)
    power: CloserPower = closer_of_size(setting, rules, share)
    beyond = (
        greatest_moment(arms, reference, band(setting, rules)[0], *BEYOND)
        if arms is not None and reference is not None
        else None
    )
    case = DoorCase(
        width_m=facts.type.width.in_metres,
        height_m=facts.type.height.in_metres,
        handle_m=handle(rules).in_metres,
        pressure_pa=pressure,
        us=facts.jurisdiction not in _si_profiles(rules),
        location=facts.location,
        fire=facts.fire_minutes > 0,
        accessible=facts.accessible,
        beyond_30_nm=beyond,
        share=share,
    )
    return Proof(judge(case, power, facts.jurisdiction, rules), share, pressure, arms)


def _geometry(
    facts: Facts,
    body: Body,
    template: Template,
    shelf: Shelf,
    catalog: Catalog,
    rules: RuleBook,
) -> tuple[Arms | None, Arms | None, float]:
    """Arms, the regular arm the size is declared on, and the share of its power that is left."""
    reveal = _reveal(facts, template, rules)
    key = (rules.version, catalog.id, template.series, template.id, body.family, reveal.nm)
    known = shelf.geometry.get(key)
    if known is None:
        arms = best_arms(template, catalog.pieces, reveal, rules)
        templates = next(one.templates for one in catalog.series if one.id == template.series)
        reference = reference_arms(templates, body.family, catalog.pieces, rules)
        share = (
            share_of(arms, reference, rules)
            if arms is not None
            else (1 - rules.number("parallel-loss") if template.mount is Mount.PARALLEL else 1.0)
        )
        known = shelf.geometry[key] = (arms, reference, share)
    return known


def pressure_on(facts: Facts, rules: RuleBook) -> float:
    """The pressure difference on the leaf [Pa]: as stated, or of the stated wind; 0 if neither."""
    stated = facts.type.pressure.si if facts.type.pressure is not None else 0.0
    wind = facts.type.wind
    if wind is None:
        return stated
    if "mph" in wind.written.lower():
        # Written in miles, reckoned in pounds (ASCE 7), as the door-force command does.
        psf = wind_pressure_us(wind.si / MPH, rules.number("wind-pressure"))
        return max(stated, psf * PA_PER_PSF)
    return max(stated, wind_pressure(wind.si, rules.number("wind-pressure-si")))


def handle(rules: RuleBook) -> Length:
    """Handle to latch edge where nothing else is known [Length] (rule default-handle)."""
    return Length(round(Fraction(str(rules.number("default-handle"))) * NM_PER_INCH), "in")


def accessible_settings(
    facts: Facts, practice_most: int | None, rules: RuleBook
) -> tuple[int | None, int | None]:
    """The largest settings [class] an accessible limit allows: at best, and at least efficiency.

    practice_most: the most that common practice allows, None where it has no say. The limits are
    those of the opening's profile that bind an accessible opening of its kind; None, None where
    there are none and practice is silent. Raises RuleError, CallError.
    """
    limits = [
        limit
        for limit in limits_of(facts.jurisdiction, rules)
        if facts.accessible
        and limit.scope == "accessible"
        and limit.value is not None
        and limit.phase in ("whole", "motion", "beyond-30")
        and limit.applies(facts.location, facts.fire_minutes > 0, facts.accessible)
    ]
    if not limits:
        return practice_most, practice_most
    width = facts.type.width.in_metres
    at_handle = width - handle(rules).in_metres
    opening_nm = min(
        (limit.value or 0.0) * NEWTONS[limit.unit] * (width if limit.at == "edge" else at_handle)
        for limit in limits
    )
    most = largest_size_within(opening_nm, 1.0, rules) or sizes(rules)[0]
    best = next(
        (
            size
            for size in reversed(sizes(rules))
            if band(size, rules)[0] <= opening_nm * least_efficiency(size, rules)
        ),
        # Not even the smallest at its least efficiency: the smallest asks for the least better one.
        sizes(rules)[0],
    )
    return (most if practice_most is None else min(most, practice_most)), best


def _reveal(facts: Facts, template: Template, rules: RuleBook) -> Length:
    """The reveal; only a top jamb mount depends on it, so only there it counts as assumed."""
    if template.mount is Mount.TOP_JAMB:
        return facts.reveal
    return facts.type.reveal or parse_length(str(rules["default-reveal"].value))


def _si_profiles(rules: RuleBook) -> list[str]:
    value = rules["en-basis-jurisdictions"].value
    return [str(name) for name in value] if isinstance(value, list) else []
