"""The linkage against routes that share none of its code.

Independent routes: the loop of bars written as a constraint and solved and differentiated with
scipy; the energy the spring takes up over the swing. Tolerances: 1e-6 for the ratio, 1e-4 for the
energy (step of the trapezes).
"""

import math

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq
from tests.linkage.placings import sample_arms

from wholekit.domain.linkage import Arms, door_moment, moment_factor, position, swing
from wholekit.domain.openings import Mount

PLACINGS = sample_arms()
IDS = [name for name, _ in PLACINGS]


def _gap(arms: Arms, main_arm: float, opened: float) -> float:
    """The bars' loop: elbow-to-anchor distance less the forearm [m], all in complex numbers.

    main_arm: direction of the main arm against the part its body is on [rad].
    """
    leaf = complex(math.cos(opened), math.sin(opened))
    pinion, anchor = complex(*arms.pinion), complex(*arms.anchor)
    if arms.mount is Mount.TOP_JAMB:
        elbow = pinion + arms.main_arm * complex(math.cos(main_arm), math.sin(main_arm))
        return abs(anchor * leaf - elbow) - arms.forearm
    elbow = leaf * (pinion + arms.main_arm * complex(math.cos(main_arm), math.sin(main_arm)))
    return abs(anchor - elbow) - arms.forearm


def _main_arm(arms: Arms, opened: float, near: float) -> float:
    width = 0.02
    while _gap(arms, near - width, opened) * _gap(arms, near + width, opened) > 0:
        width *= 1.3
        assert width < 1
    return float(brentq(lambda turned: _gap(arms, turned, opened), near - width, near + width,
                        xtol=1e-14, rtol=1e-14))  # fmt: skip


def _direction(arms: Arms, degrees: float) -> float:
    at = position(arms, degrees)
    assert at is not None
    turned = 0.0 if arms.mount is Mount.TOP_JAMB else math.radians(degrees)
    return math.atan2(at.elbow[1] - at.pinion[1], at.elbow[0] - at.pinion[0]) - turned


@pytest.mark.parametrize(("name", "arms"), PLACINGS, ids=IDS)
def test_the_moment_ratio_is_the_turn_of_the_pinion_per_turn_of_the_leaf(
    name: str, arms: Arms
) -> None:
    step = 1e-5
    for degrees in np.linspace(1, swing(arms).reached * 0.95, 25):
        at = position(arms, float(degrees))
        assert at is not None
        opened, near = math.radians(degrees), _direction(arms, float(degrees))
        after, before = (_main_arm(arms, opened + way * step, near) for way in (1, -1))
        sense = 1 if arms.mount is Mount.TOP_JAMB else -1
        assert at.ratio == pytest.approx(sense * (after - before) / (2 * step), rel=1e-6, abs=1e-6)


@pytest.mark.parametrize(("name", "arms"), PLACINGS, ids=IDS)
def test_what_opening_puts_in_is_what_the_spring_takes_up(name: str, arms: Arms) -> None:
    last = swing(arms).reached * 0.95

    def moment(opened: float) -> float:
        factor = moment_factor(arms, math.degrees(opened))
        assert factor is not None
        return factor

    work, _ = quad(moment, 0, math.radians(last), limit=200)
    end = position(arms, last)
    assert end is not None
    first = math.radians(arms.spring_set + arms.preload)
    whole = math.radians(arms.spring_set)
    wound = first + math.radians(end.turned)
    assert work == pytest.approx((wound**2 - first**2) / (2 * whole), rel=1e-4)


@pytest.mark.parametrize(("name", "arms"), PLACINGS, ids=IDS)
def test_the_bars_keep_their_lengths_over_the_swing(name: str, arms: Arms) -> None:
    for degrees in range(0, int(swing(arms).reached) + 1, 5):
        at = position(arms, float(degrees))
        assert at is not None
        assert math.dist(at.pinion, at.elbow) == pytest.approx(arms.main_arm, abs=1e-12)
        assert math.dist(at.elbow, at.anchor) == pytest.approx(arms.forearm, abs=1e-12)


@pytest.mark.parametrize(("name", "arms"), PLACINGS, ids=IDS)
def test_a_moment_at_the_leaf_is_in_balance_with_the_forces_on_it(name: str, arms: Arms) -> None:
    """Statics: the pinion's couple gives the forearm's pull, and that gives the moment."""
    for degrees in (0.0, 3.0, 30.0, 60.0, 90.0):
        at = position(arms, degrees)
        assert at is not None
        pinion, elbow, anchor = (np.array(point) for point in (at.pinion, at.elbow, at.anchor))
        line = (anchor - elbow) / np.linalg.norm(anchor - elbow)
        lever = elbow - pinion
        pull = 1 / abs(float(lever[0] * line[1] - lever[1] * line[0]))
        moment = abs(float(elbow[0] * line[1] - elbow[1] * line[0])) * pull
        assert at.ratio == pytest.approx(moment, rel=1e-9)


@pytest.mark.parametrize(("name", "arms"), PLACINGS, ids=IDS)
def test_a_placing_held_against_itself_gives_the_moment_of_its_size(name: str, arms: Arms) -> None:
    moments = [door_moment(arms, arms, 18.0, float(degrees)) for degrees in range(5)]
    assert sum(moment for moment in moments if moment is not None) / 5 == pytest.approx(18.0)
