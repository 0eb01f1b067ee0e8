"""Holes too near the edge of rail or head are a finding of the kit, reckoned in one place."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.support.house import RULES, SAMPLES, kit_of, shelf, without

from wholekit.domain.catalog import FastenerKind, Role, rows_between
from wholekit.domain.findings import Finding, Severity
from wholekit.domain.kits import Kit, Shelf, body_drilling, build_kit, hole_edge, host_field
from wholekit.domain.kits.decisive import questions_on
from wholekit.domain.kits.edges import NEAR_EDGE, near_edge
from wholekit.domain.kits.outcome import Doubt, outcome_of
from wholekit.domain.kits.unknowns import answered
from wholekit.domain.openings import BodySide, Door, Facts, Frame, Mount
from wholekit.domain.quantities import HolePattern, Length

SIDE = {
    Mount.REGULAR: BodySide.PULL,
    Mount.PARALLEL: BodySide.PUSH,
    Mount.TOP_JAMB: BodySide.PUSH,
}
STOREFRONT: dict[str, object] = {"door": Door.ALUMINUM, "frame": Frame.ALUMINUM}
EIGHTHS = st.integers(8, 64)


def inches(eighths: int) -> str:
    return f"{eighths}/8 in"


def near(kit: Kit) -> Finding | None:
    return next((finding for finding in kit.findings if finding.code == NEAR_EDGE), None)


def built(supplier: str, mount: Mount, height: str | None) -> Kit:
    told = {} if height is None else {host_field(mount): height}
    return kit_of("3070", supplier, mount=mount, body_side=SIDE[mount], **STOREFRONT, **told)


@settings(max_examples=40)
@given(st.sampled_from(SAMPLES), st.sampled_from([*Mount]), EIGHTHS)
def test_a_kit_is_warned_of_where_its_far_row_has_not_two_diameters_left(supplier, mount, eighths):
    kit = built(supplier, mount, inches(eighths))
    found, drilling = near(kit), body_drilling(kit)
    if drilling is None or drilling.holes is None:
        assert found is None
        return
    holes = drilling.holes
    far = rows_between(holes.down, holes.pattern[1], holes.row, mount)[1]
    role = Role.PLATE_FASTENER if drilling.on_plate else Role.BODY_FASTENER
    kinds = {use.kind for line in kit.lines for use in line.uses if use.role is role}
    # A quarter of an inch or M6, twice; a rivet nut's hole is 1.6 of it.
    least = 12.0 if supplier == "averlund" else 12.7
    least *= 1.6 if FastenerKind.RIVET_NUT_SCREW in kinds else 1.0
    room = Fraction(eighths, 8) * Fraction("25.4") - Fraction(far.nm, 1_000_000)
    assert (found is not None) == (room < Fraction(str(least)).limit_denominator(1000)), room
    if found is not None:
        edge = hole_edge(kit, RULES)
        assert edge is not None
        assert found.severity is Severity.WARN
        assert found.fields["assumed"] is False
        assert found.fields["needed"] == edge.needed
        assert found.fields["room"] == getattr(kit.type, host_field(mount)) - far
        doubt = Doubt.NEAR_HEAD if mount is Mount.TOP_JAMB else Doubt.NEAR_RAIL
        assert outcome_of(kit).near_edge == (doubt,)


@settings(max_examples=30)
@given(st.sampled_from(SAMPLES), st.sampled_from([*Mount]), EIGHTHS, st.integers(0, 24))
def test_a_wider_rail_or_head_never_brings_the_warning_to_a_kit(supplier, mount, eighths, more):
    kit = built(supplier, mount, inches(eighths))

    def told(height: Length) -> Finding | None:
        wider = replace(kit.type, **{host_field(mount): height})  # type: ignore[arg-type]  # its own
        return near_edge(kit, Facts(wider, RULES), RULES)

    stated = getattr(kit.type, host_field(mount))
    assert told(stated) == near(kit)
    if near(kit) is None:
        assert told(Length(stated.nm + Length.inches(0, more, 8).nm, "in")) is None
    edge = hole_edge(kit, RULES)
    if edge is not None:
        assert told(edge.needed) is None
        assert told(Length(edge.needed.nm - 1, "in")) is not None


@pytest.mark.parametrize("mount", Mount)
@pytest.mark.parametrize("supplier", SAMPLES)
def test_a_height_that_is_assumed_is_judged_as_if_it_were_stated_and_said_to_be(supplier, mount):
    silent = built(supplier, mount, None)
    facts = Facts(silent.type, RULES)
    taken = facts.head_face if mount is Mount.TOP_JAMB else facts.top_rail
    stated = near(built(supplier, mount, str(taken)))
    found = near(silent)
    assert (found is None) == (stated is None)
    if found is not None and stated is not None:
        assert found.fields["assumed"] is True
        assert {**found.fields, "assumed": False, "height": 0} == {**stated.fields, "height": 0}
    # A leaf without glass has no rail to run out of.
    solid = kit_of("3070", supplier, mount=Mount.REGULAR, door=Door.HOLLOW_METAL)
    assert near(solid) is None


def test_holes_that_are_there_already_are_not_warned_of():
    plated = built("quillmere", Mount.REGULAR, "4 in")
    assert near(plated) is None
    plain = Shelf([without("quillmere", Role.PLATE)])
    kit = build_kit(plated.type, plain, RULES)
    assert near(kit) is not None
    drilling = body_drilling(kit)
    assert drilling is not None
    assert drilling.holes is not None
    old = HolePattern(*drilling.holes.pattern)
    reused = build_kit(replace(kit.type, existing_holes=old), shelf("quillmere"), RULES)
    assert "holes-reused" in {finding.code for finding in reused.findings}
    assert near(reused) is None


def test_each_height_that_is_answered_is_told_of_as_its_own_kit_is():
    """On one shelf: what was found for one height must not stand for another."""
    seen = set()
    for eighths in range(16, 48, 3):
        for frame in (Frame.ALUMINUM, Frame.STEEL):
            kit = built("quillmere", Mount.PARALLEL, inches(eighths))
            kind = replace(kit.type, frame=frame)
            outcome = questions_on(shelf("quillmere"), RULES).of(kind).outcome
            own = outcome_of(build_kit(answered(kind, {}), shelf("quillmere"), RULES))
            assert outcome.near_edge == own.near_edge, (eighths, frame)
            seen.add(own.near_edge)
    assert seen == {(), (Doubt.NEAR_RAIL,)}
