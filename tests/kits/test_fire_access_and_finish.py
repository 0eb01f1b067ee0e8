"""Fire labels, accessible routes, finishes, hands, features and assumptions."""

import pytest
from tests.support.house import RULES, codes, kit_of, opening, pieces, sample, shelf

from wholekit.domain.kits import Policy, Shelf, build_kit
from wholekit.domain.kits.check import HandLine, check_kit
from wholekit.domain.openings import (
    BodySide,
    Door,
    Hand,
    HoldOpen,
    Location,
    Mount,
    Swing,
)
from wholekit.domain.quantities import parse_pressure
from wholekit.domain.quotes.job import finding_about
from wholekit.wording.findings import say_finding
from wholekit.wording.openings import summary


def test_a_fire_door_gets_a_listed_body_and_is_told_what_it_still_needs():
    """Latching: IBC 2024 716.2.6 (read)."""
    plain = kit_of("3070", "tarrowby", mount=Mount.REGULAR)
    fire = kit_of("3070", "tarrowby", fire_minutes=90, mount=Mount.REGULAR)
    assert plain.body is not None
    assert not plain.body.fire_listed  # the cheap series is not listed
    assert fire.body is not None
    assert fire.body.fire_listed
    assert codes(fire)["fire-door-needs-latching"] == "warn"


def test_a_fire_door_with_only_unlisted_series_is_a_stop():
    kit = kit_of("3070", "tarrowby", fire_minutes=45, series="pebble")
    assert codes(kit)["not-fire-listed"] == "stop"
    assert not kit.complete


def test_a_hold_open_arm_is_left_off_a_fire_door():
    """IBC 2024 716.2.6.6 (read)."""
    kit = kit_of("3070", fire_minutes=20, hold_open=HoldOpen.ARM)
    assert codes(kit)["hold-open-on-fire-door"] == "stop"
    assert "hold-open-arm" not in pieces(kit)
    free = kit_of("3070", fire_minutes=0, hold_open=HoldOpen.ARM, mount=Mount.REGULAR)
    assert pieces(free)["hold-open-arm"] == 1
    assert free.complete


@pytest.mark.parametrize("asked", [None, HoldOpen.ARM])
def test_a_hold_open_arm_put_on_a_fire_door_by_hand_is_a_stop_of_its_own(asked):
    """IBC 2024 716.2.6.6 (read), whether the schedule asks for the arm or not."""
    fire = opening("3070", fire_minutes=20, hold_open=asked, finish="689")
    house = shelf("averlund")
    kit = build_kit(fire, house, RULES)
    catalog = sample("averlund")
    items = {item.sku: item for item in catalog.items}
    lines = [HandLine(line.item, catalog, line.quantity) for line in kit.lines]
    without = check_kit(fire, lines, house, RULES)
    with_arm = check_kit(fire, [*lines, HandLine(items["AVS-HS-689"], catalog, 1)], house, RULES)
    assert with_arm.idle_arms == ("AVS-HS-689",)
    (stop,) = [one for one in with_arm.findings if one.code == "hold-open-on-fire-door"]
    assert "The kit has a hold-open arm (AVS-HS-689)" in say_finding(stop, RULES).text
    was = [one for one in without.findings if one.code == "hold-open-on-fire-door"]
    assert len(was) == (asked is not None)
    # Who let go of an arm that was left out has not let go of one that is there.
    assert finding_about(stop) not in map(finding_about, was)
    assert "put in by hand" in summary(fire, arm_by_hand=bool(with_arm.idle_arms))
    indoors = opening("3070", hold_open=asked, finish="689")
    assert "hold-open-on-fire-door" not in codes(check_kit(indoors, lines, house, RULES))


def test_delayed_action_on_a_fire_door_depends_on_how_it_closes():
    """IBC 2024 716.2.6.5 (read)."""
    closing = kit_of("3070", fire_minutes=90, delayed_action=True)
    released = kit_of("3070", fire_minutes=90, delayed_action=True, hold_open=HoldOpen.RELEASE)
    assert codes(closing)["delayed-action-on-fire-door"] == "warn"
    assert codes(released)["delayed-action-on-fire-door"] == "stop"
    assert closing.body is not None
    assert closing.body.delayed_action


