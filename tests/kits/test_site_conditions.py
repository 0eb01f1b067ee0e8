"""Rail, head, reveal, stop, ceiling and angle add pieces, or a finding says why it cannot be."""

from dataclasses import replace

import pytest
from tests.support.house import (
    RULES,
    SAMPLES,
    codes,
    kit_of,
    opening,
    pieces,
    sample,
    without,
)

from wholekit.domain.catalog import Role
from wholekit.domain.kits import Shelf, build_kit
from wholekit.domain.kits.check import HandLine, check_kit
from wholekit.domain.openings import Door, Mount, Stop
from wholekit.wording.findings import say_finding


@pytest.mark.parametrize("supplier", SAMPLES)
def test_a_short_rail_takes_a_plate(supplier):
    tall = kit_of("3070", supplier, door=Door.ALUMINUM, top_rail="6 in", mount=Mount.REGULAR)
    short = kit_of("3070", supplier, door=Door.ALUMINUM, top_rail="2-1/4 in", mount=Mount.REGULAR)
    assert "plate" not in pieces(tall)
    assert pieces(short)["plate"] == 1
    assert short.complete


def test_a_short_rail_without_a_plate_is_a_stop():
    kit = build_kit(
        opening("3070", door=Door.ALUMINUM, top_rail="2 in", mount=Mount.REGULAR),
        Shelf([without("quillmere", Role.PLATE)]),
        RULES,
    )
    assert codes(kit)["top-rail-short"] == "stop"
    assert [piece.role for piece in kit.missing] == [Role.PLATE]


@pytest.mark.parametrize("part", ["top_rail", "head_face"])
@pytest.mark.parametrize("mount", list(Mount))
@pytest.mark.parametrize("fire_minutes", [0, 90])
def test_what_a_rail_or_head_is_short_of_is_the_least_over_the_bodies_that_may_serve(
    part, mount, fire_minutes
):
    asked = opening(
        "3070", mount=mount, reveal="2 in", fire_minutes=fire_minutes, **{part: "1/2 in"}
    )
    bare = Shelf([without(name, Role.PLATE) for name in SAMPLES])
    kit = build_kit(asked, bare, RULES)
    attribute = {"top_rail": "rail_needed", "head_face": "head_needed"}[part]
    needed = {
        room
        for catalog in bare.catalogs
        for body in catalog.bodies
        if mount in body.mounts and (body.fire_listed or not fire_minutes)
        for series in catalog.series
        for template in series.templates
        if template.mount is mount and body.family in template.families
        if (room := getattr(template, attribute)) is not None
    }
    code = {"top_rail": "top-rail-short", "head_face": "head-face-short"}[part]
    findings = [finding for finding in kit.findings if finding.code == code]
    assert bool(findings) == bool(needed)
    for finding in findings:
        assert finding.fields["takes"] == min(needed)
        own = finding.fields.get("own", finding.fields["takes"])
        assert own == getattr(kit.template, attribute)
        assert str(min(needed)) in say_finding(finding, RULES).text


@pytest.mark.parametrize("supplier", SAMPLES)
def test_a_low_head_takes_a_plate_under_a_top_jamb_body(supplier):
    high = kit_of("3070", supplier, head_face="5 in", mount=Mount.TOP_JAMB, reveal="2 in")
    low = kit_of("3070", supplier, head_face="1-3/4 in", mount=Mount.TOP_JAMB, reveal="2 in")
    assert "plate" not in pieces(high)
    assert pieces(low)["plate"] == 1


def test_a_low_head_without_a_plate_is_a_stop():
    kit = build_kit(
        opening("3070", head_face="1 in", mount=Mount.TOP_JAMB, reveal="2 in"),
        Shelf([without("quillmere", Role.PLATE)]),
        RULES,
    )
    assert codes(kit)["head-face-short"] == "stop"


@pytest.mark.parametrize("supplier", SAMPLES)
def test_a_deep_reveal_takes_the_long_forearm(supplier):
    shallow = kit_of("3070", supplier, reveal="2 in", mount=Mount.TOP_JAMB)
    deep = kit_of("3070", supplier, reveal="7 in", mount=Mount.TOP_JAMB)
    assert deep.complete

    def forearm(kit):
        return next(
            use.piece for line in kit.lines for use in line.uses if use.role is Role.FOREARM
        )

    assert forearm(shallow) != forearm(deep)


def test_a_reveal_deeper_than_any_arm_is_a_stop():
    kit = kit_of("3070", reveal="12 in", mount=Mount.TOP_JAMB)
    assert codes(kit)["reveal-too-deep"] == "stop"


