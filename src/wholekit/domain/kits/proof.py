"""Forces and latching power of a chosen body on its template: proven, not only tabled.

The size may rise by this proof; it never falls below the tables.
"""

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from wholekit.domain.catalog import Body, Catalog, Template
from wholekit.domain.forces import (
    CloserPower,
    DoorCase,
    ForceVerdict,
    Limit,
    band,
    best_efficiency,
    closer_of_size,
    en_basis,
    judge,
    largest_setting,
    least_efficiency,
    limits_of,
    sizes,
    smallest_size_latching,
)
from wholekit.domain.forces.formulas import (
    closing_moment_needed,
    wind_pressure,
    wind_pressure_us,
)
from wholekit.domain.kits.shelf import Shelf
from wholekit.domain.linkage import (
    Arms,
    Shares,
    best_arms,
    nominal_share,
    reference_arms,
    shares_of,
)
from wholekit.domain.openings import Facts, Mount
from wholekit.domain.quantities import Length, Physical, parse_length
from wholekit.domain.quantities.length import NM_PER_INCH
from wholekit.domain.quantities.physical import PA_PER_PSF
from wholekit.domain.rules import RuleBook

# Metres a second: 1609.344 m in 3600 s, exactly.
MPH = 0.44704


@dataclass(frozen=True, slots=True)
class Proof:
    """What was calculated for one leaf; to be checked with a gauge.

    share: closing moment in this mount over the regular arm's [fraction]; pressure_pa: the
    pressure difference it was reckoned with [Pa], 0 where the schedule states none. arms: the
    linkage it rests on, None where the catalogue gives no lengths. jurisdiction: the profile.
    """

    verdict: ForceVerdict
    share: float
    pressure_pa: float
    arms: Arms | None = None
    jurisdiction: str = "us"


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
    arms, left = _geometry(facts, template, body.family, shelf, catalog, rules)
    power: CloserPower = closer_of_size(setting, rules, left.closing, left.felt, body.efficiency)
    case = DoorCase(
        width_m=facts.type.width.in_metres,
        height_m=facts.type.height.in_metres,
        handle_m=handle(rules).in_metres,
        pressure_pa=pressure,
        # Whose pressure counts decides the way out: a wind is screened, a building's pressure is
        # lowered.
        wind=pressure > _stated_pressure(facts),
        us=not en_basis(facts.jurisdiction, rules),
        location=facts.location,
        fire=facts.fire_minutes > 0,
        accessible=facts.accessible,
        egress=facts.egress,
        seals_n=_newtons(facts.type.seals),
        latch_n=_newtons(facts.type.latch),
        # The band's least, as for the closing moment: what the size promises, not what it may
        # give.
        beyond_30_nm=None if left.beyond is None else left.beyond * band(setting, rules)[0],
        share=left.closing,
    )
    place = facts.jurisdiction
    return Proof(judge(case, power, place, rules), left.closing, pressure, arms, place)


def shares(
    facts: Facts, body: Body, template: Template, shelf: Shelf, catalog: Catalog, rules: RuleBook
) -> Shares:
    """What a template's arms leave of a body's power. Raises CallError, RuleError."""
    return _geometry(facts, template, body.family, shelf, catalog, rules)[1]


def _geometry(
    facts: Facts,
    template: Template,
    family: str,
    shelf: Shelf,
    catalog: Catalog,
    rules: RuleBook,
) -> tuple[Arms | None, Shares]:
    """The arms of a template, None where they have no lengths, and what they leave."""
    reveal = _reveal(facts, template, rules)
    key = (rules.version, catalog.id, template.series, template.id, family, reveal.nm)
    known = shelf.geometry.get(key)
    if known is None:
        arms = best_arms(template, catalog.pieces, reveal, rules)
        templates = next(each.templates for each in catalog.series if each.id == template.series)
        reference = reference_arms(templates, family, catalog.pieces, rules)
        known = shelf.geometry[key] = (arms, shares_of(arms, reference, template.mount, rules))
    return known


def pressure_on(facts: Facts, rules: RuleBook) -> float:
    """The pressure difference on the leaf [Pa]: as stated, or of the stated wind; 0 if neither."""
    stated = _stated_pressure(facts)
    wind = facts.type.wind
    if wind is None:
        return stated
    if "mph" in wind.written.lower():
        # Written in miles, reckoned in pounds (ASCE 7), as the door-force command does.
        psf = wind_pressure_us(wind.si / MPH, rules.number("wind-pressure"))
        # The greater and not the sum: a stated pressure may have the wind in it.
        return max(stated, psf * PA_PER_PSF)
    return max(stated, wind_pressure(wind.si, rules.number("wind-pressure-si")))


