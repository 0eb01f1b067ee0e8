"""To which size a closer may be set: by the mount's share, the efficiency, and nobody's guess."""

from collections.abc import Callable

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from tests.support.house import RULES, SAMPLES, sample, shelf

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.errors import CallError
from wholekit.domain.forces import (
    DoorCase,
    band,
    closer_of_size,
    judge,
    largest_setting,
    least_efficiency,
    limits_of,
    sizes,
)
from wholekit.domain.kits import build_kit
from wholekit.domain.kits.proof import (
    accessible_settings,
    limits_binding,
    moment_needed,
    pressure_on,
    settings_within,
    size_latching_nominal,
)
from wholekit.domain.linkage import (
    best_arms,
    closing_moment_most,
    door_moment,
    nominal_share,
    reference_arms,
    shares_of,
)
from wholekit.domain.linkage.swing import CLOSING_ANGLES
from wholekit.domain.openings import Facts, Location, Mount
from wholekit.domain.quantities import parse_length
from wholekit.intake.openings import profile_words
from wholekit.intake.shorthand import read_shorthand

FINISHES, PROFILES = FinishBook(RULES), profile_words(RULES)
REGULAR, PARALLEL = Mount.REGULAR, Mount.PARALLEL


def _facts(text: str) -> Facts:
    return Facts(read_shorthand(text, 1, finishes=FINISHES, jurisdictions=PROFILES).type, RULES)


def _least(size: int) -> float:
    return least_efficiency(size, RULES)


STATES = st.sampled_from(["us-or", "us-wa", "us-fl", "us-ma", "us-ca", "uk"])


@given(
    place=STATES,
    width=st.floats(0.6, 1.6),
    share=st.floats(0.3, 1.2),
    beyond=st.floats(0.2, 1.2),
    efficiency=st.floats(0.4, 1.0),
)
def test_the_greatest_setting_is_within_every_limit_and_the_next_is_not(
    place: str, width: float, share: float, beyond: float, efficiency: float
) -> None:
    location = Location.INTERIOR if place == "uk" else Location.EXTERIOR
    limits = [
        limit for limit in limits_of(place, RULES) if limit.applies(location, False, True, False)
    ]
    handle = 0.0762
    most = largest_setting(limits, width, handle, lambda _: efficiency, RULES, share, beyond)

    def kept(size: int) -> bool:
        case = DoorCase(
            width, 2.1, handle, location=location, accessible=True, egress=False,
            beyond_30_nm=beyond * band(size, RULES)[0], share=share,
        )  # fmt: skip
        closer = closer_of_size(size, RULES, share, share, efficiency)
        return all(
            limit.within for limit in judge(case, closer, place, RULES).limits if limit.binding
        )

    assert limits
    if most is None:
        assert not kept(sizes(RULES)[0])
        return
    assert kept(most)
    if most < sizes(RULES)[-1]:
        assert not kept(most + 1)


@given(
    place=STATES,
    share=st.floats(0.3, 1.1),
    more=st.floats(0.0, 0.5),
    efficiency=st.floats(0.4, 0.9),
    better=st.floats(0.0, 0.1),
)
def test_less_of_the_spring_at_the_door_or_a_better_efficiency_never_asks_for_less(
    place: str, share: float, more: float, efficiency: float, better: float
) -> None:
    where = "interior" if place == "uk" else "exterior out"
    facts = _facts(f"3070 {where} accessible no-fire-label jurisdiction={place}")

    def own(value: float) -> Callable[[int], float]:
        return lambda _: value

    less = settings_within(facts, share + more, own(efficiency), RULES)[0] or 0
    assert (settings_within(facts, share, own(efficiency), RULES)[0] or 0) >= less
    assert (settings_within(facts, share + more, own(efficiency + better), RULES)[0] or 0) >= less


@pytest.mark.parametrize("name", SAMPLES)
def test_the_force_told_is_no_less_than_at_any_angle_from_closed_to_four_degrees(name: str) -> None:
    catalog = sample(name)
    told = 0
    for series in catalog.series:
        for template in series.templates:
            arms = best_arms(template, catalog.pieces, parse_length("4 in"), RULES)
            family = min(template.families)
            reference = reference_arms(series.templates, family, catalog.pieces, RULES)
            if arms is None or reference is None:
                continue
            left = shares_of(arms, reference, template.mount, RULES)
            closer = closer_of_size(3, RULES, left.closing, left.felt)
            at = [door_moment(arms, reference, 18.0, angle) or 0.0 for angle in CLOSING_ANGLES]
            force = closer.opening_force(0.8382)
            assert all(force >= one / 0.55 / 0.8382 - 1e-9 for one in at), template.id
            assert force == pytest.approx(max(*at, 18 * left.closing) / 0.55 / 0.8382)
            assert closing_moment_most(arms, reference, 18.0) == max(at)
            told += 1
    assert told


def test_a_parallel_arm_is_felt_a_tenth_more_than_its_mean() -> None:
    """It is strongest at the first; the mean alone would print too small a force."""
    catalog = sample("tarrowby")
    series = next(each for each in catalog.series if each.id == "granite")
    template = next(each for each in series.templates if each.id.endswith("parallel-100"))
    arms = best_arms(template, catalog.pieces, parse_length("4 in"), RULES)
    reference = reference_arms(series.templates, min(template.families), catalog.pieces, RULES)
    left = shares_of(arms, reference, Mount.PARALLEL, RULES)
    assert left.closing == pytest.approx(0.76, abs=0.001)
    assert left.felt / left.closing == pytest.approx(1.10, abs=0.01)
    assert left.beyond is not None
    assert left.beyond < left.felt