def test_a_rated_pair_is_told_of_the_coordinator():
    """NFPA 80, from memory, not read."""
    assert "pair-needs-coordinator" in codes(kit_of("3070", fire_minutes=90, leaves=2))
    assert "pair-needs-coordinator" not in codes(kit_of("3070", leaves=2))


def test_an_accessible_door_is_set_within_five_pounds_and_told_it_may_not_latch():
    """5 lbf: 2010 ADA 404.2.9 (read)."""
    kit = kit_of("3070", location=Location.INTERIOR, accessible=True)
    assert kit.proof is not None
    assert kit.proof.verdict.opening_lbf <= 5.0
    assert "force-over-limit" not in codes(kit)
    assert codes(kit)["latch-power-short"] == "warn"


def test_an_accessible_fire_door_keeps_the_size_of_the_tables():
    """The authority sets its force: 2010 ADA 404.2.9 (read)."""
    kit = kit_of("3070", location=Location.INTERIOR, accessible=True, fire_minutes=90)
    assert kit.spring_size == kit.size_required
    assert "fire-door-least-force" in codes(kit)


def test_an_accessible_exterior_door_is_set_within_its_states_limit():
    """5 lbf: California Building Code 11B-404.2.9, as quoted; 8.5 lbf: Oregon (read)."""
    for profile, pounds in (("us-ca", 5.0), ("us-or", 8.5)):
        kit = kit_of("3070", location=Location.EXTERIOR, accessible=True, jurisdiction=profile)
        assert kit.proof is not None
        assert kit.proof.verdict.opening_lbf <= pounds
        assert codes(kit).get("force-over-limit") is None
    free = kit_of("3070", location=Location.EXTERIOR, accessible=True)
    assert free.spring_size == free.size_required  # no federal limit for exterior hinged doors


def test_draught_raises_the_size_until_it_latches():
    calm = kit_of("3070", location=Location.EXTERIOR, swing=Swing.IN, mount=Mount.REGULAR)
    windy = kit_of(
        "3070",
        location=Location.EXTERIOR,
        swing=Swing.IN,
        mount=Mount.REGULAR,
        pressure=parse_pressure("40 Pa"),
    )
    assert calm.size_required == 4
    assert windy.size_required == 5  # 40 Pa × 0.914 × 2.134 m × 0.457 m = 35.7 N·m: size 5 from 37
    assert windy.proof is not None
    assert windy.proof.verdict.latches


def test_a_pressure_no_closer_beats_requires_more_than_any_size_and_says_what_it_would_take():
    """500 Pa × 0.914 × 2.134 m × 0.457 m = 446 N·m; EN 1154's size 7 gives 87 (from memory)."""
    kit = kit_of("3070", location=Location.EXTERIOR, pressure=parse_pressure("500 Pa"))
    assert kit.size_required is None
    assert kit.spring_size is not None
    assert kit.spring_size >= 4
    short = next(finding for finding in kit.findings if finding.code == "latch-power-short")
    assert short.fields["needed_nm"] == "446.0"
    assert short.hint is not None
    assert short.hint.code == "lower-pressure"


def test_what_shows_is_of_one_finish():
    kit = kit_of("3070", "averlund", finish="690", mount=Mount.PARALLEL)
    shown = {
        line.item.finish
        for line in kit.lines
        for use in line.uses
        if sample("averlund").pieces[use.piece].shows
    }
    assert shown == {"690"}


def test_a_finish_not_to_be_had_is_shown_in_the_nearest_and_stopped():
    """Slate, sold apart, is not made in light bronze 691."""
    kit = kit_of("3070", "tarrowby", finish="691", series="slate", mount=Mount.REGULAR)
    assert codes(kit)["finish-unavailable"] == "stop"
    assert kit.finish != "691"
    assert kit.complete


def test_a_handed_body_follows_the_hinges_as_seen_from_the_pull_side():
    """LH and RHR are alike, RH and LHR are alike (computed from published handing guides)."""
    bodies = {}
    for hand in Hand:
        kit = build_kit(
            opening("3070", hand=hand, mount=Mount.REGULAR, series="granite"),
            _only_handed(),
            RULES,
        )
        bodies[hand] = next(
            use.piece for line in kit.lines for use in line.uses if use.role == "body"
        )
    assert bodies[Hand.LH] == bodies[Hand.RHR] != bodies[Hand.RH] == bodies[Hand.LHR]


