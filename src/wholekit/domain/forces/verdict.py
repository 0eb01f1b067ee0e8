"""The force to open and the power to latch of one leaf, held against the limits that apply."""

from dataclasses import replace
from datetime import date

from wholekit.domain.errors import CallError
from wholekit.domain.forces import formulas
from wholekit.domain.forces.case import DoorCase, ForceVerdict, LimitResult
from wholekit.domain.forces.figures import figures
from wholekit.domain.forces.limit import Limit
from wholekit.domain.forces.limits import en_basis, limits_of, profile_name
from wholekit.domain.forces.power import (
    CloserPower,
    opening_moment_most,
    smallest_size_latching,
)
from wholekit.domain.forces.ways_out import findings_of
from wholekit.domain.quantities.physical import N_PER_LBF, PA_PER_INWG
from wholekit.domain.rules import RuleBook

# Metres, exactly (international foot).
FOOT = 0.3048


def judge(
    case: DoorCase,
    closer: CloserPower,
    jurisdiction: str,
    rules: RuleBook,
    on: date | None = None,
) -> ForceVerdict:
    """Opening force, latching power and the limits of one leaf, with findings and ways out.

    The pressure may act either way: holding the leaf shut, it adds to the opening force
    (IBC 909.6.2); holding it open, the closer must beat it. on: the day whose limits hold, None
    for the newest. Does not cover the force that retracts a latch bolt. Raises CallError for a
    value without physical meaning or an unknown jurisdiction, RuleError.

    >>> from wholekit.domain.forces.power import closer_of_size
    >>> from wholekit.intake.rulebook import load_rulebook
    >>> rules = load_rulebook()
    >>> verdict = judge(DoorCase(0.95, 2.10, 0.075), closer_of_size(3, rules), "en", rules)
    >>> round(verdict.latches_to_pa, 1)
    19.0
    """
    seals_n, latch_n = case.seals_n or 0.0, case.latch_n or 0.0
    needed = formulas.closing_moment_needed(
        case.pressure_pa, case.width_m, case.height_m, seals_n, latch_n
    )
    if case.beyond_30_nm is not None and not 0 <= case.beyond_30_nm <= formulas.LARGEST:
        raise CallError("negative", name="moment beyond 30°", given=case.beyond_30_nm)
    limits = limits_of(jurisdiction, rules, on)
    en = en_basis(profile_name(jurisdiction, rules), rules)
    # Size 3's least moment on the fitted door; in US practice a fire door's size is a
    # recommendation and no moment is named.
    fire_least = rules.number("fire-moment-least") if case.fire and en else 0.0
    pressure_n = _pressure_force(case, case.pressure_pa, rules)
    # The figures are told where the place's own gauge reading is taken: in the UK at the leading
    # edge (BS 8300), in the US at the handle.
    read_at = "edge" if any(limit.at == "edge" for limit in limits) else "handle"
    read_m = case.width_m if read_at == "edge" else case.handle_lever_m
    at_handle = case.handle_lever_m / read_m
    closer_n = closer.opening_force(read_m)
    results = tuple(_held_against(limit, case, closer, pressure_n, rules) for limit in limits)
    verdict = ForceVerdict(
        closer_n=closer_n,
        # The same moment over a longer lever is less force, hence the ratio of levers.
        pressure_n=pressure_n * at_handle,
        closing_nm=closer.closing_nm,
        needed_nm=needed,
        latches_to_pa=formulas.largest_pressure(
            closer.closing_nm, case.width_m, case.height_m, seals_n, latch_n
        ),
        opens_to_pa=_opens_to(
            results, case, closer_n / at_handle, _pressure_force(case, 1.0, rules)
        ),
        # The greater of the two and not the sum: the fire door's least holds whatever the air
        # does.
        size_latching=smallest_size_latching(max(needed, fire_least), rules, case.share),
        efficiency=closer.efficiency,
        limits=results,
        read_at=read_at,
        read_m=read_m,
        fire_least_nm=fire_least,
        unchecked=case.unchecked,
    )
    return replace(verdict, findings=findings_of(verdict, case, closer, en, rules))


def _pressure_force(case: DoorCase, pressure_pa: float, rules: RuleBook) -> float:
    """A pressure's part of the force at the handle [N], by the form the case asks for."""
    known = figures(rules)
    if not case.us:
        return formulas.opening_force(
            0.0, case.width_m, case.height_m, pressure_pa, case.handle_m, known.k_si
        )
    width, height, handle = (side / FOOT for side in (case.width_m, case.height_m, case.handle_m))
    inwg = pressure_pa / PA_PER_INWG
    return formulas.opening_force_us(0.0, width, height, inwg, handle, known.k_us) * N_PER_LBF


def _held_against(
    limit: Limit, case: DoorCase, closer: CloserPower, pressure_n: float, rules: RuleBook
) -> LimitResult:
    binding = limit.applies(case.location, case.fire, case.accessible, case.egress)
    undecided = limit.undecided(case.location, case.fire, case.accessible)
    # EN 1154 limits the closer's own opening moment by its size, so no pressure counts, and a
    # closer weaker than size 1 has no row to be held against.
    if limit.value is None:
        if closer.size is None:
            return LimitResult(limit, 0.0, None, 0.0, binding=False)
        allowed = opening_moment_most(closer.size, rules)
        return LimitResult(limit, allowed, closer.opening_nm, 0.0, binding)
    result = LimitResult(limit, limit.value, None, 0.0, binding, undecided)
    lever, unit = case.lever_m(limit), result.in_newtons
    if limit.phase == "beyond-30":
        if case.beyond_30_nm is None:
            return result
        # The pressure is gone once the leaf stands ajar, and the efficiency at 0 to 4° stands in
        # for the one beyond, which the rule book has not.
        beyond = formulas.force_from_moment(case.beyond_30_nm, closer.efficiency, lever)
        return replace(result, closer=beyond / unit)
    # Swinging to full open is past the crack at which the pressure holds the leaf (IBC 1010.1.3
    # has 30 lbf to set in motion and 15 to swing).
    counted = 0.0 if limit.phase == "swing" else pressure_n * case.handle_lever_m / lever
    return replace(result, closer=closer.opening_force(lever) / unit, pressure=counted / unit)


def _opens_to(
    results: tuple[LimitResult, ...], case: DoorCase, closer_n: float, per_pascal: float
) -> float | None:
    """Largest pressure [Pa] at which every binding limit that counts the pressure is kept.

    A limit for egress doors alone is told, not held against an opening nobody called one.
    closer_n: against the closer at the handle [N]; per_pascal: of the pressure there [N/Pa].
    """
    # As a force at the handle, where the pressure's own part is reckoned.
    kept = [
        result.allowed * result.in_newtons * case.lever_m(result.limit) / case.handle_lever_m
        for result in results
        if result.binding
        and (result.limit.scope != "egress" or case.egress)
        and result.limit.phase in ("motion", "whole")
    ]
    return max(0.0, (min(kept) - closer_n) / per_pascal) if kept else None