@pytest.mark.parametrize("supplier", SAMPLES)
def test_a_blade_stop_takes_a_spacer_under_the_bracket(supplier):
    rabbet = kit_of("3070", supplier, stop=Stop.RABBET, mount=Mount.PARALLEL)
    blade = kit_of("3070", supplier, stop=Stop.BLADE, mount=Mount.PARALLEL)
    assert "spacer" not in pieces(rabbet)
    assert pieces(blade)["spacer"] == 1


def test_a_blade_stop_without_a_spacer_is_missing_one():
    kit = build_kit(
        opening("3070", stop=Stop.BLADE, mount=Mount.PARALLEL),
        Shelf([without("quillmere", Role.SPACER)]),
        RULES,
    )
    assert [piece.role for piece in kit.missing] == [Role.SPACER]
    assert codes(kit)["piece-missing"] == "stop"


def test_a_low_ceiling_is_a_stop():
    kit = kit_of("3070", "quillmere", ceiling_clearance="1/2 in", mount=Mount.TOP_JAMB)
    assert codes(kit)["ceiling-too-low"] == "stop"


def test_the_template_is_the_least_that_reaches_the_angle():
    reached = {
        wanted: kit_of("3070", "tarrowby", opening_degrees=wanted, mount=Mount.REGULAR).template
        for wanted in (90.0, 110.0, 130.0)
    }
    angles = [template.greatest_angle for template in reached.values() if template]
    assert angles == sorted(angles)
    assert all(
        template and template.greatest_angle >= wanted for wanted, template in reached.items()
    )
    assert angles[0] < angles[-1]


def angle_told(kit):
    return next(finding for finding in kit.findings if finding.code == "angle-not-reached")


@pytest.mark.parametrize("mount", Mount)
@pytest.mark.parametrize("fire", [0, 60])
@pytest.mark.parametrize("suppliers", [SAMPLES, ("quillmere",), ("averlund", "tarrowby")])
def test_an_angle_no_template_reaches_is_a_stop_and_names_the_nearest_of_all(
    mount, fire, suppliers
):
    kit = kit_of("3070", *suppliers, opening_degrees=180.0, mount=mount, fire_minutes=fire)
    angles = {
        (template.greatest_angle, series.title)
        for name in suppliers
        for series in sample(name).series
        for template in series.templates
        for body in sample(name).bodies
        if template.mount is mount
        and mount in body.mounts
        and body.family in template.families
        and (body.fire_listed or not fire)
    }
    greatest = max(angle for angle, _ in angles)
    told = angle_told(kit)
    assert told.severity.value == "stop"
    assert told.fields["reached"] == greatest
    assert set(told.fields["series"]) == {title for angle, title in angles if angle == greatest}
    assert kit.template is not None
    assert told.fields["own"] == kit.template.greatest_angle


def test_a_light_series_that_falls_short_is_told_of_the_one_that_reaches():
    """Pebble goes to 120° in parallel arm; other series of the house reach 170°."""
    asked = {"opening_degrees": 180.0, "mount": Mount.PARALLEL, "series": "pebble"}
    kit = kit_of("3070", "tarrowby", **asked)
    told = angle_told(kit)
    assert (told.fields["own"], told.fields["reached"]) == (120.0, 170.0)
    assert told.fields["series"] == ("Granite", "Slate")
    said = say_finding(told, RULES)
    assert "170° (Granite and Slate), that of this kit 120°" in said.text
    assert "Granite and Slate" in said.hint


def test_where_no_body_may_serve_at_all_the_answer_names_no_series():
    """A hand-made kit for a fire door with a body that is not listed, and none is on the shelf."""
    unlisted = replace(
        sample("tarrowby"),
        series=tuple(
            replace(
                series, bodies=tuple(replace(body, fire_listed=False) for body in series.bodies)
            )
            for series in sample("tarrowby").series
        ),
    )
    assert Shelf([unlisted]).nearest_angle(Mount.REGULAR, 180.0, fire=True) == (0.0, ())
    opening_type = opening("3070", opening_degrees=180.0, mount=Mount.REGULAR, fire_minutes=60)
    body = unlisted.items_by_sku["TG-B3"]
    kit = check_kit(opening_type, [HandLine(body, unlisted, 1)], Shelf([unlisted]), RULES)
    told = angle_told(kit)
    assert "series" not in told.fields
    assert "reaches 140°." in say_finding(told, RULES).text


def test_the_nearest_template_is_the_least_that_reaches_where_one_does():
    asked = {"opening_degrees": 130.0, "mount": Mount.REGULAR, "series": "pebble"}
    kit = kit_of("3070", "tarrowby", **asked)
    told = angle_told(kit)
    assert (told.fields["own"], told.fields["reached"]) == (120.0, 140.0)


def test_a_leaf_that_may_open_further_than_asked_needs_a_stop():
    kit = kit_of("3070", opening_degrees=95.0, mount=Mount.REGULAR)
    assert codes(kit)["stop-needed"] == "note"
