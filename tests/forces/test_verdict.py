"""What the verdict on one leaf says, and when the two needs exclude each other."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.support.house import RULES

from wholekit.domain.errors import CallError
from wholekit.domain.findings import Finding, Severity
from wholekit.domain.forces import (
    DoorCase,
    ForceVerdict,
    closer_of_force,
    closer_of_size,
    judge,
    jurisdictions,
    profile_name,
    smallest_size_latching,
)
from wholekit.domain.forces.formulas import closing_moment_needed, pressure_moment
from wholekit.domain.openings import Location
from wholekit.wording.findings import say_finding

WIDTH, HEIGHT, HANDLE = 0.9144, 2.1336, 0.0762


def _verdict(size: int, pressure: float, jurisdiction: str = "us", **case: object) -> ForceVerdict:
    door = DoorCase(WIDTH, HEIGHT, HANDLE, pressure, us=True, **case)  # type: ignore[arg-type]
    return judge(door, closer_of_size(size, RULES), jurisdiction, RULES)


def _codes(verdict: ForceVerdict) -> dict[str, Finding]:
    return {finding.code: finding for finding in verdict.findings}


def test_a_closer_that_latches_and_keeps_its_limits_has_nothing_to_tell() -> None:
    assert _verdict(4, 20.0, location=Location.EXTERIOR).findings == ()


def test_a_closer_too_weak_for_the_draught_is_told_the_size_that_is_not() -> None:
    short = _codes(_verdict(3, 30.0, location=Location.EXTERIOR))["latch-power-short"]
    needed = 30.0 * WIDTH * HEIGHT * WIDTH / 2
    assert short.fields["needed_nm"] == f"{needed:.1f}"
    assert short.severity is Severity.WARN
    assert short.hint is not None
    assert short.hint.fields == {"larger_size": 5}


def test_a_fire_door_that_does_not_latch_is_stopped() -> None:
    short = _codes(_verdict(3, 30.0, fire=True))["latch-power-short"]
    assert short.severity is Severity.STOP


def test_a_pressure_beyond_every_size_leaves_only_less_pressure() -> None:
    short = _codes(_verdict(7, 200.0, location=Location.EXTERIOR))["latch-power-short"]
    assert short.hint is not None
    assert short.hint.code == "lower-pressure"


def test_an_accessible_door_in_a_draught_may_not_be_had_at_all() -> None:
    """5 lbf at 838 mm and 80 % leave 14.9 N·m; 30 Pa take 26.8."""
    found = _codes(_verdict(2, 30.0, accessible=True))
    excluded = found["limit-excludes-latching"]
    assert excluded.severity is Severity.STOP
    assert excluded.fields["allowed_nm"] == "14.9"
    assert excluded.fields["needed_nm"] == "26.8"
    said = say_finding(excluded, RULES)
    assert "No closer can do both" in said.text
    assert "ADA" in said.source
    assert "power operator" in said.hint


def test_the_boundary_where_limit_and_latching_just_go_together() -> None:
    """14.9 N·m are what the limit leaves, and 14.9 N·m are what 16.7 Pa take."""
    most = 5 * 4.4482216152605 * (WIDTH - HANDLE) * 0.80
    boundary = most / pressure_moment(1.0, WIDTH, HEIGHT)
    assert "limit-excludes-latching" not in _codes(_verdict(1, boundary, accessible=True))
    assert "limit-excludes-latching" in _codes(_verdict(1, boundary * 1.02, accessible=True))


def test_without_pressure_every_size_latches_and_the_margin_is_its_whole_moment() -> None:
    verdict = _verdict(3, 0.0, location=Location.EXTERIOR)
    assert verdict.latches
    assert verdict.margin_nm == 18.0


def test_seals_and_latch_take_their_moment_at_the_edge() -> None:
    verdict = _verdict(3, 0.0, seals_n=10.0, latch_n=15.0)
    assert verdict.needed_nm == pytest.approx(25 * WIDTH)
    assert not verdict.latches


def test_a_parallel_arm_takes_one_size_more_to_latch_against_the_same_draught() -> None:
    needed = closing_moment_needed(19.0, 0.95, 2.10)
    assert smallest_size_latching(needed, RULES) == 3
    assert smallest_size_latching(needed, RULES, share=0.75) == 4


@pytest.mark.parametrize(
    ("word", "profile"),
    [("Oregon", "us-or"), ("US_WA", "us-wa"), (" california ", "us-ca"), ("GB", "uk")],
)
def test_a_jurisdiction_may_be_named_as_people_do(word: str, profile: str) -> None:
    assert profile_name(word, RULES) == profile


def test_an_unknown_jurisdiction_is_refused_with_those_there_are() -> None:
    with pytest.raises(CallError) as refused:
        profile_name("mars", RULES)
    assert refused.value.code == "jurisdiction-unknown"
    assert refused.value.fields["known"] == jurisdictions(RULES)


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"width_m": 0.0}, "not-positive"),
        ({"width_m": -0.9}, "not-positive"),
        ({"width_m": math.nan}, "not-positive"),
        ({"height_m": 0.0}, "not-positive"),
        ({"height_m": math.inf}, "not-positive"),
        ({"handle_m": -0.01}, "handle-outside-leaf"),
        ({"handle_m": 0.9144}, "handle-outside-leaf"),
        ({"handle_m": math.nan}, "handle-outside-leaf"),
        ({"pressure_pa": -1.0}, "negative"),
        ({"pressure_pa": math.nan}, "negative"),
        ({"pressure_pa": math.inf}, "negative"),
        ({"seals_n": -1.0}, "negative"),
        ({"latch_n": math.nan}, "negative"),
        ({"beyond_30_nm": math.nan}, "negative"),
    ],
)
def test_values_without_meaning_are_refused(change: dict[str, float], code: str) -> None:
    values = {"width_m": WIDTH, "height_m": HEIGHT, "handle_m": HANDLE, **change}
    with pytest.raises(CallError) as refused:
        judge(DoorCase(**values), closer_of_size(3, RULES), "us", RULES)  # type: ignore[arg-type]
    assert refused.value.code == code


@pytest.mark.parametrize("size", [0, 8, -1])
def test_a_size_that_is_not_in_the_table_is_refused(size: int) -> None:
    with pytest.raises(CallError) as refused:
        closer_of_size(size, RULES)
    assert refused.value.code == "size-unknown"


@pytest.mark.parametrize("force", [-1.0, math.nan, math.inf])
def test_a_closer_force_without_meaning_is_refused(force: float) -> None:
    with pytest.raises(CallError):
        closer_of_force(force, 0.8, RULES)


@given(
    width=st.floats(0.2, 3.0),
    height=st.floats(0.5, 5.0),
    handle=st.floats(0.0, 0.9),
    pressure=st.floats(0.0, 5000.0),
    size=st.integers(1, 7),
    share=st.floats(0.05, 1.2),
    jurisdiction=st.sampled_from(jurisdictions(RULES)),
    location=st.sampled_from(Location),
    fire=st.booleans(),
    accessible=st.booleans(),
    us=st.booleans(),
)
def test_every_verdict_is_finite_and_can_be_said(
    width: float,
    height: float,
    handle: float,
    pressure: float,
    size: int,
    share: float,
    jurisdiction: str,
    location: Location,
    fire: bool,
    accessible: bool,
    us: bool,
) -> None:
    case = DoorCase(
        width, height, handle * width, pressure, us, location, fire, accessible, share=share
    )
    verdict = judge(case, closer_of_size(size, RULES, share), jurisdiction, RULES)
    figures = [verdict.opening_n, verdict.needed_nm, verdict.latches_to_pa, verdict.margin_nm]
    figures += [result.force for result in verdict.limits if result.force is not None]
    assert all(math.isfinite(figure) for figure in figures)
    for finding in verdict.findings:
        said = say_finding(finding, RULES)
        assert "nan" not in said.text.lower().split()
        assert "{" not in said.text + said.hint


@given(pressure=st.floats(0, 500), more=st.floats(0.01, 100))
def test_more_pressure_never_makes_a_door_easier(pressure: float, more: float) -> None:
    less, greater = (_verdict(3, value) for value in (pressure, pressure + more))
    assert greater.opening_n > less.opening_n
    assert greater.needed_nm > less.needed_nm
    assert (greater.size_latching or 99) >= (less.size_latching or 99)


def test_advice_fits_what_works_against_the_door() -> None:
    """Wind cannot be lowered, and seals are not eased by balancing the air."""
    for wind, hint in ((True, "screen-wind"), (False, "lower-pressure")):
        verdict = _verdict(7, 400.0, location=Location.EXTERIOR, wind=wind)
        short = _codes(verdict)["latch-power-short"]
        assert short.hint is not None
        assert short.hint.code == hint
    short = _codes(_verdict(7, 0.0, location=Location.EXTERIOR, seals_n=200.0))["latch-power-short"]
    assert short.hint is not None
    assert short.hint.code == "ease-seals"


@pytest.mark.parametrize(
    ("forces", "named"),
    [
        ({"seals_n": 200.0}, "the seals"),
        ({"latch_n": 200.0, "seals_n": 0.0}, "the latch"),
        ({"seals_n": 100.0, "latch_n": 100.0}, "seals and latch"),
    ],
)
def test_where_seals_and_latch_alone_are_too_much_they_are_named(
    forces: dict[str, object], named: str
) -> None:
    for pressure in (0.0, 30.0):
        verdict = _verdict(3, pressure, "us", accessible=True, **forces)
        for code in ("latch-power-short", "limit-excludes-latching"):
            text = say_finding(_codes(verdict)[code], RULES).text
            assert "0.0 Pa" not in text.replace("30.0 Pa", "")
            assert named in text or (pressure and code == "limit-excludes-latching")


def test_what_nobody_stated_is_said_and_what_is_stated_as_nothing_is_not() -> None:
    assert _verdict(3, 0.0).unchecked == ("seals", "latch")
    assert _verdict(3, 0.0, seals_n=0.0).unchecked == ("latch",)
    assert _verdict(3, 0.0, seals_n=0.0, latch_n=12.0).unchecked == ()


def test_the_force_is_read_where_the_code_reads_it() -> None:
    us, uk, en = (_verdict(3, 10.0, place) for place in ("us", "uk", "en"))
    assert (us.read_at, uk.read_at, en.read_at) == ("handle", "edge", "handle")
    assert us.opening_n * (WIDTH - HANDLE) == pytest.approx(uk.opening_n * WIDTH)


@pytest.mark.parametrize(
    ("jurisdiction", "allowed"), [("us-or", 8.5), ("us-wa", 10.0), ("us-ma", 15.0), ("us-fl", 8.5)]
)
def test_a_limit_unread_for_fire_doors_is_told_and_binds_none(
    jurisdiction: str, allowed: float
) -> None:
    verdict = _verdict(
        5, 0.0, jurisdiction, location=Location.EXTERIOR, fire=True, accessible=True, egress=False
    )
    found = _codes(verdict)
    assert set(found) == {"limit-unread-for-fire"}
    finding = found["limit-unread-for-fire"]
    assert finding.fields["allowed"] == f"{allowed:g}"
    assert finding.fields["force"] == f"{verdict.opening_lbf:.1f}"
    over = verdict.opening_lbf > allowed
    assert finding.severity is (Severity.WARN if over else Severity.NOTE)
    assert "has not been read" in say_finding(finding, RULES).text
