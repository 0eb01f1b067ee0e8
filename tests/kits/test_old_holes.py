"""A replacement closer on the holes of the old one: matched, preferred, covered, or told."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.support.house import RULES, SAMPLES, codes, opening, sample, shelf
from tests.support.openings import openings

from wholekit.domain.catalog import Body, FastenerKind, Role, bodies_by_holes, holes_fit
from wholekit.domain.findings import Finding, Severity
from wholekit.domain.kits import Kit, Policy, build_kit
from wholekit.domain.kits.check import HandLine, check_kit
from wholekit.domain.kits.edges import NEAR_EDGE
from wholekit.domain.kits.old_holes import drilled_pattern, is_too_dear
from wholekit.domain.kits.place import holes_tolerance
from wholekit.domain.openings import Door, Mount
from wholekit.domain.quantities import HolePattern, Length, parse_pattern
from wholekit.wording.findings import say_finding

TOLD = {"holes-reused", "holes-covered", "holes-differ"}
TOLERANCE = holes_tolerance(RULES)
SIZE_3 = parse_pattern("8-1/4 x 3-1/4")
SOLD = sorted(
    {near.pattern for near in bodies_by_holes([sample(name) for name in SAMPLES], SIZE_3)}, key=str
)
spacings = st.integers(10_000_000, 600_000_000).map(Length)
patterns = st.builds(HolePattern, spacings, spacings)


def replacing(holes: str, *names: str, **conditions: object) -> Kit:
    kind = opening("3070", mount=Mount.REGULAR, existing_holes=parse_pattern(holes), **conditions)
    return build_kit(kind, shelf(*names), RULES)


def body_of(kit: Kit) -> Body:
    assert kit.body is not None
    return kit.body


def told(kit: Kit) -> Finding:
    (finding,) = (finding for finding in kit.findings if finding.code in TOLD)
    return finding


# The pattern and its arithmetic


def test_a_usual_size_3_pattern_is_the_same_in_inches_and_millimetres():
    """8-1/4 × 3-1/4 in: a usual size 3 pattern (common practice, no source).

    In mm by exact fractions: an inch is 25.4 mm (international yard and pound agreement, 1959; from
    memory).
    """
    inch = Fraction(254, 10)
    assert (Fraction(33, 4) * inch, Fraction(13, 4) * inch) == (
        Fraction(20955, 100),
        Fraction(8255, 100),
    )
    assert parse_pattern("8-1/4 x 3-1/4") == parse_pattern("209.55 x 82.55 mm")
    # What a tape shows of it still fits: 0.45 mm off each way, and 1/32 in is 0.79375 mm.
    fit = holes_fit(SIZE_3, parse_pattern("210 x 83 mm"))
    assert (fit.along, fit.across) == (Length.mm(-0.45), Length.mm(-0.45))
    assert Length.mm(Fraction(254, 10) / 32) == TOLERANCE
    assert fit.within(TOLERANCE)


@given(patterns)
def test_turned_round_twice_is_in_place(pattern):
    assert pattern.turned.turned == pattern
    assert holes_fit(pattern.turned, pattern).turned or pattern.along == pattern.across


_SIXTY_FOURTHS = st.integers(64, 64 * 20).map(lambda parts: Length.inches(0, parts, 64))
_TENTHS = st.integers(100, 6000).map(lambda parts: Length.mm(Fraction(parts, 10)))
_MEASURED = _SIXTY_FOURTHS | _TENTHS


@given(st.builds(HolePattern, _MEASURED, _MEASURED))
def test_a_pattern_is_read_back_as_it_is_written(pattern):
    assert parse_pattern(str(pattern)) == pattern
    assert parse_pattern(str(pattern).replace(" x ", "×")) == pattern


@given(patterns)
def test_the_very_pattern_always_fits_in_place(pattern):
    fit = holes_fit(pattern, pattern)
    assert (fit.worst, fit.turned) == (0, False)
    assert holes_fit(pattern, pattern.turned).worst == 0


@given(patterns, patterns, st.integers(0, 20_000_000), st.integers(0, 20_000_000))
def test_the_tolerance_is_symmetric_and_a_larger_one_never_loses_a_fit(first, second, less, more):
    small, large = sorted((less, more))
    fit, back = holes_fit(first, second), holes_fit(second, first)
    assert fit.worst == back.worst
    assert fit.within(Length(small)) is back.within(Length(small))
    assert fit.within(Length(large)) or not fit.within(Length(small))
    assert holes_fit(first, second.turned).worst == fit.worst


@given(patterns)
def test_bodies_are_listed_by_closeness_and_each_once(old):
    near = bodies_by_holes([sample(name) for name in SAMPLES], old)
    assert [each.fit.order for each in near] == sorted(each.fit.order for each in near)
    assert len(near) == sum(len(sample(name).bodies) for name in SAMPLES)


# Kits


@given(openings())
def test_an_opening_without_old_holes_is_told_nothing_of_them(kind):
    kit = build_kit(kind, shelf(), RULES)
    assert not TOLD & codes(kit).keys()
    assert not any("holes" in reason.code for reason in kit.why)


def _clean(kit: Kit) -> Kit:
    """The kit without what is told of the old holes."""
    return replace(
        kit,
        type=replace(kit.type, existing_holes=None),
        findings=tuple(finding for finding in kit.findings if finding.code not in TOLD),
        why=kit.why[:-1] if kit.body is not None else kit.why,
    )


def _without_edges(kit: Kit) -> Kit:
    kept = tuple(finding for finding in kit.findings if finding.code != NEAR_EDGE)
    return replace(kit, findings=kept)


@given(openings(), st.sampled_from([*SOLD, *map(parse_pattern, ("7 x 2", "9-5/8 x 2-3/8"))]))
def test_nothing_suffers_for_the_old_holes_and_the_kit_is_right(kind, old):
    """Beside the kit on new holes: as whole, no further stop or warning, no smaller size."""
    plain = build_kit(kind, shelf(), RULES)
    kit = build_kit(replace(kind, existing_holes=old), shelf(), RULES)
    if plain.body is None:
        assert kit == replace(plain, type=kit.type)
        return
    finding = told(kit)
    if finding.code == "holes-differ" or kit.lines == plain.lines:
        # Holes that are there already are not drilled, so they come near no edge.
        drilled = plain if finding.code != "holes-reused" else _without_edges(plain)
        assert _clean(kit) == drilled
    stops = {each.code for each in plain.findings if each.severity is not Severity.NOTE}
    more = {each.code for each in kit.findings if each.severity is not Severity.NOTE} - stops
    assert more <= TOLD
    assert len(kit.missing) <= len(plain.missing)
    assert kit.finish == plain.finish
    least = min(plain.spring_size or 0, plain.size_required or 7)
    assert (kit.spring_size or 0) >= least
    assert not is_too_dear(kit.list_price, plain.list_price, RULES)
    own = drilled_pattern(kit)
    fits = own is not None and holes_fit(own, old).within(TOLERANCE)
    assert (finding.code == "holes-reused") is fits
    _accepted_by_hand(kit)


def _accepted_by_hand(kit: Kit) -> None:
    """A kit chosen for the holes, brought by hand, is told no fault it was not told before."""
    catalogs = {each.supplier: each for each in map(sample, SAMPLES)}
    lines = [HandLine(line.item, catalogs[line.item.supplier], line.quantity) for line in kit.lines]
    checked = check_kit(kit.type, lines, shelf(), RULES)
    if kit.missing or kit.stopped:
        return
    assert not checked.missing
    assert {
        finding.code for finding in checked.findings if finding.severity is Severity.STOP
    } == set()
    assert told(checked).code == told(kit).code


def test_the_body_of_the_old_holes_is_preferred_to_a_cheaper_one():
    plain = build_kit(opening("3070", mount=Mount.REGULAR), shelf(), RULES)
    kit = replacing("6-1/2 x 2-1/8")
    assert body_of(plain).hole_pattern != body_of(kit).hole_pattern
    assert plain.list_price < kit.list_price
    assert told(kit).code == "holes-reused"
    assert body_of(kit).series == "pebble"


def test_holes_written_height_first_are_a_warning_and_not_lost():
    finding = told(replacing("3-1/4 x 8-1/4", "tarrowby", series="slate"))
    assert (finding.code, finding.severity) == ("holes-reused", Severity.WARN)
    assert finding.fields["turned"] is True
    assert "exchanged" in say_finding(finding, RULES).text


@pytest.mark.parametrize(
    ("leaf", "kind"),
    [
        ({"door": Door.WOOD, "door_reinforced": True}, FastenerKind.WOOD_SCREW),
        ({"door": Door.WOOD, "door_reinforced": False}, FastenerKind.THROUGH_BOLT),
        ({"door": Door.ALUMINUM, "door_reinforced": False}, FastenerKind.RIVET_NUT_SCREW),
    ],
)
def test_a_plate_goes_on_old_holes_that_no_body_has(leaf, kind):
    """Its own screws follow the leaf, those of the body the plate (common practice, no source)."""
    kit = replacing("9-5/8 x 2-3/8", "tarrowby", series="granite", **leaf)
    assert (told(kit).code, told(kit).fields["plate"]) == ("holes-reused", True)
    uses = {use.role: use for line in kit.lines for use in line.uses}
    assert uses[Role.PLATE].piece == "granite-old-holes-plate"
    assert (uses[Role.PLATE_FASTENER].kind, uses[Role.PLATE_FASTENER].quantity) == (kind, 4)
    assert uses[Role.BODY_FASTENER].kind is FastenerKind.MACHINE_SCREW


@pytest.mark.parametrize(
    ("holes", "code"),
    [("9 x 3", "holes-covered"), ("9-1/64 x 3", "holes-differ"), ("9 x 3-1/64", "holes-differ")],
)
def test_a_plate_hides_what_lies_within_what_it_covers(holes, code):
    assert told(replacing(holes, "tarrowby", series="granite")).code == code


def test_a_plate_brought_by_hand_is_used_though_its_screws_alone_would_do():
    """Here the box of the plate also holds the screws by which a body goes on reinforced steel."""
    kit = replacing(
        "9 x 3", "tarrowby", series="slate", door_reinforced=True, head_face=Length.inches(1)
    )
    assert told(kit).code == "holes-covered"
    catalog = sample("tarrowby")
    lines = [HandLine(line.item, catalog, line.quantity) for line in kit.lines]
    checked = check_kit(kit.type, lines, shelf("tarrowby"), RULES)
    assert told(checked).code == "holes-covered"
    assert "piece-surplus" not in codes(checked)
    assert [use.role for line in checked.lines for use in line.uses].count(Role.PLATE) == 2


def test_a_rail_too_low_for_the_plate_gets_new_holes():
    kit = replacing("9 x 3", "tarrowby", series="slate", top_rail=Length.inches(3, 3, 4))
    assert told(kit).code == "holes-differ"


def test_what_does_not_fit_is_told_with_the_nearest_patterns_and_their_offsets():
    kit = replacing("10 x 4", "quillmere")
    said = say_finding(told(kit), RULES)
    assert "Harbor 8-1/4 × 3-1/4 in (off by −1-3/4 in along, −3/4 in across)" in said.text
    assert "Fill the old holes" in said.hint


def test_a_kit_on_the_old_holes_that_costs_too_much_is_named_and_left():
    kit = replacing("8-3/4 x 1-1/2")
    assert told(kit).fields["declined"] == "dearer"
    assert "over 50 % more" in say_finding(told(kit), RULES).text


def test_a_series_asked_for_is_not_given_up_for_the_holes():
    kit = replacing("6-1/2 x 2-1/8", "tarrowby", series="granite")
    assert (body_of(kit).series, told(kit).code) == ("granite", "holes-covered")


def test_stock_first_keeps_what_is_on_hand():
    kind = opening("3070", mount=Mount.REGULAR, existing_holes=parse_pattern("6-1/2 x 2-1/8"))
    assert told(build_kit(kind, shelf(), RULES)).code == "holes-reused"
    first = shelf(policy=Policy(stock_first=True))
    stocked = build_kit(kind, first, RULES)
    assert all(first.on_hand(line.item) >= line.quantity for line in stocked.lines)
    assert told(stocked).fields["declined"] == "lesser"
