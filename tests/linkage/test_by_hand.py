"""Cases worked by hand, and faults that must be found. Tolerances: 1e-9 unless said."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.linkage.placings import SQUARE, moved, sample_arms

from wholekit.domain.errors import CallError
from wholekit.domain.linkage import Arms, can_be_set, moment_factor, position, power_share, swing
from wholekit.domain.openings import Mount


def test_equal_arms_over_their_base_make_an_equal_sided_triangle() -> None:
    """Pinion and anchor 200 mm apart, both arms 200 mm: the elbow stands over the middle."""
    at = position(SQUARE, 0.0)
    assert at is not None
    assert at.elbow == pytest.approx((0.2, 0.02 + math.sqrt(3) / 2 * 0.2))
    # The forearm falls at 60° to the frame. Its line meets the frame's plane at the anchor,
    # 300 mm from the hinge along and 20 mm out; the pinion is 200 mm from the anchor.
    to_pinion = 0.2 * math.sin(math.radians(60))
    to_hinge = 0.3 * math.sin(math.radians(60)) + 0.02 * math.cos(math.radians(60))
    assert at.ratio == pytest.approx(to_hinge / to_pinion)


def test_the_main_arm_then_stands_thirty_degrees_from_square() -> None:
    assert swing(SQUARE).preload == pytest.approx(30.0)
    assert can_be_set(SQUARE)


def test_a_forearm_square_to_the_frame_gives_the_ratio_of_the_two_distances_along() -> None:
    """Forearm at x = 300 mm, pinion at 120 mm: hinge to line 300, pinion to line 180."""
    preload = math.degrees(math.asin(0.18 / 0.2))
    arms = moved(SQUARE, pinion_along=0.12, preload=preload, forearm_from=0.05, forearm_to=0.3)
    at = position(arms, 0.0)
    assert at is not None
    assert at.elbow[0] == pytest.approx(0.3)
    assert at.ratio == pytest.approx(0.3 / 0.18)


def test_the_swing_ends_where_the_arms_lie_in_one_line() -> None:
    """Pinion 100 mm and anchor 300 mm from the pin, in line with it when proud is nothing.

    The distance between them is 400 mm, both arms' length, only at 180°; with arms of 150 and
    200 mm it is 350 mm at an angle whose cosine is (100² + 300² − 350²) / (2 × 100 × 300).
    """
    arms = moved(
        SQUARE,
        pinion_proud=0.0,
        anchor_proud=0.0,
        main_arm=0.15,
        half_width=0.0,
        preload=math.degrees(math.atan2(0.055, 0.1395)),
    )
    expected = math.degrees(math.acos((0.1**2 + 0.3**2 - 0.35**2) / (2 * 0.1 * 0.3)))
    worked = swing(arms)
    assert worked.ended == "stretched"
    assert worked.reached == pytest.approx(expected, abs=0.11)


def test_equal_arms_turn_the_pinion_by_half_the_angle_between_base_and_leaf() -> None:
    """A linkage folded into a kite: hinge, pinion, elbow, anchor with both pairs of sides equal.

    Pinion and anchor 250 mm from the pin on the pull face and frame face, arms of 200 mm. The
    elbow lies on the line that halves the opening angle θ; the base is 2·250·sin(θ/2).
    """
    arms = moved(
        SQUARE,
        pinion_along=0.25,
        anchor_along=0.25,
        pinion_proud=0.0,
        anchor_proud=0.0,
        preload=0.0,
        half_width=0.0,
    )
    at = position(arms, 60.0)
    assert at is not None
    along = math.atan2(at.elbow[1], at.elbow[0])
    assert math.degrees(along) == pytest.approx(30.0)
    base = 2 * 0.25 * math.sin(math.radians(30))
    # By symmetry hinge and base midpoint lie on the elbow's line; the forearm makes with it an
    # angle whose sine is half the base over the arm.
    half = math.asin(base / 2 / 0.2)
    reach = 0.25 * math.cos(math.radians(30)) + 0.2 * math.cos(half)
    assert math.hypot(*at.elbow) == pytest.approx(reach)
    assert at.ratio == pytest.approx(reach * math.sin(half) / (0.2 * math.sin(2 * half)))


def test_a_top_jamb_is_a_regular_arm_seen_in_a_mirror_with_leaf_and_frame_exchanged() -> None:
    """With no leaf thickness, no reveal and the pin in the faces' plane both are one linkage.

    What is frame to the one is leaf to the other; the ratio at each angle must be the same.
    """
    flat = {"leaf": 0.0, "half_width": 0.0, "pinion_proud": 0.0, "anchor_proud": 0.0}
    regular = moved(SQUARE, **flat)
    top = moved(regular, mount=Mount.TOP_JAMB)
    for angle in (0.0, 20.0, 50.0, 80.0):
        arms_position, other = position(regular, angle), position(top, angle)
        assert arms_position is not None
        assert other is not None
        assert other.ratio == pytest.approx(arms_position.ratio)
        assert other.turned == pytest.approx(arms_position.turned)


@pytest.mark.parametrize(
    "changes",
    [
        {"main_arm": 0.0},
        {"main_arm": -0.2},
        {"main_arm": math.nan},
        {"forearm_from": math.inf},
        {"pinion_along": 0.0},
        {"anchor_proud": math.nan},
        {"preload": -120.0},
    ],
)
def test_lengths_that_no_arm_has_are_refused(changes: dict[str, float]) -> None:
    with pytest.raises(CallError):
        moved(SQUARE, **changes)


def test_arms_too_short_to_meet_never_begin() -> None:
    worked = swing(moved(SQUARE, main_arm=0.05, forearm_from=0.05, forearm_to=0.05))
    assert (worked.ended, worked.reached, worked.closing) == ("never", 0.0, 0.0)


def test_arms_that_never_meet_have_no_share_of_power() -> None:
    dead = moved(SQUARE, main_arm=0.05, forearm_from=0.05, forearm_to=0.05)
    assert power_share(dead, SQUARE) == 0.0
    assert power_share(SQUARE, dead) == 0.0


@pytest.mark.parametrize(
    ("name", "arms"), [pair for pair in sample_arms() if pair[1].mount is not Mount.REGULAR]
)
def test_fatter_arms_strike_sooner_or_at_the_same_angle(name: str, arms: Arms) -> None:
    assert swing(moved(arms, half_width=0.05)).reached <= swing(arms).reached


SIDE = st.floats(0.01, 0.6)
TURN = st.floats(-60, 150)


@given(
    mount=st.sampled_from(Mount),
    main_arm=SIDE,
    forearm=SIDE,
    pinion=SIDE,
    anchor=SIDE,
    proud=st.tuples(st.floats(-0.05, 0.2), st.floats(-0.05, 0.2)),
    reveal=st.floats(0, 0.3),
    preload=TURN,
    angle=st.floats(0, 180),
)
def test_no_figure_is_ever_not_a_number(
    mount: Mount,
    main_arm: float,
    forearm: float,
    pinion: float,
    anchor: float,
    proud: tuple[float, float],
    reveal: float,
    preload: float,
    angle: float,
) -> None:
    arms = moved(
        SQUARE,
        mount=mount,
        main_arm=main_arm,
        forearm_from=forearm,
        forearm_to=forearm * 1.4,
        pinion_along=pinion,
        anchor_along=anchor,
        pinion_proud=proud[0],
        anchor_proud=proud[1],
        reveal=reveal,
        preload=preload,
    )
    worked = swing(arms)
    figures = [
        worked.reached, worked.closing, worked.forearm, worked.preload,
        worked.clearance, worked.projection, power_share(arms, SQUARE),
    ]  # fmt: skip
    at = position(arms, angle)
    if at is not None:
        figures += [at.ratio, at.turned, at.clearance, *at.elbow, moment_factor(arms, angle) or 0.0]
    assert all(math.isfinite(figure) for figure in figures)
    assert 0 <= worked.reached <= 180