def handle(rules: RuleBook) -> Length:
    """Handle to latch edge where nothing else is known [Length] (rule default-handle)."""
    return Length(round(Fraction(str(rules.number("default-handle"))) * NM_PER_INCH), "in")


def moment_needed(facts: Facts, rules: RuleBook) -> float:
    """The closing moment at 0 to 4° that one leaf needs, whatever the closer [N·m].

    From pressure or wind, seals, latch and the leaf's size; on a fire door where EN 1154 is the
    basis at least size 3's (rule fire-moment-least). It falls with none of them, so that a harsher
    opening never needs less. Raises CallError, RuleError.
    """
    needed = closing_moment_needed(
        pressure_on(facts, rules),
        facts.type.width.in_metres,
        facts.type.height.in_metres,
        _newtons(facts.type.seals) or 0.0,
        _newtons(facts.type.latch) or 0.0,
    )
    if facts.fire_minutes and en_basis(facts.jurisdiction, rules):
        return max(needed, rules.number("fire-moment-least"))
    return needed


def size_latching_nominal(needed_nm: float, mount: Mount, rules: RuleBook) -> int | None:
    """The smallest size [class] that gives a moment [N·m] in a mount before a body is known.

    Its least moment times the mount's nominal share; None if no size does. Raises RuleError.
    """
    return smallest_size_latching(needed_nm, rules, nominal_share(mount, rules))


def limits_binding(facts: Facts, rules: RuleBook) -> tuple[Limit, ...]:
    """The limits a setting must keep: accessible ones, and for a stated exit its own.

    Of the opening's profile, as far as they are for such an opening. A limit of which nobody has
    read whether it covers fire doors is none of them on a fire door. Raises CallError, RuleError.
    """
    egress = facts.egress
    return tuple(
        limit
        for limit in limits_of(facts.jurisdiction, rules)
        if limit.value is not None
        # The 15 and 30 lbf of other exits (egress-other) are told where they are passed; they set
        # no closer.
        and (limit.scope == "accessible" or (limit.scope == "egress" and egress))
        and limit.applies(facts.location, facts.fire_minutes > 0, facts.accessible, egress)
    )


def settings_within(
    facts: Facts,
    share: float,
    efficiency: Callable[[int], float] | None,
    rules: RuleBook,
    beyond: float | None = None,
) -> tuple[int | None, int | None]:
    """The largest settings [class] the binding limits allow: at best, and to be reckoned with.

    share, beyond: closing moment at 0 to 4° and at its most from 30° to 60° over the regular arm's
    [fraction], of a mount (`nominal_share`) or of a template (`shares`: felt, beyond). efficiency:
    the body's own by size [fraction]; both settings are then its own. None: the first is what the
    best of closers could be set to, the second what one of EN's least efficiency can. None, None
    without a limit. Where even the smallest size passes a limit it is named all the same. What a
    fire door's label asks for is not looked at here (see `settings`). Raises CallError, RuleError.
    """
    limits = limits_binding(facts, rules)
    if not limits:
        return None, None

    def largest(of_size: Callable[[int], float]) -> int:
        found = largest_setting(
            limits,
            facts.type.width.in_metres,
            handle(rules).in_metres,
            of_size,
            rules,
            share,
            beyond,
        )
        return found or sizes(rules)[0]

    if efficiency is not None:
        own = largest(efficiency)
        return own, own
    return (
        largest(lambda _: best_efficiency(rules)),
        largest(lambda size: least_efficiency(size, rules)),
    )


def accessible_settings(
    facts: Facts,
    practice_most: int | None,
    rules: RuleBook,
    share: float = 1.0,
    efficiency: float | None = None,
    beyond: float | None = None,
) -> tuple[int | None, int | None]:
    """`settings_within`, and the most that common practice allows where it says less.

    practice_most: [class], None where practice has no say; efficiency: of the body at any size
    [fraction], None where its maker states none. Raises CallError, RuleError.
    """
    # The maker states one efficiency for the body; EN 1154 gives a least for each size.
    own = None if efficiency is None else (lambda _: efficiency)
    most, best = settings_within(facts, share, own, rules, beyond)
    if most is None or best is None:
        return practice_most, practice_most
    if practice_most is None:
        return most, best
    return min(most, practice_most), min(best, practice_most)


def _stated_pressure(facts: Facts) -> float:
    return facts.type.pressure.si if facts.type.pressure is not None else 0.0


def _newtons(stated: Physical | None) -> float | None:
    return None if stated is None else stated.si


def _reveal(facts: Facts, template: Template, rules: RuleBook) -> Length:
    """The reveal; only a top jamb mount depends on it, so only there it counts as assumed."""
    if template.mount is Mount.TOP_JAMB:
        return facts.reveal
    return facts.type.reveal or parse_length(str(rules["default-reveal"].value))
