"""To which size a closer may be set, so that force limits are kept."""

from collections.abc import Callable, Sequence

from wholekit.domain.forces.figures import figures
from wholekit.domain.forces.formulas import force_from_moment
from wholekit.domain.forces.limit import NEWTONS, Limit
from wholekit.domain.forces.power import band, sizes
from wholekit.domain.rules import RuleBook

# The phases in which a limit is against the closer's own force, which its setting decides.
OF_THE_CLOSER = ("whole", "motion", "swing", "beyond-30")


def largest_setting(
    limits: Sequence[Limit],
    width_m: float,
    handle_m: float,
    efficiency: Callable[[int], float],
    rules: RuleBook,
    share: float = 1.0,
    beyond: float | None = None,
) -> int | None:
    """The largest size [class] whose own force keeps every limit; None if even the least does not.

    width_m: leaf [m]; handle_m: handle to the latch edge [m]; efficiency: of a size at 0 to 4°
    [fraction]; share, beyond: closing moment in this mount at 0 to 4° and at its most from 30° to
    60°, over the regular arm's [fraction]; without the latter the former stands in, since the
    moment at the leaf falls as it opens. The pressure is left out: a smaller setting does not
    lower it. Raises CallError, RuleError.
    """
    kept = (
        size
        for size in reversed(sizes(rules))
        if all(
            _force(limit, size, width_m, handle_m, efficiency(size), rules, share, beyond)
            <= (limit.value or 0.0)
            # EN's opening moment has no value of its own: it is that of the size set, and judge
            # holds it.
            for limit in limits
            if limit.value is not None and limit.phase in OF_THE_CLOSER
        )
    )
    return next(kept, None)


def best_efficiency(rules: RuleBook) -> float:
    """The highest efficiency a closer is taken to reach [fraction]. Raises RuleError."""
    return figures(rules).best


def _force(
    limit: Limit,
    size: int,
    width_m: float,
    handle_m: float,
    efficiency: float,
    rules: RuleBook,
    share: float,
    beyond: float | None,
) -> float:
    """The closer's force where the limit is read, in its unit and rounded as it is compared."""
    left = beyond if limit.phase == "beyond-30" and beyond is not None else share
    lever = width_m if limit.at == "edge" else width_m - handle_m
    newtons = force_from_moment(band(size, rules)[0] * left, efficiency, lever)
    # Rounded as LimitResult.within compares: else a size could be set here and told as over there.
    return round(newtons / NEWTONS[limit.unit], 2)