def test_arms_without_lengths_leave_what_the_mount_leaves() -> None:
    left = shares_of(None, None, Mount.PARALLEL, RULES)
    assert (left.closing, left.felt, left.beyond) == (0.75, 0.75, None)


@given(
    pressure=st.floats(0, 300),
    more=st.floats(0, 100),
    seals=st.floats(0, 60),
    latch=st.floats(0, 60),
    width=st.integers(600, 1500),
    wider=st.integers(0, 300),
    fire=st.booleans(),
    mount=st.sampled_from(Mount),
)
def test_a_harsher_opening_never_needs_less(
    pressure: float, more: float, seals: float, latch: float, width: int, wider: int,
    fire: bool, mount: Mount,
) -> None:  # fmt: skip
    def needed(pressure: float, seals: float, latch: float, width: int, label: bool) -> float:
        minutes = "fire 30" if label else "no-fire-label"
        text = (
            f'{width}x2100 mm {minutes} jurisdiction=uk pressure="{pressure:.3f} Pa" '
            f'seals="{seals:.3f} N" latch="{latch:.3f} N"'
        )
        return moment_needed(_facts(text), RULES)

    least = needed(pressure, seals, latch, width, False)
    harsher = (
        needed(pressure + more, seals, latch, width, fire),
        needed(pressure, seals + more, latch, width, fire),
        needed(pressure, seals, latch + more, width, fire),
        needed(pressure, seals, latch, width + wider, fire),
    )
    assert all(one >= least - 1e-9 for one in harsher)
    size = size_latching_nominal(least, mount, RULES) or 99
    assert all((size_latching_nominal(one, mount, RULES) or 99) >= size for one in harsher)
    if fire:
        assert min(harsher) >= 18.0


@given(needed=st.floats(0, 140), mount=st.sampled_from(Mount))
def test_the_nominal_size_is_the_smallest_that_latches(needed: float, mount: Mount) -> None:
    size = size_latching_nominal(needed, mount, RULES)
    left = nominal_share(mount, RULES)
    given_nm = {each: round(band(each, RULES)[0] * left, 1) for each in sizes(RULES)}
    enough = [angle for angle, moment in given_nm.items() if moment >= round(needed, 1)]
    assert size == min(enough, default=None)


def test_wind_counts_where_it_is_more_than_the_pressure() -> None:
    facts = _facts('3070 exterior out pressure="10 Pa" wind="20 mph"')
    assert pressure_on(facts, RULES) == pytest.approx(49.0, abs=0.05)
    assert moment_needed(facts, RULES) == pytest.approx(
        pressure_on(facts, RULES) * 0.9144 * 2.1336 * 0.9144 / 2
    )


@pytest.mark.parametrize(
    ("words", "binding"),
    [
        ("interior no-fire-label egress=yes", ["limit-ibc-interior"]),
        ("interior no-fire-label egress=no", []),
        ("interior no-fire-label", []),
        ("interior fire 90 egress=yes", []),
        ("exterior out no-fire-label egress=yes", []),
        ("interior no-fire-label egress=yes accessible", ["limit-ada-interior",
                                                          "limit-ibc-interior"]),
        ("interior no-fire-label egress=yes jurisdiction=uk", []),
        ("interior fire 30 accessible jurisdiction=uk", ["limit-uk-to-30", "limit-uk-to-60"]),
        ("exterior out fire 90 accessible jurisdiction=us-or", []),
    ],
)  # fmt: skip
def test_a_setting_is_bound_by_accessible_limits_and_for_a_stated_exit_by_its_own(
    words: str, binding: list[str]
) -> None:
    assert [limit.rule for limit in limits_binding(_facts(f"3070 {words}"), RULES)] == binding


def test_a_fire_door_is_set_no_lower_than_its_label_allows() -> None:
    """Even on a leaf so narrow that the limit alone would leave size 1 (EN 1154: size 3, read)."""
    facts = _facts('width="700 mm" height="2040 mm" fire 30 accessible jurisdiction=uk')
    assert settings_within(facts, 1.0, None, RULES) == (1, 1)
    kit = build_kit(facts.type, shelf(), RULES)
    assert kit.spring_size is not None
    assert kit.spring_size >= 3


def test_without_a_limit_practice_alone_has_its_say() -> None:
    facts = _facts("3070 exterior out no-fire-label")
    assert settings_within(facts, 1.0, None, RULES) == (None, None)
    assert accessible_settings(facts, None, RULES) == (None, None)
    assert accessible_settings(facts, 2, RULES) == (2, 2)


def test_practice_lowers_what_the_best_of_closers_could_be_set_to() -> None:
    facts = _facts("4070 interior accessible no-fire-label")
    assert settings_within(facts, 0.76, None, RULES)[0] == 4
    assert accessible_settings(facts, 2, RULES, share=0.76)[0] == 2


@given(share=st.floats(0.3, 1.1), beyond=st.floats(0.2, 1.1))
def test_a_moment_from_thirty_degrees_on_is_held_where_it_is_known(
    share: float, beyond: float
) -> None:
    assume(beyond <= share)
    facts = _facts("926x2040 mm interior accessible no-fire-label jurisdiction=uk")
    known = settings_within(facts, share, _least, RULES, beyond)[0] or 0
    assert known >= (settings_within(facts, share, _least, RULES)[0] or 0)


@pytest.mark.parametrize("efficiency", [0.0, -0.1, 1.01, float("nan")])
def test_an_efficiency_without_meaning_is_refused(efficiency: float) -> None:
    with pytest.raises(CallError) as refused:
        closer_of_size(3, RULES, efficiency=efficiency)
    assert refused.value.code == "efficiency-out-of-range"
