"""Sizes raised by proof, limits of exits, and hints that are open here."""

from tests.support.house import codes, kit_of

from wholekit.domain.findings import Severity
from wholekit.domain.openings import Location, Mount, Swing
from wholekit.domain.quantities import parse_pressure, parse_speed


def test_a_size_does_not_rise_into_a_limit_no_closer_of_that_size_could_keep():
    """20 mph holds 49 Pa against the leaf (ASCE 7), which takes 43.7 N·m: size 7 on a parallel arm.

    Size 7 would take 38 lbf to open, 30 allowed on an exit (IBC 2024 1010.1.3), so the largest
    that brings no such limit is taken, and wind has its own ways out.
    """
    kit = kit_of("3070", location=Location.EXTERIOR, swing=Swing.OUT, wind=parse_speed("20 mph"))
    assert (kit.mount, kit.size_required) == (Mount.PARALLEL, 7)
    assert kit.spring_size == 5
    assert codes(kit)["latch-power-short"] == "warn"
    short = next(finding for finding in kit.findings if finding.code == "latch-power-short")
    assert short.hint is not None
    assert short.hint.code == "screen-wind"
    assert not kit.stopped


def test_a_limit_of_exits_never_stops_an_opening_nobody_called_one():
    kit = kit_of("3070", weight="150 kg", mount=Mount.REGULAR)
    assert kit.size_required == 7
    told = {finding.severity for finding in kit.findings if finding.code == "egress-force-limit"}
    assert Severity.WARN in told
    assert not any(finding.severity is Severity.STOP for finding in kit.findings)
    assert all(
        finding.hint is None or finding.hint.code != "set-to-size" for finding in kit.findings
    )


def test_a_larger_size_is_no_way_out_where_a_limit_forbids_it():
    kit = kit_of(
        "3070",
        location=Location.INTERIOR,
        accessible=True,
        pressure=parse_pressure("0.2 inwg"),
    )
    assert codes(kit)["limit-excludes-latching"] == "stop"
    assert all(
        finding.hint is None or finding.hint.code != "larger-size" for finding in kit.findings
    )


def test_a_narrow_accessible_leaf_takes_a_body_that_can_be_set_lightest():
    kit = kit_of("2868", location=Location.INTERIOR, accessible=True)
    assert kit.body is not None
    assert kit.body.adjustable
    assert kit.spring_size == 1


def test_a_size_asked_for_under_an_accessible_limit_brings_no_contradiction():
    kit = kit_of("3070", location=Location.INTERIOR, accessible=True, spring_size=2)
    assert "size-too-small" not in codes(kit)
    assert not kit.stopped


def test_an_uk_accessible_leaf_keeps_both_limits():
    """30 N to 30° and 22.5 N beyond: Approved Document M / BS 8300, as told in a trade journal."""
    kit = kit_of("914x2134 mm", location=Location.INTERIOR, accessible=True, jurisdiction="uk")
    assert kit.proof is not None
    assert all(limit.within in (True, None) for limit in kit.proof.verdict.limits if limit.binding)


def test_the_look_asked_for_on_another_metal_is_a_warning_not_a_stop():
    kit = kit_of("3070", finish="626", mount=Mount.REGULAR)
    assert kit.finish == "652"
    assert codes(kit)["finish-unavailable"] == "warn"


def test_what_a_site_finding_says_is_not_said_again():
    kit = kit_of("3070", reveal="12 in", mount=Mount.TOP_JAMB)
    assert codes(kit)["reveal-too-deep"] == "stop"
    assert "piece-missing" not in codes(kit)
    assert [piece.role.value for piece in kit.missing] == ["forearm"]
