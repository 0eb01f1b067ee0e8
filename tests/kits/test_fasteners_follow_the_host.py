"""Each joint's screw follows from what it goes into. Common practice, no source, except sleeves."""

import pytest
from tests.support.house import SAMPLES, codes, kinds, kit_of, opening, pieces, sample

from wholekit.domain.kits import Shelf, build_kit
from wholekit.domain.openings import Core, Door, Frame, Mount
from wholekit.intake.rulebook import load_rulebook

THROUGH, WOOD, RIVET = {"through-bolt"}, {"wood-screw"}, {"rivet-nut-screw"}
METAL = {"machine-screw", "self-drilling-screw"}


@pytest.mark.parametrize("supplier", SAMPLES)
@pytest.mark.parametrize(
    ("door", "reinforced", "expected"),
    [
        (Door.HOLLOW_METAL, True, METAL),
        (Door.HOLLOW_METAL, False, THROUGH),
        (Door.WOOD, True, WOOD),
        (Door.WOOD, False, THROUGH),
        (Door.ALUMINUM, True, {"machine-screw"}),
        (Door.ALUMINUM, False, RIVET),
        (Door.COMPOSITE, True, THROUGH),
        (Door.COMPOSITE, False, THROUGH),
    ],
)
def test_the_body_on_the_leaf_takes_the_leafs_screw(supplier, door, reinforced, expected):
    about = {"door": door, "door_reinforced": reinforced, "top_rail": "6 in"}
    kit = kit_of("3070", supplier, mount=Mount.REGULAR, **about)
    assert kit.complete
    assert kinds(kit, "body-fastener")
    assert kinds(kit, "body-fastener") <= expected


@pytest.mark.parametrize("supplier", SAMPLES)
@pytest.mark.parametrize(
    ("frame", "reinforced", "expected"),
    [
        (Frame.STEEL, True, METAL),
        (Frame.STEEL, False, RIVET),
        (Frame.WOOD, None, WOOD),
        (Frame.ALUMINUM, True, {"machine-screw"}),
        (Frame.ALUMINUM, False, RIVET),
    ],
)
def test_shoe_and_bracket_on_the_frame_take_the_frames_screw(supplier, frame, reinforced, expected):
    for mount, role in ((Mount.REGULAR, "shoe-fastener"), (Mount.PARALLEL, "bracket-fastener")):
        kit = kit_of(
            "3070",
            supplier,
            door=Door.WOOD,
            door_reinforced=True,
            frame=frame,
            frame_reinforced=reinforced,
            mount=mount,
        )
        assert kit.complete
        assert kinds(kit, role)
        assert kinds(kit, role) <= expected


def test_an_unreinforced_hollow_metal_leaf_takes_sleeved_bolts_only():
    """Sleeves so that the leaf does not collapse: NAVFAC door hardware criteria (read)."""
    kit = kit_of("3070", door=Door.HOLLOW_METAL, door_reinforced=False, mount=Mount.REGULAR)
    used = [use.piece for line in kit.lines for use in line.uses if use.role == "body-fastener"]
    pieces_by_id = {
        piece.id: piece
        for name in SAMPLES
        for series in sample(name).series
        for piece in series.pieces
    }
    assert used
    assert all(pieces_by_id[piece].sleeved for piece in used)


@pytest.mark.parametrize("core", list(Core))
def test_a_wood_leaf_without_blocking_is_through_bolted_whatever_its_core(core):
    kit = kit_of("3070", door=Door.WOOD, core=core, door_reinforced=False, mount=Mount.REGULAR)
    assert kinds(kit, "body-fastener") == THROUGH


def test_a_leaf_too_thick_for_any_bolt_is_a_stop_that_names_the_length():
    kit = kit_of(
        "3070", door=Door.COMPOSITE, thickness="3 in", mount=Mount.REGULAR, door_reinforced=False
    )
    assert codes(kit)["through-bolt-length"] == "stop"
    assert not kit.complete


def test_an_unreinforced_steel_frame_is_refused_where_no_rivet_nuts_are_sold():
    from dataclasses import replace

    quillmere = sample("quillmere")
    without = replace(
        quillmere,
        items=tuple(
            item
            for item in quillmere.items
            if not any("rivet" in supply.piece for supply in item.supplies)
        ),
    )
    kit = build_kit(
        opening("3070", frame_reinforced=False, mount=Mount.REGULAR),
        Shelf([without]),
        load_rulebook(),
    )
    assert [missing.role.value for missing in kit.missing] == ["shoe-fastener"]
    assert codes(kit)["fastener-missing"] == "stop"


def test_a_pair_takes_everything_twice():
    single = pieces(kit_of("3070", "tarrowby", mount=Mount.PARALLEL))
    pair = pieces(kit_of("3070", "tarrowby", mount=Mount.PARALLEL, leaves=2))
    assert pair == {role: 2 * count for role, count in single.items()}
