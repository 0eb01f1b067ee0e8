"""What any counter knows. Common practice, no source, unless a test says otherwise."""

from dataclasses import replace

import pytest
from tests.support.house import RULES, SAMPLES, codes, kit_of, opening, pieces, sample

from wholekit.domain.kits import Shelf, build_kit
from wholekit.domain.openings import Location, Mount, Swing


@pytest.mark.parametrize("size", ["3068", "3070"])
@pytest.mark.parametrize("supplier", SAMPLES)
def test_an_interior_leaf_of_100_lb_on_regular_arm_takes_size_3(size, supplier):
    kit = kit_of(size, supplier, location=Location.INTERIOR, weight="100 lb", mount=Mount.REGULAR)
    assert (kit.size_required, kit.spring_size) == (3, 3)
    assert kit.complete


@pytest.mark.parametrize("size", ["3068", "3070"])
@pytest.mark.parametrize("supplier", SAMPLES)
def test_the_same_leaf_on_parallel_arm_takes_size_4(size, supplier):
    kit = kit_of(size, supplier, location=Location.INTERIOR, weight="100 lb", mount=Mount.PARALLEL)
    assert (kit.size_required, kit.spring_size) == (4, 4)


def test_an_exterior_leaf_swinging_out_gets_parallel_arm_and_size_4():
    """That it goes on the room side: NAVFAC door hardware criteria (read)."""
    kit = kit_of("3070", location=Location.EXTERIOR, swing=Swing.OUT, weight="100 lb")
    assert kit.mount is Mount.PARALLEL
    assert kit.size_required == 4


def test_an_exterior_leaf_swinging_in_gets_regular_arm():
    """Room side: NAVFAC door hardware criteria (read)."""
    kit = kit_of("3070", location=Location.EXTERIOR, swing=Swing.IN)
    assert kit.mount is Mount.REGULAR


@pytest.mark.parametrize("inches", [28, 34, 36, 38, 42, 48])
def test_a_parallel_arm_takes_one_size_more_than_the_interior_table(inches):
    size = f"{inches} in x 80 in"
    regular = kit_of(size, location=Location.INTERIOR, weight="40 lb", mount=Mount.REGULAR)
    parallel = kit_of(size, location=Location.INTERIOR, weight="40 lb", mount=Mount.PARALLEL)
    assert regular.size_required is not None
    assert parallel.size_required == regular.size_required + 1


@pytest.mark.parametrize("supplier", SAMPLES)
def test_a_push_side_body_on_the_door_needs_the_bracket(supplier):
    kit = kit_of("3070", supplier, mount=Mount.PARALLEL)
    assert pieces(kit)["soffit-bracket"] == 1
    assert pieces(kit)["bracket-fastener"] >= 2
    assert kit.complete


@pytest.mark.parametrize("supplier", SAMPLES)
def test_in_a_parallel_arm_mount_the_shoe_is_left_off(supplier):
    used = pieces(kit_of("3070", supplier, mount=Mount.PARALLEL))
    assert "shoe" not in used
    assert "shoe-fastener" not in used


@pytest.mark.parametrize("supplier", SAMPLES)
def test_regular_arm_takes_two_shoe_screws_into_the_frame(supplier):
    kit = kit_of("3070", supplier, mount=Mount.REGULAR)
    assert pieces(kit)["shoe-fastener"] == 2
    reason = next(
        reason
        for line in kit.lines
        for reason in line.because
        if reason.code == "need-shoe-fastener"
    )
    assert reason.fields["host"] == "frame"


@pytest.mark.parametrize("supplier", SAMPLES)
def test_top_jamb_has_the_body_on_the_head_and_the_shoe_on_the_door(supplier):
    kit = kit_of("3070", supplier, mount=Mount.TOP_JAMB, head_face="5 in")
    hosts = {
        reason.code: reason.fields["host"]
        for line in kit.lines
        for reason in line.because
        if "host" in reason.fields
    }
    assert hosts == {"need-body-fastener": "frame", "need-shoe-fastener": "door"}
    assert "soffit-bracket" not in pieces(kit)


def test_a_fixed_size_3_is_not_an_accessible_closer():
    quillmere = sample("quillmere")
    only_fixed = replace(
        quillmere,
        series=tuple(
            replace(
                series,
                bodies=tuple(
                    body for body in series.bodies if not body.adjustable and body.size_from >= 3
                ),
            )
            for series in quillmere.series
        ),
    )
    asked = opening("3070", location=Location.INTERIOR, accessible=True, mount=Mount.REGULAR)
    kit = build_kit(asked, Shelf([only_fixed]), RULES)
    assert kit.spring_size == 3
    assert codes(kit)["force-over-limit"] == "stop"
    adjustable = build_kit(asked, Shelf([quillmere]), RULES)
    assert adjustable.spring_size is not None
    assert adjustable.spring_size <= 2
    assert "force-over-limit" not in codes(adjustable)
