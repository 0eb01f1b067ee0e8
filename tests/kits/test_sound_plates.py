"""Where a body's own holes would come too near an edge, a plate on offer is in the kit."""

import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.support.house import RULES, SAMPLES, codes, kit_of, opening, sample, shelf, without
from tests.support.openings import random_opening

from wholekit.domain.catalog import Role, carries_body
from wholekit.domain.kits import Kit, Shelf, build_kit, hole_edge, host_field
from wholekit.domain.kits.check import HandLine, check_kit
from wholekit.domain.kits.edges import NEAR_EDGE
from wholekit.domain.openings import BodySide, Door, Frame, Mount, OpeningType
from wholekit.domain.quantities import Length

EIGHTHS = st.integers(8, 64)
# A rail of four inches and a quarter: enough for the template of this series, whose lower holes
# would come nearer its edge than is sound.
SHORT: dict[str, object] = {
    "mount": Mount.REGULAR,
    "body_side": BodySide.PULL,
    "door": Door.ALUMINUM,
    "frame": Frame.ALUMINUM,
    "top_rail": "4-1/4 in",
}


def plated(kit: Kit) -> bool:
    """Whether the body sits on a plate, or one that it must have is missing."""
    if any(lack.role is Role.PLATE for lack in kit.missing):
        return True
    return any(
        use.plate is not None and carries_body(use.plate, kit.mount)
        for line in kit.lines
        for use in line.uses
    )


def with_height(opening_type: OpeningType, kit: Kit, eighths: int) -> OpeningType:
    height = Length.inches(0, eighths, 8)
    return replace(opening_type, **{host_field(kit.mount): height})  # type: ignore[arg-type]  # its own


def on_offer(kit: Kit, supplier: str) -> bool:
    """Whether the book has a plate for the body at the height the opening states, whole."""
    part = "head" if kit.mount is Mount.TOP_JAMB else "rail"
    height = getattr(kit.type, host_field(kit.mount))
    return any(
        piece.relieves == part
        and piece.needs is not None
        and piece.needs <= height
        and (not piece.mounts or kit.mount in piece.mounts)
        and (piece.fire_listed or not kit.type.fire_minutes)
        and (not piece.fits or kit.body is None or {kit.body.family, kit.body.id} & {*piece.fits})
        for piece in sample(supplier).pieces.values()
        if piece.role is Role.PLATE
    )


@settings(max_examples=150)
@given(st.randoms(use_true_random=False), st.sampled_from(SAMPLES), EIGHTHS, st.integers(0, 30))
def test_no_kit_is_warned_of_its_body_s_holes_where_a_plate_is_on_offer(
    draw: random.Random, supplier: str, eighths: int, less: int
) -> None:
    drawn = random_opening(draw)
    drawn = replace(drawn, mount=drawn.mount or draw.choice([*Mount]), finish=None)
    kit = build_kit(drawn, shelf(supplier), RULES)
    kit = build_kit(with_height(drawn, kit, eighths), shelf(supplier), RULES)
    if NEAR_EDGE in codes(kit):
        assert plated(kit) or not on_offer(kit, supplier)
    if plated(kit):
        shorter = build_kit(
            with_height(kit.type, kit, max(1, eighths - less)), shelf(supplier), RULES
        )
        assert plated(shorter) or shorter.mount is not kit.mount or shorter.body is None


@pytest.mark.parametrize(("rail", "under"), [("4 in", True), ("4-1/2 in", True), ("5 in", False)])
def test_a_plate_stays_until_the_body_s_own_holes_are_sound(rail: str, under: bool) -> None:
    kit = kit_of("3070", "quillmere", **{**SHORT, "top_rail": rail})
    assert kit.complete
    assert plated(kit) is under
    assert NEAR_EDGE not in codes(kit)
    reasons = {reason.code: reason for line in kit.lines for reason in line.because}
    assert ("need-plate-for-edge" in reasons) is under
    if under:
        reason = reasons["need-plate-for-edge"]
        assert reason.rules == ("hole-edge-distance",)
        bare = kit_of("3070", "quillmere", **{**SHORT, "top_rail": "6 in"})
        edge = hole_edge(bare, RULES)
        assert edge is not None
        assert reason.fields["takes"] == edge.needed


def test_an_assumed_rail_has_its_plate_and_an_answered_one_has_its_own() -> None:
    silent = {name: value for name, value in SHORT.items() if name != "top_rail"}
    assert plated(kit_of("3070", "quillmere", **silent))
    assert not plated(kit_of("3070", "quillmere", **silent, top_rail="6 in"))


def test_where_nobody_sells_the_plate_the_body_goes_without_it_and_is_warned_of() -> None:
    kit = build_kit(opening("3070", **SHORT), Shelf([without("quillmere", Role.PLATE)]), RULES)
    assert kit.complete
    assert not plated(kit)
    assert codes(kit)[NEAR_EDGE] == "warn"


def test_a_hand_made_kit_without_the_plate_is_warned_of_and_lacks_nothing() -> None:
    """The maker's template would do without: it is not for the house to stop it."""
    catalog = sample("quillmere")
    wanted = opening("3070", **SHORT)
    stock = shelf("quillmere")
    bare = build_kit(wanted, Shelf([without("quillmere", Role.PLATE)]), RULES)
    for kit, told in ((bare, True), (build_kit(wanted, stock, RULES), False)):
        lines = [
            HandLine(catalog.items_by_sku[line.item.sku], catalog, line.quantity)
            for line in kit.lines
        ]
        checked = check_kit(wanted, lines, stock, RULES)
        assert checked.missing == ()
        assert (NEAR_EDGE in codes(checked)) is told
        assert "stop" not in codes(checked).values()
        assert plated(checked) is not told
