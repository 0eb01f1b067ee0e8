"""Opening force at the handle under a pressure difference, and limits on egress doors.

Source: IBC 909.6.2, F = Fdc + K·W·A·ΔP / (2(W − d)); worked values computed from the formula, not
printed in it. Limits: IBC 2024 1010.1.3. Tolerance: two decimals.
"""

from datetime import date

import pytest
from tests.support.house import RULES

from wholekit.domain.findings import Severity
from wholekit.domain.forces import DoorCase, closer_of_force, judge, limits_of
from wholekit.domain.forces.formulas import K_SI, K_US, opening_force, opening_force_us
from wholekit.domain.quantities.physical import N_PER_LBF, PA_PER_INWG


@pytest.mark.parametrize(
    ("width_in", "closer", "inwg", "expected"), [(36, 8, 0.20, 19.91), (48, 10, 0.10, 17.77)]
)
def test_worked_values_in_us_units(
    width_in: float, closer: float, inwg: float, expected: float
) -> None:
    assert round(opening_force_us(closer, width_in / 12, 7, inwg, 0.25), 2) == expected


@pytest.mark.parametrize(
    ("width", "height", "handle", "closer", "pressure", "expected"),
    [(0.914, 2.134, 0.076, 45, 50, 98.18), (0.9, 2.1, 0.075, 40, 60, 101.85)],
)
def test_worked_values_in_si_units(
    width: float, height: float, handle: float, closer: float, pressure: float, expected: float
) -> None:
    assert round(opening_force(closer, width, height, pressure, handle), 2) == expected


def test_both_forms_of_the_clause_agree_to_its_rounding_of_k() -> None:
    si = opening_force(0, 36 * 0.0254, 84 * 0.0254, 0.2 * PA_PER_INWG, 3 * 0.0254) / N_PER_LBF
    us = opening_force_us(0, 3, 7, 0.2, 0.25)
    assert us / si == pytest.approx(1, abs=6e-4)


def test_the_rule_book_holds_the_factors_of_the_clause() -> None:
    assert RULES.mapping("force-k") == {"us": K_US, "si": K_SI}


def _egress_door(inwg: float) -> tuple[str, ...]:
    case = DoorCase(36 * 0.0254, 84 * 0.0254, 3 * 0.0254, inwg * PA_PER_INWG, us=True, fire=True)
    closer = closer_of_force(8 * N_PER_LBF, 33 * 0.0254, RULES)
    verdict = judge(case, closer, "ibc", RULES)
    return tuple(
        finding.rule or ""
        for finding in verdict.findings
        if finding.code == "force-over-limit" and finding.severity is Severity.STOP
    )


def test_thirty_pounds_to_set_in_motion_are_kept_at_the_table_and_passed_above_it() -> None:
    assert _egress_door(0.365) == ()
    assert _egress_door(0.372) == ("limit-ibc-motion",)


def test_fifteen_pounds_to_swing_hold_for_the_closer_without_the_pressure() -> None:
    case = DoorCase(36 * 0.0254, 84 * 0.0254, 3 * 0.0254, us=True, fire=True)
    lever = 33 * 0.0254
    for pounds, expected in ((15.0, True), (15.01, False)):
        verdict = judge(case, closer_of_force(pounds * N_PER_LBF, lever, RULES), "ibc", RULES)
        swing = next(result for result in verdict.limits if result.limit.rule == "limit-ibc-swing")
        assert swing.within is expected


def test_five_pounds_are_told_for_interior_egress_doors_but_stop_nothing_by_themselves() -> None:
    case = DoorCase(36 * 0.0254, 84 * 0.0254, 3 * 0.0254, us=True)
    verdict = judge(case, closer_of_force(8 * N_PER_LBF, 33 * 0.0254, RULES), "ibc", RULES)
    assert [(finding.rule, finding.severity) for finding in verdict.findings] == [
        ("limit-ibc-interior", Severity.NOTE)
    ]


def test_the_edition_that_held_on_the_day_is_cited() -> None:
    before = limits_of("ibc", RULES, date(2023, 12, 31))
    after = limits_of("ibc", RULES, date(2024, 1, 1))
    assert {limit.rule for limit in before} == {
        "limit-ibc2021-interior",
        "limit-ibc2021-motion",
        "limit-ibc2021-swing",
    }
    assert {limit.rule for limit in after} == {
        "limit-ibc-interior",
        "limit-ibc-motion",
        "limit-ibc-swing",
    }
    assert limits_of("ibc", RULES) == after


def _interior(pounds: float, egress: bool | None) -> list[tuple[str | None, Severity]]:
    case = DoorCase(36 * 0.0254, 84 * 0.0254, 3 * 0.0254, us=True, egress=egress)
    closer = closer_of_force(pounds * N_PER_LBF, 33 * 0.0254, RULES)
    verdict = judge(case, closer, "ibc", RULES)
    return [(finding.rule, finding.severity) for finding in verdict.findings]


def test_an_interior_door_without_a_label_has_five_pounds_alone() -> None:
    """1010.1.3: others than those have 30 to set in motion and 15 to swing; not both beside it."""
    assert _interior(31.0, None) == [("limit-ibc-interior", Severity.NOTE)]
    assert _interior(31.0, True) == [("limit-ibc-interior", Severity.STOP)]
    assert _interior(31.0, False) == []
    assert _interior(5.0, True) == []
