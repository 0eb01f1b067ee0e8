"""What accessible limits leave of a spring in a mount.

Sources: Oregon exterior 8.5 lbf and Washington exterior 10 lbf (state codes, as the rule book
cites them); Florida exterior 8.5 lbf from memory, not read. Closing moments and least efficiencies:
EN 1154:1996+A1, Table 1 (efficiencies from memory). That a parallel arm keeps about three quarters
of the power: a dealer's public page; 76 % is a common arm's. BS 8300-2 as told in a trade journal
and a fire-risk journal: 30 N to 30°, 22.5 N to 60°, at the leading edge, fire doors too.
Tolerance: the last digit printed.
"""

import pytest
from tests.support.house import RULES, SAMPLES, sample, shelf

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.findings import Severity
from wholekit.domain.forces import DoorCase, closer_of_size, judge, least_efficiency
from wholekit.domain.kits import Shelf, build_kit
from wholekit.domain.kits.proof import settings_within
from wholekit.domain.openings import Facts
from wholekit.domain.quantities.physical import N_PER_LBF
from wholekit.intake.openings import profile_words
from wholekit.intake.shorthand import read_shorthand
from wholekit.wording.sources import rule_source

PARALLEL = 0.76


def _facts(text: str) -> Facts:
    finishes, places = FinishBook(RULES), profile_words(RULES)
    return Facts(read_shorthand(text, 1, finishes=finishes, jurisdictions=places).type, RULES)


@pytest.mark.parametrize(
    ("place", "inches", "size", "pounds", "limit"),
    [("us-or", 36, 3, 6.67, 8.5), ("us-fl", 48, 4, 6.48, 8.5), ("us-wa", 36, 4, 8.83, 10.0)],
)
def test_a_parallel_arm_may_be_set_one_size_higher_than_a_regular_one(
    place: str, inches: int, size: int, pounds: float, limit: float
) -> None:
    lever = (inches - 3) * 0.0254
    force = closer_of_size(size, RULES, PARALLEL).opening_force(lever) / N_PER_LBF
    assert round(force, 2) == pounds
    assert force <= limit
    facts = _facts(
        f'width="{inches} in" height="84 in" exterior out accessible no-fire-label '
        f"jurisdiction={place}"
    )

    def least(one: int) -> float:
        return least_efficiency(one, RULES)

    assert settings_within(facts, PARALLEL, least, RULES) == (size, size)
    assert settings_within(facts, PARALLEL, None, RULES)[1] == size
    assert settings_within(facts, 1.0, least, RULES) == (size - 1, size - 1)


def test_an_accessible_fire_door_at_eighteen_newton_metres_keeps_thirty_newtons_only_just() -> None:
    """18 N·m / 65 % / 0.926 m = 29.9 N; without seals and latch, which is said."""
    case = DoorCase(0.926, 2.04, 0.0762, fire=True, accessible=True, beyond_30_nm=12.0)
    verdict = judge(case, closer_of_size(3, RULES, efficiency=0.65), "uk", RULES)
    first = next(result for result in verdict.limits if result.limit.rule == "limit-uk-to-30")
    assert (verdict.read_at, verdict.read_m) == ("edge", 0.926)
    assert round(first.force or 0.0, 1) == 29.9 == round(verdict.opening_n, 1)
    assert first.within is True
    assert {finding.code: finding.severity for finding in verdict.findings} == {
        "force-unchecked": Severity.NOTE
    }
    assert verdict.findings[0].fields["without"] == ("seals", "latch")


def test_at_ens_least_efficiency_the_same_door_is_over_and_its_ways_out_are_named() -> None:
    """55 % of a size 3: 35.3 N. Nobody's efficiency is assumed to be better than EN's least."""
    case = DoorCase(0.926, 2.04, 0.0762, fire=True, accessible=True)
    verdict = judge(case, closer_of_size(3, RULES), "uk", RULES)
    assert round(verdict.opening_n, 1) == 35.3
    over = next(finding for finding in verdict.findings if finding.code == "force-over-limit")
    assert over.severity is Severity.WARN
    assert over.hint is not None
    assert over.hint.code == "efficient-closer-or-release"
    assert over.hint.fields == {"efficiency_needed": "65"}
    assert "force-not-known" in {finding.code for finding in verdict.findings}
    # Size 3 stays: a smaller one is no way out of a fire door's limit.
    facts = _facts("926x2040 mm interior fire 30 accessible jurisdiction=uk")
    assert build_kit(facts.type, shelf(), RULES).spring_size == 3


def test_a_stated_efficiency_that_does_not_do_is_over_and_no_longer_a_question() -> None:
    case = DoorCase(0.926, 2.04, 0.0762, fire=True, accessible=True)
    verdict = judge(case, closer_of_size(3, RULES, efficiency=0.6), "uk", RULES)
    over = next(finding for finding in verdict.findings if finding.code == "force-over-limit")
    assert over.severity is Severity.STOP


def test_seals_and_latch_that_are_stated_count_against_latching() -> None:
    """Smoke seals up to about 10 N (public UK guidance), with as much for a latch: too much."""
    case = DoorCase(0.926, 2.04, 0.0762, fire=True, accessible=True, seals_n=10.0, latch_n=10.0)
    verdict = judge(case, closer_of_size(3, RULES, efficiency=0.65), "uk", RULES)
    assert verdict.unchecked == ()
    assert verdict.margin_nm == pytest.approx(18 - 20 * 0.926)
    assert "latch-power-short" in {finding.code for finding in verdict.findings}


def test_an_accessible_fire_door_of_the_uk_or_en_profile_cites_no_american_clause() -> None:
    for profile in ("uk", "en"):
        for accessible in (True, False):
            case = DoorCase(0.926, 2.04, 0.0762, 30.0, fire=True, accessible=accessible)
            verdict = judge(case, closer_of_size(3, RULES), profile, RULES)
            cited = " ".join(
                rule_source(RULES, finding.rule) for finding in verdict.findings if finding.rule
            )
            assert not any(body in cited for body in ("IBC", "ADA", "BHMA")), cited


@pytest.mark.parametrize(
    ("place", "inches", "size", "limit"),
    [("us-or", 36, 3, 8.5), ("us-fl", 48, 4, 8.5), ("us-wa", 36, 4, 10.0)],
)
def test_a_kit_in_parallel_is_set_so_high_and_keeps_the_limit(
    place: str, inches: int, size: int, limit: float
) -> None:
    """With the arms of the sample catalogues and the greatest force at 0 to 4°."""
    kit = build_kit(
        _facts(
            f'width="{inches} in" height="84 in" exterior out accessible no-fire-label '
            f"jurisdiction={place} mount=parallel hand=LHR"
        ).type,
        Shelf([sample(name) for name in SAMPLES]),
        RULES,
    )
    assert kit.proof is not None
    assert kit.spring_size == size
    assert kit.proof.verdict.opening_lbf <= limit
    assert "limit-excludes-latching" not in {finding.code for finding in kit.findings}