def test_a_handed_body_without_a_hand_is_a_stop_and_a_pair_takes_one_of_each():
    unknown = build_kit(opening("3070", mount=Mount.REGULAR), _only_handed(), RULES)
    assert codes(unknown)["hand-unknown"] == "stop"
    pair = build_kit(opening("3070", mount=Mount.REGULAR, leaves=2), _only_handed(), RULES)
    used = sorted(use.piece for line in pair.lines for use in line.uses if use.role == "body")
    assert len(used) == 2
    assert used[0].endswith("-left")
    assert used[1].endswith("-right")


def _only_handed() -> Shelf:
    from dataclasses import replace

    catalog = sample("tarrowby")
    return Shelf(
        [
            replace(
                catalog,
                series=tuple(
                    replace(
                        series,
                        bodies=tuple(body for body in series.bodies if "any" not in body.pieces),
                    )
                    for series in catalog.series
                ),
            )
        ]
    )


def test_a_hand_that_contradicts_the_swing_is_a_stop():
    assert codes(kit_of("3070", hand=Hand.LH, swing=Swing.OUT))["hand-conflict"] == "stop"


def test_a_mount_against_the_side_is_a_stop():
    kit = kit_of("3070", mount=Mount.REGULAR, body_side=BodySide.PUSH)
    assert codes(kit)["mount-conflict"] == "stop"


def test_a_body_on_the_weather_side_is_told():
    """NAVFAC door hardware criteria (read)."""
    kit = kit_of("3070", location=Location.EXTERIOR, swing=Swing.OUT, mount=Mount.REGULAR)
    assert codes(kit)["weather-side-body"] == "warn"


def test_only_what_was_needed_counts_as_assumed():
    bare = {assumption.field for assumption in kit_of("3070", mount=Mount.REGULAR).assumed}
    assert {"door", "door_reinforced", "frame", "frame_reinforced", "location"} <= bare
    assert "reveal" not in bare  # a regular arm asks for no reveal
    assert "thickness" not in bare  # machine screws ask for no thickness
    told = kit_of(
        "3070",
        mount=Mount.REGULAR,
        door=Door.HOLLOW_METAL,
        location=Location.INTERIOR,
        door_reinforced=True,
    )
    assert not {"door", "door_reinforced", "location"} & {
        assumption.field for assumption in told.assumed
    }


def test_a_series_nobody_has_is_named_with_those_there_are():
    kit = kit_of("3070", series="nosuch")
    assert codes(kit)["series-unknown"] == "stop"


def test_a_leaf_said_to_weigh_less_than_its_faces_is_doubted():
    """2.61 lb/ft²: computed from ANSI/SDI A250.8 face thickness .032 in (read)."""
    kit = kit_of("3070", door=Door.HOLLOW_METAL, weight="40 lb")
    assert codes(kit)["weight-implausible"] == "warn"


@pytest.mark.parametrize("supplier", ["quillmere", "tarrowby", "averlund"])
def test_the_house_may_prefer_a_supplier(supplier):
    kit = build_kit(
        opening("3070", mount=Mount.PARALLEL), shelf(policy=Policy(prefer=(supplier,))), RULES
    )
    assert {line.item.supplier for line in kit.lines} == {sample(supplier).supplier}


def test_stock_first_takes_what_is_on_hand():
    everything = [
        opening(size, mount=mount) for size in ("2868", "3070", "3670") for mount in Mount
    ]
    cheap, stocked = shelf(), shelf(policy=Policy(stock_first=True))

    def out_of_stock(where: Shelf) -> int:
        kits = [build_kit(opening_type, where, RULES) for opening_type in everything]
        return sum(where.on_hand(line.item) < 1 for kit in kits for line in kit.lines)

    assert out_of_stock(stocked) < out_of_stock(cheap)


def test_the_same_opening_gives_the_same_kit():
    first = build_kit(opening("3070", leaves=2), Shelf([sample("tarrowby")]), RULES)
    again = build_kit(opening("3070", leaves=2), Shelf([sample("tarrowby")]), RULES)
    assert first == again
