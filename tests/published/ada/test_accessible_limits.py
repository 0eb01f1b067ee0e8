"""Opening force limits on accessible routes.

Sources: 2010 ADA Standards 404.2.9 (interior hinged doors 5 lbf; fire doors the least the
authority allows; no limit for exterior hinged doors); state codes as the rule book cites them;
Massachusetts and Florida from memory, not read; Approved Document M / BS 8300 as told in a trade
journal. 1 lbf = 4.4482216152605 N exactly. Tolerance: exact.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.support.house import RULES

from wholekit.domain.citations import Mark
from wholekit.domain.findings import Severity
from wholekit.domain.forces import DoorCase, closer_of_force, closer_of_size, judge, limits_of
from wholekit.domain.forces.limits import Limit
from wholekit.domain.openings import Location
from wholekit.domain.quantities import parse_force
from wholekit.domain.quantities.physical import N_PER_LBF
from wholekit.wording.sources import rule_source

WIDTH, HEIGHT, HANDLE = 36 * 0.0254, 84 * 0.0254, 3 * 0.0254
LEVER = WIDTH - HANDLE


def _applying(
    jurisdiction: str, location: Location, fire: bool = False, accessible: bool = True
) -> list[Limit]:
    return [
        limit
        for limit in limits_of(jurisdiction, RULES)
        if limit.scope == "accessible" and limit.applies(location, fire, accessible)
    ]


def test_five_pounds_are_twenty_two_newtons() -> None:
    assert round(parse_force("5 lbf").si, 2) == 22.24


@pytest.mark.parametrize(
    ("jurisdiction", "location", "fire", "expected"),
    [
        ("us", Location.INTERIOR, False, [5.0]),
        ("us", Location.EXTERIOR, False, []),
        ("us", Location.INTERIOR, True, []),
        ("us-or", Location.EXTERIOR, False, [8.5]),
        ("us-wa", Location.EXTERIOR, False, [10.0]),
        ("us-ca", Location.EXTERIOR, False, [5.0]),
        ("us-ca", Location.INTERIOR, True, [15.0]),
        ("us-ma", Location.EXTERIOR, False, [15.0]),
        ("us-fl", Location.EXTERIOR, False, [8.5]),
        ("uk", Location.INTERIOR, False, [30.0, 22.5]),
    ],
)
def test_the_limit_on_an_accessible_door_where_it_stands(
    jurisdiction: str, location: Location, fire: bool, expected: list[float]
) -> None:
    assert [limit.value for limit in _applying(jurisdiction, location, fire)] == expected


def test_a_limit_for_accessible_doors_is_not_held_against_others() -> None:
    assert _applying("us", Location.INTERIOR, accessible=False) == []


def test_what_was_not_read_says_so() -> None:
    for rule in ("limit-ma-exterior", "limit-fl-exterior", "limit-en-opening"):
        assert RULES[rule].source.mark is Mark.MEMORY
        assert "from memory" in rule_source(RULES, rule)


def test_exactly_five_pounds_keep_the_limit_and_a_hundredth_more_do_not() -> None:
    case = DoorCase(WIDTH, HEIGHT, HANDLE, us=True, accessible=True)
    for pounds, stopped in ((5.0, False), (5.01, True)):
        verdict = judge(case, closer_of_force(pounds * N_PER_LBF, LEVER, RULES), "us", RULES)
        assert any(finding.severity is Severity.STOP for finding in verdict.findings) is stopped


def test_a_size_three_is_no_accessible_closer_on_a_three_foot_door() -> None:
    """A fixed size 3 or more is not an accessible closer (common practice, no source).

    Size 2 gives 13 N·m of EN 1154's least efficiency 52 %: 6.7 lbf at 33 in; size 1 gives 4.8.
    """
    case = DoorCase(WIDTH, HEIGHT, HANDLE, us=True, accessible=True)
    verdict = judge(case, closer_of_size(3, RULES), "us", RULES)
    over = next(finding for finding in verdict.findings if finding.code == "force-over-limit")
    assert over.severity is Severity.STOP
    assert over.hint is not None
    assert over.hint.code == "set-to-size"
    assert over.hint.fields == {"set_size": 1}


CASES = st.builds(
    DoorCase,
    st.floats(0.7, 1.3), st.floats(2.0, 2.4), st.just(0.075),
    pressure_pa=st.floats(0, 40), us=st.booleans(), location=st.sampled_from(Location),
    accessible=st.just(True), share=st.floats(0.5, 1.1),
)  # fmt: skip


@given(
    CASES, st.integers(2, 7), st.sampled_from(["us", "uk", "ca"]), st.none() | st.floats(0.4, 0.9)
)
def test_a_setting_named_as_the_way_out_keeps_its_limit(
    case: DoorCase, size: int, jurisdiction: str, efficiency: float | None
) -> None:
    """Judged anew at that setting, at the least efficiency of the size or at the one asked for."""
    closer = closer_of_size(size, RULES, case.share, efficiency=efficiency)
    for over in judge(case, closer, jurisdiction, RULES).findings:
        if over.code != "force-over-limit" or over.hint is None:
            continue
        fields = over.hint.fields
        if over.hint.code not in ("set-to-size", "set-to-efficient-size"):
            continue
        asked = fields.get("efficiency_needed")
        at = None if asked is None else int(str(asked)) / 100
        least = closer_of_size(int(str(fields["set_size"])), RULES, case.share, efficiency=at)
        again = judge(case, least, jurisdiction, RULES)
        (kept,) = [result for result in again.limits if result.limit.rule == over.rule]
        assert kept.within
        assert again.latches


def test_a_size_two_keeps_five_pounds_if_its_efficiency_is_good() -> None:
    case = DoorCase(WIDTH, HEIGHT, HANDLE, us=True, accessible=True)
    verdict = judge(case, closer_of_size(2, RULES), "us", RULES)
    over = next(finding for finding in verdict.findings if finding.code == "force-over-limit")
    assert over.severity is Severity.WARN
    assert over.hint is not None
    # 13 N·m / (22.24 N × 0.8382 m) = 69.7 %
    assert over.hint.fields == {"efficiency_needed": "70"}


def test_an_accessible_fire_door_has_no_figure_but_the_least_the_authority_allows() -> None:
    case = DoorCase(WIDTH, HEIGHT, HANDLE, us=True, accessible=True, fire=True)
    verdict = judge(case, closer_of_size(3, RULES), "us", RULES)
    assert {finding.code for finding in verdict.findings} == {"fire-door-least-force"}


def test_the_uk_limit_from_thirty_degrees_on_needs_the_swing() -> None:
    case = DoorCase(0.95, 2.1, 0.075, accessible=True)
    closer = closer_of_size(1, RULES)
    unknown = judge(case, closer, "uk", RULES).limits[1]
    assert (unknown.limit.rule, unknown.force, unknown.within) == ("limit-uk-to-60", None, None)
    known = judge(
        DoorCase(0.95, 2.1, 0.075, accessible=True, beyond_30_nm=9.0), closer, "uk", RULES
    ).limits[1]
    assert known.force == pytest.approx(9.0 / 0.50 / 0.95)
    assert known.within is True
