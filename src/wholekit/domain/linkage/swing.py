"""Moment over the swing, the greatest opening angle, and what the arms sweep."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from wholekit.domain.linkage.arms import Arms, ArmsPosition, position
from wholekit.domain.openings import Mount

WIDEST = 180.0
STEP = 3.0
# Angles over which EN 1154 reads the closing moment that makes the size.
CLOSING_ANGLES = (0.0, 1.0, 2.0, 3.0, 4.0)


@dataclass(frozen=True, slots=True)
class ArmsSwing:
    """What one placing of the arms does over the swing.

    reached: greatest opening angle [°]; ended: why there (`stretched`, `strikes-leaf`,
    `strikes-frame`, `dead-centre`), `free` where the arms allow more than the model looks at
    (180°), or `never` where they do not even meet with the leaf closed. closing: mean moment at
    the leaf from 0 to 4°, in moments of the pinion at its rest [ratio]; 0 where they never meet.
    forearm: its setting [m]; preload: as it comes out [°]. clearance: least up to the greatest
    angle [m]. projection: farthest the elbow stands from the closed leaf's face [m].
    """

    reached: float
    ended: str
    closing: float
    forearm: float
    preload: float
    clearance: float
    projection: float


def moment_factor(arms: Arms, angle: float) -> float | None:
    """Moment at the leaf at an angle [°], in moments of the pinion at its rest [ratio].

    The spring's moment grows in proportion to its whole turn: what is set in it at rest, the
    preload, and what opening adds. None where the arms do not meet.
    """
    at = position(arms, angle)
    if at is None:
        return None
    # In moments at the rest the spring's stiffness falls out: the turn at rest alone sets the
    # scale.
    return at.ratio * (1 + (closed_preload(arms) + at.turned) / arms.spring_set)


@lru_cache(maxsize=1024)
def closed_preload(arms: Arms) -> float:
    """The preload as it comes out [°]: the stated one, unless the forearm could not be so set."""
    at = position(arms, 0.0)
    if at is None:
        return arms.preload
    main_arm = math.atan2(at.elbow[1] - at.pinion[1], at.elbow[0] - at.pinion[0])
    turned = arms.winding * (math.degrees(main_arm) - arms.rest_direction)
    # The least turn either way; a preload is far from half a turn.
    return (turned + 180) % 360 - 180


@lru_cache(maxsize=1024)
def swing(arms: Arms) -> ArmsSwing:
    """Work the swing out. Remembered by geometry; about 3 ms the first time."""
    closed = position(arms, 0.0)
    if closed is None:
        return ArmsSwing(0.0, "never", 0.0, arms.forearm, arms.preload, 0.0, 0.0)
    reached, ended = _reached(arms)
    kept = [at for at in _positions(arms, reached) if at is not None]
    factors = [moment_factor(arms, angle) for angle in CLOSING_ANGLES]
    known = [factor for factor in factors if factor is not None]
    return ArmsSwing(
        reached=reached,
        ended=ended,
        closing=sum(known) / len(known),
        forearm=arms.forearm,
        preload=closed_preload(arms),
        clearance=min((at.clearance for at in kept), default=closed.clearance),
        projection=max((_projection(arms, at) for at in kept), default=0.0),
    )


def power_share(arms: Arms, reference: Arms) -> float:
    """Closing moment at 0 to 4° over that of the reference placing with the same spring.

    The reference is the regular arm, on which a size is declared (EN 1154). 0 where either never
    closes.
    """
    # Spring and stiffness are the same in both, so that the quotient needs neither.
    most = swing(reference).closing
    return max(0.0, swing(arms).closing / most) if most > 0 else 0.0


def door_moment(arms: Arms, reference: Arms, closing_nm: float, angle: float) -> float | None:
    """Closing moment at the leaf at an angle [°], without friction [N·m].

    closing_nm: what the body gives at 0 to 4° on the reference placing [N·m], from its size's
    band. None where the arms do not meet or the reference never closes.
    """
    factor = moment_factor(arms, angle)
    most = swing(reference).closing
    if factor is None or most <= 0:
        return None
    return closing_nm * factor / most


def greatest_moment(
    arms: Arms, reference: Arms, closing_nm: float, first: float, last: float
) -> float | None:
    """Greatest closing moment between two angles [°], read every 5° [N·m]; None as above."""
    count = max(1, round((last - first) / 5))
    angles = [first + (last - first) * step / count for step in range(count + 1)]
    return _most(arms, reference, closing_nm, angles)


def closing_moment_most(arms: Arms, reference: Arms, closing_nm: float) -> float | None:
    """Greatest closing moment at the leaf at 0, 1, 2, 3 and 4° [N·m]; None as above.

    What a hand feels at first: on a parallel arm about a tenth more than the mean.
    """
    return _most(arms, reference, closing_nm, CLOSING_ANGLES)


def _most(arms: Arms, reference: Arms, closing_nm: float, angles: Iterable[float]) -> float | None:
    moments = [door_moment(arms, reference, closing_nm, angle) for angle in angles]
    return max((moment for moment in moments if moment is not None), default=None)


def _reached(arms: Arms) -> tuple[float, str]:
    before = 0.0
    fault = _fault(arms, before)
    if fault:
        return 0.0, fault
    # In steps from closed, and not by halves from the start: a fault may end again at a wider
    # angle, and the first one stops the leaf.
    while before < WIDEST:
        after = min(before + STEP, WIDEST)
        fault = _fault(arms, after)
        if fault:
            return _narrowed(arms, before, after)
        before = after
    return WIDEST, "free"


def _narrowed(arms: Arms, good: float, bad: float) -> tuple[float, str]:
    """The last good angle to a hundredth of a degree, rounded down to a tenth."""
    while bad - good > 0.01:
        middle = (good + bad) / 2
        if _fault(arms, middle):
            bad = middle
        else:
            good = middle
    # Down, not to the nearest: a template may not be told to reach what it does not.
    return int(good * 10) / 10, _fault(arms, bad) or "stretched"


def _fault(arms: Arms, angle: float) -> str | None:
    at = position(arms, angle)
    if at is None:
        return "stretched"
    if at.ratio <= 0:
        # From here on the spring would push the leaf open, so that it would not close by itself.
        return "dead-centre"
    # Positions are of centre lines: an arm strikes when its edge does.
    return f"strikes-{at.struck}" if at.clearance < arms.half_width else None


def _positions(arms: Arms, reached: float) -> list[ArmsPosition | None]:
    count = int(reached / STEP)
    return [*(position(arms, step * STEP) for step in range(count + 1)), position(arms, reached)]


def _projection(arms: Arms, at: ArmsPosition) -> float:
    """How far the elbow stands out from the plane of the closed leaf's face [m]."""
    if arms.mount is Mount.REGULAR:
        return at.elbow[1] + arms.hinge_offset
    return arms.push_face - at.elbow[1]
